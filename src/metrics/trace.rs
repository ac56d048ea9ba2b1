//! Every phase of one replication, for those who check a run by hand.

use crate::engine::{Doing, Job, Occupied, OrderDone, OrderReleased, Phase, Recorder};
use crate::shop::{OrderLineId, ProjectId, StationId};
use crate::units::{Span, Time};

/// Everything that happened, in the order in which it began.
#[derive(Debug, Default)]
pub struct Trace {
    lines: Vec<TraceLine>,
    job: Option<Job>,
    /// The lot that has just become ready, which then joins queues.
    ready: Option<Job>,
    end: Time,
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

impl Trace {
    pub fn new() -> Trace {
        Trace::default()
    }

    /// The lines in the order of their beginnings; phases are cut at the end of the run and left out beyond it.
    pub fn into_lines(self) -> Vec<TraceLine> {
        let end = self.end;
        let mut lines: Vec<TraceLine> = self
            .lines
            .into_iter()
            .filter(|line| line.start <= end)
            .collect();
        for line in &mut lines {
            line.cut = (line.end > end).then_some(line.end);
            line.end = line.end.min(end);
        }
        lines.sort_by_key(|line| line.start);
        lines
    }

    fn instant(&mut self, what: What, now: Time, job: Option<Job>) {
        self.lines.push(TraceLine {
            start: now,
            end: now,
            cut: None,
            job,
            what,
        });
    }
}

impl Recorder for Trace {
    fn task(&mut self, job: &Job, now: Time) {
        self.job = Some(*job);
        // The lot has left its queues just before.
        for line in self.lines.iter_mut().rev() {
            if !matches!(line.what, What::Unqueued { .. }) || line.job.is_some() {
                break;
            }
            line.job = self.job;
        }
        self.instant(What::Chosen, now, Some(*job));
    }

    fn phase(&mut self, phase: &Phase) {
        let Phase {
            of,
            doing,
            start,
            end,
        } = *phase;
        self.lines.push(TraceLine {
            start,
            end: end.unwrap_or(Time::NEVER),
            cut: None,
            job: self.job,
            what: What::Phase { of, doing },
        });
    }

    fn ready(&mut self, job: &Job, _now: Time) {
        self.ready = Some(*job);
    }

    fn queued(&mut self, station: StationId, now: Time) {
        self.instant(What::Queued { station }, now, self.ready);
    }

    fn unqueued(&mut self, station: StationId, since: Time, now: Time) {
        let waited = now - since;
        self.instant(What::Unqueued { station, waited }, now, None);
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
        self.lines.push(TraceLine {
            start: order.done,
            end: order.done,
            cut: None,
            job: None,
            what,
        });
    }

    fn end(&mut self, now: Time) {
        self.end = now;
        self.lines.push(TraceLine {
            start: now,
            end: now,
            cut: None,
            job: None,
            what: What::End,
        });
    }
}
