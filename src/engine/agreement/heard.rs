//! A recorder that writes down all that it is told.

use crate::engine::{
    CureTimes, Handling, Interruption, Job, Occupied, OrderDone, OrderReleased, Phase, Recorder,
    TaskTimes, Walk, Workers,
};
use crate::shop::{GearId, PersonId, PlaceId, StationId};
use crate::units::{Moment, Time};

/// Writes down all that it hears.
#[derive(Default)]
pub(super) struct Heard(pub Vec<String>);

impl Recorder for Heard {
    fn task(&mut self, job: &Job, now: Time) {
        self.0.push(format!("{job:?} {now:?}"));
    }

    fn phase(&mut self, phase: &Phase) {
        self.0.push(format!("{phase:?}"));
    }

    fn interrupted(&mut self, interruption: &Interruption) {
        self.0.push(format!("{interruption:?}"));
    }

    fn ends(&mut self, of: Occupied, now: Time) {
        self.0.push(format!("{of:?} ends {now:?}"));
    }

    fn told(&mut self) {
        self.0.push("all of it is told".to_owned());
    }

    fn walk(&mut self, walk: &Walk) {
        self.0.push(format!("{walk:?}"));
    }

    fn handling(&mut self, person: PersonId, what: Handling, at: PlaceId, start: Time, end: Time) {
        self.0
            .push(format!("{person:?} {what:?} {at:?} {start:?} {end:?}"));
    }

    fn fetched(&mut self, person: PersonId, start: Time, end: Time) {
        self.0.push(format!("fetched {person:?} {start:?} {end:?}"));
    }

    fn work(&mut self, work: &TaskTimes, workers: Workers<'_>) {
        let workers: Vec<PersonId> = workers.collect();
        self.0.push(format!("{work:?} {workers:?}"));
    }

    fn cure(&mut self, cure: &CureTimes) {
        self.0.push(format!("{cure:?}"));
    }

    fn gear(&mut self, gear: GearId, amount: u32, time: (Time, Time), moments: (Moment, Moment)) {
        self.0
            .push(format!("{gear:?} {amount} {time:?} {moments:?}"));
    }

    fn ready(&mut self, job: &Job, now: Time, moment: Moment) {
        self.0.push(format!("ready {job:?} {now:?} {moment:?}"));
    }

    fn queued(&mut self, station: StationId, now: Time) {
        self.0.push(format!("queued {station:?} {now:?}"));
    }

    fn unqueued(&mut self, station: StationId, since: Time, now: Time) {
        self.0
            .push(format!("unqueued {station:?} {since:?} {now:?}"));
    }

    fn released(&mut self, order: &OrderReleased) {
        self.0.push(format!("{order:?}"));
    }

    fn done(&mut self, order: &OrderDone) {
        // Sessions are counted only where there are some.
        let order = OrderDone {
            sessions: 0,
            ..*order
        };
        self.0.push(format!("{order:?}"));
    }

    fn end(&mut self, now: Time, moment: Moment) {
        self.0.push(format!("end {now:?} {moment:?}"));
    }
}
