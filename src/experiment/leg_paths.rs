//! The ways that people took on a layout, found again from the legs of a run.

use super::findings::Leg;
use super::study::Candidate;
use crate::floor::check::{WalkedLeg, Widths};
use crate::floor::{Flow, FlowLeg, Path};
use crate::floor::{Going, Manner};
use crate::shop::PlaceId;

/// A way from one place to another, and how often it was taken.
#[derive(Debug, Clone, PartialEq)]
pub struct LegPath {
    pub from: PlaceId,
    pub to: PlaceId,
    pub manner: Manner,
    /// Mean number in a replication.
    pub trips: f64,
    pub path: Path,
}

/// Every leg with the way that it goes on the floor. None where the layout says only how far it is.
pub fn leg_paths(candidate: &Candidate, legs: &[Leg]) -> Vec<LegPath> {
    let Some(plan) = candidate
        .plan
        .as_ref()
        .filter(|plan| plan.places_something())
    else {
        return Vec::new();
    };
    let places: Vec<(PlaceId, PlaceId)> = legs.iter().map(|leg| leg.places).collect();
    let mut paths = match &candidate.paths {
        Some(paths) => (places.iter())
            .map(|&(from, to)| paths.path(from, to))
            .collect(),
        None => plan.paths(&plan.ground(plan.body_width / 2.0), &places),
    };
    if plan.cart_width > plan.body_width {
        // A cart that does not get there is left, and the way is that of a person: as the walking table has it.
        let is_pushed = |&index: &usize| legs[index].manner == Manner::Pushing;
        let pushed: Vec<usize> = (0..legs.len()).filter(is_pushed).collect();
        let places: Vec<(PlaceId, PlaceId)> = pushed.iter().map(|&index| places[index]).collect();
        let by_cart = plan.paths(&plan.ground(plan.cart_width / 2.0), &places);
        for (index, path) in pushed.into_iter().zip(by_cart) {
            paths[index] = path.or(paths[index].take());
        }
    }
    let ways = legs.iter().zip(paths).filter_map(|(leg, path)| {
        let (from, to) = leg.places;
        Some(LegPath {
            from,
            to,
            manner: leg.manner,
            trips: leg.trips,
            path: path?,
        })
    });
    ways.collect()
}

/// What is walked on a layout, by the legs of a run.
pub fn flow(legs: &[Leg]) -> Flow {
    let legs = legs.iter().map(|leg| FlowLeg {
        from: leg.places.0,
        to: leg.places.1,
        manner: leg.manner,
        trips: leg.trips,
    });
    Flow {
        legs: legs.collect(),
    }
}

/// How wide the ways are that people took, for the checks of aisles; none unless they walk around things.
pub fn widths(candidate: &Candidate, walked: &[LegPath]) -> Vec<WalkedLeg> {
    let Some(plan) = candidate
        .plan
        .as_ref()
        .filter(|plan| plan.going == Going::Around)
    else {
        return Vec::new();
    };
    let paths: Vec<&Path> = walked.iter().map(|way| &way.path).collect();
    let widths = Widths::told(&paths, plan, &candidate.limits);
    let legs = walked
        .iter()
        .filter_map(|way| widths.of((way.from, way.to), (way.manner, way.trips), &way.path));
    legs.collect()
}
