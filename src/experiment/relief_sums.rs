//! What a change brings: the figures of replications with and without it, paired and summed.

use super::edit::{ReliefKind, Trial};
use super::first_difference::FirstDifference;
use super::{Candidate, Settings};
use crate::metrics::{ProjectTotals, Record};
use crate::shop::Arrivals;
use crate::statistics::{Estimate, IntervalMethod, Paired, PairedSummary};

/// What one change brings: changed minus base, paired by replication.
#[derive(Debug, Clone)]
pub struct Relief {
    pub trial: Trial,
    /// Seconds; None where no replication finished an order both with and without the change.
    pub lead_time: Option<Paired>,
    /// Sessions from release to done of a shop that keeps hours; None as the lead time is.
    pub sessions: Option<Paired>,
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

/// Fewer orders are that from one in a hundred on: which of them are done just before a run ends, and which just after, is
/// worth no other answer.
const FEWER_ORDERS: f64 = 0.01;

/// What one change brings one project.
#[derive(Debug, Clone)]
pub struct ProjectRelief {
    /// Of one run.
    pub orders_done: Paired,
    /// Seconds; None where no replication finished an order of it both with and without the change.
    pub lead_time: Option<Paired>,
}

impl ProjectRelief {
    /// Whether the change is shown to finish fewer of its orders, and not just other ones at the end of the run.
    pub fn is_fewer(&self) -> bool {
        let Paired {
            difference,
            base_mean,
            ..
        } = &self.orders_done;
        -difference.mean >= FEWER_ORDERS * base_mean
            && difference.mean < 0.0
            && difference.covers_zero() != Some(true)
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
    pub(super) fn is_against_expectation(&self, goal: Goal) -> bool {
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

/// The figures of one replication that are paired.
#[derive(Debug, Clone)]
pub(super) struct Figures {
    lead_time: Option<f64>,
    sessions: Option<f64>,
    throughput: f64,
    walking: f64,
    hands_on: f64,
    /// Orders done of each project, and their mean lead time.
    projects: Vec<(f64, Option<f64>)>,
    /// Orders in process times microseconds, how many were done, and their lead times in microseconds.
    in_process: i128,
    done: u64,
    lead_times: i128,
}

impl Figures {
    /// From start to finish of an order, in seconds: of the project with this number, or of all.
    pub fn lead_time_of(&self, project: Option<usize>) -> Option<f64> {
        match project {
            Some(project) => self.projects.get(project)?.1,
            None => self.lead_time,
        }
    }

    pub fn of(record: &Record) -> Figures {
        let hours = record.measured_on_calendar().seconds() / 3600.0;
        let per_hour = |done: f64| if hours > 0.0 { done / hours } else { 0.0 };
        Figures {
            lead_time: record.mean_lead_time(),
            sessions: record.mean_hours().map(|hours| hours.sessions),
            throughput: per_hour(record.orders_done() as f64),
            walking: record.walking().metres(),
            hands_on: record.hands_on().seconds(),
            projects: record.projects.iter().map(of_project).collect(),
            in_process: record.in_process,
            done: record.orders_done(),
            lead_times: record.projects.iter().map(|of| of.lead_time).sum(),
        }
    }
}

fn of_project(project: &ProjectTotals) -> (f64, Option<f64>) {
    let done = project.orders_done as f64;
    let mean = (done > 0.0).then(|| project.lead_time as f64 / 1e6 / done);
    (done, mean)
}

/// By what changes of a candidate are ranked that was played as it is; `is_growing` says whether more orders come than it
/// can do. [`relieve`](super::relieve) says why.
pub(super) fn goal(
    candidate: &Candidate,
    settings: &Settings,
    played: &[Figures],
    is_growing: bool,
) -> Goal {
    let orders = &candidate.shop.orders;
    let is_closed = (orders.iter()).any(|of| matches!(of.arrivals, Arrivals::InProgress { .. }));
    let done: u64 = played.iter().map(|figures| figures.done).sum();
    let in_process: i128 = played.iter().map(|figures| figures.in_process).sum();
    let lead_times: i128 = played.iter().map(|figures| figures.lead_times).sum();
    let is_telling = done > 0 && 3 * lead_times >= 2 * in_process;
    match settings.until {
        Some(_) if is_closed || !is_telling || is_growing => Goal::Throughput,
        _ => Goal::LeadTime,
    }
}

/// What is kept of one change.
#[derive(Debug, Clone)]
pub(super) struct Sums {
    lead_time: PairedSummary,
    sessions: PairedSummary,
    throughput: PairedSummary,
    walking: PairedSummary,
    hands_on: PairedSummary,
    projects: Vec<ReliefProjectSums>,
    /// The goal by replication, the smaller the better.
    pub towards: Vec<f64>,
}

#[derive(Debug, Clone, Copy, Default)]
struct ReliefProjectSums {
    orders_done: PairedSummary,
    lead_time: PairedSummary,
}

impl Sums {
    /// Of nothing yet, in a shop with so many projects.
    pub fn of(projects: usize) -> Sums {
        Sums {
            lead_time: PairedSummary::default(),
            sessions: PairedSummary::default(),
            throughput: PairedSummary::default(),
            walking: PairedSummary::default(),
            hands_on: PairedSummary::default(),
            projects: vec![ReliefProjectSums::default(); projects],
            towards: Vec::new(),
        }
    }

    pub fn add(&mut self, goal: Goal, base: &Figures, changed: &Figures) {
        let lead_times = base.lead_time.zip(changed.lead_time);
        if let Some((base, changed)) = lead_times {
            self.lead_time.add(base, changed);
        }
        if let Some((base, changed)) = base.sessions.zip(changed.sessions) {
            self.sessions.add(base, changed);
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

    pub fn relief(&self, trial: Trial, level: f64, method: IntervalMethod) -> Option<Relief> {
        Some(Relief {
            trial,
            lead_time: self.lead_time.paired(level, method),
            sessions: (self.sessions.paired(level, method)).filter(|of| of.base_mean > 0.0),
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
