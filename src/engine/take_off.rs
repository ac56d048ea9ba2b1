//! What a cure has tied up is taken off by somebody, as a task of its own.

use super::agenda::Event;
use super::draws;
use super::phase::{Doing, Occupied, Phase, WorkPhase};
use super::prepared_shop::PreparedChoice;
use super::recorder::{Job, Recorder};
use super::seize::cure_ties_up;
use super::simulation::Simulation;
use super::specialization::Specialization;
use super::task::job;
use super::task_times::TakeOffTimes;
use crate::floor::Manner;
use crate::shop::{GearId, PersonId};
use crate::units::{Span, Time};

impl<R: Recorder + ?Sized, S: Specialization> Simulation<'_, '_, R, S> {
    /// The task after whose cure something is taken off, as recorders know it.
    fn take_off_job(&self, task: u32) -> Option<Job> {
        let task = &self.state.tasks[task];
        let choice = self.prepared.choice_at(task.choice?);
        Some(Job {
            takes_off: true,
            ..job(task.lot, &self.state.lots[task.lot], choice)
        })
    }

    /// How long it takes to take off what the cure of a task ties up.
    pub(super) fn take_off_takes(&self, task: u32, choice: &PreparedChoice) -> Span {
        let key = self.state.lots[self.state.tasks[task].lot].key;
        let cure = choice.work.cure.as_ref();
        let takes = cure.and_then(|cure| cure.take_off.as_ref());
        takes.map_or(Span::ZERO, |takes| draws::take_off(takes, key, choice.step))
    }

    /// The unit that the cure of a task ties up.
    fn unit_tied_up(&self, task: u32) -> Option<Occupied> {
        let task = &self.state.tasks[task];
        let choice = self.prepared.choice_at(task.choice?);
        let cure = choice.work.cure.as_ref()?;
        (cure.ties_up_station).then_some(Occupied::Unit(choice.station, task.unit))
    }

    /// Gear is taken until somebody takes it off, and nobody knows when that is.
    pub(super) fn keep_gear(&mut self, gear: GearId, count: u32, from: Time) {
        let kept = Occupied::Gear(gear, count);
        self.recorder.phase(&Phase::open(kept, Doing::Taken, from));
    }

    /// What was kept until it was taken off is free.
    fn tell_gear_taken_off(&mut self, task: u32) {
        let (now, of) = (self.time(), &self.state.tasks[task]);
        let Some((choice, job)) = of.choice.zip(self.take_off_job(task)) else {
            return;
        };
        let work = self.prepared.choice_at(choice).work;
        for &(gear, count) in &work.gear {
            if cure_ties_up(work, gear) {
                self.recorder.about(&job);
                let kept = Occupied::Gear(gear, count.of(of.pieces));
                self.recorder.ends(kept, now);
            }
        }
    }

    /// A lot has cured: it lies where it is until somebody takes off what it ties up.
    pub(super) fn waits_to_be_taken_off(&mut self, task: u32) {
        let (now, lot) = (self.time(), self.state.tasks[task].lot);
        let lot_now = &mut self.state.lots[lot];
        (lot_now.ready, lot_now.ready_time) = (self.state.now, now);
        self.state.take_offs.push(task);
        let Some(job) = self.take_off_job(task) else {
            return;
        };
        self.recorder.ready(&job, now, self.state.now);
        if let Some(unit) = self.unit_tied_up(task) {
            self.recorder.about(&job);
            self.recorder.phase(&Phase::open(unit, Doing::Blocked, now));
        }
    }

    /// Somebody goes where a lot has cured and takes off what it ties up; where they last worked stays as it was.
    pub(super) fn start_take_off(&mut self, nth: usize, person: PersonId) {
        let task = self.state.take_offs.swap_remove(nth);
        let (now, unit) = (self.time(), self.unit_tied_up(task));
        let of = self.state.tasks[task];
        let Some((choice, job)) = of.choice.zip(self.take_off_job(task)) else {
            return;
        };
        let choice = self.prepared.choice_at(choice);
        if let Some(unit) = unit {
            self.recorder.ends(unit, now);
        }
        self.recorder.task(&job, now);
        self.seize_person(person);
        self.state.people[person.index()].next_helper = None;
        let mut carrier = self.carrier(person);
        self.roll_in_own(&mut carrier, Some(choice.station));
        self.walk(&mut carrier, Manner::Empty, choice.here);
        self.recorder.fetched(person, now, carrier.time);
        self.state.people[person.index()].place = carrier.at;
        let station = choice.station;
        let takes_off = Doing::Work {
            phase: WorkPhase::TakeOff,
            at: station,
        };
        let begins = carrier.time;
        let lasts = self.take_off_takes(task, choice);
        let ends = self.carrier_until(&carrier, takes_off, lasts);
        if let Some(unit) = unit {
            self.tell_interruptions(unit, takes_off, carrier.times, (begins, ends));
        }
        self.recorder.take_off(
            &TakeOffTimes {
                station,
                unit: unit.map(|_| of.unit),
                chosen: now,
                begins,
                ends,
            },
            person,
        );
        if self.is_forced_by(person, ends) {
            self.recorder.forced(&job, now);
        }
        self.recorder.told();
        self.state.tasks[task].people = Some(person);
        let taken_off = self.end_at(ends);
        self.state.agenda.plan(taken_off, Event::TakenOff(task));
    }

    pub(super) fn taken_off(&mut self, slot: u32) {
        let task = self.state.tasks[slot];
        if let Some(person) = task.people {
            self.release_person(person);
        }
        self.tell_gear_taken_off(slot);
        if let Some(choice) = task.choice {
            self.operation_ends(slot, task, self.prepared.choice_at(choice));
        }
    }
}
