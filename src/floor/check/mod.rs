//! Whether a layout fits: rules with their sources, and what they find.
//!
//! Every rule is a row of [`RULES`], every figure by which it judges a row of [`LIMITS`](crate::floor::LIMITS). Things are
//! boxes: an outline on the floor between two heights. What has none is as high as the room.

mod aisles;
mod at_table;
mod bench_height;
mod exits;
mod feed_advice;
mod feeding;
mod first_step;
mod gaps;
mod heights;
mod kept;
mod leaves;
mod leg;
mod lines;
mod missing;
mod moves;
mod open_time;
mod panels;
mod parts;
mod placing;
mod remedy;
mod sawing;
mod scene;
mod stances;
mod standing;
mod tipping;
mod units;
mod ways;
mod wet_finish;

pub(super) use at_table::{at_table, passing_run};
pub(super) use exits::first_steps;
pub use feeding::strips;
pub(super) use first_step::FirstStep;
pub(super) use leg::{NarrowPlaces, widest_judged};
pub use leg::{WalkedLeg, Widths};
pub use lines::thrown_reach;
pub use missing::Missing;
pub use moves::MoveJudge;
pub(super) use parts::{FloorChange, MissingParts, Stage};
pub use placing::depth_in_others;
pub use scene::Scene;

use super::site::Site;
use super::{Finding, Limits, Plan, Polygon, RuleId};
use crate::shop::{Shop, StationId};

