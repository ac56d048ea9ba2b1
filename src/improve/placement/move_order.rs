//! An order of moves in which every placement on the way can be worked in, as far as there is one.

use super::poses::is_same;
use crate::floor::check::Missing;
use crate::floor::{Evaluation, Flow, Plan, Pose, Prices, Site};
use crate::shop::StationId;

/// Stations that are moved at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct MoveStep {
    pub stations: Vec<StationId>,
    /// Whether they go together only because they stand together.
    pub is_one_group: bool,
    /// What the step saves of the walking, in metres; less than nothing where it costs some.
    pub saves_m: f64,
    /// What is missing after it.
    pub missing: Missing,
}

/// The moves from one plan to another, one station after the other, or one group that stands together, where no placement
/// on the way has more faults than there are before; of the moves that can be made, the one that saves most is first. Where
/// no single one can be made two are tried together, and at last all that are left.
pub fn move_order(
    site: &Site<'_>,
    flow: &Flow,
    (from, to): (&Plan, &Plan),
    groups: &[Vec<StationId>],
) -> Vec<MoveStep> {
    let mut left = units(moves_between(from, to), groups);
    let mut evaluation = Evaluation::new(site, from, flow, Prices::NONE);
    let mut steps = Vec::new();
    while !left.is_empty() {
        let chosen = next(&mut evaluation, &left);
        let before = evaluation.score();
        let change = together(&left, &chosen);
        let Some(score) = evaluation.try_move(&change, f64::INFINITY) else {
            break;
        };
        evaluation.accept();
        steps.push(MoveStep {
            stations: change.iter().map(|&(station, _)| station).collect(),
            is_one_group: chosen.len() == 1,
            saves_m: before.metres - score.metres,
            missing: score.missing,
        });
        let mut nth = 0;
        left.retain(|_| {
            nth += 1;
            !chosen.contains(&(nth - 1))
        });
    }
    steps
}

/// Stations that go at one time, each with where.
type UnitMove = Vec<(StationId, Pose)>;

fn units(moves: Vec<(StationId, Pose)>, groups: &[Vec<StationId>]) -> Vec<UnitMove> {
    let mut units: Vec<UnitMove> = Vec::new();
    for one in moves {
        let group = groups.iter().find(|group| group.contains(&one.0));
        let mut known = units.iter_mut();
        let known = known.find(|unit| group.is_some_and(|group| group.contains(&unit[0].0)));
        match known {
            Some(unit) => unit.push(one),
            None => units.push(vec![one]),
        }
    }
    units
}

fn together(left: &[UnitMove], chosen: &[usize]) -> UnitMove {
    chosen.iter().flat_map(|&nth| left[nth].clone()).collect()
}

/// Stations that stand elsewhere in the other plan, with where; what roundings come to is no move.
pub fn moves_between(from: &Plan, to: &Plan) -> Vec<(StationId, Pose)> {
    let moved = from.placements.enumerate().filter_map(|(station, was)| {
        let (was, is) = (was.as_ref()?, to.placements[station].as_ref()?);
        let pose = is.pose();
        (!is_same(&was.pose(), &pose)).then_some((station, pose))
    });
    moved.collect()
}

/// Which of the moves that are left is next.
fn next(evaluation: &mut Evaluation<'_>, left: &[UnitMove]) -> Vec<usize> {
    let singles = (0..left.len()).map(|nth| vec![nth]);
    let pairs =
        (0..left.len()).flat_map(|one| (one + 1..left.len()).map(move |two| vec![one, two]));
    let best = best_of(evaluation, left, singles).or_else(|| best_of(evaluation, left, pairs));
    best.unwrap_or_else(|| (0..left.len()).collect())
}

/// The one after which least is walked of those that bring no fault.
fn best_of(
    evaluation: &mut Evaluation<'_>,
    left: &[UnitMove],
    choices: impl Iterator<Item = Vec<usize>>,
) -> Option<Vec<usize>> {
    let faults = evaluation.score().missing.faults;
    let mut best: Option<(f64, Vec<usize>)> = None;
    for choice in choices {
        let change = together(left, &choice);
        let score = evaluation.try_move(&change, f64::INFINITY);
        evaluation.take_back();
        let Some(score) = score.filter(|score| score.metres.is_finite()) else {
            continue;
        };
        let is_less = best.as_ref().is_none_or(|(least, _)| score.metres < *least);
        if score.missing.faults <= faults && is_less {
            best = Some((score.metres, choice));
        }
    }
    best.map(|(_, choice)| choice)
}
