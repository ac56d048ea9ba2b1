//! The relief experiment: relieve one thing at a time, simulate again with the same random numbers, and see what it brings.
//!
//! Indicators such as utilisation say where time goes; only this says what a change would bring.

use std::ops::ControlFlow;

use super::changes::{Changes, Untried};
use super::edit::{ReliefKind, Trial};
use super::first_difference::{FirstDifference, first_difference};
use super::replications::{DIAGNOSED, Player};
use super::run::{BATCH, FIRST, PlayedStudy, play_all};
use super::{Candidate, Failure, Findings, LOOKS, Replications, Settings, Study};
use crate::engine::Run;
use crate::metrics::{ProjectTotals, Record};
use crate::shop::Arrivals;
use crate::statistics::{Estimate, IntervalMethod, Paired, PairedSummary, Selection};

/// So many changed shops are held at a time.
pub(super) const AT_ONCE: usize = 16;

/// What one change brings: changed minus base, paired by replication.
#[derive(Debug, Clone)]
pub struct Relief {
    pub trial: Trial,
    /// Seconds; None where no replication finished an order both with and without the change.
    pub lead_time: Option<Paired>,
    /// Orders an hour.
    pub throughput: Paired,
    /// Metres of one run.
    pub walking: Paired,
    /// Seconds of one run.
    pub hands_on: Paired,
    /// By project of the shop.
    pub projects: Vec<ProjectRelief>,
    /// Of a change that is shown to do harm, though nothing gets scarcer or slower: where a run departs from the one
    /// without it.
    pub against_expectation: Option<FirstDifference>,
}

/// What one change brings one project.
#[derive(Debug, Clone)]
pub struct ProjectRelief {
    /// Of one run.
    pub orders_done: Paired,
    /// Seconds; None where no replication finished an order of it both with and without the change.
    pub lead_time: Option<Paired>,
}

impl ProjectRelief {
    /// Whether the change is shown to finish fewer of its orders.
    pub fn is_fewer(&self) -> bool {
        let difference = self.orders_done.difference;
        difference.mean < 0.0 && difference.covers_zero() != Some(true)
    }
}

/// Which figure decides what is best.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Goal {
    /// The shorter the better.
    LeadTime,
    /// The more orders an hour the better.
    Throughput,
}

impl Relief {
    /// The difference by which reliefs are ranked, in the goal's own unit; the smaller the better.
    pub fn towards(&self, goal: Goal) -> Option<Estimate> {
        match goal {
            Goal::LeadTime => self.lead_time.map(|paired| paired.difference),
            Goal::Throughput => Some(self.throughput.difference.scaled(-1.0)),
        }
    }

    /// Whether the runs show that the change does harm, though nothing gets scarcer or slower by it.
    fn is_against_expectation(&self, goal: Goal) -> bool {
        let towards = self.towards(goal);
        let is_worse = towards.is_some_and(|towards| {
            let is_shown = towards.low().is_none_or(|low| low > 0.0);
            towards.mean > 0.0 && is_shown
        });
        self.trial.edit.kind() != ReliefKind::Rule && is_worse
    }

    /// Whether the runs show that fewer orders of some project are finished: that does not count as help.
    pub fn is_at_a_cost(&self) -> bool {
        self.projects.iter().any(ProjectRelief::is_fewer)
    }
}

/// Everything that the experiment found of one candidate.
#[derive(Debug, Clone)]
pub struct Reliefs {
    /// Of the base, with this one candidate.
    pub findings: Findings,
    pub goal: Goal,
    /// Best first; behind them those at the cost of some project, best first.
    pub list: Vec<Relief>,
    pub untried: Vec<Untried>,
    /// Which of those without such a cost may be the best change, with the error shared by all comparisons.
    pub in_question: Vec<usize>,
}

/// A replication that could not come to its end, as the shop is or with a change.
#[derive(Debug, Clone, PartialEq)]
pub struct Interrupted {
    pub trial: Option<Trial>,
    pub failure: Failure,
}

/// The figures of one replication that are paired.
#[derive(Debug, Clone)]
struct Figures {
    lead_time: Option<f64>,
    throughput: f64,
    walking: f64,
    hands_on: f64,
    /// Orders done of each project, and their mean lead time.
    projects: Vec<(f64, Option<f64>)>,
}

