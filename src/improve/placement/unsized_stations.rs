//! Stations of which nobody said how large they are: they take up floor nevertheless.

use crate::floor::check::{RULES, Scene};
use crate::floor::{Plan, Site};
use crate::shop::StationId;

/// What is taken for the width and the depth of such a station, in metres: 18 in. Ours; most things are larger.
const TAKEN_M: f64 = 18.0 * 0.0254;

/// A plan in which everything that is placed covers some floor.
#[derive(Debug, Clone)]
pub struct SizedPlan {
    pub plan: Plan,
    /// Stations for which there is not that much floor where they stand, so that only who knows them can say where else
    /// they may.
    pub too_tight: Vec<StationId>,
}

impl SizedPlan {
    /// A placement of the search with the sizes that were said.
    pub fn as_said(said: &Plan, found: &Plan) -> Plan {
        let mut plan = found.clone();
        for (station, placed) in said.placements.enumerate() {
            if let (Some(placed), Some(found)) = (placed, &mut plan.placements[station]) {
                found.size = placed.size;
            }
        }
        plan
    }
}

/// Gives every station without a size some, where that brings no fault as it stands now.
pub fn sized(site: &Site<'_>, plan: &Plan) -> SizedPlan {
    let faults = |plan: &Plan| -> u32 {
        let scene = Scene::new(site, plan, &[]);
        RULES.iter().map(|rule| (rule.judge)(&scene).faults).sum()
    };
    let mut sized = SizedPlan {
        plan: plan.clone(),
        too_tight: Vec::new(),
    };
    let is_unsized = |size: (f64, f64)| size.0 <= 0.0 || size.1 <= 0.0;
    let placed = plan.placements.enumerate();
    let bare = placed.filter(|(_, placed)| placed.as_ref().is_some_and(|one| is_unsized(one.size)));
    let bare: Vec<StationId> = bare.map(|(station, _)| station).collect();
    if bare.is_empty() {
        return sized;
    }
    let mut before = faults(plan);
    for station in bare {
        let mut tried = sized.plan.clone();
        if let Some(placed) = &mut tried.placements[station] {
            placed.size = (TAKEN_M, TAKEN_M);
        }
        let with = faults(&tried);
        match with <= before {
            true => (sized.plan, before) = (tried, with),
            false => sized.too_tight.push(station),
        }
    }
    sized
}
