//! The rule about the paths that people walk.

use super::{Missing, Scene, WalkedLeg};
use crate::floor::finding::{Between, Fact, Finding, FindingLevel, FindingSubject, RuleId};
use crate::floor::{Obstacle, SAME_POINT_M};
use crate::shop::PlaceId;

/// Paths that people walk are wide enough.
///
/// Below the least width of a way out it is a fault where pieces are carried to or from a door; below what is advised it
/// is a warning. Who walks empty-handed may go another way: that there is one is the matter of the rule about ways out.
/// Legs that pass between the same two things are one finding, told of the most demanding of them.
pub fn aisles_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let narrow = narrow_places(scene);
    let narrow = narrow.iter().map(|narrow| narrow.finding(scene));
    narrow.chain(doorways(scene)).collect()
}

/// Doors through which pieces are carried and that are no narrower than a way out has to be, though narrower than is
/// advised for ways: an ordinary door is as it is, and what does not get through it is told of piece by piece.
fn doorways(scene: &Scene<'_>) -> impl Iterator<Item = Finding> {
    let limits = scene.limits();
    let doors = scene.doors().iter().enumerate();
    doors.filter_map(move |(index, door)| {
        let place = scene.site.premises.door_place(index);
        let width = door.width();
        let is_ordinary =
            width >= limits.way_out - SAME_POINT_M && width < limits.aisle_loaded - SAME_POINT_M;
        let leads_there = |leg: &WalkedLeg| leg.loaded && [leg.from, leg.to].contains(&place);
        (is_ordinary && scene.walked.iter().any(leads_there)).then(|| {
            let fact = Fact::Doorway {
                width,
                wanted: limits.aisle_loaded,
            };
            let subject = FindingSubject::Place(place);
            Finding::new(FindingLevel::Note, RuleId::Aisle, subject, fact).at(door.middle())
        })
    })
}

pub fn aisles_judge(scene: &Scene<'_>) -> Missing {
    narrow_gaps(scene).iter().map(|gap| gap.missing).sum()
}

/// What is missing where people walk between two things.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NarrowGap {
    pub sides: [Obstacle; 2],
    pub missing: Missing,
}

/// What is missing along the ways that people walk, gap by gap.
pub fn narrow_gaps(scene: &Scene<'_>) -> Vec<NarrowGap> {
    let narrow = narrow_places(scene);
    let gaps = narrow.iter().map(|narrow| NarrowGap {
        sides: sides(narrow.leg),
        missing: Missing::one(narrow.level, narrow.missing()),
    });
    gaps.collect()
}

fn narrow_places<'a>(scene: &Scene<'a>) -> Vec<NarrowPlace<'a>> {
    let mut places: Vec<NarrowPlace<'_>> = Vec::new();
    for leg in scene.walked {
        let Some((level, wanted)) = judged(scene, leg) else {
            continue;
        };
        let same = |place: &&mut NarrowPlace<'_>| sides(place.leg) == sides(leg);
        match places.iter_mut().find(same) {
            None => places.push(NarrowPlace {
                level,
                wanted,
                leg,
                ways: vec![ends(leg)],
            }),
            Some(place) => {
                place.note(leg);
                let lacks = |wanted: f64, leg: &WalkedLeg| wanted - leg.width;
                if (level, -lacks(wanted, leg)) < (place.level, -lacks(place.wanted, place.leg)) {
                    (place.level, place.wanted, place.leg) = (level, wanted, leg);
                }
            }
        }
    }
    places
}

/// How bad a leg is, and the width in metres that it should have; nothing if it is wide enough.
fn judged(scene: &Scene<'_>, leg: &WalkedLeg) -> Option<(FindingLevel, f64)> {
    let limits = scene.limits();
    let too_narrow = |wanted: f64| leg.width < wanted - SAME_POINT_M;
    let is_door = |place: PlaceId| scene.plan.station_at(place).is_none();
    let is_way_out = is_door(leg.from) || is_door(leg.to);
    if is_way_out && leg.loaded && too_narrow(limits.way_out) {
        return Some((FindingLevel::Fault, limits.way_out));
    }
    // What is narrower than a way out has to be is judged like any other gap.
    let is_door = matches!(scene.between(sides(leg), leg.place), Between::Door(_));
    if is_door && !too_narrow(limits.way_out) {
        return None;
    }
    let advised = if leg.loaded {
        limits.aisle_loaded
    } else {
        limits.aisle
    };
    too_narrow(advised).then_some((FindingLevel::Warning, advised))
}

/// What stands on both sides, in an order that does not depend on the way that one walks.
fn sides(leg: &WalkedLeg) -> [Obstacle; 2] {
    let mut sides = leg.between;
    sides.sort();
    sides
}

/// A narrow place, and the most demanding leg through it.
struct NarrowPlace<'a> {
    level: FindingLevel,
    wanted: f64,
    leg: &'a WalkedLeg,
    /// The ends of all ways through it, each once.
    ways: Vec<[PlaceId; 2]>,
}

/// Where a leg leads, there or back.
fn ends(leg: &WalkedLeg) -> [PlaceId; 2] {
    [leg.from.min(leg.to), leg.from.max(leg.to)]
}

impl NarrowPlace<'_> {
    fn note(&mut self, leg: &WalkedLeg) {
        let ends = ends(leg);
        if !self.ways.contains(&ends) {
            self.ways.push(ends);
        }
    }

    fn width(&self) -> f64 {
        self.leg.width.max(0.0)
    }

    fn missing(&self) -> f64 {
        self.wanted - self.width()
    }

    fn finding(&self, scene: &Scene<'_>) -> Finding {
        let leg = self.leg;
        let fact = Fact::Aisle {
            loaded: leg.loaded,
            width: self.width(),
            wanted: self.wanted,
            between: scene.between(sides(leg), leg.place),
            others: self.ways.len() - 1,
        };
        let subject = FindingSubject::Place(leg.from);
        Finding::new(self.level, RuleId::Aisle, subject, fact)
            .other(FindingSubject::Place(leg.to))
            .at(leg.place)
            .missing(self.missing())
    }
}
