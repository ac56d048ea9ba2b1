//! What an answer says of light: where there is too little.

use super::lux;
use crate::experiment::{CandidateFindings, LightFindings, StationLight};
use crate::report::sentence::{counted, listed, with_the};

pub const LIGHT: &str = "Light";

/// Stations that are told at most.
const TOLD: usize = 4;

/// Whether some station has less light than is wanted.
pub fn is_dark(found: &CandidateFindings) -> bool {
    let stations = found.light.iter().flat_map(|light| &light.stations);
    stations.into_iter().any(StationLight::is_dark)
}

/// The line of an answer; nothing where all is well.
pub fn line(found: &CandidateFindings) -> Option<String> {
    let light = found.light.as_ref()?;
    let mean = format!("The mean at the height of benches is {}.", lux(light.mean));
    if light.stations.is_empty() {
        return Some(format!(
            "{mean} Nobody knows what single stations get, since nothing says where lamps and stations are."
        ));
    }
    let mut dark: Vec<&StationLight> = (light.stations.iter())
        .filter(|station| station.is_dark())
        .collect();
    dark.sort_by(|one, other| share(one).total_cmp(&share(other)));
    let told: Vec<String> = (dark.iter().take(TOLD))
        .map(|station| {
            format!(
                "{} {} of {}",
                with_the(&station.name),
                lux(station.illuminance),
                lux(station.wanted)
            )
        })
        .collect();
    let first = told.first()?;
    let more = match dark.len() - told.len() {
        0 => String::new(),
        more => format!(
            " {} more have too little as well.",
            counted(more, "station")
        ),
    };
    let told = match told.len() {
        1 => first.clone(),
        _ => listed(&told, "and"),
    };
    Some(format!(
        "With one's own body between lamps and work there is too little: {told}.{more} {mean} {} Lamps that flicker can make a turning blade seem to stand still.",
        advice(light, &dark)
    ))
}

fn share(station: &StationLight) -> f64 {
    station.illuminance / station.wanted
}

/// Where bodies take the light a lamp in front helps, elsewhere more lamps.
fn advice(light: &LightFindings, dark: &[&StationLight]) -> &'static str {
    let is_shadow = |station: &&&StationLight| station.without_body >= station.wanted;
    match dark.iter().filter(is_shadow).count() {
        0 if light.mean < dark[0].wanted => "More lamps, or a task light at each, would help.",
        0 => "A task light at each would help.",
        _ => {
            "A lamp in front of whoever works there, or a task light, helps more than more lamps behind."
        }
    }
}
