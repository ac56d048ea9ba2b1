//! What the engine tells while it plays.
//!
//! Two rules hold for every phase. It is told no later than it begins; with its end if that is certain, otherwise it
//! is told without one and closed when it ends. And nothing that is told later begins before now. A recorder that
//! wants to hear beginnings and ends in the order of time is a witness of a chronicle, which puts them in order and cuts
//! them at the end of the run.
//!
//! Instants are in shop time, which stands still while the shop is shut. What goes on meanwhile is told with its moments
//! of the calendar as well.

use super::phase::{Doing, Handling, Occupied, Phase, WorkPhase};
use super::task_times::{CureTimes, Interruption, StopKind, StopTimes, TakeOffTimes, TaskTimes};
use super::workers::Workers;
use crate::floor::Manner;
use crate::shop::{
    GearId, ItemId, OperationId, OrderLineId, PersonId, PlaceId, ProjectId, StationId,
};
use crate::units::{Length, Moment, Span, Time};

/// What a task is about; told before its phases.
#[derive(Debug, Clone, Copy)]
pub struct Job {
    pub project: ProjectId,
    /// Orders are counted in the order of their release, from 0.
    pub order: u64,
    pub item: ItemId,
    pub batch: u32,
    pub pieces: u32,
    /// None for a delivery.
    pub operation: Option<OperationId>,
    pub step: u32,
    /// Whether something is taken off that the operation's cure has tied up.
    pub takes_off: bool,
    /// Where the lot and its order are kept while they are in process. Small numbers, of which no two lots or orders
    /// have the same at one time; once they are done, others get theirs.
    pub lot_slot: u32,
    pub order_slot: u32,
}

#[derive(Debug, Clone, Copy)]
pub struct Walk {
    pub person: PersonId,
    pub manner: Manner,
    pub from: PlaceId,
    pub to: PlaceId,
    /// The number of this pair of places: `from * places + to`.
    pub pair: usize,
    pub distance: Length,
    pub start: Time,
    pub end: Time,
}

/// An order was released.
#[derive(Debug, Clone, Copy)]
pub struct OrderReleased {
    pub project: ProjectId,
    pub line: OrderLineId,
    pub order: u64,
    /// The [`order_slot`](Job::order_slot) of its jobs.
    pub slot: u32,
    pub now: Time,
    pub released: Moment,
}

#[derive(Debug, Clone, Copy)]
pub struct OrderDone {
    pub project: ProjectId,
    pub line: OrderLineId,
    pub order: u64,
    /// The [`order_slot`](Job::order_slot) of its jobs.
    pub slot: u32,
    pub now: Time,
    pub released: Moment,
    pub done: Moment,
    /// How much of the lead time the shop was shut.
    pub while_shut: Span,
    /// Sessions with working time between release and done; 0 where the shop is always open.
    pub sessions: u64,
    /// How many are built together as this one.
    pub together: u32,
}

/// Hears what happens, in the order of time. What a task is known to take is told when it is chosen: walks, handling,
/// work, cure and gear, each as a whole. A recorder that only adds up takes it like that; for all others it comes
/// apart into phases.
///
/// `phase`, `ends` and `interrupted` have no default. Whoever takes tasks as a whole goes through all of [`Doing`] in `phase`, so that
/// a kind of phase that does not come with a task cannot be added without saying what is counted of it.
pub trait Recorder {
    /// A task was chosen: what follows, up to [`told`](Self::told), belongs to it.
    fn task(&mut self, job: &Job, now: Time);

    /// A phase, which may begin later than now. Who takes tasks as a whole does not hear their phases.
    fn phase(&mut self, phase: &Phase);

    /// A phase that was told without an end ends now; of gear, that of the lot that was told [about](Self::about).
    fn ends(&mut self, of: Occupied, now: Time);

    /// A phase that is told next stands still for some time of it.
    fn interrupted(&mut self, interruption: &Interruption);

    #[inline]
    fn walk(&mut self, walk: &Walk) {
        let &Walk {
            person,
            manner,
            from,
            to,
            distance,
            start,
            end,
            ..
        } = walk;
        let walks = Doing::Walk {
            manner,
            from,
            to,
            distance,
        };
        self.phase(&Phase::closed(Occupied::Person(person), walks, start, end));
    }

    #[inline]
    fn handling(&mut self, person: PersonId, what: Handling, at: PlaceId, start: Time, end: Time) {
        let handles = Doing::Handle { what, at };
        self.phase(&Phase::closed(
            Occupied::Person(person),
            handles,
            start,
            end,
        ));
    }

