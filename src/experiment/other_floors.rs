//! What the rules find on floors that are not as they are drawn: with one thing rolled out, and while the shop is shut.

use super::leg_paths::{LegPath, widths};
use super::study::Candidate;
use crate::floor::check::{RULES, Scene, tell};
use crate::floor::{Finding, FindingSubject, FloorState, Plan, RuleId, Site};
use crate::shop::{PlaceId, Shop, StationId};

/// What is found there beyond what has been found already, with the ways by which the layout is checked.
pub(super) fn found_on_other_floors(
    candidate: &Candidate,
    plan: &Plan,
    site: &Site<'_>,
    (ways, known): (&[LegPath], &[Finding]),
) -> Vec<Finding> {
    let rolled_out = plan.each_rolled_out().flat_map(|(station, floor)| {
        let taken = ways_to(station, ways, &floor);
        let there = Candidate {
            plan: Some(floor.clone()),
            paths: None,
            ..candidate.clone()
        };
        let walked = widths(&there, &taken);
        let found = tell(&Scene::new(site, &floor, &walked));
        let found = found
            .into_iter()
            .filter(|finding| !is_cleared(&candidate.shop, station, finding));
        so(found, FloorState::RolledOut(station), known)
    });
    let mut found: Vec<Finding> = rolled_out.collect();
    found.extend(so(
        found_while_shut(candidate, plan).into_iter(),
        FloorState::Shut,
        known,
    ));
    found
}

/// What is new in some findings, which are so on this floor.
fn so(found: impl Iterator<Item = Finding>, floor: FloorState, known: &[Finding]) -> Vec<Finding> {
    let new = found.filter(|finding| !known.contains(finding));
    new.map(|finding| Finding { floor, ..finding }).collect()
}

/// The ways to and from a station where it is rolled out.
fn ways_to(station: StationId, ways: &[LegPath], floor: &Plan) -> Vec<LegPath> {
    let here = PlaceId::from(station);
    let of_station = ways.iter().filter(|way| way.from == here || way.to == here);
    let of_station: Vec<&LegPath> = of_station.collect();
    let pairs: Vec<(PlaceId, PlaceId)> = of_station.iter().map(|way| (way.from, way.to)).collect();
    let paths = floor.paths(&floor.ground(floor.body_width / 2.0), &pairs);
    let found = of_station.into_iter().zip(paths).filter_map(|(way, path)| {
        Some(LegPath {
            path: path?,
            ..way.clone()
        })
    });
    found.collect()
}

/// Whether a finding is about work at a station before which what is rolled out is rolled in.
fn is_cleared(shop: &Shop, rolled_out: StationId, finding: &Finding) -> bool {
    if finding.rule == RuleId::Overlap {
        return false;
    }
    let others = shop.shared_floor.iter();
    let mut others = others.filter_map(|floor| floor.beside(rolled_out));
    others.any(|other| {
        let other = FindingSubject::Place(other.into());
        finding.subject == other
            || finding.rule == RuleId::Crossing && finding.other.as_ref() == Some(&other)
    })
}

/// What stands where something parks while the shop is shut.
fn found_while_shut(candidate: &Candidate, plan: &Plan) -> Vec<Finding> {
    let Some(room) = plan.room.as_ref().filter(|room| !room.parks.is_empty()) else {
        return Vec::new();
    };
    let mut room = room.clone();
    room.blocked.extend(room.parks.iter().cloned());
    let shut = Plan {
        room: Some(room),
        ..plan.clone()
    };
    let site = Site::new(&candidate.shop, &shut, &candidate.limits);
    let scene = Scene::new(&site, &shut, &[]);
    let rules = RULES.iter().filter(|rule| rule.id == RuleId::InTheWay);
    rules.flat_map(|rule| (rule.tell)(&scene)).collect()
}
