//! What is in use most, and what is in use all the time.

use super::findings::{
    CandidateFindings, GearFindings, PersonFindings, Resource, ResourceKind, StationFindings,
};
use crate::statistics::Summary;

/// From this share of its time on, something is in use all the time; what is left are walks between two jobs.
const SATURATED: f64 = 0.98;

/// What is in use for shares of the time that differ by no more than this is in use as long: less is rounding of sums,
/// or a walk or two.
const AS_LONG: f64 = 1e-3;

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

/// The busiest of all; the first of several that are in use as long.
pub(super) fn busiest(
    stations: &[StationFindings],
    crew: &[PersonFindings],
    gear: &[GearFindings],
) -> Option<Resource> {
    let all = resources(stations, crew, gear);
    let uses = all.iter().map(|resource| resource.utilisation);
    let most = uses.fold(0.0, f64::max);
    let mut used = all
        .into_iter()
        .filter(|resource| resource.utilisation > 0.0);
    used.find(|resource| resource.utilisation >= most - AS_LONG)
}

impl CandidateFindings {
    /// What else is in use as long as the busiest.
    pub fn busy_as_long(&self) -> Vec<Resource> {
        let Some(busiest) = &self.bottleneck else {
            return Vec::new();
        };
        let mut all = resources(&self.stations, &self.crew, &self.gear);
        all.retain(|resource| {
            let is_another = (resource.kind, &resource.name) != (busiest.kind, &busiest.name);
            is_another && (resource.utilisation - busiest.utilisation).abs() <= AS_LONG
        });
        all
    }
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
