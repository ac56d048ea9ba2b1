//! Which station to move first on the way from one layout to another.

use super::Candidate;
use super::findings::Leg;
use super::leg_paths::flow;
use crate::floor::{Evaluation, Placement, Plan, Pose, Prices, Site};
use crate::shop::StationId;

/// A station that is moved to where it stands in another layout, everything else staying where it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstMove {
    pub station: StationId,
    /// Where it goes.
    pub pose: Pose,
    /// What it saves of the walking of a run, by the trips that people made in the layout as it is.
    pub metres: f64,
    /// How many faults it mends.
    pub mended: u32,
}

impl FirstMove {
    /// The layout with that alone moved; nothing if it is not drawn.
    pub fn made(&self, from: &Candidate) -> Option<Candidate> {
        let mut plan = from.plan.clone()?;
        let placed = plan.placements[self.station].as_mut()?;
        (placed.at, placed.turn) = (self.pose.at, self.pose.turn);
        from.on(plan, &from.site()?)
    }
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
    /// No moving of stations makes one into the other.
    Unlike(Unlike),
}

/// What two layouts differ in besides where their stations stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Unlike {
    Room,
    /// One has stations that the other has not.
    Stations,
    /// A station is of another size or height, or one stands at it or feeds it elsewhere as it is seen from its middle.
    Form(StationId),
}

/// A move that saves less than this share of the walking and mends nothing is not worth naming: that is hardly worth moving
/// cast iron.
pub const WORTH_A_MOVE: f64 = 0.01;

/// Tries each station that stands elsewhere in the other layout, alone: first those moves that mend the most faults, of
/// these the one that saves the most walking. None where one of the layouts is not drawn, or where nothing stands
/// elsewhere.
///
/// `legs` are those walked in `from`.
pub fn rearrangement(from: &Candidate, to: &Candidate, legs: &[Leg]) -> Option<Rearrangement> {
    let (before, after) = (from.plan.as_ref()?, to.plan.as_ref()?);
    let moved = match moved(before, after) {
        Ok(moved) => moved,
        Err(unlike) => return Some(Rearrangement::Unlike(unlike)),
    };
    match moved[..] {
        [] => return None,
        [(only, _)] => return Some(Rearrangement::One(only)),
        _ => {}
    }
    let site = Site::new(&from.shop, before, &from.limits);
    let flow = flow(legs);
    let mut evaluation = Evaluation::new(&site, before, &flow, Prices::NONE);
    let was = evaluation.score();
    let mut best: Option<FirstMove> = None;
    // Before what is below it stands there, nobody knows where one stands at what hangs.
    let stands_alike = |station: StationId| {
        let stand = |plan: &Plan| plan.placements[station].as_ref().map(|placed| placed.stand);
        stand(before) == stand(after)
    };
    for &(station, pose) in moved.iter().filter(|(station, _)| stands_alike(*station)) {
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
                pose,
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
    let moved = moved(before, after).ok()?;
    let far = moved.iter().filter_map(|(station, pose)| {
        Some(before.placements[*station].as_ref()?.at.distance(pose.at))
    });
    Some(far.fold(0.0, f64::max))
}

/// Stations that stand elsewhere, with where.
///
/// # Errors
/// What else differs.
fn moved(before: &Plan, after: &Plan) -> Result<Vec<(StationId, Pose)>, Unlike> {
    if before.room != after.room {
        return Err(Unlike::Room);
    }
    if before.placements.len() != after.placements.len() {
        return Err(Unlike::Stations);
    }
    let mut moved = Vec::new();
    for (station, was) in before.placements.enumerate() {
        match (was, &after.placements[station]) {
            (None, None) => {}
            (Some(was), Some(is)) => {
                let pose = is.pose();
                let hangs = was.heights.hangs() && is.heights.hangs();
                let only_moved = Placement {
                    at: is.at,
                    turn: is.turn,
                    // One stands before what it hangs over, and that differs.
                    stand: if hangs { is.stand } else { was.stand },
                    ..*was
                };
                if only_moved != *is {
                    return Err(Unlike::Form(station));
                }
                if was != is {
                    moved.push((station, pose));
                }
            }
            _ => return Err(Unlike::Stations),
        }
    }
    Ok(moved)
}