    /// What the walks and handlings of somebody that were told for the task come to: they follow each other without a
    /// pause from `start` to `end`.
    #[inline(always)]
    fn fetched(&mut self, _person: PersonId, _start: Time, _end: Time) {}

    /// The work of a lot from the choice to the tear-down, with the people who do it; none if the station works
    /// alone.
    #[inline]
    fn work(&mut self, work: &TaskTimes, workers: Workers<'_>) {
        for phase in work.phases() {
            self.phase(&phase);
            if matches!(phase.doing, Doing::Work { .. }) {
                for person in workers.clone() {
                    self.phase(&Phase {
                        of: Occupied::Person(person),
                        ..phase
                    });
                }
            }
        }
    }

    /// In the run of the task that is told next somebody sees to upkeep, for which others wait, or takes what has come
    /// out. What is fetched is told as walks and handlings.
    #[inline]
    fn stopped(&mut self, times: &StopTimes, server: PersonId, _others: &[PersonId]) {
        if times.kind == StopKind::WalkAround {
            return;
        }
        let mut phase = |of, doing, start, end| self.phase(&Phase::closed(of, doing, start, end));
        let unit = Occupied::Unit(times.station, times.unit);
        phase(unit, Doing::Serviced, times.start, times.end);
        let work = Doing::Work {
            phase: WorkPhase::Service,
            at: times.station,
        };
        phase(Occupied::Person(server), work, times.served_from, times.end);
    }

    /// A lot cures.
    #[inline]
    fn cure(&mut self, cure: &CureTimes) {
        let of = match cure.unit {
            Some(unit) => Occupied::Unit(cure.station, unit),
            None => Occupied::SetAside(cure.station),
        };
        self.phase(&Phase {
            of,
            doing: Doing::Cure,
            start: cure.start,
            end: Some(cure.end),
            moments: Some((cure.from, cure.until)),
        });
    }

    /// Somebody takes off what a cure has tied up.
    #[inline]
    fn take_off(&mut self, times: &TakeOffTimes, person: PersonId) {
        let &TakeOffTimes {
            station,
            unit,
            chosen,
            begins,
            ends,
        } = times;
        let mut phase = |of, doing, start: Time, end: Time| {
            if end > start {
                self.phase(&Phase::closed(of, doing, start, end));
            }
        };
        let work = Doing::Work {
            phase: WorkPhase::TakeOff,
            at: station,
        };
        if let Some(unit) = unit {
            let unit = Occupied::Unit(station, unit);
            phase(unit, Doing::Blocked, chosen, begins);
            phase(unit, work, begins, ends);
        }
        phase(Occupied::Person(person), work, begins, ends);
    }

    /// The phase that is told next is about this, and belongs to no task that is being told.
    #[inline(always)]
    fn about(&mut self, _job: &Job) {}

    /// Gear is taken from one instant to another, with their moments.
    #[inline]
    fn gear(&mut self, gear: GearId, amount: u32, time: (Time, Time), moments: (Moment, Moment)) {
        let (start, end) = time;
        self.phase(&Phase {
            of: Occupied::Gear(gear, amount),
            doing: Doing::Taken,
            start,
            end: Some(end),
            moments: Some(moments),
        });
    }

    /// The task that is being told keeps other work from beginning, by a [slot](super::slots) that it holds from its
    /// choice on.
    #[inline(always)]
    fn slot_held(&mut self, _slot: u32, _until: Time) {}

    /// The work of the task that is being told is interrupted though it should not be: it would have fitted no better at
    /// any other time.
    #[inline(always)]
    fn forced(&mut self, _job: &Job, _now: Time) {}

    /// A lot that blocked a unit is put on the floor beside it, since nothing could go on otherwise.
    #[inline(always)]
    fn put_aside(&mut self, _job: &Job, _now: Time) {}

    /// All that is known of the task has been told.
    #[inline(always)]
    fn told(&mut self) {}

    /// A lot is ready for its next operation or its delivery.
    #[inline(always)]
    fn ready(&mut self, _job: &Job, _now: Time, _moment: Moment) {}

    /// The lot that has just become ready needs nobody, neither for the work nor to bring anything.
    #[inline(always)]
    fn needs_nobody(&mut self, _job: &Job, _now: Time) {}

    /// The lot that has become ready last joins the queue of a station.
    #[inline(always)]
    fn queued(&mut self, _station: StationId, _now: Time) {}

    /// A lot leaves the queue of a station that it joined at `since`.
    #[inline(always)]
    fn unqueued(&mut self, _station: StationId, _since: Time, _now: Time) {}

    fn released(&mut self, order: &OrderReleased);
    fn done(&mut self, order: &OrderDone);
    /// The run is over.
    fn end(&mut self, now: Time, moment: Moment);
}