/// A rule: what it is called in findings, what it asks, where that comes from, and the functions that look.
///
/// Both find the same faults and warnings. Where it takes a search to measure how much is missing, `judge` counts a
/// whole width instead.
#[derive(Clone, Copy)]
pub struct Rule {
    pub id: RuleId,
    pub about: &'static str,
    pub source: &'static str,
    /// How much is missing, and no more than that.
    pub judge: fn(&Scene<'_>) -> Missing,
    /// What was found, with the figures behind it.
    pub tell: fn(&Scene<'_>) -> Vec<Finding>,
}

/// Every rule, in the order in which its findings are listed.
pub const RULES: &[Rule] = &[
    Rule {
        id: RuleId::Overlap,
        about: "footprints of two stations overlap",
        source: "two things cannot stand in one place",
        judge: placing::footprints_judge,
        tell: placing::footprints_tell,
    },
    Rule {
        id: RuleId::Walls,
        about: "a footprint crosses a wall or stands outside the room",
        source: "two things cannot stand in one place",
        judge: placing::walls_judge,
        tell: placing::walls_tell,
    },
    Rule {
        id: RuleId::InTheWay,
        about: "a footprint overlaps something that stands in the room",
        source: "two things cannot stand in one place",
        judge: placing::things_judge,
        tell: placing::things_tell,
    },
    Rule {
        id: RuleId::Doors,
        about: "the floor before a door is kept free, and the quarter circle of a leaf that swings in",
        source: "29 CFR 1910.36(g)(2): exit access of at least 28 in; the leaf's circle is geometry",
        judge: placing::doors_judge,
        tell: placing::doors_tell,
    },
    Rule {
        id: RuleId::Panel,
        about: "the floor in front of an electrical panel is kept free",
        source: "NEC 110.26(A): 30 in, or the equipment's width, by 36 in",
        judge: panels::panels_judge,
        tell: panels::panels_tell,
    },
    Rule {
        id: RuleId::Standing,
        about: "where one stands at a station that is worked at or gone to, or in a door that the work uses, is room for a person, and no leaf swings there",
        source: "common practice: 24 to 36 in of room to stand; the circle of a leaf is geometry",
        judge: standing::room_to_stand_judge,
        tell: standing::room_to_stand_tell,
    },
    Rule {
        id: RuleId::Reachable,
        about: "a way leads to every place that the work needs, and for a cart to where it is asked for",
        source: "geometry, for the width of a body as the scenario gives it",
        judge: ways::reachable_judge,
        tell: ways::reachable_tell,
    },
    Rule {
        id: RuleId::WayOut,
        about: "from every place that the work needs, a way as wide as a way out leads to a door",
        source: "29 CFR 1910.36(g)(2): exit access of at least 28 in",
        judge: exits::way_out_judge,
        tell: exits::way_out_tell,
    },
    Rule {
        id: RuleId::Feed,
        about: "straight free floor before and behind the cutter for the most demanding piece that a route sends there",
        source: "common practice: front and rear clear by at least the longest piece, and 24 to 36 in for the operator",
        judge: feeding::feed_judge,
        tell: feed_advice::feed_tell,
    },
    Rule {
        id: RuleId::Crossing,
        about: "strips of machines that can run at the same time do not cross",
        source: "common practice: a shared strip makes one wait",
        judge: nothing_missing,
        tell: lines::crossing_tell,
    },
    Rule {
        id: RuleId::Aisle,
        about: "paths that people walk are wide enough, and those on which pieces are carried to or from a door as wide as a way out; a door of that width is taken as it is",
        source: "29 CFR 1910.36(g)(2) for the least; common practice for what is advised",
        judge: aisles::aisles_judge,
        tell: aisles::aisles_tell,
    },
    Rule {
        id: RuleId::NearGap,
        about: "walking does not hang on a gap that is wider or narrower than a person by less than 2 cm",
        source: "geometry, for the width of a body as the scenario gives it; 2 cm is this program's choice",
        judge: nothing_missing,
        tell: gaps::near_gaps_tell,
    },
    Rule {
        id: RuleId::Kickback,
        about: "nobody stands or walks and no door opens where a saw may throw a piece",
        source: "common practice: the saw's width, from the operator back to 8 ft or the wall",
        judge: lines::kickback_judge,
        tell: lines::kickback_tell,
    },
    Rule {
        id: RuleId::Reach,
        about: "the sides from which a station is reached are free to walk along, and somebody gets there",
        source: "common practice; the width of a body as the scenario gives it",
        judge: standing::reach_judge,
        tell: standing::reach_tell,
    },
    Rule {
        id: RuleId::OutOfReach,
        about: "what hangs is reached from where one stands at it",
        source: "2010 ADA Standards 308.2.2 for reaching over something; Pheasant, Bodyspace, for how far up one reaches",
        judge: heights::over_reach_judge,
        tell: heights::over_reach_tell,
    },
    Rule {
        id: RuleId::TooHigh,
        about: "stations are no higher than the ceiling, nor than an overhead door that is open above them",
        source: "two things cannot be in one place; an open overhead door lies as far into the room as it is high",
        judge: heights::too_high_judge,
        tell: heights::too_high_tell,
    },
    Rule {
        id: RuleId::Access,
        about: "stock and parts come in, and finished work leaves, through doors, around corners and along stairs",
        source: "geometry: the ladder in the corner, with thickness, and a search at doorways; room for hands is this program's choice",
        judge: |scene| Missing::of(&scene.site.handled().access),
        tell: |scene| scene.site.handled().access.clone(),
    },
    Rule {
        id: RuleId::Lifting,
        about: "what is handled can be lifted by the people there are",
        source: "NIOSH 94-110: 23 kg; HSE L23: a team of two",
        judge: |scene| Missing::of(&scene.site.handled().lifting),
        tell: |scene| scene.site.handled().lifting.clone(),
    },
    Rule {
        id: RuleId::Ceiling,
        about: "boards that cannot be stood on end under the ceiling",
        source: "geometry: the diagonal, sqrt(L^2 + w^2)",
        judge: |scene| Missing::of(&scene.site.handled().ceiling),
        tell: |scene| scene.site.handled().ceiling.clone(),
    },
    Rule {
        id: RuleId::ShortPiece,
        about: "what is fed through a planer or a drum sander, or over a jointer, as its kind or else its name says, is long enough for it",
        source: "common practice: at least 12 in, and up to 9 in at drum sanders, in makers' manuals and on pages of schools; your machine's manual comes first",
        judge: |scene| Missing::of(&scene.site.handled().wrong_pieces.short),
        tell: |scene| scene.site.handled().wrong_pieces.short.clone(),
    },
    Rule {
        id: RuleId::ThinPiece,
        about: "what is planed or jointed is not left too thin to be held",
        source: "common practice; your machine's manual comes first",
        judge: |scene| Missing::of(&scene.site.handled().wrong_pieces.thin),
        tell: |scene| scene.site.handled().wrong_pieces.thin.clone(),
    },
    Rule {
        id: RuleId::NarrowPiece,
        about: "what is planed or jointed is not too narrow to be held",
        source: "common practice; your machine's manual comes first",
        judge: |scene| Missing::of(&scene.site.handled().wrong_pieces.narrow),
        tell: |scene| scene.site.handled().wrong_pieces.narrow.clone(),
    },
    Rule {
        id: RuleId::WidePiece,
        about: "no piece is wider than a machine takes: than the knives of a planer or a jointer, or than a miter saw cuts",
        source: "geometry, for the width that the scenario gives, or that is usual for the kind of machine; your machine's manual comes first",
        judge: |scene| Missing::of(&scene.site.handled().wrong_pieces.wide),
        tell: |scene| scene.site.handled().wrong_pieces.wide.clone(),
    },
    Rule {
        id: RuleId::DeepCut,
        about: "no pass at a planer, a jointer or a drum sander takes off more than is usual, where passes and thicknesses are known",
        source: "makers' manuals and pages of schools; your machine's manual comes first",
        judge: |scene| Missing::of(&scene.site.handled().wrong_pieces.deep),
        tell: |scene| scene.site.handled().wrong_pieces.deep.clone(),
    },
    Rule {
        id: RuleId::Tipping,
        about: "what one person feeds by hand is carried behind the cutter for half of its length, so that it does not tip over the edge, and so far that its end does not sag",
        source: "geometry: a board tips when its middle has passed the last support; trade pages: out-feed support for half of the longest board; a beam of one thickness under its own weight",
        judge: nothing_missing,
        tell: tipping::tipping_tell,
    },
    Rule {
        id: RuleId::FullPanel,
        about: "nobody feeds a full panel through a saw alone with nothing behind the saw that carries it",
        source: "common practice",
        judge: nothing_missing,
        tell: sawing::full_panel_tell,
    },
    Rule {
        id: RuleId::BladeLine,
        about: "whoever feeds a saw stands beside the line of its blade",
        source: "common practice; the figure is this program's choice",
        judge: nothing_missing,
        tell: sawing::blade_line_tell,
    },
    Rule {
        id: RuleId::Units,
        about: "a station that counts as several has a place for each of them",
        source: "two things cannot stand in one place",
        judge: units::units_judge,
        tell: units::units_tell,
    },
    Rule {
        id: RuleId::BenchHeight,
        about: "how high hands work best at a bench, where the height of it and of somebody's elbow are known",
        source: "Pheasant and Haslegrave, Bodyspace (2006): heavy work 10 to 25 cm below the elbow, light work 5 to 10 cm below it, fine work as much above it",
        judge: nothing_missing,
        tell: bench_height::bench_height_tell,
    },
    Rule {
        id: RuleId::OpenTime,
        about: "work is expected to be done within the open time that the scenario gives for it",
        source: "what glue is spread on has to be joined before it sets; how long that is stands on the bottle",
        judge: nothing_missing,
        tell: open_time::open_time_tell,
    },
    Rule {
        id: RuleId::WetFinish,
        about: "nothing is sanded in the room in which finish is wet, unless the file keeps the two apart (`tacky`, `dusty`)",
        source: "common practice: fine dust hangs in the air long after sanding; how long a finish takes dust stands on its can",
        judge: nothing_missing,
        tell: wet_finish::wet_finish_tell,
    },
    Rule {
        id: RuleId::Places,
        about: "an extinguisher is near everybody who works and on the way out, what is kept at hand is not behind anything, and what gives off vapour is away from flames",
        source: "NFPA 10: 30 ft to an extinguisher for burning liquids (from memory); the other figures are this program's choice",
        judge: nothing_missing,
        tell: kept::kept_tell,
    },
];

/// All that some rules find is worth knowing, and nothing of it is missing.
fn nothing_missing(_: &Scene<'_>) -> Missing {
    Missing::default()
}

/// The floor that the most demanding piece needs to pass through a station, as far as it is free.
#[derive(Debug, Clone, PartialEq)]
pub struct FeedStrip {
    pub station: StationId,
    pub outline: Polygon,
    pub fits: bool,
}

/// All that the rules have to say about a shop on a layout, rule by rule, each in the file's order.
///
/// A rule that needs a room says nothing without one, and no rule says anything of a station that the layout does not
/// place.
pub fn tell(scene: &Scene<'_>) -> Vec<Finding> {
    RULES.iter().flat_map(|rule| (rule.tell)(scene)).collect()
}

/// The same of a layout of which no more is known. `walked` are the ways that the caller found people to walk on it.
pub fn check(shop: &Shop, plan: &Plan, walked: &[WalkedLeg], limits: &Limits) -> Vec<Finding> {
    let site = Site::new(shop, plan, limits);
    let moves = MoveJudge::new(&site, plan);
    let mut scene = Scene::new(&site, plan, walked);
    scene.moves = Some(&moves);
    tell(&scene)
}

/// How much is missing for a layout to keep all rules.
pub fn judge(shop: &Shop, plan: &Plan, walked: &[WalkedLeg], limits: &Limits) -> Missing {
    let site = Site::new(shop, plan, limits);
    let scene = Scene::new(&site, plan, walked);
    RULES.iter().map(|rule| (rule.judge)(&scene)).sum()
}
