//! Which station to move first on the way from one layout to another.

use super::Candidate;
use super::findings::Leg;
use super::leg_paths::flow;
use crate::floor::{Evaluation, Plan, Pose, Prices, Site};
use crate::shop::StationId;

/// A station that is moved to where it stands in another layout, everything else staying where it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstMove {
    pub station: StationId,
    /// What it saves of the walking of a run, by the trips that people made in the layout as it is.
    pub metres: f64,
    /// How many faults it mends.
    pub mended: u32,
}

/// How one layout is made into another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rearrangement {
    /// Only this station stands elsewhere.
    One(StationId),
    /// The one of several that is best moved first.
    First(FirstMove),
    /// So many stations stand elsewhere, and no single one can be moved there with a gain and without a new fault.
    Together(usize),
}

/// A move that saves less than this share of the walking and mends nothing is not worth naming.
const WORTH_A_MOVE: f64 = 0.01;

/// What is missing and how far people walk are compared here, each for itself, so nothing has a price in metres.
const PRICES: Prices = Prices {
    fault: 0.0,
    fault_metre: 0.0,
    warning: 0.0,
    warning_metre: 0.0,
};

/// Tries each station that stands elsewhere in the other layout, alone: first those moves that mend the most faults, of
/// these the one that saves the most walking. None where one of the layouts is not drawn, where they are drawn in
/// different rooms or with different stations, or where nothing stands elsewhere.
///
/// `legs` are those walked in `from`.
pub fn rearrangement(from: &Candidate, to: &Candidate, legs: &[Leg]) -> Option<Rearrangement> {
    let (before, after) = (from.plan.as_ref()?, to.plan.as_ref()?);
    if before.room != after.room {
        return None;
    }
    let moved = moved(before, after)?;
    match moved[..] {
        [] => return None,
        [(only, _)] => return Some(Rearrangement::One(only)),
        _ => {}
    }
    let site = Site::new(&from.shop, before, &from.limits);
    let flow = flow(legs);
    let mut evaluation = Evaluation::new(&site, before, &flow, PRICES);
    let was = evaluation.score();
    let mut best: Option<FirstMove> = None;
    for &(station, pose) in &moved {
        let Some(score) = evaluation.try_move(&[(station, pose)], f64::INFINITY) else {
            continue;
        };
        let metres = was.metres - score.metres;
        if !metres.is_finite() || score.missing.faults > was.missing.faults {
            continue;
        }
        let mended = was.missing.faults - score.missing.faults;
        if mended == 0 && metres < WORTH_A_MOVE * was.metres {
            continue;
        }
        let is_better = |best: &FirstMove| (mended, metres) > (best.mended, best.metres);
        if best.as_ref().is_none_or(is_better) {
            best = Some(FirstMove {
                station,
                metres,
                mended,
            });
        }
    }
    Some(match best {
        Some(first) => Rearrangement::First(first),
        None => Rearrangement::Together(moved.len()),
    })
}

/// How far the station is moved that is moved farthest from one layout to another, in metres; None where the layouts
/// cannot be told apart so, as for [`rearrangement`].
pub fn farthest_move(from: &Candidate, to: &Candidate) -> Option<f64> {
    let (before, after) = (from.plan.as_ref()?, to.plan.as_ref()?);
    if before.room != after.room {
        return None;
    }
    let moved = moved(before, after)?;
    let far = moved.iter().filter_map(|(station, pose)| {
        Some(before.placements[*station].as_ref()?.at.distance(pose.at))
    });
    Some(far.fold(0.0, f64::max))
}

/// Stations that stand elsewhere, with where; None if the layouts do not place the same stations in the same form.
fn moved(before: &Plan, after: &Plan) -> Option<Vec<(StationId, Pose)>> {
    if before.placements.len() != after.placements.len() {
        return None;
    }
    let mut moved = Vec::new();
    for (station, was) in before.placements.enumerate() {
        match (was, &after.placements[station]) {
            (None, None) => {}
            (Some(was), Some(is)) => {
                let pose = Pose {
                    at: is.at,
                    turn: is.turn,
                };
                let only_moved = crate::floor::Placement {
                    at: is.at,
                    turn: is.turn,
                    ..*was
                };
                if only_moved != *is {
                    return None;
                }
                if was != is {
                    moved.push((station, pose));
                }
            }
            _ => return None,
        }
    }
    Some(moved)
}
