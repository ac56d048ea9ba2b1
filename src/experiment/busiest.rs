//! What is in use most, and what is in use all the time.

use super::findings::{GearFindings, PersonFindings, Resource, ResourceKind, StationFindings};
use crate::statistics::Summary;

/// From this share of its time on, something is in use all the time; what is left are walks between two jobs.
const SATURATED: f64 = 0.98;

/// Stations, groups of people and kinds of gear, in that order. People who are alike count together, as the units of a
/// station do: one of them may be busy only because the file names that one first.
fn resources(
    stations: &[StationFindings],
    crew: &[PersonFindings],
    gear: &[GearFindings],
) -> Vec<Resource> {
    let resource = |kind, name: &String, utilisation| Resource {
        name: name.clone(),
        kind,
        utilisation,
    };
    let stations =
        (stations.iter()).map(|s| resource(ResourceKind::Station, &s.name, s.utilisation));
    let first_of_group = |index: &usize| {
        let group = &crew[*index].group;
        crew.iter().position(|person| person.group == *group) == Some(*index)
    };
    let people = (0..crew.len()).filter(first_of_group).map(|index| {
        let person = &crew[index];
        let alike = crew.iter().filter(|other| other.group == person.group);
        let summary: Summary = alike.map(|other| other.utilisation).collect();
        let name = match summary.count() {
            1 => &person.name,
            _ => &person.group,
        };
        resource(ResourceKind::Person, name, summary.mean().unwrap_or(0.0))
    });
    let gear = (gear.iter()).map(|g| resource(ResourceKind::Gear, &g.name, g.utilisation));
    stations.chain(people).chain(gear).collect()
}

/// The busiest of all; the first of several that tie.
pub(super) fn busiest(
    stations: &[StationFindings],
    crew: &[PersonFindings],
    gear: &[GearFindings],
) -> Option<Resource> {
    let mut most: Option<Resource> = None;
    for resource in resources(stations, crew, gear) {
        let so_far = most.as_ref().map_or(0.0, |busiest| busiest.utilisation);
        if resource.utilisation > so_far {
            most = Some(resource);
        }
    }
    most
}

/// What is in use all the time.
pub(super) fn saturated(
    stations: &[StationFindings],
    crew: &[PersonFindings],
    gear: &[GearFindings],
) -> Vec<Resource> {
    let mut all = resources(stations, crew, gear);
    all.retain(|resource| resource.utilisation >= SATURATED);
    all
}
