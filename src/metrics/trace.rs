//! Every phase of one replication, for those who check a run by hand.

use super::chronicle::Witness;
use super::measured::MeasuredTime;
use crate::engine::{Doing, Job, Occupied, OrderDone, OrderReleased, Phase};
use crate::shop::{OrderLineId, ProjectId, StationId};
use crate::units::{Span, Time};

/// Tells everything that happens line by line, in the order in which it began. Nothing is kept.
#[derive(Debug)]
pub struct Trace<F> {
    tell: F,
    /// All of the run: phases are cut at its end.
    time: MeasuredTime,
    /// The lot that has just become ready, which then joins queues.
    ready: Option<Job>,
    /// Lines of queues that a lot has just left, until it is said which one.
    left: Vec<TraceLine>,
}

#[derive(Debug, Clone)]
pub struct TraceLine {
    pub start: Time,
    pub end: Time,
    /// The end that the phase would have had, if the end of the run has cut it.
    pub cut: Option<Time>,
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

impl<F: FnMut(&TraceLine)> Trace<F> {
    /// Of a run that ends at a horizon, or with its last order.
    pub fn new(until: Option<Time>, tell: F) -> Trace<F> {
        Trace {
            tell,
            time: MeasuredTime::new(Span::ZERO, until),
            ready: None,
            left: Vec::new(),
        }
    }

    fn instant(&mut self, what: What, now: Time, job: Option<Job>) {
        (self.tell)(&TraceLine {
            start: now,
            end: now,
            cut: None,
            job,
            what,
        });
    }

    fn phase(&mut self, phase: &Phase, end: Time, job: &Job) {
        (self.tell)(&TraceLine {
            start: phase.start,
            end: self.time.cut(end),
            cut: (!self.time.contains(phase.start, end)).then_some(end),
            job: Some(*job),
            what: What::Phase {
                of: phase.of,
                doing: phase.doing,
            },
        });
    }
}

impl<F: FnMut(&TraceLine)> Witness for Trace<F> {
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
        for line in self.left.drain(..) {
            (self.tell)(&TraceLine {
                job: Some(*job),
                ..line
            });
        }
        self.instant(What::Chosen, now, Some(*job));
    }

    fn ready(&mut self, job: &Job, _now: Time) {
        self.ready = Some(*job);
    }

    fn queued(&mut self, station: StationId, now: Time) {
        self.instant(What::Queued { station }, now, self.ready);
    }

    fn unqueued(&mut self, station: StationId, since: Time, now: Time) {
        let waited = now - since;
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

    fn end(&mut self, now: Time) {
        self.instant(What::End, now, None);
    }
}
