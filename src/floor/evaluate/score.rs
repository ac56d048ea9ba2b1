//! What a placement comes to, looked at from scratch.

use std::borrow::Cow;
use std::cell::LazyCell;

use super::kept::with_numbers;
use crate::floor::check::{Missing, MissingParts, NarrowPlaces, RULES, Scene, WalkedLeg, Widths};
use crate::floor::tolerance::CROSSING_M;
use crate::floor::{Distances, Going, Manner, Path, Placement, Plan, Site};
use crate::shop::{PlaceId, StationId, Table};

/// How often somebody goes from one place to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlowLeg {
    pub from: PlaceId,
    pub to: PlaceId,
    pub manner: Manner,
    /// Mean number in a replication, or whatever the metres are to be multiplied by.
    pub trips: f64,
}

/// What is walked on a floor.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Flow {
    pub legs: Vec<FlowLeg>,
}

/// What a placement comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Score {
    pub missing: Missing,
    /// All trips together; infinite where there is no way for one of them.
    pub metres: f64,
}

/// What a fault or a warning is worth in metres of walking.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prices {
    pub fault: f64,
    /// For each metre that is missing at a fault.
    pub fault_metre: f64,
    pub warning: f64,
    /// For each metre that is missing at a warning.
    pub warning_metre: f64,
}

impl Prices {
    /// Where what is missing and what is walked are compared each for itself.
    pub const NONE: Prices = Prices {
        fault: 0.0,
        fault_metre: 0.0,
        warning: 0.0,
        warning_metre: 0.0,
    };

    /// In metres of walking.
    pub fn of(&self, missing: &Missing) -> f64 {
        self.fault * f64::from(missing.faults)
            + self.fault_metre * missing.fault_m
            + self.warning * f64::from(missing.warnings)
            + self.warning_metre * missing.warning_m
    }

    /// What a placement costs in all, in metres of walking.
    pub fn cost(&self, score: &Score) -> f64 {
        self.of(&score.missing) + score.metres
    }
}

/// Where all stations stand.
pub type Placements = Table<StationId, Option<Placement>>;

impl Flow {
    /// The places to which one gets from the first of all, there or back along one leg after the other; in their order.
    pub(super) fn joined(&self) -> Vec<PlaceId> {
        let mut joined: Vec<PlaceId> = self.legs.first().map(|leg| leg.from).into_iter().collect();
        let mut reached = 0;
        while let Some(&from) = joined.get(reached) {
            reached += 1;
            for leg in &self.legs {
                let beyond = match from {
                    _ if leg.from == from => leg.to,
                    _ if leg.to == from => leg.from,
                    _ => continue,
                };
                if !joined.contains(&beyond) {
                    joined.push(beyond);
                }
            }
        }
        joined.sort();
        joined
    }

    /// Legs along which a cart is pushed that needs a wider way than a person.
    pub(super) fn is_wide(&self, leg: usize, plan: &Plan) -> bool {
        self.legs[leg].manner == Manner::Pushing
            && plan.cart_width > plan.body_width
            && plan.going == Going::Around
    }

    pub(super) fn has_wide(&self, plan: &Plan) -> bool {
        (0..self.legs.len()).any(|leg| self.is_wide(leg, plan))
    }

    /// Metres of the trips with wide carts; infinite where there is no way.
    pub(super) fn wide_metres(&self, plan: &Plan) -> f64 {
        if !self.has_wide(plan) {
            return 0.0;
        }
        let wide = (0..self.legs.len()).filter(|&leg| self.is_wide(leg, plan));
        let legs: Vec<&FlowLeg> = wide.map(|leg| &self.legs[leg]).collect();
        let mut places: Vec<PlaceId> = legs.iter().flat_map(|leg| [leg.from, leg.to]).collect();
        places.sort();
        places.dedup();
        let metres = |table: Distances| -> f64 {
            let lengths = legs.iter().map(|leg| {
                let length = table.distance(leg.manner, leg.from, leg.to);
                leg.trips * length.metres()
            });
            lengths.sum()
        };
        plan.walks(&places, true).map_or(f64::INFINITY, metres)
    }

