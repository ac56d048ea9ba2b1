//! What a lead time goes into, as it is told: whoever is alone in a shop waits for nobody but themselves, and where
//! stations and people are always in use together, a lot waits for both.

use crate::experiment::{CandidateFindings, ResourceKind};
use crate::metrics::LeadTimeComponents;

/// Sums in another order differ by less than this share.
const ROUNDING: f64 = 1e-9;

/// The split with waits for stations among those for a person, where only that person keeps stations in use, and where
/// neither is free when the other is not.
pub fn as_told(
    found: &CandidateFindings,
    split: LeadTimeComponents<f64>,
) -> LeadTimeComponents<f64> {
    if !stations_are_in_use_by_one(found) && !are_in_use_together(found) {
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
    found.crew.len() == 1 && all_in_use_is_work(found)
}

/// Whether stations are in use only while somebody works at them.
fn all_in_use_is_work(found: &CandidateFindings) -> bool {
    let stations = found.stations.iter();
    let in_use: f64 = stations.map(|at| at.running + at.setup + at.curing).sum();
    let worked: f64 = found.crew.iter().map(|person| person.working).sum();
    in_use <= worked * (1.0 + ROUNDING)
}

/// Whether the busiest station is in use for as long as the busiest people, and only with them: of whatever waits for the
/// one it can as well be said that it waits for the other.
pub fn are_in_use_together(found: &CandidateFindings) -> bool {
    let tied = found.bottleneck.iter().cloned().chain(found.busy_as_long());
    let tied: Vec<ResourceKind> = tied.map(|resource| resource.kind).collect();
    let both = [ResourceKind::Station, ResourceKind::Person];
    both.iter().all(|kind| tied.contains(kind)) && all_in_use_is_work(found)
}

/// Whom a lot waits for that waits for a person.
pub fn for_whom(found: &CandidateFindings) -> &'static str {
    match found.crew.len() {
        1 => "for you",
        _ if are_in_use_together(found) => "for a station and a person, in use together",
        _ => "for a person",
    }
}
