//! The rule about the paths that people walk.

use super::finding::{metres, wording};
use super::{Finding, Level, Scene, WalkedLeg};
use crate::floor::SAME_POINT_M;

/// Paths that people walk are wide enough.
///
/// Below the least width of a way out it is a fault, below what is advised a warning. Legs that share their
/// narrowest place are one finding.
pub fn aisles(scene: &Scene<'_>) -> Vec<Finding> {
    let limits = scene.limits;
    let judged = scene.walked.iter().filter_map(|leg| {
        let advised = if leg.loaded {
            limits.aisle_loaded
        } else {
            limits.aisle
        };
        let too_narrow = |wanted: f64| leg.width < wanted - SAME_POINT_M;
        if too_narrow(limits.way_out) {
            Some((Level::Fault, limits.way_out, leg))
        } else {
            too_narrow(advised).then_some((Level::Warning, advised, leg))
        }
    });
    let mut places: Vec<Narrow<'_>> = Vec::new();
    for (level, wanted, leg) in judged {
        let same = places.iter_mut().find(|narrow| {
            narrow.leg.place.distance(leg.place) < SAME_PLACE_M
                && (narrow.leg.width - leg.width).abs() < SAME_PLACE_M
        });
        match same {
            None => places.push(Narrow {
                level,
                wanted,
                leg,
                more: 0,
            }),
            Some(narrow) => {
                narrow.more += 1;
                // The most demanding leg speaks for the place.
                if (level, -wanted) < (narrow.level, -narrow.wanted) {
                    (narrow.level, narrow.wanted, narrow.leg) = (level, wanted, leg);
                }
            }
        }
    }
    places.iter().map(|narrow| narrow.finding(scene)).collect()
}

/// Narrow places nearer to each other than this are one.
const SAME_PLACE_M: f64 = 0.01;

/// A narrow place, and the most demanding leg through it.
struct Narrow<'a> {
    level: Level,
    wanted: f64,
    leg: &'a WalkedLeg,
    /// Other legs through it.
    more: usize,
}

impl Narrow<'_> {
    fn finding(&self, scene: &Scene<'_>) -> Finding {
        let leg = self.leg;
        let (from, to) = (scene.place_name(leg.from), scene.place_name(leg.to));
        let others = match self.more {
            0 => String::new(),
            1 => " (and on another way)".to_string(),
            more => format!(" (and on {more} other ways)"),
        };
        let width = leg.width.max(0.0);
        let wanted = match (self.level, leg.loaded) {
            (Level::Fault, _) => " is the least",
            (_, true) => " is advised where pieces are carried",
            (_, false) => " is advised",
        };
        let says = wording![
            format!("the way from {from} to {to}{others} is only "),
            metres(width),
            " wide at its narrowest place; ",
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
            metres(self.wanted - width),
            ", or carry around another way"
        ])
    }
}
