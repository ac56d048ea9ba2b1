//! The best of several candidates, each played only as often as it takes to be sure.

use std::ops::ControlFlow;

use super::Study;
use super::replications::{Failure, Player, Replication};
use super::run::BATCH;
use crate::metrics::Record;
use crate::statistics::{Estimate, KimNelson, Selection, Summary, simultaneous_level};

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
    /// Replications after which each candidate left the race, or the race was over; more of them may have been played to
    /// see how far each is [`behind`](Race::behind).
    pub played: Vec<u32>,
    /// The mean of each candidate over the replications that counted for it, in metres or seconds.
    pub means: Vec<f64>,
    /// How much more each candidate has than the [`leader`](Race::leader), over the replications that both have
    /// played. The intervals hold together at the level; that of the leader itself is of nothing.
    pub behind: Vec<Estimate>,
}

impl Race {
    pub fn choice(&self) -> Option<usize> {
        match self.left[..] {
            [choice] => Some(choice),
            _ => None,
        }
    }

    /// The choice; without one, the candidate with the smallest mean of those left.
    pub fn leader(&self) -> usize {
        leader(&self.left, &self.means)
    }

    /// Candidates that are shown to have no difference from the leader that matters to the user.
    pub fn as_good(&self) -> Vec<usize> {
        let all = 0..self.behind.len();
        all.filter(|&index| index != self.leader() && self.is_as_good(index))
            .collect()
    }

    fn is_as_good(&self, index: usize) -> bool {
        let matters = self.indifference.amount();
        let behind = &self.behind[index];
        match behind.interval {
            Some((low, high)) => low > -matters && high < matters,
            None => self.level.is_none() && behind.mean.abs() < matters,
        }
    }
}

fn leader(left: &[usize], means: &[f64]) -> usize {
    let least = left.iter().min_by(|&&a, &&b| means[a].total_cmp(&means[b]));
    least.copied().unwrap_or(0)
}

/// The difference of each candidate from the leader, pair by pair; the leader's own is nothing.
fn behind(values: &[Vec<f64>], leader: usize, level: f64) -> Vec<Estimate> {
    let each = simultaneous_level(level, values.len() - 1);
    let of = |own: &Vec<f64>| {
        let pairs = own.iter().zip(&values[leader]);
        let differences: Summary = pairs.map(|(own, leading)| own - leading).collect();
        Estimate::of_summary(&differences, each)
    };
    values.iter().filter_map(of).collect()
}

/// How many replications of a candidate it takes until the interval of a difference is no longer than the difference
/// that matters; none if it says by now on which side of that the difference lies.
fn still_to_play(behind: &Estimate, matters: f64) -> Option<u32> {
    let (low, high) = behind.interval?;
    let is_clear = (low > -matters && high < matters) || low >= matters || high <= -matters;
    let times = 2.0 * behind.half_width? / matters;
    let enough = (behind.n as f64 * times * times).ceil();
    (!is_clear && times > 1.0).then_some(enough.min(f64::from(MOST_PLAYED)) as u32)
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
/// Whoever has won may have won by nothing that matters. So the differences from it are estimated afterwards, and where
/// they leave open whether they matter, as many more replications are played as the variance so far asks for.
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
        let means = play(&mut (0..candidates.len()).map(|index| (index, 0)))?;
        let left = Selection::exact(&means).map_or_else(Vec::new, |exact| exact.in_question);
        let values: Vec<Vec<f64>> = means.iter().map(|&value| vec![value]).collect();
        return Ok(Race {
            indifference,
            level: None,
            behind: behind(&values, leader(&left, &means), level),
            left,
            played: vec![1; means.len()],
            means,
        });
    }
    let mut played = vec![0; candidates.len()];
    let mut all: Vec<Vec<f64>> = vec![Vec::new(); candidates.len()];
    let mut from = 0;
    while procedure.choice().is_none() && from < MOST_PLAYED {
        let racing = procedure.left().to_vec();
        let stage = from..from + STAGE;
        let jobs = (racing.iter())
            .flat_map(|&index| stage.clone().map(move |replication| (index, replication)));
        let values = play(&mut { jobs })?;
        for (&index, values) in racing.iter().zip(values.chunks(STAGE as usize)) {
            all[index].extend(values);
        }
        for nth in stage {
            let left = procedure.left().to_vec();
            if left.len() == 1 {
                break;
            }
            let row: Vec<f64> = left.iter().map(|&index| all[index][nth as usize]).collect();
            for &index in &left {
                played[index] += 1;
            }
            procedure.add(&row);
        }
        from += STAGE;
    }
    let left = procedure.left().to_vec();
    let means: Vec<f64> = (all.iter().zip(&played))
        .map(|(values, &count)| {
            let counted = &values[..count as usize];
            counted.iter().sum::<f64>() / f64::from(count)
        })
        .collect();
    let leader = leader(&left, &means);
    let more: Vec<Option<u32>> = (behind(&all, leader, level).iter())
        .map(|behind| still_to_play(behind, amount))
        .collect();
    let most = more.iter().flatten().copied().max();
    for (index, more) in more.into_iter().enumerate() {
        let wanted = if index == leader { most } else { more };
        let from = all[index].len() as u32;
        let jobs = from..wanted.unwrap_or(from).max(from);
        let values = play(&mut jobs.map(|replication| (index, replication)))?;
        all[index].extend(values);
    }
    Ok(Race {
        indifference,
        level: Some(level),
        behind: behind(&all, leader, level),
        left,
        means,
        played,
    })
}
