//! One replication of a shop that keeps hours, on the calendar: in which session what was worked on, and what dried
//! meanwhile and overnight.

use super::run::trace;
use super::{Failure, Study};
use crate::engine::{Doing, Occupied};
use crate::metrics::{TraceLine, What};
use crate::shop::{Calendar, Date, ProjectId, Shop};
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
    pub done: Vec<DoneOrder>,
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

/// Work on a lot at a station, or carrying one away that is finished.
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

/// The end of an order, by its place in the orders.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DoneOrder {
    pub order: usize,
    pub at: Moment,
}

/// What is done with a lot that is brought to where it is delivered.
const CARRIED_AWAY: &str = "carry away";

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
        done: Vec::new(),
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
            (What::Done { project, order, .. }, _) => {
                let order = self.place((*project, *order), shop, numbers);
                self.done.push(DoneOrder {
                    order,
                    at: line.end,
                });
            }
            (What::Phase { of, doing }, Some(job)) if to > from => match (of, doing) {
                (Occupied::Unit(..), Doing::Work { .. }) => {
                    let operation = job.operation.map(|id| shop.operations[id].clone());
                    let order = self.place((job.project, job.order), shop, numbers);
                    self.worked.push(WorkedStretch {
                        order,
                        operation: operation.unwrap_or_default(),
                        from,
                        to,
                    });
                }
                (Occupied::Person(_), Doing::Walk { .. } | Doing::Handle { .. })
                    if job.operation.is_none() =>
                {
                    let order = self.place((job.project, job.order), shop, numbers);
                    self.worked.push(WorkedStretch {
                        order,
                        operation: CARRIED_AWAY.to_owned(),
                        from,
                        to,
                    });
                }
                (Occupied::Unit(..) | Occupied::SetAside(_), Doing::Cure) => {
                    let order = self.place((job.project, job.order), shop, numbers);
                    self.dried.push(DriedStretch { order, from, to });
                }
                _ => {}
            },
            _ => {}
        }
    }

    /// The place of an order among those that have been worked on.
    fn place(
        &mut self,
        (project, order): (ProjectId, u64),
        shop: &Shop,
        numbers: &mut Vec<u64>,
    ) -> usize {
        if let Some(known) = numbers.iter().rposition(|number| *number == order) {
            return known;
        }
        numbers.push(order);
        self.orders.push(WorkedOrder {
            project: shop.projects[project].name.clone(),
            number: order + 1,
        });
        numbers.len() - 1
    }
}
