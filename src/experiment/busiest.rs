//! What is in use for the largest share of the time.

use super::findings::{GearFindings, PersonFindings, Resource, ResourceKind, StationFindings};
use crate::statistics::Summary;

/// The busiest of stations, people and gear; the first in that order of several that tie. People who are alike count
/// together, as the units of a station do: one of them may be busy only because the file names that one first.
pub(super) fn busiest(
    stations: &[StationFindings],
    crew: &[PersonFindings],
    gear: &[GearFindings],
) -> Option<Resource> {
    let stations = stations
        .iter()
        .map(|s| (ResourceKind::Station, &s.name, s.utilisation));
    let people = crew.iter().map(|person| {
        let alike = crew.iter().filter(|other| other.group == person.group);
        let summary: Summary = alike.map(|other| other.utilisation).collect();
        let name = if summary.count() == 1 {
            &person.name
        } else {
            &person.group
        };
        (ResourceKind::Person, name, summary.mean().unwrap_or(0.0))
    });
    let gear = gear
        .iter()
        .map(|g| (ResourceKind::Gear, &g.name, g.utilisation));
    let mut most: Option<Resource> = None;
    for (kind, name, utilisation) in stations.chain(people).chain(gear) {
        if utilisation > most.as_ref().map_or(0.0, |resource| resource.utilisation) {
            most = Some(Resource {
                name: name.clone(),
                kind,
                utilisation,
            });
        }
    }
    most
}
