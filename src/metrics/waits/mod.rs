//! The recorder that finds what the work waits for, and what people wait for.
//!
//! **The work.** An order begins as lots of its parts, its leaves. Each of them lives from the release to the end of
//! the order, first as itself, then inside the assembly that it went into. The lead time of the order is split into
//! the means over its leaves of the time in which they were worked on, carried, cured, waited for a station, for
//! gear, for a person, or, being done, for other parts. A lot that is ready waits for a station while none that can
//! do its operation has a free unit; else for gear while none of those with a free unit has what it takes; else for a
//! person. Lots that replace spoiled pieces are no leaves: the others wait for them.
//!
//! **People.** Somebody who is idle waits for a station if a lot that they have the skill for waits for one whose
//! units are not all curing; else for a cure if anything cures, also where that ties up a station; else for gear if a
//! lot that they have the skill for waits for it; else there is nothing to do for them. Who waits for others at a
//! task that has begun has nothing to do either.
//!
//! Memory grows with the lots and people in process, not with the run.

mod lots;
mod needs;
mod people;

use std::cmp::Reverse;
use std::collections::BinaryHeap;

pub use lots::{LeadTimeComponents, LineLeadTime};
pub use people::IdleTime;

use crate::engine::{Handling, Job, OrderDone, OrderReleased, Recorder, TaskTimes, Walk};
use crate::shop::{GearId, PersonId, PlaceId, Shop, StationId};
use crate::units::{Span, Time};
use lots::{Component, Lots, Ready};
use needs::Needs;
use people::People;

/// Hears a run and finds what was waited for.
#[derive(Debug)]
pub struct Waits {
    needs: Needs,
    people: People,
    lots: Lots,
    /// What the last task has told so far.
    task: Option<Task>,
    /// Who is at it.
    busy: Vec<PersonId>,
    /// Its gear, and when it comes back.
    gear: Vec<(GearId, u32, Time)>,
    /// What happens later, the earliest first.
    changes: BinaryHeap<Reverse<(Time, Change)>>,
    crew: Vec<IdleTime>,
}

/// What was found of a run.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Waited {
    /// By order line.
    pub lead_times: Vec<LineLeadTime>,
    pub crew: Vec<IdleTime>,
}

/// A task whose phases are being told.
#[derive(Debug)]
struct Task {
    job: Job,
    chosen: Time,
    /// The end of the last walk or handling.
    brought: Time,
    work: Option<TaskTimes>,
    /// The end of a cure that ties up the unit.
    unit_until: Option<Time>,
    /// When the lot's cure ends, if it has one.
    cured: Option<Time>,
}

/// Something that was told ahead.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Change {
    UnitBack(StationId),
    UnitCures(StationId),
    UnitCured(StationId),
    GearBack(GearId, u32),
    PersonFree(PersonId),
    CureBegins,
    CureEnds,
}

impl Waits {
    pub fn new(shop: &Shop, warm_up: Span, until: Option<Time>) -> Waits {
        let from = Time::START + warm_up;
        Waits {
            needs: Needs::new(shop),
            people: People::new(shop, from, until.unwrap_or(Time::NEVER)),
            lots: Lots::new(shop, from),
            task: None,
            busy: Vec::new(),
            gear: Vec::new(),
            changes: BinaryHeap::new(),
            crew: Vec::new(),
        }
    }

    /// What the lead times of a run that has ended went into, what each person waited for, and where they worked.
    pub fn into_waited(self) -> Waited {
        Waited {
            lead_times: self.lots.into_found(),
            crew: self.crew,
        }
    }

    /// How many lots and changes are held now.
    pub fn held(&self) -> usize {
        self.lots.held() + self.changes.len()
    }

    /// Goes on to an instant: the last task is told to its end, and what it takes comes back in time.
    fn pass(&mut self, now: Time) {
        self.settle_task();
        let people = &mut self.people;
        while let Some(&Reverse((at, change))) = self.changes.peek()
            && at <= now
        {
            self.changes.pop();
            match change {
                Change::UnitBack(station) => self.needs.give_back_unit(station, at, people),
                Change::UnitCures(station) => self.needs.unit_cures(station, at, people),
                Change::UnitCured(station) => self.needs.unit_is_cured(station, at, people),
                Change::GearBack(gear, amount) => {
                    self.needs.give_back_gear(gear, amount, at, people);
                }
                Change::PersonFree(person) => people.is_free(person, at),
                Change::CureBegins => people.cure_begins(at),
                Change::CureEnds => people.cure_ends(at),
            }
        }
    }

    fn change(&mut self, at: Time, change: Change) {
        self.changes.push(Reverse((at, change)));
    }

