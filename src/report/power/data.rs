//! Current as data: A, V, s and m.

use serde_json::{Value, json};

use crate::experiment::{
    CircuitCurrents, CircuitFindings, LoadFindings, OverRating, PowerFindings,
};
use crate::services::power::Starts;
use crate::statistics::Estimate;

/// The `power` of a candidate.
pub fn json(power: &PowerFindings) -> Value {
    json!({
        "runs": power.runs,
        "circuits": power.circuits.iter().map(circuit).collect::<Vec<Value>>(),
        "panel": {
            "rating_a": power.panel.rating,
            "peak_a": legs(power.panel.without),
            "peak_with_starting_a": power.panel.with_starting.map(legs),
        },
        "loads": power.loads.iter().map(load).collect::<Vec<Value>>(),
        "without_circuit": power.without_circuit,
        "short_cords": power.short_cords.iter().map(|cord| json!({
            "station": cord.name,
            "circuit": cord.circuit,
            "length_m": cord.length,
            "needed_m": cord.needed,
        })).collect::<Vec<Value>>(),
        "plug_elsewhere": power.replug.as_ref().map(|replug| json!({
            "station": replug.name,
            "from": replug.from,
            "to": replug.to,
            "peak_from_a": replug.peak_from,
            "peak_to_a": replug.peak_to,
            "holds_with_starting": replug.holds_with_starting,
        })),
    })
}

fn legs([a, b]: [f64; 2]) -> Value {
    json!({"a": a, "b": b})
}

fn circuit(circuit: &CircuitFindings) -> Value {
    let mut value = json!({
        "name": circuit.name,
        "rating_a": circuit.rating,
        "volts_v": circuit.volts,
        "legs": circuit.legs,
        "loads": circuit.loads,
        "starting": circuit.starting,
        "with_starting": circuit.with_starting.as_ref().map(|with| currents(with, circuit.rating)),
        "drop": circuit.drop.as_ref().map(|drop| json!({
            "run_v": drop.run,
            "run_share": drop.run_share,
            "at": drop.at,
            "total_v": drop.total,
            "total_share": drop.total_share,
        })),
    });
    if let (Some(fields), Value::Object(without)) = (
        value.as_object_mut(),
        currents(&circuit.without, circuit.rating),
    ) {
        fields.extend(without);
    }
    value
}

fn currents(currents: &CircuitCurrents, rating: Option<f64>) -> Value {
    json!({
        "peak_a": currents.peak,
        "peak_of": currents.peak_of,
        "headroom_a": rating.map(|rating| rating - currents.peak),
        "over_rating": currents.over.as_ref().map(over_rating),
        "with_continuous_a": currents.with_continuous,
        "continuous": currents.continuous,
        "planning_a": currents.planning,
    })
}

fn over_rating(over: &OverRating) -> Value {
    let mut value = json!({
        "runs": over.runs,
        "longest_of_all_s": over.longest_of_all,
        "combinations": over.combinations.iter().map(|together| json!({
            "of": together.of,
            "amps_a": together.amps,
            "spells": together.spells,
            "time_s": together.seconds,
            "longest_of_all_s": together.longest_of_all,
        })).collect::<Vec<Value>>(),
    });
    let mut estimate = |name: &str, unit: &str, of: &Estimate| {
        value[format!("{name}{unit}")] = json!(of.mean);
        value[format!("{name}_low{unit}")] = json!(of.low());
        value[format!("{name}_high{unit}")] = json!(of.high());
    };
    estimate("spells", "", &over.spells);
    estimate("time", "_s", &over.seconds);
    estimate("longest", "_s", &over.longest);
    value
}

fn load(load: &LoadFindings) -> Value {
    json!({
        "station": load.name,
        "circuit": load.circuit,
        "volts_v": load.volts,
        "amps_a": load.amps,
        "table_amps_a": load.table_amps,
        "source": load.source.name(),
        "starts": match load.starts {
            Starts::WithWork => "with work",
            Starts::ByItself => "by itself",
            Starts::Throughout => "taken as on",
        },
        "on_s": load.on,
        "outlet_m": load.outlet,
    })
}
