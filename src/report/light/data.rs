//! Light as data: lx and lm.

use serde_json::{Value, json};

use crate::experiment::LightFindings;

/// The `light` of a candidate.
pub fn json(light: &LightFindings) -> Value {
    let stations: Vec<Value> = (light.stations.iter())
        .map(|station| {
            json!({
                "station": station.name,
                "illuminance_lx": station.illuminance,
                "without_body_lx": station.without_body,
                "wanted_lx": station.wanted,
                "wanted_is_usual": station.is_wanted_usual,
            })
        })
        .collect();
    json!({
        "mean_lx": light.mean,
        "lamps_lm": light.lumens,
        "utilisation": light.utilisation,
        "utilisation_is_usual": light.is_utilisation_usual,
        "stations": stations,
    })
}
