//! Every phase of one replication, for those who check a run by hand.

use super::chronicle::Witness;
use super::measured::MeasuredTime;
use crate::engine::{Doing, Job, Occupied, OrderDone, OrderReleased, Phase};
use crate::shop::{Calendar, OrderLineId, ProjectId, StationId};
use crate::units::{Moment, Span, Time};

/// Tells everything that happens line by line, in the order in which it began, on the calendar. Nothing is kept.
#[derive(Debug)]
pub struct Trace<'c, F> {
    tell: F,
    calendar: &'c Calendar,
    /// All of the run: phases are cut at its end.
    time: MeasuredTime<Moment>,
    /// When the lot that has just become ready did so.
    ready_at: Moment,
    /// When a task was last chosen.
    chosen: Time,
    /// The lot that has just become ready, which then joins queues.
    ready: Option<Job>,
    /// Lines of queues that a lot has just left, until it is said which one.
    left: Vec<TraceLine>,
}

#[derive(Debug, Clone)]
pub struct TraceLine {
    pub start: Moment,
    pub end: Moment,
    /// The end that the phase would have had, if the end of the run has cut it.
    pub cut: Option<Moment>,
    /// The lot that it is about, if it is about one.
    pub job: Option<Job>,
    pub what: What,
}

#[derive(Debug, Clone)]
pub enum What {
    Released {
        project: ProjectId,
        order: u64,
    },
    Done {
        project: ProjectId,
        line: OrderLineId,
        order: u64,
    },
    Chosen,
    Phase {
        of: Occupied,
        doing: Doing,
    },
    Queued {
        station: StationId,
    },
    Unqueued {
        station: StationId,
        waited: Span,
    },
    End,
}

impl<'c, F: FnMut(&TraceLine)> Trace<'c, F> {
    /// Of a run that ends at a horizon, or with its last order.
    pub fn new(calendar: &'c Calendar, until: Option<Moment>, tell: F) -> Trace<'c, F> {
        Trace {
            tell,
            calendar,
            time: MeasuredTime::on_calendar(Moment::START, Span::ZERO, until),
            ready_at: Moment::START,
            chosen: Time::START,
            ready: None,
            left: Vec::new(),
        }
    }

    fn instant(&mut self, what: What, now: Moment, job: Option<Job>) {
        (self.tell)(&TraceLine {
            start: now,
            end: now,
            cut: None,
            job,
            what,
        });
    }

    fn phase(&mut self, phase: &Phase, end: Time, job: &Job) {
        let calendar = self.calendar;
        let (start, end) = match phase.moments {
            Some(moments) => moments,
            // What takes no time does not wait for an opening, unless a task begins with it.
            None if end == phase.start && end != self.chosen => {
                (calendar.end_at(end), calendar.end_at(end))
            }
            None if end == phase.start => (calendar.beginning_at(end), calendar.beginning_at(end)),
            None => (calendar.beginning_at(phase.start), calendar.end_at(end)),
        };
        (self.tell)(&TraceLine {
            start,
            end: self.time.cut(end),
            cut: (!self.time.contains(start, end)).then_some(end),
            job: Some(*job),
            what: What::Phase {
                of: phase.of,
                doing: phase.doing,
            },
        });
    }
}

impl<F: FnMut(&TraceLine)> Witness for Trace<'_, F> {
    fn begins(&mut self, phase: &Phase, job: &Job) {
        if let Some(end) = phase.end {
            self.phase(phase, end, job);
        }
    }

    /// A phase of which the end was not certain has its line where it ends.
    fn ends(&mut self, phase: &Phase, job: &Job, now: Time) {
        if phase.end.is_none() {
            self.phase(phase, now, job);
        }
    }

    fn task(&mut self, job: &Job, now: Time) {
        self.chosen = now;
        for line in self.left.drain(..) {
            (self.tell)(&TraceLine {
                job: Some(*job),
                ..line
            });
        }
        self.instant(What::Chosen, self.calendar.beginning_at(now), Some(*job));
    }

    fn ready(&mut self, job: &Job, moment: Moment) {
        self.ready = Some(*job);
        self.ready_at = moment;
    }

    fn queued(&mut self, station: StationId, _now: Time) {
        self.instant(What::Queued { station }, self.ready_at, self.ready);
    }

    fn unqueued(&mut self, station: StationId, since: Time, now: Time) {
        let waited = now - since;
        let now = self.calendar.beginning_at(now);
        self.left.push(TraceLine {
            start: now,
            end: now,
            cut: None,
            job: None,
            what: What::Unqueued { station, waited },
        });
    }

    fn released(&mut self, released: &OrderReleased) {
        let OrderReleased { project, order, .. } = *released;
        self.instant(What::Released { project, order }, released.released, None);
    }

    fn done(&mut self, order: &OrderDone) {
        let what = What::Done {
            project: order.project,
            line: order.line,
            order: order.order,
        };
        self.instant(what, order.done, None);
    }

    fn end(&mut self, _now: Time, moment: Moment) {
        self.instant(What::End, moment, None);
    }
}