impl Figures {
    fn of(record: &Record) -> Figures {
        let hours = record.measured_on_calendar().seconds() / 3600.0;
        let per_hour = |done: f64| if hours > 0.0 { done / hours } else { 0.0 };
        Figures {
            lead_time: record.mean_lead_time(),
            throughput: per_hour(record.orders_done() as f64),
            walking: record.walking().metres(),
            hands_on: record.hands_on().seconds(),
            projects: record.projects.iter().map(of_project).collect(),
        }
    }
}

fn of_project(project: &ProjectTotals) -> (f64, Option<f64>) {
    let done = project.orders_done as f64;
    let mean = (done > 0.0).then(|| project.lead_time as f64 / 1e6 / done);
    (done, mean)
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
    let settings = &study.settings;
    let candidate = &study.candidates[candidate];
    let base = play_base(study, candidate, progress).map_err(|failure| {
        Box::new(Interrupted {
            trial: None,
            failure,
        })
    })?;
    let Changes { tried, untried } = changes;
    let (level, method) = (settings.confidence, settings.replications.intervals());
    let projects = candidate.shop.projects.len();
    let mut sums = vec![Sums::of(projects); tried.len()];
    play_changes(settings, candidate, &tried, &base, &mut sums, progress)?;
    let mut found: Vec<(Relief, Sums)> = Vec::new();
    for (trial, sums) in tried.into_iter().zip(sums) {
        // Every change was played at least once, so nothing is missing.
        let relief = sums.relief(trial, level, method);
        found.extend(relief.map(|relief| (relief, sums)));
    }
    let rank = |relief: &Relief| relief.towards(base.goal).map_or(f64::INFINITY, |e| e.mean);
    found.sort_by(|(a, _), (b, _)| {
        let costs = a.is_at_a_cost().cmp(&b.is_at_a_cost());
        costs.then_with(|| rank(a).total_cmp(&rank(b)))
    });
    explain(&mut found, study, candidate, base.goal);
    let at_no_cost = found.partition_point(|(relief, _)| !relief.is_at_a_cost());
    let in_question = select(&found[..at_no_cost], base.findings.varies, level, method);
    Ok(Reliefs {
        findings: base.findings,
        goal: base.goal,
        list: found.into_iter().map(|(relief, _)| relief).collect(),
        untried,
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
        let typical = (sums.towards.iter().enumerate())
            .min_by(|a, b| (a.1 - mean).abs().total_cmp(&(b.1 - mean).abs()));
        let run = Run {
            seed: settings.seed,
            replication: typical.map_or(0, |(number, _)| number as u32),
            until: settings.until,
        };
        // Both came to their end when they were played before.
        let found = first_difference(candidate, relief.trial.edit, &run);
        relief.against_expectation = found.ok().flatten();
    }
}

struct Base {
    findings: Findings,
    figures: Vec<Figures>,
    goal: Goal,
}

fn play_base(
    study: &Study,
    candidate: &Candidate,
    progress: &(dyn Fn(u64) + Sync),
) -> Result<Base, Failure> {
    let settings = &study.settings;
    let varies = candidate.shop.varies();
    let mut figures: Vec<Figures> = Vec::new();
    let (mut in_process, mut done, mut lead_times) = (0, 0, 0);
    let only = std::slice::from_ref(candidate);
    let PlayedStudy {
        aggregates,
        replications,
        precision_reached,
        suffices,
    } = play_all(settings, only, 0, varies, progress, |replication| {
        let record = &replication.record;
        figures.push(Figures::of(record));
        in_process += record.in_process;
        done += record.orders_done();
        lead_times += record.projects.iter().map(|of| of.lead_time).sum::<i128>();
    })?;
    let is_closed = (candidate.shop.orders.iter())
        .any(|line| matches!(line.arrivals, Arrivals::InProgress { .. }));
    let is_telling = done > 0 && 3 * lead_times >= 2 * in_process;
    let found: Vec<_> = (aggregates.iter())
        .map(|aggregate| aggregate.findings(candidate, settings))
        .collect();
    let is_growing = found.iter().any(|found| found.overload.is_some());
    let goal = match settings.until {
        Some(_) if is_closed || !is_telling || is_growing => Goal::Throughput,
        _ => Goal::LeadTime,
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
    Ok(Base {
        findings,
        figures,
        goal,
    })
}

/// Plays every change as often as the base, and adds up how they differ.
fn play_changes(
    settings: &Settings,
    candidate: &Candidate,
    trials: &[Trial],
    base: &Base,
    sums: &mut [Sums],
    progress: &(dyn Fn(u64) + Sync),
) -> Result<(), Box<Interrupted>> {
    // Each changed shop has tables of its own, so only a limited number is prepared at once.
    for (group, sums) in trials.chunks(AT_ONCE).zip(sums.chunks_mut(AT_ONCE)) {
        let changed: Vec<Candidate> = (group.iter())
            .map(|trial| trial.edit.applied(candidate))
            .collect();
        let replications = base.figures.len() as u32;
        let jobs =
            (0..changed.len()).flat_map(|change| (0..replications).map(move |nth| (change, nth)));
        let add = |(change, nth): (usize, u32), figures: Figures| {
            sums[change].add(base.goal, &base.figures[nth as usize], &figures);
            ControlFlow::Continue(())
        };
        let player = Player::new(settings, &changed, progress);
        player
            .play(
                jobs,
                AT_ONCE * BATCH as usize,
                |played| Figures::of(&played.record),
                add,
            )
            .map_err(|(change, failure)| {
                Box::new(Interrupted {
                    trial: Some(group[change].clone()),
                    failure,
                })
            })?;
    }
    Ok(())
}

/// What is kept of one change.
#[derive(Debug, Clone)]
struct Sums {
    lead_time: PairedSummary,
    throughput: PairedSummary,
    walking: PairedSummary,
    hands_on: PairedSummary,
    projects: Vec<ReliefProjectSums>,
    /// The goal by replication, the smaller the better.
    towards: Vec<f64>,
}

#[derive(Debug, Clone, Copy, Default)]
struct ReliefProjectSums {
    orders_done: PairedSummary,
    lead_time: PairedSummary,
}

impl Sums {
    /// Of nothing yet, in a shop with so many projects.
    fn of(projects: usize) -> Sums {
        Sums {
            lead_time: PairedSummary::default(),
            throughput: PairedSummary::default(),
            walking: PairedSummary::default(),
            hands_on: PairedSummary::default(),
            projects: vec![ReliefProjectSums::default(); projects],
            towards: Vec::new(),
        }
    }

    fn add(&mut self, goal: Goal, base: &Figures, changed: &Figures) {
        let lead_times = base.lead_time.zip(changed.lead_time);
        if let Some((base, changed)) = lead_times {
            self.lead_time.add(base, changed);
        }
        self.throughput.add(base.throughput, changed.throughput);
        self.walking.add(base.walking, changed.walking);
        self.hands_on.add(base.hands_on, changed.hands_on);
        let projects = base.projects.iter().zip(&changed.projects);
        for (sums, (base, changed)) in self.projects.iter_mut().zip(projects) {
            sums.orders_done.add(base.0, changed.0);
            if let (Some(base), Some(changed)) = (base.1, changed.1) {
                sums.lead_time.add(base, changed);
            }
        }
        self.towards.push(match goal {
            // A replication without a finished order counts as no difference: a missing measurement must not rule a
            // change out.
            Goal::LeadTime => lead_times.map_or(0.0, |(base, changed)| changed - base),
            Goal::Throughput => base.throughput - changed.throughput,
        });
    }

    fn relief(&self, trial: Trial, level: f64, method: IntervalMethod) -> Option<Relief> {
        Some(Relief {
            trial,
            lead_time: self.lead_time.paired(level, method),
            throughput: self.throughput.paired(level, method)?,
            walking: self.walking.paired(level, method)?,
            hands_on: self.hands_on.paired(level, method)?,
            projects: (self.projects.iter())
                .map(|sums| {
                    Some(ProjectRelief {
                        orders_done: sums.orders_done.paired(level, method)?,
                        lead_time: sums.lead_time.paired(level, method),
                    })
                })
                .collect::<Option<_>>()?,
            against_expectation: None,
        })
    }
}

/// Which of the changes may be the best.
fn select(
    found: &[(Relief, Sums)],
    varies: bool,
    level: f64,
    method: IntervalMethod,
) -> Vec<usize> {
    let series: Vec<&[f64]> = found.iter().map(|(_, sums)| &sums.towards[..]).collect();
    let selection = if varies {
        Selection::screen(&series, level, method)
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
