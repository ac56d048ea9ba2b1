//! The recorder that finds what the work waits for, and what people wait for.
//!
//! **The work.** An order begins as lots of its parts, its leaves. Each of them lives from the release to the end of
//! the order, first as itself, or inside the material that it is cut from, then inside the assembly that it went into. The lead time of the order is split into
//! the means over its leaves of the time in which they were worked on, carried, cured, waited for a station, for
//! gear, for a person, or, being done, for other parts. A lot that is ready waits for a station while none that can
//! do its operation has a free unit; else it is kept apart while at none of those with a free unit its work goes together
//! with what goes on; else it waits for gear while none of these has what it takes; else for a
//! person. Lots that replace spoiled pieces are no leaves: the others wait for them. All of that is shop time but the
//! cures, which go on while the shop is shut; what is left of the lead time is that in which it was shut.
//!
//! **People.** Somebody waits for what a lot waits for only if they have the skill for that lot's next operation, and
//! it needs somebody. So who is idle waits for a station if such a lot waits for one whose units are not all curing;
//! else for a cure if such a lot cures, or waits for a station all of whose units cure; else until something is over from
//! which such a lot is kept apart; else for gear if such a lot waits for it; else there is nothing to do for them. Who waits for others at a task that has begun has nothing to do
//! either; nor has who is away, which is not idle. What follows a lot's last operation is its delivery, which anybody can do, or the first operation of the
//! assembly that it goes into or of any of the parts that are cut from it.
//!
//! A task is known to its end when it is chosen, so it is known at that instant until when its station and its people
//! are not to be had. Only while somebody is idle, or a lot waits that asks for more than a unit, does time have to be gone through from one
//! change to the next; and then it is enough to look back whenever something is told.
//!
//! Memory grows with the lots and people in process, not with the run.

mod decisions;
mod followers;
mod lots;
mod need_numbers;
mod needs;
mod people;
mod short_clock;

pub use decisions::{DecisionInstant, Decisions, TakenLot, WaitsFor};
pub use lots::{LeadTimeComponents, LineLeadTime};
pub use people::{IdleTime, TimeAtStation};

use super::measured::MeasuredTime;
use crate::engine::{
    CureTimes, Doing, Interruption, Job, Occupied, OrderDone, OrderReleased, Phase, Recorder,
    StopTimes, TakeOffTimes, TaskTimes, Workers,
};
use crate::shop::{GearId, ItemId, PersonId, ProjectId, Shop, StationId};
use crate::units::{Moment, Span, Time};
use followers::Followers;
pub(super) use lots::{LotTimes, Lots};
use lots::{ReadyLot, SpentBy};
use needs::{Needs, ShortTimes};
use people::People;

/// Hears a run and finds what was waited for.
#[derive(Debug, Clone)]
pub struct Waits {
    now: Time,
    needs: Needs,
    people: People,
    lots: Lots,
    task: TaskSoFar,
    followers: Followers,
    /// From here on somebody is idle, as far as has been told; if somebody is idle now, any instant up to now.
    idle_from: Time,
}

/// What has been told of a task.
#[derive(Debug, Clone, Copy)]
struct TaskSoFar {
    spent_by: SpentBy,
    times: LotTimes,
    project: ProjectId,
    item: ItemId,
    step: u32,
    /// None for a delivery.
    unit: Option<(StationId, u32)>,
    /// The end of the work, and that of what ties up the unit.
    ends: Time,
    unit_free: Time,
    /// Whether work at a unit is told: then what the unit does counts of its interruptions, otherwise what the person does.
    is_at_unit: bool,
    /// For how much of what is told as carried and as worked nothing went on.
    carried_interrupted: Span,
    worked_interrupted: Span,
}

/// What was found of a run.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Waited {
    /// By order line.
    pub lead_times: Vec<LineLeadTime>,
    pub crew: Vec<IdleTime>,
    /// What people did where, by person and station: `worked_at[person * stations + station]`. One list, since a list
    /// for each person takes longer to ask memory for than to fill.
    pub worked_at: Vec<TimeAtStation>,
}

