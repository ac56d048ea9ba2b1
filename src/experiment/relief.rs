//! The relief experiment: relieve one thing at a time, simulate again with the same random numbers, and see what it brings.
//!
//! Indicators such as utilisation say where time goes; only this says what a change would bring.

use std::ops::{ControlFlow, Range};

use super::changes::{Changes, Untried};
use super::edit::Trial;
use super::first_difference::{first_difference, most_like_mean};
use super::relief_sums::{Figures, Goal, Relief, Sums, goal};
use super::replications::{DIAGNOSED, Player};
use super::run::{BATCH, FIRST, PlayedStudy, play_all};
use super::{Candidate, Failure, Findings, LOOKS, Replications, Settings, Study};
use crate::engine::Run;
use crate::statistics::Selection;

/// So many changed shops are held at a time.
pub(super) const AT_ONCE: usize = 16;

/// Everything that the experiment found of one candidate.
#[derive(Debug, Clone)]
pub struct Reliefs {
    /// Of the base, with this one candidate.
    pub findings: Findings,
    pub goal: Goal,
    /// Best first; behind them those at the cost of some project, best first.
    pub list: Vec<Relief>,
    pub untried: Vec<Untried>,
    /// How many orders are built in a year, if the file says so.
    pub orders_a_year: Option<f64>,
    /// Whether the file says of anything what it costs.
    pub has_prices: bool,
    /// Which of those without such a cost may be the best change, with the error shared by all comparisons.
    pub in_question: Vec<usize>,
}

/// A replication that could not come to its end, as the shop is or with a change.
#[derive(Debug, Clone, PartialEq)]
pub struct Interrupted {
    pub trial: Option<Trial>,
    pub failure: Failure,
}

/// How often the experiment plays each change: what is needed to say how long it takes.
pub fn replications(study: &Study, candidate: usize) -> u32 {
    match study.settings.replications {
        _ if !study.candidates[candidate].shop.varies() => 1,
        Replications::Fixed(count) => count,
        Replications::Sufficient => LOOKS[0],
        Replications::Precision(_) => FIRST,
    }
}

/// Plays one candidate as it is and with each of the changes, on the same random numbers.
///
/// Where the number of replications is not given, the base is played until its own figures are precise enough, or the
/// replications suffice for them, and each change as often. Changes are ranked by
/// lead time; by throughput where that says more. That is so where orders are kept `in progress`, since then the number
/// in the shop is fixed and lead time follows from throughput; and where a horizon leaves so many orders undone that
/// the lead time of those done explains less than two thirds of the time that orders spent in the shop (by Little's
/// law they are equal where no backlog grows). A change with which fewer orders of some project are finished ranks behind
/// all others: more orders in all are easily finished by leaving out those that take long.
///
/// `progress` is told how many replications have been played since the last call, and may be called by any thread.
///
/// # Errors
/// The first replication, in the order of the changes, that gets stuck.
pub fn relieve(
    study: &Study,
    candidate: usize,
    changes: Changes,
    progress: &(dyn Fn(u64) + Sync),
) -> Result<Reliefs, Box<Interrupted>> {
    let candidate = &study.candidates[candidate];
    let (base, findings) = play_base(study, candidate, progress).map_err(|failure| {
        Box::new(Interrupted {
            trial: None,
            failure,
        })
    })?;
    let Changes { tried, untried } = changes;
    let mut tried = base.untouched(tried);
    base.play(&mut tried, 0..base.figures.len() as u32, progress)?;
    let mut found = base.rank(tried);
    explain(&mut found, study, candidate, base.goal);
    let at_no_cost = found.partition_point(|(relief, _)| !relief.is_at_a_cost());
    let in_question = base.select(&found[..at_no_cost], findings.varies);
    Ok(Reliefs {
        findings,
        goal: base.goal,
        list: found.into_iter().map(|(relief, _)| relief).collect(),
        untried,
        orders_a_year: candidate.shop.prices.orders_a_year,
        has_prices: candidate.shop.prices.is_any(),
        in_question,
    })
}

/// Says of every change that is against expectation where it departs, in the replication most like the mean.
fn explain(found: &mut [(Relief, Sums)], study: &Study, candidate: &Candidate, goal: Goal) {
    let settings = &study.settings;
    for (relief, sums) in found {
        let Some(mean) = relief.towards(goal).map(|towards| towards.mean) else {
            continue;
        };
        if !relief.is_against_expectation(goal) {
            continue;
        }
        let figures = (0..).zip(sums.towards.iter().copied());
        let run = Run {
            seed: settings.seed,
            replication: most_like_mean(mean, figures),
            until: settings.until,
        };
        // Both came to their end when they were played before.
        let found = first_difference(candidate, relief.trial.edit, &run);
        relief.against_expectation = found.ok().flatten();
    }
}

