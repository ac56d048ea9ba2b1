//! Everything that a run tells, kept.

use shopstride::engine::{
    CureTimes, Doing, Handling, Interruption, Job, Occupied, OrderDone, OrderReleased, Phase,
    Recorder, TaskTimes, Walk, Workers,
};
use shopstride::shop::{GearId, PersonId, PlaceId};
use shopstride::units::{Moment, Time};

use super::{Heard, Told};

impl Heard {
    fn last(&mut self) -> &mut Told {
        self.tasks.last_mut().expect("a task has been told")
    }
}

impl Recorder for Heard {
    fn task(&mut self, job: &Job, now: Time) {
        self.tasks.push(Told {
            job: *job,
            chosen: now,
            brings: Vec::new(),
            work: None,
            workers: Vec::new(),
            unit_cures_until: None,
            cures: false,
            gear: Vec::new(),
        });
    }

    fn interrupted(&mut self, _interruption: &Interruption) {
        panic!("nothing interrupts a task here");
    }

    /// Tasks are heard as a whole, and there is no other phase.
    fn phase(&mut self, phase: &Phase) {
        match phase.doing {
            Doing::Walk { .. } | Doing::Handle { .. } | Doing::Reserved => {}
            Doing::Work { .. } | Doing::Cure | Doing::Taken => {}
            Doing::Blocked | Doing::Serviced | Doing::LeftStanding => {
                panic!("nothing blocks or wears a unit here")
            }
        }
    }

    fn ends(&mut self, of: Occupied, now: Time) {
        panic!("{of:?} ends at {now:?}, but no phase is open");
    }

    fn walk(&mut self, walk: &Walk) {
        self.last().brings.push((walk.person, walk.start, walk.end));
    }

    fn handling(&mut self, person: PersonId, _: Handling, _: PlaceId, start: Time, end: Time) {
        self.last().brings.push((person, start, end));
    }

    fn work(&mut self, work: &TaskTimes, workers: Workers<'_>) {
        self.last().work = Some(*work);
        self.last().workers = workers.collect();
    }

    fn cure(&mut self, cure: &CureTimes) {
        self.last().unit_cures_until = cure.unit.map(|_| cure.end);
        self.last().cures = true;
    }

    fn gear(&mut self, gear: GearId, amount: u32, (start, end): (Time, Time), _: (Moment, Moment)) {
        self.last().gear.push((gear, amount, start, end));
    }

    fn ready(&mut self, job: &Job, now: Time, _: Moment) {
        self.ready.push((*job, now));
    }

    fn needs_nobody(&mut self, job: &Job, _: Time) {
        self.by_themselves.push(*job);
    }

    fn released(&mut self, _: &OrderReleased) {}

    fn done(&mut self, order: &OrderDone) {
        self.done.push(*order);
    }

    fn end(&mut self, now: Time, _: Moment) {
        self.end = now;
    }
}
