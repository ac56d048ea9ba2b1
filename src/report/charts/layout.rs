//! A layout as plain data for drawing: where things stand, and what was found out about it.

use crate::experiment::{Candidate, CandidateFindings, Findings, Study, leg_paths, widths};
use crate::floor::check::{check, strips};
use crate::floor::strips::StationExtent;
use crate::floor::{
    Fact, Finding, FindingLevel, FindingSubject, Manner, Placement, Plan, Point, Polygon,
};
use crate::shop::{PlaceId, Shop};

/// A candidate's layout with what is drawn on it; everything but the plan may be empty.
#[derive(Debug, Clone)]
pub struct Layout {
    /// The candidate's name.
    pub name: String,
    pub plan: Plan,
    /// What the stations are called, by their index.
    pub stations: Vec<String>,
    /// Room for work that passes through stations.
    pub strips: Vec<DrawnStrip>,
    /// Floor that nothing may stand on, as in front of an electrical panel.
    pub keep_free: Vec<Polygon>,
    /// Floor over which a station may throw a piece, where that was found to be a danger.
    pub throws: Vec<Polygon>,
    /// Where ways were found to be too narrow.
    pub narrow: Vec<Point>,
    pub paths: Vec<WalkedPath>,
    /// Seconds in a replication that people work at each station.
    pub worked_s: Vec<f64>,
}

/// Room in front of a station or behind it for the longest piece.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnStrip {
    pub outline: Polygon,
    pub fits: bool,
}

/// A way from standing place to standing place, and how often it was walked in a replication.
#[derive(Debug, Clone, PartialEq)]
pub struct WalkedPath {
    pub from: PlaceId,
    pub to: PlaceId,
    /// Corners of the way; arcs are many of them.
    pub points: Vec<Point>,
    pub trips_empty: f64,
    /// Carrying or pushing.
    pub trips_loaded: f64,
}

impl Layout {
    /// The layout alone. In front of each electrical panel a floor of this width, or the panel's own if that is
    /// greater, and depth in metres is kept free.
    pub fn new(name: &str, shop: &Shop, plan: &Plan, (width, depth): (f64, f64)) -> Layout {
        let panels = plan.room.iter().flat_map(|room| &room.panels);
        let keep_free = panels.filter_map(|panel| {
            let along = panel.faces.left() * (width.max(panel.width) / 2.0);
            let into = panel.faces * depth;
            let (left, right) = (panel.at + along, panel.at - along);
            Polygon::new(&[left, right, right + into, left + into]).ok()
        });
        Layout {
            name: name.to_owned(),
            plan: plan.clone(),
            stations: (shop.stations.iter())
                .map(|station| station.name.clone())
                .collect(),
            strips: Vec::new(),
            keep_free: keep_free.collect(),
            throws: Vec::new(),
            narrow: Vec::new(),
            paths: Vec::new(),
            worked_s: Vec::new(),
        }
    }
}

/// The drawn line is nowhere farther from the way than this, in metres.
const DRAWN_M: f64 = 0.005;

impl Layout {
    /// A candidate's layout with the ways that people took, the room that work needs and the work at each station;
    /// None if the candidate says only how far it is.
    pub fn of(candidate: &Candidate, found: &CandidateFindings) -> Option<Layout> {
        let plan = (candidate.plan.as_ref()).filter(|plan| plan.places_something())?;
        let limits = &candidate.limits;
        let panel = (limits.panel_width, limits.panel_depth);
        let mut layout = Layout::new(&candidate.name, &candidate.shop, plan, panel);
        layout.strips = strips(&candidate.shop, plan, limits)
            .into_iter()
            .map(|strip| DrawnStrip {
                outline: strip.outline,
                fits: strip.fits,
            })
            .collect();
        let walked = leg_paths(candidate, &found.legs);
        let findings = check(
            &candidate.shop,
            plan,
            &widths(candidate, &walked),
            &candidate.limits,
        );
        layout.mark(&findings);
        layout.paths = walked
            .into_iter()
            .map(|leg| {
                let points = leg.path.polyline(DRAWN_M);
                WalkedPath::new((leg.from, leg.to), leg.manner, leg.trips, points)
            })
            .collect();
        // What machines do alone, and drying on a rack, keeps nobody there.
        layout.worked_s = (0..found.stations.len())
            .map(|station| {
                let at = found
                    .crew
                    .iter()
                    .filter_map(|person| person.working_at.get(station));
                at.sum()
            })
            .collect();
        Some(layout)
    }

