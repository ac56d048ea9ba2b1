//! Who takes what when, and what the others wait for: every decision of one run, for those who want to follow it.

use super::needs::{Needs, Short};
use crate::engine::{
    CureTimes, Doing, Interruption, Job, Occupied, OrderDone, OrderReleased, Phase, Recorder,
    TakeOffTimes, TaskTimes, Walk, Workers,
};
use crate::floor::Manner;
use crate::shop::{GearId, PersonId, PlaceId, ProjectId, Shop, StationId};
use crate::units::{Moment, Time};

/// Tells what is decided at one instant after the other. Keeps what waits, and nothing of what has been told.
#[derive(Debug)]
pub struct Decisions<'c, F> {
    tell: F,
    shop: &'c Shop,
    now: Time,
    needs: Needs,
    waiting: Vec<WaitingLot>,
    task: Option<TaskTold>,
    instant: DecisionInstant,
}

/// What is decided at an instant.
#[derive(Debug, Clone, Default)]
pub struct DecisionInstant {
    pub now: Moment,
    pub taken: Vec<TakenLot>,
    /// Lots that wait for something else than when they were last told of.
    pub waiting: Vec<(Job, WaitsFor)>,
    /// Orders that are done.
    pub done: Vec<(ProjectId, u64)>,
}

impl DecisionInstant {
    fn is_empty(&self) -> bool {
        self.taken.is_empty() && self.waiting.is_empty() && self.done.is_empty()
    }
}

/// A lot that somebody, or a station by itself, takes.
#[derive(Debug, Clone)]
pub struct TakenLot {
    pub job: Job,
    pub ready_since: Moment,
    pub people: Vec<PersonId>,
    /// Where it is carried from, if it is; of an assembly that is begun, the first of what it is made of.
    pub carried_from: Option<PlaceId>,
    /// None for a delivery.
    pub station: Option<StationId>,
    /// The end of the work; of what takes none, when it begins.
    pub until: Moment,
}

/// What a lot that is ready waits for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WaitsFor {
    /// None that can do its operation is free.
    Station,
    /// The same, while all of them cure.
    CureAtStation,
    /// For something to be over that does not go together with it.
    KeptApart,
    Gear(GearId),
    Person,
}

#[derive(Debug, Clone, Copy)]
struct WaitingLot {
    job: Job,
    since: Moment,
    /// None for a delivery.
    need: Option<usize>,
    told: Option<WaitsFor>,
}

/// What has been told of a task.
#[derive(Debug)]
struct TaskTold {
    lot: TakenLot,
    /// From where and to where somebody carried or pushed something.
    loads: Vec<(PlaceId, PlaceId)>,
    unit: Option<(StationId, u32)>,
    ends: Time,
    unit_free: Time,
}

impl<'c, F: FnMut(&DecisionInstant)> Decisions<'c, F> {
    pub fn new(shop: &'c Shop, tell: F) -> Decisions<'c, F> {
        Decisions {
            tell,
            shop,
            now: Time::START,
            needs: Needs::new(shop),
            waiting: Vec::new(),
            task: None,
            instant: DecisionInstant::default(),
        }
    }

    /// Goes on to an instant; tells of the one before if it is over.
    fn pass(&mut self, now: Time) {
        if now > self.now {
            self.tell();
            self.now = now;
        }
    }

    fn tell(&mut self) {
        let at = self.now;
        for nth in 0..self.waiting.len() {
            let lot = self.waiting[nth];
            let waits_for = self.waits_for(&lot, at);
            if lot.told != Some(waits_for) {
                self.waiting[nth].told = Some(waits_for);
                self.instant.waiting.push((lot.job, waits_for));
            }
        }
        if !self.instant.is_empty() {
            self.instant.now = self.shop.calendar.beginning_at(at);
            (self.tell)(&self.instant);
            self.instant = DecisionInstant::default();
        }
    }

    fn waits_for(&self, lot: &WaitingLot, at: Time) -> WaitsFor {
        let Some(need) = lot.need.map(|need| &self.needs.all()[need]) else {
            return WaitsFor::Person;
        };
        match self.needs.short(need, at) {
            Some(Short::Station) if self.needs.all_units_cure(need, at) => WaitsFor::CureAtStation,
            Some(Short::Station) => WaitsFor::Station,
            Some(Short::KeptApart) => WaitsFor::KeptApart,
            Some(Short::Gear) => {
                let gear = self.needs.missing_gear(need, at);
                gear.map_or(WaitsFor::KeptApart, WaitsFor::Gear)
            }
            None => WaitsFor::Person,
        }
    }

    /// What is brought besides comes last; a cart is first pushed to what it is to carry.
    fn carried_from(&self, task: &TaskTold) -> Option<PlaceId> {
        let (job, station) = (&task.lot.job, task.lot.station?);
        let item = &self.shop.projects[job.project].items[job.item.index()];
        let mut choices = item.route.get(job.step as usize)?.choices.iter();
        let choice = choices.find(|choice| choice.station == station)?;
        let (work, here) = (&choice.work, choice.place());
        let stored = work
            .gear
            .iter()
            .filter_map(|&(gear, _)| self.shop.gear[gear].stored_at);
        let besides = stored
            .chain(work.fetch_from)
            .filter(|&from| !self.shop.is_at(from, here))
            .count();
        let around = work.walks_around().map_or(0, |of| of.passes * job.pieces);
        let besides = besides + around as usize;
        let mut brought: Vec<PlaceId> = (task.loads.iter())
            .filter_map(|&(from, to)| (to == here).then_some(from))
            .collect();
        brought.truncate(brought.len().saturating_sub(besides));
        brought.first().copied()
    }

    fn takes_part(&mut self, person: PersonId) {
        if let Some(task) = &mut self.task
            && !task.lot.people.contains(&person)
        {
            task.lot.people.push(person);
        }
    }
}

impl<F: FnMut(&DecisionInstant)> Recorder for Decisions<'_, F> {
    fn task(&mut self, job: &Job, now: Time) {
        self.pass(now);
        let mut waiting = self.waiting.iter();
        let place = waiting.position(|lot| lot.job.lot_slot == job.lot_slot);
        let now_there = self.shop.calendar.beginning_at(now);
        let since = place.map(|place| self.waiting.remove(place).since);
        self.task = Some(TaskTold {
            lot: TakenLot {
                job: *job,
                ready_since: since.unwrap_or(now_there),
                people: Vec::new(),
                carried_from: None,
                station: None,
                until: now_there,
            },
            loads: Vec::new(),
            unit: None,
            ends: now,
            unit_free: now,
        });
    }