impl Waits {
    pub fn new(shop: &Shop, warm_up: Span, until: Option<Moment>) -> Waits {
        let time = MeasuredTime::new(&shop.calendar, warm_up, until);
        let needs = Needs::new(shop);
        Waits {
            now: Time::START,
            people: People::new(shop, &needs, time),
            needs,
            lots: Lots::new(shop, warm_up),
            task: TaskSoFar {
                spent_by: SpentBy::default(),
                times: LotTimes::default(),
                project: ProjectId(0),
                item: ItemId(0),
                step: 0,
                unit: None,
                ends: Time::START,
                unit_free: Time::START,
                is_at_unit: false,
                carried_interrupted: Span::ZERO,
                worked_interrupted: Span::ZERO,
            },
            followers: Followers::new(shop),
            idle_from: Time::START,
        }
    }

    /// The start of another run, in the memory of one that has ended.
    pub fn begin(&mut self) {
        self.now = Time::START;
        self.idle_from = Time::START;
        self.needs.begin();
        self.people.begin();
        self.lots.begin();
    }

    /// What the lead times of a run that has ended went into, what each person waited for, and where they worked.
    pub fn waited(&self) -> Waited {
        Waited {
            lead_times: self.lots.found(),
            crew: self.people.found(self.now),
            worked_at: self.people.worked_at().to_vec(),
        }
    }

    /// Goes on to an instant, up to which all is told.
    #[inline]
    fn pass(&mut self, now: Time) {
        if now > self.now {
            if self.needs.more_is_waited_for() {
                self.look_back(self.now, now);
            } else if self.needs.nothing_waits() && !self.people.is_curing() {
                self.people.wait_for_nothing(self.now);
            } else if self.idle_from < now {
                self.look_back(self.now.max(self.idle_from), now);
            }
            self.now = now;
        }
    }

    /// Goes through the time up to now, from one change to the next.
    #[inline(never)]
    fn look_back(&mut self, from: Time, now: Time) {
        let mut at = from;
        while at < now {
            let mut next = self.people.wait_from(at, &self.needs).min(now);
            if self.needs.more_is_waited_for() {
                next = self.needs.pass_short_times(at, next);
            }
            at = next;
        }
        self.people.forget_cures(now);
    }

    /// A unit or gear is not to be had until it is told that it is; how long a unit is blocked within a task belongs to the
    /// task.
    #[cold]
    fn held(&mut self, phase: &Phase) {
        if phase.end.is_none() {
            if let Occupied::Unit(..) = phase.of {
                self.pass(phase.start);
            }
            self.needs.held(phase.of, phase.start);
        }
    }
}

impl Recorder for Waits {
    #[inline]
    fn task(&mut self, job: &Job, now: Time) {
        self.pass(now);
        let mut times = LotTimes::default();
        let ReadyLot { at, need, clocks } = self.lots.ready(job);
        if let Some(need) = need {
            let [station, apart, gear] = self.needs.clocks(need as usize, now);
            times.waited_station = station - clocks[0];
            times.kept_apart = apart - clocks[1];
            times.waited_gear = gear - clocks[2];
            self.needs.waits_no_more(need as usize);
        }
        let others = times.waited_station + times.kept_apart + times.waited_gear;
        times.waited_person = now - at - others;
        self.task = TaskSoFar {
            spent_by: self.lots.spent_by(job),
            times,
            project: job.project,
            item: job.item,
            step: job.step,
            unit: None,
            ends: now,
            unit_free: now,
            is_at_unit: job.operation.is_some() && !job.takes_off,
            carried_interrupted: Span::ZERO,
            worked_interrupted: Span::ZERO,
        };
    }

    /// Tasks are taken as a whole, and there is no other phase.
    #[inline(always)]
    fn phase(&mut self, phase: &Phase) {
        match phase.doing {
            Doing::Walk { .. } | Doing::Handle { .. } => {}
            Doing::Reserved => self.needs.rolled_in(phase),
            Doing::Work { .. } | Doing::Cure => {}
            Doing::Serviced | Doing::LeftStanding => {}
            Doing::Blocked | Doing::Taken => self.held(phase),
        }
    }

    fn ends(&mut self, of: Occupied, now: Time) {
        self.pass(now);
        self.needs.is_free(of, now);
    }

