//! Rules about how high things are: below the ceiling, below an open overhead door, and within reach.

use super::{Missing, Scene};
use crate::floor::finding::{Fact, Finding, FindingLevel, FindingSubject, RuleId};
use crate::floor::shapes::do_overlap;
use crate::floor::site::{Footprint, Site};
use crate::floor::{Obstacle, Placement, Point, SAME_POINT_M, STAND_OFF_M, nearest_on_segment};
use crate::shop::{PlaceId, StationId};

/// What is higher than the room, or stands where an overhead door lies while it is open.
pub fn too_high_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for body in scene.stations() {
        at_body(scene.site, body, &mut |finding| findings.push(finding));
    }
    findings
}

pub fn too_high_judge(scene: &Scene<'_>) -> Missing {
    let stations = scene.stations();
    stations.map(|body| too_high(scene.site, body)).sum()
}

/// What is missing above one thing.
pub fn too_high(site: &Site<'_>, body: &Footprint) -> Missing {
    let mut missing = Missing::default();
    at_body(site, body, &mut |finding| {
        missing.add(finding.level, finding.missing.unwrap_or(0.0));
    });
    missing
}

/// Nothing is said of what nobody has measured.
fn at_body(site: &Site<'_>, body: &Footprint, found: &mut dyn FnMut(Finding)) {
    let height = body.heights.top;
    if height.is_infinite() {
        return;
    }
    let mut find = |under: f64, other: Option<PlaceId>, at: Point| {
        let over = height - under;
        if over > SAME_POINT_M {
            let fact = Fact::TooHigh { height, under };
            let finding = Finding::new(FindingLevel::Fault, RuleId::TooHigh, body.of.into(), fact);
            let mut finding = finding.at(at).missing(over);
            finding.other = other.map(FindingSubject::Place);
            found(finding);
        }
    };
    let ceiling = site.premises.room.and_then(|room| room.ceiling);
    if let Some(ceiling) = ceiling {
        find(ceiling, None, body.area.middle());
    }
    for (index, floor) in site.doors.iter().enumerate() {
        let Some((under, area)) = &floor.open_leaf else {
            continue;
        };
        if do_overlap(&body.area, area) {
            let door = site.premises.door_place(index);
            find(*under, Some(door), body.area.middle());
        }
    }
}

/// What hangs is within reach from where one stands at it.
pub fn over_reach_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (station, placement) in scene.placed() {
        at_shelf(scene, station, placement, &mut |finding| {
            findings.push(finding);
        });
    }
    findings
}

pub fn over_reach_judge(scene: &Scene<'_>) -> Missing {
    let placed = scene.placed();
    placed
        .map(|(station, placement)| out_of_reach(scene, station, placement))
        .sum()
}

/// What is missing to reach what hangs.
pub fn out_of_reach(scene: &Scene<'_>, station: StationId, placement: &Placement) -> Missing {
    let mut missing = Missing::default();
    at_shelf(scene, station, placement, &mut |finding| {
        missing.add(finding.level, finding.missing.unwrap_or(0.0));
    });
    missing
}

fn at_shelf(
    scene: &Scene<'_>,
    station: StationId,
    placement: &Placement,
    found: &mut dyn FnMut(Finding),
) {
    if !placement.heights.hangs() {
        return;
    }
    let limits = scene.limits();
    let standing = placement.standing();
    let up = placement.heights.bottom;
    let is_used = || scene.site.uses(station.into());
    let mut find = |fact, missing| {
        let subject = FindingSubject::Place(station.into());
        let finding = Finding::new(FindingLevel::Warning, RuleId::OutOfReach, subject, fact);
        found(finding.at(standing).missing(missing));
    };
    if up > limits.reach_up + SAME_POINT_M {
        if is_used() {
            let most = limits.reach_up;
            find(Fact::ReachUp { up, most }, up - most);
        }
        return;
    }
    let of = Obstacle::Station(station);
    let Some(body) = scene.footprints.iter().find(|body| body.of == of) else {
        return;
    };
    let edges = body.area.outline.edges();
    let away = edges.map(|edge| standing.distance(nearest_on_segment(standing, edge)));
    // One stands so far before what one reaches over.
    let over = away.fold(f64::INFINITY, f64::min) - STAND_OFF_M;
    let most = limits.reach_over;
    if over > most + SAME_POINT_M {
        find(Fact::ReachOver { over, most }, over - most);
    }
}
