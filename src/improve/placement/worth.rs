//! Moves that save nothing are not made.

use super::archive::PlacedBest;
use super::boxes::FrontPairs;
use super::chain::RoundJudge;
use super::problem::PlacementProblem;
use crate::floor::{Evaluation, Pose, Prices};
use crate::shop::StationId;

/// The placement with every station back where it stands now whose move neither mends a finding nor saves what a move has
/// to: the one that saves least first.
pub(super) fn worth_their_moves(
    problem: &PlacementProblem<'_>,
    judge: &RoundJudge,
    found: &PlacedBest,
) -> PlacedBest {
    let fronts = FrontPairs::of(problem.now);
    let mut evaluation = Evaluation::new(problem.site, &found.plan, &judge.flow, Prices::NONE);
    let mut known = found.clone();
    loop {
        let moved = problem.moved_in(&known.plan);
        let mut least: Option<(f64, Vec<(StationId, Pose)>)> = None;
        let mut looked: Vec<StationId> = Vec::new();
        for &station in &moved {
            if looked.contains(&station) {
                continue;
            }
            let home = problem.home(station).map(|home| vec![(station, home)]);
            let Some(change) = home.and_then(|home| problem.with_groups(home)) else {
                continue;
            };
            let back: Vec<StationId> = change.iter().map(|(station, _)| *station).collect();
            let worth = problem.terms.price_m(&back, judge.walked);
            looked.extend(change.iter().map(|(station, _)| *station));
            if fronts.is_in_the_way(&known.plan, &change) {
                continue;
            }
            let score = evaluation.try_move(&change, f64::INFINITY);
            let costs = score.and_then(|score| {
                let costs = score.metres - known.score.metres;
                let plan = evaluation.plan();
                let is_sound = score.missing.faults <= judge.wherever
                    && score.missing.warnings <= known.score.missing.warnings
                    && costs < worth
                    && problem.broken_terms(plan, &problem.moved_in(plan), &fronts) == 0
                    && judge.has_no_new_hazard(problem, plan);
                is_sound.then_some(costs)
            });
            evaluation.take_back();
            if let Some(costs) = costs
                && least.as_ref().is_none_or(|(least, _)| costs < *least)
            {
                least = Some((costs, change));
            }
        }
        let Some((_, change)) = least else {
            return known;
        };
        let Some(score) = evaluation.try_move(&change, f64::INFINITY) else {
            return known;
        };
        evaluation.accept();
        let plan = evaluation.plan().clone();
        known = PlacedBest {
            moved: problem.moved_in(&plan).len(),
            plan,
            score,
        };
    }
}