/// A candidate as it is, with which its changes are compared.
pub(super) struct Base<'a> {
    pub settings: &'a Settings,
    pub candidate: &'a Candidate,
    /// Of its replications.
    pub figures: Vec<Figures>,
    pub goal: Goal,
}

fn play_base<'a>(
    study: &'a Study,
    candidate: &'a Candidate,
    progress: &(dyn Fn(u64) + Sync),
) -> Result<(Base<'a>, Findings), Failure> {
    let settings = &study.settings;
    let varies = candidate.shop.varies();
    let mut figures: Vec<Figures> = Vec::new();
    let only = std::slice::from_ref(candidate);
    let PlayedStudy {
        aggregates,
        replications,
        precision_reached,
        suffices,
    } = play_all(
        settings,
        only,
        0,
        varies,
        (progress, &|| true),
        |replication| {
            figures.push(Figures::of(&replication.record));
        },
    )?;
    let found: Vec<_> = (aggregates.iter())
        .map(|aggregate| aggregate.findings(candidate, settings))
        .collect();
    let is_growing = found.iter().any(|found| found.overload.is_some());
    let base = Base {
        goal: goal(candidate, settings, &figures, is_growing),
        settings,
        candidate,
        figures,
    };
    let findings = Findings {
        soonest_by_project: Vec::new(),
        title: study.title.clone(),
        units: study.units,
        seed: settings.seed,
        replications,
        diagnosed: replications.min(DIAGNOSED),
        confidence: settings.confidence,
        varies,
        horizon: settings.until.is_some(),
        precision_reached,
        suffices,
        intervals: settings.replications.intervals(),
        candidates: found,
        comparisons: Vec::new(),
        walks_least: None,
        soonest: None,
    };
    Ok((base, findings))
}

impl Base<'_> {
    /// Changes that have yet to be played.
    pub fn untouched(&self, trials: Vec<Trial>) -> Vec<(Trial, Sums)> {
        let projects = self.candidate.shop.projects.len();
        let all = trials.into_iter();
        all.map(|trial| (trial, Sums::of(projects))).collect()
    }

    /// Plays these replications of every change, and adds up how they differ from those of the base.
    ///
    /// # Errors
    /// The first replication, in the order of the changes, that gets stuck.
    pub fn play(
        &self,
        changes: &mut [(Trial, Sums)],
        replications: Range<u32>,
        progress: &(dyn Fn(u64) + Sync),
    ) -> Result<(), Box<Interrupted>> {
        // Each changed shop has tables of its own, so only a limited number is prepared at once.
        for group in changes.chunks_mut(AT_ONCE) {
            let changed: Vec<Candidate> = (group.iter())
                .map(|(trial, _)| trial.edit.applied(self.candidate))
                .collect();
            let jobs = (0..changed.len())
                .flat_map(|change| replications.clone().map(move |nth| (change, nth)));
            let add = |(change, nth): (usize, u32), figures: Figures| {
                let sums = &mut group[change].1;
                sums.add(self.goal, &self.figures[nth as usize], &figures);
                ControlFlow::Continue(())
            };
            let player = Player::new(self.settings, &changed, progress);
            let at_once = AT_ONCE * BATCH as usize;
            (player.play(jobs, at_once, |played| Figures::of(&played.record), add)).map_err(
                |(change, failure)| {
                    Box::new(Interrupted {
                        trial: Some(group[change].0.clone()),
                        failure,
                    })
                },
            )?;
        }
        Ok(())
    }

    /// What the changes bring: best first; behind them those at the cost of some project, best first.
    pub fn rank(&self, changes: Vec<(Trial, Sums)>) -> Vec<(Relief, Sums)> {
        let level = self.settings.confidence;
        let method = self.settings.replications.intervals();
        // Every change was played at least once, so nothing is missing.
        let found = changes.into_iter().filter_map(|(trial, sums)| {
            let relief = sums.relief(trial, level, method)?;
            Some((relief, sums))
        });
        let mut found: Vec<(Relief, Sums)> = found.collect();
        let rank = |relief: &Relief| relief.towards(self.goal).map_or(f64::INFINITY, |e| e.mean);
        found.sort_by(|(a, _), (b, _)| {
            let costs = a.is_at_a_cost().cmp(&b.is_at_a_cost());
            costs.then_with(|| rank(a).total_cmp(&rank(b)))
        });
        found
    }

    /// Which of the changes may be the best.
    fn select(&self, found: &[(Relief, Sums)], varies: bool) -> Vec<usize> {
        let series: Vec<&[f64]> = found.iter().map(|(_, sums)| &sums.towards[..]).collect();
        let selection = if varies {
            let method = self.settings.replications.intervals();
            Selection::screen(&series, self.settings.confidence, method)
        } else {
            let only: Vec<f64> = series
                .iter()
                .filter_map(|series| series.first())
                .copied()
                .collect();
            Selection::exact(&only)
        };
        selection.map_or_else(Vec::new, |selection| selection.in_question)
    }
}
