//! What the engine tells while it plays.

use crate::floor::Manner;
use crate::shop::{
    GearId, ItemId, OperationId, OrderLineId, PersonId, PlaceId, ProjectId, StationId,
};
use crate::units::{Length, Time};

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

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Handling {
    PickUp,
    PutDown,
    Load,
    Unload,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WorkPhase {
    Setup,
    Run,
    Teardown,
}

/// What one unit of a station does; idle is what is left. A closed list, with room for what later stops a station.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StationState {
    /// Chosen, with a person, the lot or gear still on the way.
    Reserved,
    Working(WorkPhase),
    Curing,
}

#[derive(Debug, Clone, Copy)]
pub struct OrderDone {
    pub project: ProjectId,
    pub line: OrderLineId,
    pub order: u64,
    pub released: Time,
    pub done: Time,
}

/// The instants of a task at a station, in this order; a phase that takes no time ends where it begins.
#[derive(Debug, Clone, Copy)]
pub struct TaskTimes {
    pub station: StationId,
    pub unit: u32,
    /// From here on the unit is reserved, with people, the lot or gear still on the way.
    pub chosen: Time,
    pub begins: Time,
    pub set_up: Time,
    pub run: Time,
    /// The end of the tear-down.
    pub ends: Time,
}

impl TaskTimes {
    /// What the unit does, with its beginnings and ends.
    pub fn phases(&self) -> impl Iterator<Item = (StationState, Time, Time)> {
        [
            (StationState::Reserved, self.chosen, self.begins),
            (
                StationState::Working(WorkPhase::Setup),
                self.begins,
                self.set_up,
            ),
            (StationState::Working(WorkPhase::Run), self.set_up, self.run),
            (
                StationState::Working(WorkPhase::Teardown),
                self.run,
                self.ends,
            ),
        ]
        .into_iter()
        .filter(|(_, start, end)| end > start)
    }
}

/// Hears what happens. Events come in the order of time; the phases of a task all come when it is chosen, so they
/// may lie beyond the end of the run and are then cut there by the recorder.
pub trait Recorder {
    /// A task was chosen: the phases that follow belong to it.
    fn task(&mut self, job: &Job, now: Time);
    fn walk(&mut self, walk: &Walk);
    fn handling(&mut self, person: PersonId, what: Handling, at: PlaceId, start: Time, end: Time);
    /// The work of a lot from the choice to the tear-down, with the people who do it; none if the station works
    /// alone.
    fn work(&mut self, work: &TaskTimes, workers: impl Iterator<Item = PersonId> + Clone);
    /// A lot cures; the unit is the one that this ties up, if it does.
    fn cure(&mut self, station: StationId, unit: Option<u32>, start: Time, end: Time);
    fn gear(&mut self, gear: GearId, amount: u32, start: Time, end: Time);
    /// A lot is ready for its next operation or its delivery.
    #[inline(always)]
    fn ready(&mut self, _job: &Job, _now: Time) {}
    /// A lot joins the queue of a station.
    fn queued(&mut self, station: StationId, now: Time);
    /// A lot leaves the queue of a station that it joined at `since`.
    fn unqueued(&mut self, station: StationId, since: Time, now: Time);
    fn released(&mut self, project: ProjectId, order: u64, now: Time);
    fn done(&mut self, order: &OrderDone);
    /// The run is over.
    fn end(&mut self, now: Time);
}

/// Two recorders that hear the same, the first one first.
impl<A: Recorder, B: Recorder> Recorder for (A, B) {
    fn task(&mut self, job: &Job, now: Time) {
        self.0.task(job, now);
        self.1.task(job, now);
    }

    fn walk(&mut self, walk: &Walk) {
        self.0.walk(walk);
        self.1.walk(walk);
    }

    fn handling(&mut self, person: PersonId, what: Handling, at: PlaceId, start: Time, end: Time) {
        self.0.handling(person, what, at, start, end);
        self.1.handling(person, what, at, start, end);
    }

    fn work(&mut self, work: &TaskTimes, workers: impl Iterator<Item = PersonId> + Clone) {
        self.0.work(work, workers.clone());
        self.1.work(work, workers);
    }

    fn cure(&mut self, station: StationId, unit: Option<u32>, start: Time, end: Time) {
        self.0.cure(station, unit, start, end);
        self.1.cure(station, unit, start, end);
    }

    fn gear(&mut self, gear: GearId, amount: u32, start: Time, end: Time) {
        self.0.gear(gear, amount, start, end);
        self.1.gear(gear, amount, start, end);
    }

    fn ready(&mut self, job: &Job, now: Time) {
        self.0.ready(job, now);
        self.1.ready(job, now);
    }

    fn queued(&mut self, station: StationId, now: Time) {
        self.0.queued(station, now);
        self.1.queued(station, now);
    }

    fn unqueued(&mut self, station: StationId, since: Time, now: Time) {
        self.0.unqueued(station, since, now);
        self.1.unqueued(station, since, now);
    }

    fn released(&mut self, project: ProjectId, order: u64, now: Time) {
        self.0.released(project, order, now);
        self.1.released(project, order, now);
    }

    fn done(&mut self, order: &OrderDone) {
        self.0.done(order);
        self.1.done(order);
    }

    fn end(&mut self, now: Time) {
        self.0.end(now);
        self.1.end(now);
    }
}
