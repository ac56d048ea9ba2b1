//! The rule about the paths that people walk.

use super::finding::{at_least, metres, wording};
use super::{Finding, Level, Scene, WalkedLeg};
use crate::floor::{Obstacle, SAME_POINT_M};
use crate::shop::PlaceId;

/// Paths that people walk are wide enough.
///
/// Below the least width of a way out it is a fault on the way to or from a door; below what is advised it is a
/// warning. Legs that pass between the same two things are one finding, told of the most demanding of them.
pub fn aisles(scene: &Scene<'_>) -> Vec<Finding> {
    let mut gaps: Vec<Gap<'_>> = Vec::new();
    for leg in scene.walked {
        let Some((level, wanted)) = judged(scene, leg) else {
            continue;
        };
        let same = |gap: &&mut Gap<'_>| sides(gap.leg) == sides(leg);
        match gaps.iter_mut().find(same) {
            None => gaps.push(Gap {
                level,
                wanted,
                leg,
                ways: vec![ends(leg)],
            }),
            Some(gap) => {
                gap.note(leg);
                let lacks = |wanted: f64, leg: &WalkedLeg| wanted - leg.width;
                if (level, -lacks(wanted, leg)) < (gap.level, -lacks(gap.wanted, gap.leg)) {
                    (gap.level, gap.wanted, gap.leg) = (level, wanted, leg);
                }
            }
        }
    }
    gaps.iter().map(|gap| gap.finding(scene)).collect()
}

/// How bad a leg is, and the width in metres that it should have; nothing if it is wide enough.
fn judged(scene: &Scene<'_>, leg: &WalkedLeg) -> Option<(Level, f64)> {
    let limits = scene.limits;
    let too_narrow = |wanted: f64| leg.width < wanted - SAME_POINT_M;
    let stations = scene.plan.placements.len();
    let is_way_out = leg.from.index() >= stations || leg.to.index() >= stations;
    if is_way_out && too_narrow(limits.way_out) {
        return Some((Level::Fault, limits.way_out));
    }
    let advised = if leg.loaded {
        limits.aisle_loaded
    } else {
        limits.aisle
    };
    too_narrow(advised).then_some((Level::Warning, advised))
}

/// What stands on both sides, in an order that does not depend on the way that one walks.
fn sides(leg: &WalkedLeg) -> [Obstacle; 2] {
    let mut sides = leg.between;
    sides.sort();
    sides
}

/// A narrow place, and the most demanding leg through it.
struct Gap<'a> {
    level: Level,
    wanted: f64,
    leg: &'a WalkedLeg,
    /// The ends of all ways through it, each once.
    ways: Vec<[PlaceId; 2]>,
}

/// Where a leg leads, there or back.
fn ends(leg: &WalkedLeg) -> [PlaceId; 2] {
    [leg.from.min(leg.to), leg.from.max(leg.to)]
}

impl Gap<'_> {
    fn note(&mut self, leg: &WalkedLeg) {
        let ends = ends(leg);
        if !self.ways.contains(&ends) {
            self.ways.push(ends);
        }
    }

    fn finding(&self, scene: &Scene<'_>) -> Finding {
        let leg = self.leg;
        let (from, to) = (scene.place_name(leg.from), scene.place_name(leg.to));
        let others = match self.ways.len() - 1 {
            0 => String::new(),
            1 => ", and on another way".to_string(),
            more => format!(", and on {more} other ways"),
        };
        let width = leg.width.max(0.0);
        let wanted = match (self.level, leg.loaded) {
            (Level::Fault, _) => " is the least on a way out",
            (_, true) => " is advised where pieces are carried",
            (_, false) => " is advised",
        };
        let between = scene.between(sides(leg), leg.place);
        let says = wording![
            format!("the way from {from} to {to} is only "),
            metres(width),
            format!(" wide {between}{others}; "),
            metres(self.wanted),
            wanted
        ];
        let narrow = Finding::new(self.level, "aisle", from, says)
            .other(to)
            .at(leg.place)
            .missing(self.wanted - width)
            .figure("width_m", width);
        narrow.help(wording![
            "widen the gap by ",
            at_least(self.wanted - width),
            ", or carry around another way"
        ])
    }
}
