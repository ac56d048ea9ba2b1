//! A layout as plain data for drawing: where things stand, and what was found out about it.

use crate::experiment::{Candidate, CandidateFindings, Findings, Study, leg_paths};
use crate::floor::check::strips;
use crate::floor::{Manner, Plan, Point, Polygon};
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
    pub strips: Vec<Strip>,
    /// Floor that nothing may stand on, as in front of an electrical panel.
    pub keep_free: Vec<Polygon>,
    pub paths: Vec<WalkedPath>,
    /// Seconds in a replication that people work at each station.
    pub worked_s: Vec<f64>,
}

/// Room in front of a station or behind it for the longest piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
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
            .map(|strip| Strip {
                outline: strip.outline,
                fits: strip.fits,
            })
            .collect();
        layout.paths = leg_paths(candidate, &found.legs)
            .into_iter()
            .map(|leg| {
                let points = leg.path.polyline(DRAWN_M);
                WalkedPath::new((leg.from, leg.to), leg.manner, leg.trips, points)
            })
            .collect();
        layout.worked_s = (found.stations.iter())
            .map(|station| station.running + station.setup)
            .collect();
        Some(layout)
    }

    /// The layouts of all candidates that have one.
    pub fn all(study: &Study, findings: &Findings) -> Vec<Layout> {
        let candidates = study.candidates.iter().zip(&findings.candidates);
        let layouts = candidates.filter_map(|(candidate, found)| Layout::of(candidate, found));
        layouts.collect()
    }
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
