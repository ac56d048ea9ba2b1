//! Whether a layout fits: rules with their sources, and what they find.
//!
//! Every rule is a row of [`RULES`], every figure by which it judges a row of [`LIMITS`]. The rules work on the plan:
//! nothing has a height but doors, ceilings and stairs, so work never passes over something lower.

mod finding;
mod limits;
mod scene;
mod shapes;

pub use finding::{Finding, Level, Piece, Units, Wording};
pub use limits::{LIMITS, LimitRow, Limits, Quantity};
pub use scene::{Body, Scene};

use crate::floor::{Plan, Point};
use crate::shop::{PlaceId, Shop};

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
pub const RULES: &[Rule] = &[];

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
}

/// All that the rules have to say about a shop on a layout, rule by rule, each in the file's order.
///
/// `walked` are the ways that the caller found people to walk on this layout. A rule that needs a room says nothing
/// without one, and no rule says anything of a station that the layout does not place.
pub fn check(shop: &Shop, plan: &Plan, walked: &[WalkedLeg], limits: &Limits) -> Vec<Finding> {
    let scene = Scene::new(shop, plan, walked, limits);
    RULES.iter().flat_map(|rule| (rule.run)(&scene)).collect()
}