    /// Tasks are taken as a whole; what is held without an end being known is not.
    fn phase(&mut self, phase: &Phase) {
        match phase.doing {
            Doing::Walk { .. } | Doing::Handle { .. } => {}
            Doing::Reserved => self.needs.rolled_in(phase),
            Doing::Work { .. } | Doing::Cure => {}
            Doing::Serviced | Doing::LeftStanding => {}
            Doing::Blocked | Doing::Taken if phase.end.is_none() => {
                self.needs.held(phase.of, phase.start);
            }
            Doing::Blocked | Doing::Taken => {}
        }
    }

    fn ends(&mut self, of: Occupied, now: Time) {
        self.pass(now);
        self.needs.is_free(of, now);
    }

    fn interrupted(&mut self, _interruption: &Interruption) {}

    fn walk(&mut self, walk: &Walk) {
        self.takes_part(walk.person);
        if let Some(task) = &mut self.task
            && walk.manner != Manner::Empty
        {
            task.loads.push((walk.from, walk.to));
        }
    }

    fn fetched(&mut self, person: PersonId, _start: Time, end: Time) {
        self.takes_part(person);
        if let Some(task) = &mut self.task {
            task.lot.until = self.shop.calendar.end_at(end);
        }
    }

    fn work(&mut self, work: &TaskTimes, workers: Workers<'_>) {
        for person in workers {
            self.takes_part(person);
        }
        if let Some(task) = &mut self.task {
            let until = work.moments.map(|[.., until]| until);
            task.lot.station = Some(work.station);
            task.lot.until = until.unwrap_or_else(|| self.shop.calendar.end_at(work.ends));
            task.unit = Some((work.station, work.unit));
            (task.ends, task.unit_free) = (work.ends, work.ends);
        }
    }

    fn take_off(&mut self, times: &TakeOffTimes, person: PersonId) {
        self.takes_part(person);
        if let Some(task) = &mut self.task {
            task.lot.station = Some(times.station);
            task.lot.until = self.shop.calendar.end_at(times.ends);
            task.unit = times.unit.map(|unit| (times.station, unit));
            (task.ends, task.unit_free) = (times.ends, times.ends);
        }
    }

    fn cure(&mut self, cure: &CureTimes) {
        if let Some(task) = &mut self.task
            && cure.unit.is_some()
        {
            task.unit_free = cure.end;
        }
    }

    fn gear(
        &mut self,
        gear: GearId,
        amount: u32,
        (start, end): (Time, Time),
        _moments: (Moment, Moment),
    ) {
        self.needs.gear_taken(gear, amount, start, end);
    }

    fn slot_held(&mut self, slot: u32, until: Time) {
        self.needs.slot_held(slot, self.now, until);
    }

    fn told(&mut self) {
        if let Some(mut task) = self.task.take() {
            task.lot.carried_from = self.carried_from(&task);
            if let Some(unit) = task.unit {
                self.needs
                    .unit_taken(unit, self.now, task.ends, task.unit_free);
            }
            self.instant.taken.push(task.lot);
        }
    }

    fn ready(&mut self, job: &Job, now: Time, moment: Moment) {
        self.pass(now);
        let is_work = job.operation.is_some() && !job.takes_off;
        let (project, item) = (job.project.index(), job.item.index());
        let need = is_work.then(|| self.needs.of_step(project, item, job.step as usize));
        self.waiting.push(WaitingLot {
            job: *job,
            since: moment,
            need,
            told: None,
        });
    }

    fn needs_nobody(&mut self, job: &Job, _now: Time) {
        let mut waiting = self.waiting.iter_mut();
        let lot = waiting.find(|lot| lot.job.lot_slot == job.lot_slot);
        if let Some(lot) = lot {
            lot.need = lot.need.map(|need| self.needs.unattended(need));
        }
    }

    fn released(&mut self, order: &OrderReleased) {
        self.pass(order.now);
    }

    fn done(&mut self, order: &OrderDone) {
        self.pass(order.now);
        self.instant.done.push((order.project, order.order));
    }

    fn end(&mut self, now: Time, _moment: Moment) {
        self.pass(now);
        self.tell();
    }
}
