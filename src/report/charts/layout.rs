//! A layout as plain data for drawing: where things stand, and what was found out about it.

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