    /// Ways as people go them with their narrowest places, by leg; the leg's own way is a person's. Of legs whose narrow
    /// place is `kept`, that is taken.
    pub(super) fn widths<'p>(
        &self,
        plan: &Plan,
        narrow: NarrowPlaces,
        path: &dyn Fn(usize) -> Option<&'p Path>,
        kept: &dyn Fn(usize) -> Option<Option<WalkedLeg>>,
    ) -> Vec<Option<WalkedLeg>> {
        if plan.going != Going::Around {
            return vec![None; self.legs.len()];
        }
        let cart = LazyCell::new(|| plan.ground(plan.cart_width / 2.0));
        let mut widths = vec![None; self.legs.len()];
        let mut ways: Vec<(usize, Cow<'p, Path>)> = Vec::new();
        for (index, leg) in self.legs.iter().enumerate() {
            let by_cart = match self.is_wide(index, plan) {
                true => plan.path(&cart, leg.from, leg.to),
                false => match kept(index) {
                    Some(kept) => {
                        widths[index] = kept;
                        continue;
                    }
                    None => None,
                },
            };
            let by_cart = by_cart.map(Cow::Owned);
            ways.extend(
                by_cart
                    .or_else(|| path(index).map(Cow::Borrowed))
                    .map(|way| (index, way)),
            );
        }
        if ways.is_empty() {
            return widths;
        }
        let all: Vec<&Path> = ways.iter().map(|(_, way)| way.as_ref()).collect();
        let measure = Widths::new(&all, narrow, plan);
        for (index, way) in &ways {
            let leg = &self.legs[*index];
            widths[*index] = measure.of((leg.from, leg.to), (leg.manner, leg.trips), way);
        }
        widths
    }
}

impl Site<'_> {
    /// What is missing on a placement part by part, looked at from scratch.
    pub(in crate::floor) fn missing_parts(&self, plan: &Plan, flow: &Flow) -> MissingParts {
        let person = plan.ground(plan.body_width / 2.0);
        let pairs: Vec<(PlaceId, PlaceId)> =
            flow.legs.iter().map(|leg| (leg.from, leg.to)).collect();
        let paths = plan.paths(&person, &pairs);
        let path = |leg: usize| paths[leg].as_ref();
        let narrow = NarrowPlaces::all(self.premises.limits);
        let (ways, walked) = with_numbers(&flow.widths(plan, narrow, &path, &|_| None));
        let mut scene = Scene::new(self, plan, &walked);
        scene.lend_person(&person);
        let mut parts = MissingParts::new(&scene);
        parts.walked(&scene, &|leg| {
            let path = path(ways[leg]).map(|path| path.polyline(CROSSING_M));
            path.unwrap_or_default()
        });
        parts.reached(&scene);
        parts
    }

    /// What a placement comes to, looked at from scratch.
    pub fn evaluate(&self, plan: &Plan, flow: &Flow) -> Score {
        let person = plan.ground(plan.body_width / 2.0);
        let pairs: Vec<(PlaceId, PlaceId)> =
            flow.legs.iter().map(|leg| (leg.from, leg.to)).collect();
        let paths = plan.paths(&person, &pairs);
        let mut metres = 0.0;
        for (index, path) in paths.iter().enumerate() {
            let trips = match flow.is_wide(index, plan) {
                true => 0.0,
                false => flow.legs[index].trips,
            };
            metres += path
                .as_ref()
                .map_or(f64::INFINITY, |path| trips * path.length);
        }
        let path = |leg: usize| paths[leg].as_ref();
        let narrow = NarrowPlaces::all(self.premises.limits);
        let walked = flow.widths(plan, narrow, &path, &|_| None);
        let walked: Vec<WalkedLeg> = walked.into_iter().flatten().collect();
        let scene = Scene::new(self, plan, &walked);
        Score {
            missing: RULES.iter().map(|rule| (rule.judge)(&scene)).sum(),
            metres: metres + flow.wide_metres(plan),
        }
    }
}
