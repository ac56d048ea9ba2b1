//! The best of several candidates, each played only as often as it takes to be sure.

use std::ops::ControlFlow;

use super::Study;
use super::replications::{Failure, Player, Replication};
use super::run::BATCH;
use crate::metrics::Record;
use crate::statistics::{KimNelson, Selection};

/// Replications of the first stage, and of each batch after it.
pub const STAGE: u32 = 20;

/// Replications of a candidate after which the race is broken off.
pub const MOST_PLAYED: u32 = 10_000;

/// What the best candidate has least of, and a difference in it that does not matter to the user.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Indifference {
    /// Walking, in metres.
    Walking(f64),
    /// Mean lead time of the orders done, in seconds.
    LeadTime(f64),
}

impl Indifference {
    fn amount(self) -> f64 {
        match self {
            Indifference::Walking(metres) => metres,
            Indifference::LeadTime(seconds) => seconds,
        }
    }

    fn of(self, record: &Record) -> Option<f64> {
        match self {
            Indifference::Walking(_) => Some(record.walking().metres()),
            Indifference::LeadTime(_) => record.mean_lead_time(),
        }
    }
}

/// How a race between the candidates ended.
#[derive(Debug, Clone, PartialEq)]
pub struct Race {
    pub indifference: Indifference,
    /// With this probability the choice is the best, if the best is better than all others by the indifference; None
    /// where no time varies, and one replication is exact.
    pub level: Option<f64>,
    /// Candidates that were not beaten, in their order: one alone is the choice.
    pub left: Vec<usize>,
    /// Replications after which each candidate left the race, or the race was over.
    pub played: Vec<u32>,
    /// The mean of each candidate over the replications that counted for it, in metres or seconds.
    pub means: Vec<f64>,
}

impl Race {
    pub fn choice(&self) -> Option<usize> {
        match self.left[..] {
            [choice] => Some(choice),
            _ => None,
        }
    }
}

/// Why there is no race.
#[derive(Debug, Clone, PartialEq)]
pub enum NoRace {
    /// A replication of some candidate got stuck.
    Stuck(Failure),
    /// A candidate had no order done in this replication, so that it has no lead time.
    NothingDone { candidate: usize, replication: u32 },
}

/// Plays the candidates side by side on common random numbers and drops each as soon as it is behind by enough, after
/// Kim and Nelson ([`KimNelson`]). Whichever candidates are still in the race play a batch in parallel; its
/// replications count one after the other, so the result does not depend on the batches or on threads.
///
/// `progress` is told how many replications have been played since the last call, and may be called by any thread.
///
/// # Errors
/// The first replication, by batch, candidate and number, that gets stuck or has no lead time.
///
/// # Panics
/// If there is no candidate, or the indifference is not above 0.
pub fn select(
    study: &Study,
    indifference: Indifference,
    progress: &(dyn Fn(u64) + Sync),
) -> Result<Race, NoRace> {
    let candidates = &study.candidates;
    let level = study.settings.confidence;
    let amount = indifference.amount();
    let mut procedure = KimNelson::new(candidates.len(), level, amount, u64::from(STAGE));
    let player = Player::new(&study.settings, candidates, progress);
    let play = |jobs: &mut dyn Iterator<Item = (usize, u32)>| -> Result<Vec<f64>, NoRace> {
        let (mut values, mut nothing_done) = (Vec::new(), None);
        let of = |played: Replication| indifference.of(&played.record);
        let add = |(candidate, replication), value| match value {
            Some(value) => {
                values.push(value);
                ControlFlow::Continue(())
            }
            None => {
                nothing_done = Some(NoRace::NothingDone {
                    candidate,
                    replication,
                });
                ControlFlow::Break(())
            }
        };
        let played = player.play(jobs, BATCH as usize, of, add);
        played.map_err(|(_, failure)| NoRace::Stuck(failure))?;
        nothing_done.map_or(Ok(values), Err)
    };
    if !study.varies() {
        let values = play(&mut (0..candidates.len()).map(|index| (index, 0)))?;
        return Ok(Race {
            indifference,
            level: None,
            left: Selection::exact(&values).map_or_else(Vec::new, |exact| exact.in_question),
            played: vec![1; values.len()],
            means: values,
        });
    }
    let mut played = vec![0; candidates.len()];
    let mut sums = vec![0.0; candidates.len()];
    let mut from = 0;
    while procedure.choice().is_none() && from < MOST_PLAYED {
        let racing = procedure.left().to_vec();
        let stage = from..from + STAGE;
        let jobs = (racing.iter())
            .flat_map(|&index| stage.clone().map(move |replication| (index, replication)));
        let values = play(&mut { jobs })?;
        let of: Vec<(usize, &[f64])> = racing
            .iter()
            .copied()
            .zip(values.chunks(STAGE as usize))
            .collect();
        for nth in 0..STAGE as usize {
            let left = procedure.left().to_vec();
            if left.len() == 1 {
                break;
            }
            let still = of.iter().filter(|(index, _)| left.contains(index));
            let row: Vec<f64> = still.map(|(_, values)| values[nth]).collect();
            for (&index, value) in left.iter().zip(&row) {
                played[index] += 1;
                sums[index] += value;
            }
            procedure.add(&row);
        }
        from += STAGE;
    }
    Ok(Race {
        indifference,
        level: Some(level),
        left: procedure.left().to_vec(),
        means: (sums.iter().zip(&played))
            .map(|(sum, &count)| sum / f64::from(count))
            .collect(),
        played,
    })
}
