//! Rules about lines of the floor that one machine takes from others: crossing strips, and where a saw may throw a piece.

use super::feeding::feedings;
use super::{Missing, Scene, WalkedLeg};
use crate::floor::finding::{Fact, Finding, FindingLevel, FindingSubject, Kickback, RuleId};
use crate::floor::shapes::{FloorArea, overlap};
use crate::floor::strips::{StationExtent, Strip};
use crate::floor::tolerance::CROSSING_M;
use crate::floor::{Placement, Point, SAME_POINT_M};
use crate::shop::{PlaceId, StationId};

/// Strips of stations that can run at the same time do not cross.
pub fn crossing_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let feedings = feedings(scene);
    let with_strip = feedings.iter().filter_map(|feeding| {
        let strip = FloorArea::new(feeding.outline()?);
        Some((feeding, strip))
    });
    let strips: Vec<_> = with_strip.collect();
    let mut findings = Vec::new();
    for (index, (one, strip)) in strips.iter().enumerate() {
        for (other, crossed) in &strips[index + 1..] {
            let Some(depth) = overlap(strip, crossed) else {
                continue;
            };
            if !scene.site.at_once(one.station, other.station) {
                continue;
            }
            let subject = FindingSubject::Place(one.station.into());
            let fact = Fact::Crossing { depth };
            findings.push(
                Finding::new(FindingLevel::Note, RuleId::Crossing, subject, fact)
                    .other(FindingSubject::Place(other.station.into()))
                    .at((one.placement.at + other.placement.at) * 0.5)
                    .missing(depth),
            );
        }
    }
    findings
}

/// Nobody stands, and no door opens, where a saw may throw a piece.
pub fn kickback_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (saw, placement) in scene.placed() {
        let corners = |leg| corners_of(scene, leg);
        at_saw(scene, saw, placement, (&corners, true), &mut |finding| {
            findings.push(finding);
        });
    }
    findings
}

pub fn kickback_judge(scene: &Scene<'_>) -> Missing {
    let mut missing = Missing::default();
    for (saw, placement) in scene.placed() {
        for thrown in thrown_at(scene, saw, placement, &|leg| corners_of(scene, leg)) {
            missing.add(thrown.level, 0.0);
        }
    }
    missing
}

/// What is wrong where a saw may throw a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thrown {
    pub level: FindingLevel,
    /// Who works or which door opens there; nothing for whoever walks through.
    pub at: Option<PlaceId>,
}

/// What is wrong where a saw may throw a piece, but for what is only good to know, with the corners of the way of each leg
/// that is walked.
pub fn thrown_at(
    scene: &Scene<'_>,
    saw: StationId,
    placement: &Placement,
    corners: &dyn Fn(usize) -> Vec<Point>,
) -> Vec<Thrown> {
    let mut thrown = Vec::new();
    // Ways that nobody walks while the machine runs are worth a note at the most.
    let no_way = |_| Vec::new();
    let corners = match placement.kickback && scene.site.walked_while_running(saw) {
        true => corners,
        false => &no_way,
    };
    at_saw(scene, saw, placement, (corners, false), &mut |finding| {
        if finding.level == FindingLevel::Note {
            return;
        }
        let at = match (&finding.fact, &finding.other) {
            (Fact::Kickback(Kickback::Walked { .. }), _) => None,
            (_, Some(FindingSubject::Place(place))) => Some(*place),
            _ => None,
        };
        thrown.push(Thrown {
            level: finding.level,
            at,
        });
    });
    thrown
}

/// The corners of the way of a leg, by its index among those that are walked.
fn corners_of(scene: &Scene<'_>, leg: usize) -> Vec<Point> {
    let WalkedLeg { from, to, .. } = scene.walked[leg];
    let mut known = scene.ways.iter();
    if let Some(known) = known.find(|way| way.ends == (from, to)) {
        return known.path.polyline(CROSSING_M);
    }
    let path = scene.plan.path(scene.person(), from, to);
    path.map(|path| path.polyline(CROSSING_M))
        .unwrap_or_default()
}

