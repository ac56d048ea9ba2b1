//! Two recorders that hear the same.

use super::phase::{Handling, Occupied, Phase};
use super::recorder::{Job, OrderDone, OrderReleased, Recorder, Walk};
use super::task_times::{CureTimes, Interruption, StopTimes, TakeOffTimes, TaskTimes};
use super::workers::Workers;
use crate::shop::{GearId, PersonId, PlaceId, StationId};
use crate::units::{Moment, Time};

/// The first one hears everything first.
impl<A: Recorder, B: Recorder> Recorder for (A, B) {
    fn task(&mut self, job: &Job, now: Time) {
        self.0.task(job, now);
        self.1.task(job, now);
    }

    fn phase(&mut self, phase: &Phase) {
        self.0.phase(phase);
        self.1.phase(phase);
    }

    fn ends(&mut self, of: Occupied, now: Time) {
        self.0.ends(of, now);
        self.1.ends(of, now);
    }

    fn interrupted(&mut self, interruption: &Interruption) {
        self.0.interrupted(interruption);
        self.1.interrupted(interruption);
    }

    fn walk(&mut self, walk: &Walk) {
        self.0.walk(walk);
        self.1.walk(walk);
    }

    fn handling(&mut self, person: PersonId, what: Handling, at: PlaceId, start: Time, end: Time) {
        self.0.handling(person, what, at, start, end);
        self.1.handling(person, what, at, start, end);
    }

    fn fetched(&mut self, person: PersonId, start: Time, end: Time) {
        self.0.fetched(person, start, end);
        self.1.fetched(person, start, end);
    }

    fn work(&mut self, work: &TaskTimes, workers: Workers<'_>) {
        self.0.work(work, workers.clone());
        self.1.work(work, workers);
    }

    fn cure(&mut self, cure: &CureTimes) {
        self.0.cure(cure);
        self.1.cure(cure);
    }

    fn stopped(&mut self, times: &StopTimes, server: PersonId, others: &[PersonId]) {
        self.0.stopped(times, server, others);
        self.1.stopped(times, server, others);
    }

    fn take_off(&mut self, times: &TakeOffTimes, person: PersonId) {
        self.0.take_off(times, person);
        self.1.take_off(times, person);
    }

    fn about(&mut self, job: &Job) {
        self.0.about(job);
        self.1.about(job);
    }

    fn gear(&mut self, gear: GearId, amount: u32, time: (Time, Time), moments: (Moment, Moment)) {
        self.0.gear(gear, amount, time, moments);
        self.1.gear(gear, amount, time, moments);
    }

    fn slot_held(&mut self, slot: u32, until: Time) {
        self.0.slot_held(slot, until);
        self.1.slot_held(slot, until);
    }

    fn forced(&mut self, job: &Job, now: Time) {
        self.0.forced(job, now);
        self.1.forced(job, now);
    }

    fn put_aside(&mut self, job: &Job, now: Time) {
        self.0.put_aside(job, now);
        self.1.put_aside(job, now);
    }

    fn told(&mut self) {
        self.0.told();
        self.1.told();
    }

    fn ready(&mut self, job: &Job, now: Time, moment: Moment) {
        self.0.ready(job, now, moment);
        self.1.ready(job, now, moment);
    }

    fn needs_nobody(&mut self, job: &Job, now: Time) {
        self.0.needs_nobody(job, now);
        self.1.needs_nobody(job, now);
    }

    fn queued(&mut self, station: StationId, now: Time) {
        self.0.queued(station, now);
        self.1.queued(station, now);
    }

    fn unqueued(&mut self, station: StationId, since: Time, now: Time) {
        self.0.unqueued(station, since, now);
        self.1.unqueued(station, since, now);
    }

    fn released(&mut self, order: &OrderReleased) {
        self.0.released(order);
        self.1.released(order);
    }

    fn done(&mut self, order: &OrderDone) {
        self.0.done(order);
        self.1.done(order);
    }

    fn end(&mut self, now: Time, moment: Moment) {
        self.0.end(now, moment);
        self.1.end(now, moment);
    }
}
