//! A candidate whose stations stand elsewhere: what is walked there.

use std::sync::Arc;

use super::legs::checked_legs;
use super::possible_ways::judged_flow;
use super::{Candidate, Study};
use crate::floor::{Flow, Going, Plan, Site};

/// What is walked if the stations of a candidate stand as in a plan, by the same few runs by which every layout is
/// checked. Where nobody gets to some place, people walk straight, so that it is known at least how often. Nothing where a
/// run gets stuck.
pub fn flow_if_placed(
    study: &Study,
    candidate: &Candidate,
    site: &Site<'_>,
    plan: &Plan,
) -> Option<Flow> {
    let pushes = candidate.shop.handling.carts.is_some();
    let straight = || {
        let straight = Plan {
            going: Going::Straight,
            ..plan.clone()
        };
        straight.walks_with_paths(&site.used, pushes)
    };
    let found = plan.walks_with_paths(&site.used, pushes);
    let (walks, paths) = found.or_else(|_| straight()).ok()?;
    let placed = Candidate {
        walks,
        paths: paths.map(Arc::new),
        plan: Some(plan.clone()),
        ..candidate.clone()
    };
    let alone = Study {
        candidates: vec![placed],
        left_out: Vec::new(),
        ..study.clone()
    };
    let legs = checked_legs(&alone).ok()?;
    Some(judged_flow(&candidate.shop, plan, legs.first()?))
}