/// How far a saw may throw a piece, in metres from the side where the work goes in: so far beyond whoever works at it. None
/// where nothing says which way the work is fed.
pub fn thrown_reach(placement: &Placement, beyond: f64) -> Option<f64> {
    let side = placement.feed?;
    let back = placement.turned(side.direction()) * -1.0;
    let edge = placement.at + back * StationExtent::of(placement, side).before;
    Some((placement.standing() - edge).dot(back).max(0.0) + beyond)
}

/// The line in which a saw may throw a piece.
struct Throw {
    line: Strip,
    reach: f64,
    body_width: f64,
}

impl Throw {
    fn of(scene: &Scene<'_>, placement: &Placement) -> Option<Throw> {
        let side = placement.feed?;
        let extent = StationExtent::of(placement, side);
        let back = placement.turned(side.direction()) * -1.0;
        let line = Strip {
            from: placement.at + back * extent.before,
            toward: back,
            width: extent.across,
        };
        let reach = thrown_reach(placement, scene.limits().kickback)?;
        let to_wall = scene.to_wall(Strip { width: 0.0, ..line });
        Some(Throw {
            line,
            reach: to_wall.map_or(reach, |wall| wall.min(reach)),
            body_width: scene.site.body_width,
        })
    }

    /// Whether somebody who stands at a place stands in it.
    fn meets(&self, place: Point) -> bool {
        let Throw { line, reach, .. } = self;
        let from_line = place - line.from;
        let along = from_line.dot(line.toward);
        let aside = line.toward.cross(from_line).abs();
        let width = line.width / 2.0 + self.body_width / 2.0 - SAME_POINT_M;
        along > 0.0 && along < reach - SAME_POINT_M && aside < width
    }

    /// Whether any of a piece of floor lies in it.
    fn meets_area(&self, area: &FloorArea) -> bool {
        let Throw { line, reach, .. } = self;
        let nearest = line.nearest_of(&area.outline);
        nearest.is_some_and(|along| along < reach - SAME_POINT_M)
    }
}

/// Finds what lies in the throw of a saw; all of what is only good to know, or some of it.
fn at_saw(
    scene: &Scene<'_>,
    saw: StationId,
    placement: &Placement,
    (corners, all_notes): (&dyn Fn(usize) -> Vec<Point>, bool),
    found: &mut dyn FnMut(Finding),
) {
    if !placement.kickback {
        return;
    }
    let subject = FindingSubject::Place(saw.into());
    let Some(throw) = Throw::of(scene, placement) else {
        let fact = Fact::Kickback(Kickback::Unknown);
        found(Finding::new(
            FindingLevel::Note,
            RuleId::Kickback,
            subject,
            fact,
        ));
        return;
    };
    let (line, reach) = (throw.line, throw.reach);
    let mut find = |level, other: PlaceId, at: Point, fact: Kickback| {
        let fact = Fact::Kickback(fact);
        found(
            Finding::new(level, RuleId::Kickback, subject.clone(), fact)
                .other(FindingSubject::Place(other))
                .at(at),
        );
    };
    for (other, standing) in scene.placed().filter(|&(id, _)| id != saw) {
        let mut stands = scene.plan.places_at(other).filter_map(|place| {
            let at = scene.plan.standing(place)?;
            throw.meets(at).then_some((place, at))
        });
        // What is met twice is told once.
        if let Some((place, at)) = stands.next() {
            let fact = Kickback::Stands { reach };
            find(FindingLevel::Warning, place, at, fact);
            continue;
        }
        // Whoever is alone works at one of the two, which is good to know at the most.
        let crew = scene.shop().crew.len();
        if crew <= 1 && !all_notes {
            continue;
        }
        let reaches_in = (scene.plan)
            .walked_around(standing)
            .and_then(|footprint| line.nearest_of(&footprint))
            .is_some_and(|along| along < reach - SAME_POINT_M);
        if reaches_in {
            // Whoever works at it has hands there, wherever one stands.
            let while_running = crew > 1 && scene.site.at_once(saw, other);
            let fact = Kickback::ReachesIn {
                reach,
                while_running,
            };
            let level = match while_running {
                true => FindingLevel::Warning,
                false => FindingLevel::Note,
            };
            find(level, other.into(), standing.at, fact);
        }
    }
    if all_notes && let Some(leg) = fetched(scene, saw, placement, &throw) {
        let fact = Kickback::Fetched { reach };
        find(FindingLevel::Note, leg.to, placement.standing(), fact);
    }
    let crossings = crossings(scene, saw, &throw, corners);
    // Of those that are walked as often, the first.
    let most_walked = crossings.iter().rev();
    if let Some(most) = most_walked.max_by(|one, other| one.trips.total_cmp(&other.trips)) {
        let while_running = scene.site.walked_while_running(saw);
        let level = if while_running {
            FindingLevel::Warning
        } else {
            FindingLevel::Note
        };
        let fact = Kickback::Walked {
            reach,
            to: most.leg.to,
            others: crossings.len() - 1,
            while_running,
        };
        find(level, most.leg.from, most.place, fact);
    }
    for (index, door) in scene.doors().iter().enumerate() {
        // A door in the wall that ends the line opens into it, and so does a leaf that swings across it, wherever its
        // hinges may be.
        let leaves = || scene.site.doors[index].leaves.iter().flatten();
        let is_swept = leaves().next().is_some() && leaves().all(|leaf| throw.meets_area(leaf));
        let met = line.nearest(door.between);
        let is_met = met.is_some_and(|along| along <= reach + SAME_POINT_M);
        if is_met || is_swept {
            let place = scene.site.premises.door_place(index);
            let fact = Kickback::Door { reach };
            find(FindingLevel::Warning, place, door.middle(), fact);
        }
    }
}

