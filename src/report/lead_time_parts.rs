//! What a lead time goes into, as it is told: whoever is alone in a shop waits for nobody but themselves.

use crate::experiment::CandidateFindings;
use crate::metrics::LeadTimeComponents;

/// Sums in another order differ by less than this share.
const ROUNDING: f64 = 1e-9;

/// The split with waits for stations among those for a person, where only that person keeps stations in use.
pub fn as_told(
    found: &CandidateFindings,
    split: LeadTimeComponents<f64>,
) -> LeadTimeComponents<f64> {
    if !stations_are_in_use_by_one(found) {
        return split;
    }
    LeadTimeComponents {
        waiting_station: 0.0,
        waiting_person: split.waiting_person + split.waiting_station,
        ..split
    }
}

/// Whether one person does all the work, and nothing dries at a station: then a station is in use only by that person, and
/// what waits for it waits for them.
fn stations_are_in_use_by_one(found: &CandidateFindings) -> bool {
    let [person] = &found.crew[..] else {
        return false;
    };
    let stations = found.stations.iter();
    let in_use: f64 = stations.map(|at| at.running + at.setup + at.curing).sum();
    in_use <= person.working * (1.0 + ROUNDING)
}

/// Whom a lot waits for that waits for a person.
pub fn for_whom(found: &CandidateFindings) -> &'static str {
    match found.crew.len() {
        1 => "for you",
        _ => "for a person",
    }
}
