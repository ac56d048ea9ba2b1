//! Gaps on which it hangs how far people walk on a layout.

use super::Candidate;
use super::findings::Leg;
use super::leg_paths::{LegPath, leg_paths};
use crate::floor::{Manner, NearGap, Plan, TakenWay};

/// The gaps that decide over the walks of these legs. None where the layout says only how far it is.
pub fn near_gaps(candidate: &Candidate, legs: &[Leg]) -> Vec<NearGap> {
    let Some(plan) = &candidate.plan else {
        return Vec::new();
    };
    let walked = leg_paths(candidate, legs);
    plan.near_gaps(&ways_on_foot(plan, &walked))
}

/// The ways that a person takes, without those of carts that are wider.
pub(super) fn ways_on_foot<'w>(plan: &Plan, walked: &'w [LegPath]) -> Vec<TakenWay<'w>> {
    let is_wide = plan.cart_width > plan.body_width;
    let on_foot = walked
        .iter()
        .filter(|way| !(is_wide && way.manner == Manner::Pushing));
    let ways = on_foot.map(|way| TakenWay {
        ends: (way.from, way.to),
        trips: way.trips,
        path: &way.path,
    });
    ways.collect()
}