    /// Notes down what the rules of the floor found that can be drawn: narrow ways, and lines over which a piece may be
    /// thrown.
    fn mark(&mut self, findings: &[Finding]) {
        let of = |rule: &'static str| {
            let findings = findings.iter();
            findings.filter(move |found| found.rule == rule && found.level != FindingLevel::Note)
        };
        for point in of("aisle").filter_map(|found| found.at) {
            if !self.narrow.contains(&point) {
                self.narrow.push(point);
            }
        }
        for found in of("kickback") {
            let (FindingSubject::Place(saw), Fact::Kickback(kickback)) =
                (&found.subject, &found.fact)
            else {
                continue;
            };
            let mut placements = self.plan.placements.iter();
            let placement = placements.nth(saw.index()).and_then(Option::as_ref);
            let thrown = placement
                .zip(kickback.reach())
                .and_then(|(placement, reach)| thrown(&self.plan, placement, reach));
            if let Some(line) = thrown.filter(|line| !self.throws.contains(line)) {
                self.throws.push(line);
            }
        }
    }

    /// The layouts of all candidates that have one.
    pub fn all(study: &Study, findings: &Findings) -> Vec<Layout> {
        let candidates = study.candidates.iter().zip(&findings.candidates);
        let layouts = candidates.filter_map(|(candidate, found)| Layout::of(candidate, found));
        layouts.collect()
    }
}

/// From the side where the work goes in, as wide as the station and so many metres long, but not out of the room.
fn thrown(plan: &Plan, placement: &Placement, reach: f64) -> Option<Polygon> {
    let side = placement.feed?;
    let body = StationExtent::of(placement, side);
    let back = placement.turned(side.direction()) * -1.0;
    let from = placement.at + back * body.before;
    let aside = back.left() * (body.across / 2.0);
    let reach = plan.room.as_ref().map_or(reach, |room| {
        let (least, most) = room.outline.bounds();
        let inside = |from: f64, by: f64, least: f64, most: f64| match by {
            by if by > 1e-9 => (most - from) / by,
            by if by < -1e-9 => (least - from) / by,
            _ => f64::INFINITY,
        };
        let across = inside(from.x, back.x, least.x, most.x);
        reach
            .min(across)
            .min(inside(from.y, back.y, least.y, most.y))
    });
    let to = from + back * reach.max(0.0);
    Polygon::new(&[from - aside, to - aside, to + aside, from + aside]).ok()
}

impl WalkedPath {
    /// Trips in one manner.
    pub fn new(
        (from, to): (PlaceId, PlaceId),
        manner: Manner,
        trips: f64,
        points: Vec<Point>,
    ) -> WalkedPath {
        let (trips_empty, trips_loaded) = match manner {
            Manner::Empty => (trips, 0.0),
            Manner::Carrying | Manner::Pushing => (0.0, trips),
        };
        WalkedPath {
            from,
            to,
            points,
            trips_empty,
            trips_loaded,
        }
    }

    /// As the crow flies, for plans on which people walk so. None if one of the places is not on the plan.
    pub fn straight(
        plan: &Plan,
        (from, to): (PlaceId, PlaceId),
        manner: Manner,
        trips: f64,
    ) -> Option<WalkedPath> {
        let points = vec![plan.standing(from)?, plan.standing(to)?];
        Some(WalkedPath::new((from, to), manner, trips, points))
    }
}
