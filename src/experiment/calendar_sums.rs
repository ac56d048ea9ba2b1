//! What is told of the calendar: sums over the replications.

use super::Settings;
use super::completion::CompletionSums;
use super::findings::{CandidateHours, Completion, InTime, OrderSessions};
use super::in_time::InTimeSums;
use crate::metrics::{OrderHours, ProjectTotals, Record};
use crate::shop::{Date, ProjectId, Shop};
use crate::statistics::{Histogram, Summary};

/// Whether there is anything of that to be told.
pub(super) fn keeps_hours(shop: &Shop) -> bool {
    !shop.calendar.is_always_open()
}

/// Over the replications in which an order was done.
#[derive(Debug, Clone, Default)]
pub(super) struct HoursSums {
    in_shop_time: Summary,
    sessions: Summary,
    /// Of all orders of all replications.
    session_counts: Histogram,
}

impl HoursSums {
    /// Of the orders of these projects in one replication.
    pub fn add(&mut self, projects: &[ProjectTotals]) {
        let hours = OrderHours::of(projects);
        self.in_shop_time
            .extend(hours.map(|hours| hours.in_shop_time));
        self.sessions.extend(hours.map(|hours| hours.sessions));
        for project in projects {
            self.session_counts.merge(&project.session_counts);
        }
    }

    /// None where no order was done, and where the shop is always open.
    pub fn per_order(&self) -> Option<OrderSessions> {
        let quantile = |p: f64| Some(self.session_counts.quantile(p)? as u64);
        Some(OrderSessions {
            mean: OrderHours {
                in_shop_time: self.in_shop_time.mean()?,
                sessions: self.sessions.mean()?,
            },
            sessions_p50: quantile(0.5)?,
            sessions_p90: quantile(0.9)?,
        })
    }
}

/// Sums of a candidate.
#[derive(Debug)]
pub(super) struct CalendarSums {
    /// Seconds.
    measured: f64,
    orders: HoursSums,
    forced: u64,
    completion: Option<CompletionSums>,
    in_time: Vec<InTimeSums>,
}

impl CalendarSums {
    pub fn of(shop: &Shop) -> CalendarSums {
        CalendarSums {
            measured: 0.0,
            orders: HoursSums::default(),
            forced: 0,
            completion: CompletionSums::of(shop),
            in_time: InTimeSums::all(shop),
        }
    }

    pub fn add(&mut self, record: &Record) {
        self.measured += record.measured_on_calendar().seconds();
        self.orders.add(&record.projects);
        self.forced += record.forced;
        if let Some(completion) = &mut self.completion {
            completion.add(record);
        }
        self.in_time.iter_mut().for_each(|sums| sums.add(record));
    }

    /// How often what somebody wants by some day is done by then.
    pub fn in_time(&self, shop: &Shop, settings: &Settings, runs: u64) -> Vec<InTime> {
        let of = |sums: &InTimeSums| sums.findings(shop, settings, runs);
        self.in_time.iter().map(of).collect()
    }

    pub fn completion(&self) -> Option<&CompletionSums> {
        self.completion.as_ref()
    }

    /// When all orders of a project are done.
    pub fn project_done(&self, project: ProjectId, shop: &Shop) -> Option<Completion> {
        let completion = self.completion.as_ref()?;
        completion.project_done(project, &shop.calendar)
    }

    /// Of so many replications.
    pub fn findings(&self, shop: &Shop, starts: Option<Date>, runs: f64) -> CandidateHours {
        let completion = self.completion.as_ref();
        CandidateHours {
            calendar: shop.calendar.clone(),
            starts,
            measured_on_calendar: self.measured / runs,
            forced: self.forced as f64 / runs,
            per_order: self.orders.per_order(),
            all_done: completion.and_then(|sums| sums.all_done(&shop.calendar)),
        }
    }
}
