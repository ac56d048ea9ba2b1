//! One replication of a shop that keeps hours, on the calendar: in which session what was worked on, and what dried
//! meanwhile and overnight.

use super::run::trace;
use super::{Failure, Study};
use crate::engine::{Doing, Job, Occupied};
use crate::metrics::{TraceLine, What};
use crate::shop::{Calendar, Date, Shop};
use crate::units::Moment;

/// The weeks of a replication.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkedWeeks {
    pub calendar: Calendar,
    /// The day on which the run begins.
    pub starts: Option<Date>,
    /// In the order in which they are first worked on.
    pub orders: Vec<WorkedOrder>,
    /// By when they begin; work that goes on after a night is one stretch.
    pub worked: Vec<WorkedStretch>,
    pub dried: Vec<DriedStretch>,
    pub end: Moment,
    /// Whether something is worked on while the shop is shut, which is not told apart here.
    pub works_after_hours: bool,
}

/// An order by the name of its project, with its number where there are several.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorkedOrder {
    pub project: String,
    /// From 1, in the order of release.
    pub number: u64,
}

/// Work on a lot at a station.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorkedStretch {
    /// Its place in the orders.
    pub order: usize,
    pub operation: String,
    pub from: Moment,
    pub to: Moment,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DriedStretch {
    pub order: usize,
    pub from: Moment,
    pub to: Moment,
}

/// Plays one replication of a candidate, the first of which is 0; None where the shop is always open.
///
/// # Errors
/// If the replication gets stuck.
pub(super) fn worked_weeks(
    study: &Study,
    candidate: usize,
    replication: u32,
) -> Result<Option<WorkedWeeks>, Failure> {
    let shop = &study.candidates[candidate].shop;
    if shop.calendar.is_always_open() {
        return Ok(None);
    }
    let mut weeks = WorkedWeeks {
        calendar: shop.calendar.clone(),
        starts: study.settings.starts,
        orders: Vec::new(),
        worked: Vec::new(),
        dried: Vec::new(),
        end: Moment::START,
        works_after_hours: shop.ordered_work().any(|(_, work)| work.after_hours),
    };
    let mut numbers: Vec<u64> = Vec::new();
    trace(study, candidate, replication, |line| {
        weeks.hear(line, shop, &mut numbers)
    })?;
    weeks
        .worked
        .sort_by_key(|stretch| (stretch.from, stretch.to));
    Ok(Some(weeks))
}

impl WorkedWeeks {
    fn hear(&mut self, line: &TraceLine, shop: &Shop, numbers: &mut Vec<u64>) {
        let (from, to) = (line.start, line.end);
        match (&line.what, &line.job) {
            (What::End, _) => self.end = line.end,
            (What::Phase { of, doing }, Some(job)) if to > from => match (of, doing) {
                (Occupied::Unit(..), Doing::Work { .. }) => {
                    let operation = job.operation.map(|id| shop.operations[id].clone());
                    let order = self.place(job, shop, numbers);
                    self.worked.push(WorkedStretch {
                        order,
                        operation: operation.unwrap_or_default(),
                        from,
                        to,
                    });
                }
                (Occupied::Unit(..) | Occupied::SetAside(_), Doing::Cure) => {
                    let order = self.place(job, shop, numbers);
                    self.dried.push(DriedStretch { order, from, to });
                }
                _ => {}
            },
            _ => {}
        }
    }

    /// The place of a job's order among those that have been worked on.
    fn place(&mut self, job: &Job, shop: &Shop, numbers: &mut Vec<u64>) -> usize {
        if let Some(known) = numbers.iter().rposition(|number| *number == job.order) {
            return known;
        }
        numbers.push(job.order);
        self.orders.push(WorkedOrder {
            project: shop.projects[job.project].name.clone(),
            number: job.order + 1,
        });
        numbers.len() - 1
    }
}
