//! How far it is from machines to the outlets of their circuits.

use super::findings::CordFindings;
use crate::experiment::Candidate;
use crate::floor::{Point, Polygon};
use crate::services::power::{StationLoad, Wiring};

/// By load, how far it is straight from the edge of the machine to the nearest outlet of its circuit; nothing where either
/// is not drawn.
pub fn outlets(candidate: &Candidate, wiring: &Wiring) -> Vec<Option<f64>> {
    let loads = wiring.loads.iter();
    loads.map(|load| outlet(candidate, wiring, load)).collect()
}

fn outlet(candidate: &Candidate, wiring: &Wiring, load: &StationLoad) -> Option<f64> {
    let placements = &candidate.plan.as_ref()?.placements;
    let place = placements.iter().nth(load.station?.index())?.as_ref()?;
    let body = Polygon::rectangle(place.at, place.size, place.turn);
    let away = |outlet: &Point| match &body {
        Some(body) if body.contains(*outlet) => 0.0,
        Some(body) => body.distance_to_outline(*outlet),
        None => place.at.distance(*outlet),
    };
    let outlets = wiring.circuits[load.circuit?].outlets.iter();
    outlets.map(away).min_by(f64::total_cmp)
}

/// Cords that do not reach, given how far it is.
pub fn too_short(
    candidate: &Candidate,
    wiring: &Wiring,
    outlets: &[Option<f64>],
) -> Vec<CordFindings> {
    let loads = wiring.loads.iter().zip(outlets);
    loads
        .filter_map(|(load, &outlet)| {
            let (needed, length, circuit) = (outlet?, load.cord?.length, load.circuit?);
            (needed > length).then(|| CordFindings {
                name: load.name(&candidate.shop).to_owned(),
                circuit: wiring.circuits[circuit].name.clone(),
                length,
                needed,
            })
        })
        .collect()
}