    /// Everything of the last task has been told.
    fn settle_task(&mut self) {
        let Some(task) = self.task.take() else {
            return;
        };
        while let Some(person) = self.busy.pop() {
            self.change(self.people.free_at(person), Change::PersonFree(person));
        }
        match task.work {
            Some(work) => self.settle_work(&task, &work),
            None => {
                let lot = self.lots.lot(&task.job, task.chosen);
                lot.spend(Component::Carried, task.brought - task.chosen);
                lot.ends(task.brought);
            }
        }
    }

    fn settle_work(&mut self, task: &Task, at: &TaskTimes) {
        let lot = self.lots.lot(&task.job, task.chosen);
        lot.spend(Component::Carried, at.begins - at.chosen);
        lot.spend(Component::Worked, at.ends - at.begins);
        let cured = task.cured.unwrap_or(at.ends);
        lot.spend(Component::Curing, cured - at.ends);
        lot.ends(cured);
        if cured > at.ends {
            self.change(at.ends, Change::CureBegins);
            self.change(cured, Change::CureEnds);
        }
        self.needs
            .take_unit(at.station, at.chosen, &mut self.people);
        match task.unit_until {
            None => self.change(at.ends, Change::UnitBack(at.station)),
            Some(cured) => {
                self.change(at.ends, Change::UnitCures(at.station));
                self.change(cured, Change::UnitCured(at.station));
            }
        }
        while let Some((gear, amount, until)) = self.gear.pop() {
            self.needs
                .take_gear(gear, amount, at.chosen, &mut self.people);
            self.change(until, Change::GearBack(gear, amount));
        }
    }

    fn occupy(&mut self, person: PersonId, until: Time) {
        let Some(task) = &self.task else {
            return;
        };
        if self.people.occupy(person, task.chosen, until) {
            self.busy.push(person);
        }
    }

    /// Somebody walks or handles something.
    fn brings(&mut self, person: PersonId, start: Time, end: Time) {
        self.occupy(person, end);
        self.people.walks_or_handles(person, start, end);
        if let Some(task) = &mut self.task {
            task.brought = task.brought.max(end);
        }
    }
}

impl Recorder for Waits {
    fn task(&mut self, job: &Job, now: Time) {
        self.pass(now);
        let lot = self.lots.lot(job, now);
        if let Some(Ready { at, need, clocks }) = lot.take_ready() {
            let [mut station, mut gear] = [0; 2];
            if let Some(need) = need {
                let clocks_now = self.needs.clocks(need, now);
                [station, gear] = [clocks_now[0] - clocks[0], clocks_now[1] - clocks[1]];
                self.needs.waits_no_more(need, now, &mut self.people);
            }
            let [station, gear] = [station, gear].map(Span::from_micros);
            lot.spend(Component::Station, station);
            lot.spend(Component::Gear, gear);
            lot.spend(Component::Person, now - at - station - gear);
        }
        self.task = Some(Task {
            job: *job,
            chosen: now,
            brought: now,
            work: None,
            unit_until: None,
            cured: None,
        });
    }

    fn walk(&mut self, walk: &Walk) {
        self.brings(walk.person, walk.start, walk.end);
    }

    fn handling(&mut self, person: PersonId, _: Handling, _: PlaceId, start: Time, end: Time) {
        self.brings(person, start, end);
    }

    fn work(&mut self, work: &TaskTimes, workers: impl Iterator<Item = PersonId> + Clone) {
        for person in workers {
            self.occupy(person, work.ends);
            let instants = [work.begins, work.set_up, work.ends];
            self.people.works(person, work.station, instants);
        }
        if let Some(task) = &mut self.task {
            task.work = Some(*work);
        }
    }

    fn cure(&mut self, _: StationId, unit: Option<u32>, _: Time, end: Time) {
        if let Some(task) = &mut self.task {
            task.cured = Some(end);
            task.unit_until = unit.map(|_| end);
        }
    }

    fn gear(&mut self, gear: GearId, amount: u32, _: Time, end: Time) {
        self.gear.push((gear, amount, end));
    }

    fn ready(&mut self, job: &Job, now: Time) {
        self.pass(now);
        let need = job.operation.map(|_| {
            let (project, item) = (job.project.index(), job.item.index());
            self.needs.of_step(project, item, job.step as usize)
        });
        let mut clocks = [0; 2];
        if let Some(need) = need {
            clocks = self.needs.clocks(need, now);
            self.needs.waits(need, now, &mut self.people);
        }
        let at = now;
        self.lots.ready(job, Ready { at, need, clocks });
    }

    fn released(&mut self, _: &OrderReleased) {}

    fn done(&mut self, order: &OrderDone) {
        self.pass(order.done);
        self.lots.done(order);
    }

    fn end(&mut self, now: Time) {
        self.pass(now);
        self.crew = self.people.found(now);
    }
}
