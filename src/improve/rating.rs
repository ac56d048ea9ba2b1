//! Which of two plans is better: first what cannot be lived with, then what is only unhandy.

use std::cmp::Ordering;

use super::arrange::between_placed;
use super::dislike::{Likes, throws};
use super::habit::PlaceSearch;
use crate::floor::{MachineCapacity, Plan, StockSizes, machine_capacities};

/// What stands where nobody would put it counts as so many warnings.
const ODD: u32 = 2;

/// Where somebody works in what a saw may throw, that counts as so many warnings, its own among them: no layout is worth
/// having before that is mended.
const THROWN_AT: u32 = 4;

/// What speaks against a plan, beside what it leaves out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rating {
    pub faults: u32,
    /// Machines that take nothing where they stand.
    pub idle_machines: u32,
    /// Warnings, machines that take less than half of the long boards that are usually fed there, and what stands where
    /// nobody would put it.
    pub unhandy: u32,
    /// By walking, warnings, habits and what machines do not take, together, in metres of walking.
    pub cost: f64,
    /// What is walked, in metres.
    pub metres: f64,
}

impl Rating {
    pub fn of(search: &PlaceSearch<'_>, plan: &Plan) -> Rating {
        let (disliked, odd) = disliked(search, plan);
        let flow = between_placed(search.flow, plan);
        let score = search.site.evaluate(plan, &flow);
        let takes = machine_capacities(search.site, plan, StockSizes::IMPERIAL);
        let idle = takes.iter().filter(|takes| takes.board == Some(0.0));
        let is_short = |takes: &&MachineCapacity| {
            let habit = &search.habits[takes.station];
            let half = habit.fed / 2.0;
            habit.fed_weight > 1.0 && takes.board.is_some_and(|board| board < half)
        };
        let short = takes.iter().filter(is_short).count();
        Rating {
            faults: score.missing.faults,
            idle_machines: idle.count() as u32,
            unhandy: score.missing.warnings + short as u32 + odd,
            cost: search.prices().cost(&score) + search.trips() * disliked,
            metres: score.metres,
        }
    }

    /// What counts before habits and metres.
    pub fn findings(&self) -> (u32, u32, u32) {
        (self.faults, self.idle_machines, self.unhandy)
    }

    /// The better one is less.
    pub fn compare(&self, other: &Rating) -> Ordering {
        let by_findings = self.findings().cmp(&other.findings());
        by_findings.then(self.cost.total_cmp(&other.cost))
    }
}

/// In metres of the mean trip, and how many warnings more that is odd or hazardous counts as.
fn disliked(search: &PlaceSearch<'_>, plan: &Plan) -> (f64, u32) {
    let Some(likes) = Likes::new(search) else {
        return (0.0, 0);
    };
    let mut taken = likes.taken();
    let (mut disliked, mut odd) = (0.0, 0);
    for (station, placement) in plan.placements.enumerate() {
        if let Some(placement) = *placement {
            let spot = likes.spot(station, placement);
            disliked += likes.dislike(station, &spot, &taken);
            odd += ODD * likes.oddities(station, &spot);
            let others = taken.spots.iter();
            let thrown_at: u32 = others.map(|(_, other)| throws(&spot, other)).sum();
            odd += (THROWN_AT - 1) * thrown_at;
            taken.spots.push((station, spot));
        }
    }
    let less = likes.all_take_less(&taken.spots);
    (disliked + less, odd)
}
