//! Whether a layout fits: rules with their sources, and what they find.
//!
//! Every rule is a row of [`RULES`], every figure by which it judges a row of [`LIMITS`]. The rules work on the plan:
//! nothing has a height but doors, ceilings and stairs, so work never passes over something lower.

mod aisles;
mod entry;
mod exits;
mod feeding;
mod finding;
mod limits;
mod lines;
mod loads;
mod passage;
mod pieces;
mod placing;
mod scene;
mod shapes;
mod standing;
mod ways;

pub use finding::{Finding, Level, Piece, Units, Wording};
pub use limits::{LIMITS, LimitRow, Limits, Quantity};
pub use scene::{Body, Scene};

use crate::floor::{Obstacle, Plan, Point, Polygon};
use crate::shop::{PlaceId, Shop, StationId};

/// What the checks are, and what they are not.
pub const CAUTION: &str = "These are planning figures, not an inspection: local codes and the makers' manuals come \
     first, wiring is an electrician's work, and guards stay on.";

/// What is said where no rule finds a fault.
pub const NO_FAULT: &str = "no fault found by these rules; not an inspection";

/// A rule: its name in findings, what it asks, where that comes from, and the function that looks.
#[derive(Clone, Copy)]
pub struct Rule {
    pub name: &'static str,
    pub about: &'static str,
    pub source: &'static str,
    pub run: fn(&Scene<'_>) -> Vec<Finding>,
}

/// Every rule, in the order in which its findings are listed.
pub const RULES: &[Rule] = &[
    Rule {
        name: "overlap",
        about: "footprints of two stations overlap",
        source: "two things cannot stand in one place",
        run: placing::footprints,
    },
    Rule {
        name: "walls",
        about: "a footprint crosses a wall or stands outside the room",
        source: "two things cannot stand in one place",
        run: placing::walls,
    },
    Rule {
        name: "in the way",
        about: "a footprint overlaps something that stands in the room",
        source: "two things cannot stand in one place",
        run: placing::things,
    },
    Rule {
        name: "doors",
        about: "the floor before a door is kept free, and the quarter circle of a leaf that swings in",
        source: "29 CFR 1910.36(g)(2): exit access of at least 28 in; the leaf's circle is geometry",
        run: placing::doors,
    },
    Rule {
        name: "panel",
        about: "the floor in front of an electrical panel is kept free",
        source: "NEC 110.26(A): 30 in, or the equipment's width, by 36 in",
        run: placing::panels,
    },
    Rule {
        name: "standing",
        about: "where one stands at a station, or in a door that the work uses, is room for a person",
        source: "common practice: 24 to 36 in of room to stand",
        run: standing::room_to_stand,
    },
    Rule {
        name: "reachable",
        about: "a way leads to every place that the work needs, and for a cart to where it is asked for",
        source: "geometry, for the width of a body as the scenario gives it",
        run: ways::reachable,
    },
    Rule {
        name: "way out",
        about: "from every place that the work needs, a way as wide as a way out leads to a door",
        source: "29 CFR 1910.36(g)(2): exit access of at least 28 in",
        run: exits::way_out,
    },
    Rule {
        name: "feed",
        about: "straight free floor before and behind the cutter for the most demanding piece that a route sends there",
        source: "common practice: front and rear clear by at least the longest piece, and 24 to 36 in for the operator",
        run: feeding::feed,
    },
    Rule {
        name: "crossing",
        about: "strips of machines that can run at the same time do not cross",
        source: "common practice: a shared strip makes one wait",
        run: lines::crossing,
    },
    Rule {
        name: "aisle",
        about: "paths that people walk are wide enough",
        source: "29 CFR 1910.36(g)(2) for the least; common practice for what is advised",
        run: aisles::aisles,
    },
    Rule {
        name: "kickback",
        about: "nobody stands or walks and no door opens where a saw may throw a piece",
        source: "common practice: the saw's width, from the operator back to 8 ft or the wall",
        run: lines::kickback,
    },
    Rule {
        name: "reach",
        about: "the sides from which a station is reached are free to walk along, and somebody gets there",
        source: "common practice; the width of a body as the scenario gives it",
        run: standing::reach,
    },
    Rule {
        name: "access",
        about: "stock and parts come in, and finished work leaves, through doors, around corners and along stairs",
        source: "geometry: the ladder in the corner, with thickness, and a search at doorways; room for hands is this program's choice",
        run: entry::access,
    },
    Rule {
        name: "lifting",
        about: "what is handled can be lifted by the people there are",
        source: "NIOSH 94-110: 23 kg; HSE L23: a team of two",
        run: loads::lifting,
    },
    Rule {
        name: "ceiling",
        about: "boards that cannot be stood on end under the ceiling",
        source: "geometry: the diagonal, sqrt(L^2 + w^2)",
        run: loads::ceiling,
    },
];

/// The narrowest place of a way that people walk from one place to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WalkedLeg {
    pub from: PlaceId,
    pub to: PlaceId,
    /// Whether pieces are carried or pushed along it.
    pub loaded: bool,
    /// Clear width in metres at the narrowest place.
    pub width: f64,
    pub place: Point,
    /// What stands on both sides of it there.
    pub between: [Obstacle; 2],
}

/// The floor that the most demanding piece needs to pass through a station, as far as it is free.
#[derive(Debug, Clone, PartialEq)]
pub struct FeedStrip {
    pub station: StationId,
    pub outline: Polygon,
    pub fits: bool,
}

/// The strips of all stations through which work is fed.
pub fn strips(shop: &Shop, plan: &Plan, limits: &Limits) -> Vec<FeedStrip> {
    feeding::strips(&Scene::new(shop, plan, &[], limits))
}

/// All that the rules have to say about a shop on a layout, rule by rule, each in the file's order.
///
/// `walked` are the ways that the caller found people to walk on this layout. A rule that needs a room says nothing
/// without one, and no rule says anything of a station that the layout does not place.
pub fn check(shop: &Shop, plan: &Plan, walked: &[WalkedLeg], limits: &Limits) -> Vec<Finding> {
    let scene = Scene::new(shop, plan, walked, limits);
    RULES.iter().flat_map(|rule| (rule.run)(&scene)).collect()
}
