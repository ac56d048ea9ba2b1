//! Draws of what nobody knows exactly: the candidates are compared once more for each of them, and it is counted who is
//! the best.

use std::ops::ControlFlow;

use super::replications::{Failure, Player, Replication};
use super::{Candidate, Replications, Study};
use crate::statistics::Summary;

/// So many draws of all that is not known.
pub const DRAWS: u32 = 100;

/// Replications of each candidate in each draw, at most. The candidates of a draw share their random numbers, so few are
/// enough.
pub const REPLICATIONS: u32 = 10;

/// A difference of less than this share of the whole, as of the time from start to finish, is hardly one.
pub const LITTLE: f64 = 0.01;

/// So many candidates of draws are held at once.
pub(super) const AT_ONCE: usize = 64;

/// How a candidate did over all draws by a figure of which less is better.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Standing {
    /// Draws in which it is the best; candidates that tie are best together.
    pub best: u32,
    /// Draws in which it is the best or behind it by less than [`LITTLE`].
    pub near: u32,
    /// Draws in which it has the figure, and the sum over them.
    pub count: u32,
    pub sum: f64,
}

impl Standing {
    /// The mean over the draws in which it has the figure.
    pub fn mean(&self) -> Option<f64> {
        (self.count > 0).then(|| self.sum / f64::from(self.count))
    }
}

/// Means over the replications of one draw.
#[derive(Debug, Clone, Copy)]
pub(super) struct DrawOutcome {
    pub walking: f64,
    pub lead_time: Option<f64>,
}

/// How many replications are played in all.
pub fn doubt_replications(study: &Study) -> u64 {
    u64::from(DRAWS) * u64::from(each(study)) * study.candidates.len() as u64
}

/// How many replications of each candidate are played in each draw.
pub(super) fn each(study: &Study) -> u32 {
    match study.settings.replications {
        _ if !study.varies() => 1,
        Replications::Fixed(count) => count.min(REPLICATIONS),
        Replications::Sufficient | Replications::Precision(_) => REPLICATIONS,
    }
}

/// Counts who is the best of one draw; whoever has no figure takes no part.
pub(super) fn count_best(
    standings: &mut [Standing],
    values: impl Iterator<Item = Option<f64>> + Clone,
) {
    let Some(least) = values.clone().flatten().reduce(f64::min) else {
        return;
    };
    for (standing, value) in standings.iter_mut().zip(values) {
        let Some(value) = value else {
            continue;
        };
        standing.best += u32::from(value == least);
        standing.near += u32::from(value == least || value - least < LITTLE * least);
        standing.count += 1;
        standing.sum += value;
    }
}

/// Plays candidates as they are in their draws; the outcomes are in the order of these.
pub(super) fn play_drawn(
    study: &Study,
    draws: &[u32],
    candidates: &[Candidate],
    progress: &(dyn Fn(u64) + Sync),
) -> Result<Vec<DrawOutcome>, Failure> {
    let each = each(study);
    let jobs = (draws.iter().enumerate()).flat_map(|(index, &draw)| {
        (draw * each..(draw + 1) * each).map(move |replication| (index, replication))
    });
    let mut sums = vec![(Summary::new(), Summary::new()); candidates.len()];
    let of = |played: Replication| {
        let record = &played.record;
        (record.walking().metres(), record.mean_lead_time())
    };
    let add = |(index, _): (usize, u32), (walking, lead_time): (f64, Option<f64>)| {
        sums[index].0.add(walking);
        sums[index].1.extend(lead_time);
        ControlFlow::Continue(())
    };
    let player = Player::new(&study.settings, candidates, progress);
    (player.play(jobs, AT_ONCE * each as usize, of, add)).map_err(|(_, failure)| failure)?;
    let outcomes = sums.iter().map(|(walking, lead_time)| DrawOutcome {
        walking: walking.mean().unwrap_or(0.0),
        lead_time: lead_time.mean(),
    });
    Ok(outcomes.collect())
}