    /// A lot waits for whoever is away, or until its station may be run, as for a person.
    fn interrupted(&mut self, interruption: &Interruption) {
        let &Interruption {
            of,
            within,
            start,
            end,
        } = interruption;
        if let Occupied::Person(person) = of {
            self.people.interrupted(person, within, start, end);
        }
        if matches!(of, Occupied::Unit(..)) == self.task.is_at_unit {
            match within {
                Doing::Work { .. } => self.task.worked_interrupted += end - start,
                _ => self.task.carried_interrupted += end - start,
            }
        }
    }

    fn stopped(&mut self, times: &StopTimes, server: PersonId, others: &[PersonId]) {
        self.people.stopped(times, server, others);
    }

    fn take_off(&mut self, times: &TakeOffTimes, person: PersonId) {
        let &TakeOffTimes {
            station,
            unit,
            chosen,
            begins,
            ends,
        } = times;
        self.people.takes_off(person, self.now, times);
        let task = &mut self.task;
        task.times.carried = begins - chosen;
        task.times.worked = ends - begins;
        task.unit = unit.map(|unit| (station, unit));
        (task.ends, task.unit_free) = (ends, ends);
    }

    #[inline]
    fn fetched(&mut self, person: PersonId, start: Time, end: Time) {
        self.task.times.carried = self.task.times.carried.max(end - start);
        self.people.fetches(person, self.now, start, end);
    }

    #[inline]
    fn work(&mut self, work: &TaskTimes, workers: Workers<'_>) {
        for person in workers {
            self.people.works(person, self.now, work);
        }
        let task = &mut self.task;
        task.times.carried = work.begins - work.chosen;
        task.times.worked = work.ends - work.begins;
        task.times.worked_shut = work.while_shut();
        task.unit = Some((work.station, work.unit));
        (task.ends, task.unit_free) = (work.ends, work.ends);
    }

    fn cure(&mut self, cure: &CureTimes) {
        let &CureTimes {
            station,
            start,
            end,
            ..
        } = cure;
        self.task.times.curing = end - start;
        self.task.times.curing_shut = cure.while_shut();
        if cure.unit.is_some() {
            self.task.unit_free = end;
        }
        let task = &self.task;
        let followers = (self.followers).of_step(task.project, task.item, task.step, station);
        self.people.cure(self.now, followers, start, end);
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

    #[inline]
    fn told(&mut self) {
        self.idle_from = self.people.idle_from(self.now);
        let task = &mut self.task;
        if let Some(unit) = task.unit {
            (self.needs).unit_taken(unit, self.now, task.ends, task.unit_free);
        }
        task.times.carried -= task.carried_interrupted;
        task.times.worked -= task.worked_interrupted;
        task.times.waited_person += task.carried_interrupted + task.worked_interrupted;
        self.lots.spend(task.spent_by, &task.times);
    }

    #[inline]
    fn ready(&mut self, job: &Job, now: Time, _moment: Moment) {
        self.pass(now);
        let mut ready = ReadyLot {
            at: now,
            need: None,
            clocks: ShortTimes::default(),
        };
        if job.operation.is_some() && !job.takes_off {
            let (project, item) = (job.project.index(), job.item.index());
            let need = self.needs.of_step(project, item, job.step as usize);
            ready.need = Some(need as u32);
            ready.clocks = self.needs.clocks(need, now);
            self.needs.waits(need);
        }
        self.lots.is_ready(job, ready);
    }

    fn needs_nobody(&mut self, job: &Job, now: Time) {
        if let Some(need) = self.lots.ready(job).need {
            let unattended = self.needs.unattended(need as usize);
            self.needs.waits_no_more(need as usize);
            self.needs.waits(unattended);
            let clocks = self.needs.clocks(unattended, now);
            self.lots.shares(job, unattended, clocks);
        }
    }

    #[inline]
    fn released(&mut self, order: &OrderReleased) {
        self.lots.released(order);
    }

    #[inline]
    fn done(&mut self, order: &OrderDone) {
        self.lots.done(order);
    }

    fn end(&mut self, now: Time, _moment: Moment) {
        self.pass(now);
        self.people.wait_for_nothing(now);
    }
}