/// The most walked leg along which pieces are carried away from a saw while it may run, if whoever fetches them comes to
/// where it may throw a piece.
fn fetched<'a>(
    scene: &Scene<'a>,
    saw: StationId,
    placement: &Placement,
    throw: &Throw,
) -> Option<&'a WalkedLeg> {
    let is_reached = throw.meets(placement.standing()) && scene.site.walked_while_running(saw);
    let carried = |leg: &&WalkedLeg| leg.loaded && scene.plan.station_at(leg.from) == Some(saw);
    let carried = scene.walked.iter().rev().filter(carried);
    let most = carried.max_by(|one, other| one.trips.total_cmp(&other.trips));
    most.filter(|_| is_reached)
}

/// A walk that leads through the line in which a saw may throw a piece.
struct Crossing<'a> {
    leg: &'a WalkedLeg,
    /// Where in the line.
    place: Point,
    /// Mean number in a replication, there and back together.
    trips: f64,
}

/// The walks that lead through the line in which a saw may throw a piece, but for those to the saw itself and those from
/// or to places in the line, which are found themselves. Both directions of a walk are one.
fn crossings<'a>(
    scene: &Scene<'a>,
    saw: StationId,
    throw: &Throw,
    corners: &dyn Fn(usize) -> Vec<Point>,
) -> Vec<Crossing<'a>> {
    let wide = Strip {
        width: throw.line.width + scene.site.body_width,
        ..throw.line
    };
    let mut crossings: Vec<Crossing> = Vec::new();
    for (index, leg) in scene.walked.iter().enumerate() {
        let ends = [leg.from, leg.to];
        let is_same =
            |known: &Crossing| ends.contains(&known.leg.from) && ends.contains(&known.leg.to);
        if let Some(known) = crossings.iter_mut().find(|known| is_same(known)) {
            known.trips += leg.trips;
            continue;
        }
        let told = |end: &PlaceId| {
            let standing = scene.plan.standing(*end);
            scene.plan.station_at(*end) == Some(saw)
                || standing.is_none_or(|place| throw.meets(place))
        };
        if ends.iter().any(told) {
            continue;
        }
        let met = corners(index).windows(2).find_map(|step| {
            let along = wide.nearest((step[0], step[1]));
            along.filter(|along| *along < throw.reach - SAME_POINT_M)
        });
        if let Some(along) = met {
            crossings.push(Crossing {
                leg,
                place: throw.line.from + throw.line.toward * along,
                trips: leg.trips,
            });
        }
    }
    crossings
}
