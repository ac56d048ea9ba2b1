//! The recorder that follows the active periods of stations, people and gear.

use std::ops::Range;
use std::sync::Arc;

use super::active::{Active, ActivePeriods, Momentary};
use super::counted::Counted;
use super::due::Due;
use super::pool::{BusyChange, Member, Pool, others_of, overlap};
use crate::engine::{
    CureTimes, Doing, Interruption, Job, Occupied, OrderDone, OrderReleased, Phase, Recorder,
    StopTimes, TakeOffTimes, TaskTimes, Workers,
};
use crate::shop::{GearId, PersonId, Shop, StationId};
use crate::units::{Moment, Span, Time};

/// Hears a run and finds what was the bottleneck when.
///
/// A unit of a station is active while it is set up, runs, is torn down or cures; reserved, it waits for somebody or
/// for the lot. A person is active while walking, handling or working. Units of one station, and people who are alike,
/// are active while all of them are; a kind of gear while so much of it is taken that the operation
/// which needs most of it could not begin. In each case the next piece of work would have to wait.
///
/// What a task is known to take is told when it is chosen, so the active times of one machine or person come in their
/// order, and need not be put into the order of time with those of others: of a period it is enough to know when it is
/// over. What the units of a pool do is compared with what was last told of the other units: whatever comes later begins
/// later. Only gear, of which tasks take different amounts, is counted from one instant to the next.
#[derive(Debug, Clone)]
pub struct Bottlenecks {
    periods: ActivePeriods,
    /// By resource: each station, each group of people and each kind of gear.
    pools: Vec<Pool>,
    now: Time,
    /// What was last told of the units of stations, and then of people.
    members: Vec<Member>,
    /// Memory for when all members of a pool are active.
    overlaps: Vec<(Time, Time)>,
    /// How many more pieces of gear will be taken when.
    due: Due<BusyChange>,
    /// The time that somebody spends to fetch what the task takes, which the work mostly follows without a pause.
    fetched: Option<(PersonId, Time, Time)>,
    /// Who waits, or what stands still, within what is told next of the task, and when.
    pauses: Vec<(Occupied, Time, Time)>,
    shop: Arc<Numbers>,
}

/// Which resource is what.
#[derive(Debug)]
struct Numbers {
    numbers: Counted<usize>,
    /// The group of each person, and where that person stands among the members of pools.
    people: Vec<(usize, usize)>,
    /// The members of each resource: those of one stand side by side.
    members: Vec<Range<usize>>,
    /// The number of the first kind of gear.
    first_gear: usize,
}

impl Bottlenecks {
    /// Only the time behind the warm-up is seen.
    pub fn new(shop: &Shop, warm_up: Span) -> Bottlenecks {
        let mut numbers = Counted::default();
        let mut units = Vec::new();
        for (station, of) in shop.stations.enumerate() {
            numbers.stations.push(station.index());
            units.push(of.count);
        }
        let mut group = Vec::new();
        for person in &shop.crew {
            let mut known = numbers.people.iter();
            let number = match known.find(|(name, _)| **name == *person.group) {
                Some(&(_, number)) => number,
                None => {
                    numbers
                        .people
                        .push((person.group.as_str().into(), units.len()));
                    units.push(0);
                    units.len() - 1
                }
            };
            group.push(number);
            units[number] += 1;
        }
        let first_gear = units.len();
        let mut members = Vec::new();
        let mut end = 0;
        for &of in &units {
            members.push(end..end + of as usize);
            end += of as usize;
        }
        let mut next: Vec<usize> = members.iter().map(|of| of.start).collect();
        let people = group.into_iter().map(|group: usize| {
            next[group] += 1;
            (group, next[group] - 1)
        });
        let people = people.collect();
        let mut pools: Vec<Pool> = units.into_iter().map(Pool::of).collect();
        for (id, kind) in shop.gear.enumerate() {
            numbers.gear.push(pools.len());
            pools.push(Pool::new(kind.count, most_needed(shop, id)));
        }
        Bottlenecks {
            periods: ActivePeriods::new(pools.len(), shop.calendar.time(Moment::START + warm_up)),
            pools,
            members: vec![Member::IDLE; end],
            overlaps: Vec::new(),
            now: Time::START,
            due: Due::new(),
            fetched: None,
            pauses: Vec::new(),
            shop: Arc::new(Numbers {
                numbers,
                people,
                members,
                first_gear,
            }),
        }
    }

    /// The start of another run, in the memory of one that has ended.
    pub fn begin(&mut self) {
        self.periods.begin();
        for pool in &mut self.pools {
            (pool.busy, pool.since) = (0, Time::START);
        }
        self.members.fill(Member::IDLE);
        self.now = Time::START;
        self.due.clear();
        self.fetched = None;
        self.pauses.clear();
    }

    /// Keeps the momentary bottleneck of every instant too.
    pub fn marking(mut self) -> Bottlenecks {
        self.periods = self.periods.marking();
        self
    }

    /// What was found of a run that has ended.
    pub fn found(&self) -> Counted<Active> {
        self.numbers().map(|&number| self.periods.found()[number])
    }

    /// The momentary bottlenecks of a run that has ended, by number of the resource as in [`numbers`](Self::numbers).
    pub fn momentary(&self) -> &[Momentary] {
        self.periods.marks()
    }

    /// Which number each station, group of people and kind of gear has.
    pub fn numbers(&self) -> &Counted<usize> {
        &self.shop.numbers
    }

    /// One member of a resource is active from `start` to `end`, but for the pauses in between.
    #[inline]
    fn active(&mut self, of: Occupied, member: (usize, usize), start: Time, end: Time) {
        match self.pauses.is_empty() {
            true => self.active_without_pause(member, start, end),
            false => self.active_around_pauses(of, member, start, end),
        }
    }

    #[cold]
    fn active_around_pauses(
        &mut self,
        of: Occupied,
        member: (usize, usize),
        start: Time,
        end: Time,
    ) {
        let mut begins = start;
        for nth in 0..self.pauses.len() {
            let (waits, from, to) = self.pauses[nth];
            if waits == of && from >= begins && to <= end {
                self.active_without_pause(member, begins, from);
                begins = to;
            }
        }
        self.active_without_pause(member, begins, end);
    }

    #[inline]
    fn active_without_pause(&mut self, (resource, member): (usize, usize), start: Time, end: Time) {
        if self.pools[resource].is_single {
            self.periods.add(resource, start, end);
            return;
        }
        if end <= start {
            return;
        }
        let Member { before, last } = &mut self.members[member];
        (*before, *last) = (*last, (start, end));
        self.pool_active(resource, member, (start, end));
    }

    /// A pool is active while all of its members are: this one for a time, and the others in parts of it.
    #[inline]
    fn pool_active(&mut self, resource: usize, this: usize, time: (Time, Time)) {
        let pool = &self.shop.members[resource];
        let others = others_of(&self.members[pool.clone()], this - pool.start);
        if (others.clone()).any(|other| other.last.1 <= time.0) {
            return;
        }
        let mut all = time;
        let are_in_one_part = (others.clone()).all(|other| {
            all = overlap(all, other.last);
            other.before.1 <= time.0
        });
        match are_in_one_part {
            true => self.periods.add(resource, all.0, all.1),
            false => self.active_in_parts(resource, this, time),
        }
    }

    #[cold]
    fn active_in_parts(&mut self, resource: usize, this: usize, time: (Time, Time)) {
        let pool = &self.shop.members[resource];
        self.overlaps.clear();
        self.overlaps.push(time);
        for other in others_of(&self.members[pool.clone()], this - pool.start) {
            let known = self.overlaps.len();
            for nth in 0..known {
                let parts =
                    [other.before, other.last].map(|busy| overlap(self.overlaps[nth], busy));
                self.overlaps
                    .extend(parts.iter().filter(|part| part.0 < part.1));
            }
            self.overlaps.drain(..known);
        }
        for &(start, end) in &self.overlaps {
            self.periods.add(resource, start, end);
        }
    }

    #[inline]
    fn person_active(&mut self, person: PersonId, start: Time, end: Time) {
        let member = self.shop.people[person.index()];
        self.active(Occupied::Person(person), member, start, end);
    }

    #[inline]
    fn unit_active(&mut self, station: StationId, unit: u32, start: Time, end: Time) {
        let resource = station.index();
        let member = self.shop.members[resource].start + unit as usize;
        self.active(
            Occupied::Unit(station, unit),
            (resource, member),
            start,
            end,
        );
    }

    /// Pieces of gear are taken, from now or later on.
    fn gear_busy(&mut self, gear: GearId, units: u32, start: Time, end: Time) {
        if end <= start {
            return;
        }
        let by = units as i32;
        self.busy_from(start, self.gear_change(gear, by));
        self.due.push(end, self.gear_change(gear, -by));
    }

    fn busy_from(&mut self, start: Time, change: BusyChange) {
        match start <= self.now {
            true => self.count(change, start),
            false => self.due.push(start, change),
        }
    }

    /// Gear is taken until it is told that it is free.
    #[cold]
    fn gear_kept(&mut self, phase: &Phase) {
        if let (Occupied::Gear(gear, amount), None) = (phase.of, phase.end) {
            self.busy_from(phase.start, self.gear_change(gear, amount as i32));
        }
    }

    fn gear_change(&self, gear: GearId, by: i32) -> BusyChange {
        BusyChange {
            resource: (self.shop.first_gear + gear.index()) as u32,
            by,
        }
    }

    #[inline]
    fn count(&mut self, change: BusyChange, at: Time) {
        let resource = change.resource as usize;
        let pool = &mut self.pools[resource];
        let was_active = pool.is_active();
        pool.busy += i64::from(change.by);
        if was_active && !pool.is_active() {
            self.periods.add(resource, pool.since, at);
        } else if !was_active {
            pool.since = at;
        }
    }

    /// Goes on to an instant, before which nothing more will be told.
    #[inline]
    fn pass(&mut self, now: Time) {
        if self.due.comes_until(now) {
            self.count_until(now);
        }
        self.now = now;
        if self.periods.pass(now) {
            self.settle();
        }
    }

    /// Counts what gear is taken and given back up to an instant.
    #[inline(never)]
    fn count_until(&mut self, now: Time) {
        while let Some((at, change)) = self.due.pop_until(now) {
            self.count(change, at);
        }
    }

    #[inline(never)]
    fn settle(&mut self) {
        self.tell_pools();
        self.periods.settle();
    }

    /// Tells how long pools have been active that still are.
    fn tell_pools(&mut self) {
        for (resource, pool) in self.pools.iter_mut().enumerate() {
            if pool.is_active() {
                self.periods.add(resource, pool.since, self.now);
                pool.since = self.now;
            }
        }
    }
}

/// The most that one operation takes of a kind of gear; at least one, so that gear without use is never active.
fn most_needed(shop: &Shop, gear: GearId) -> u32 {
    let needs = shop.takers_of(gear).map(|(_, count)| count);
    needs.max().unwrap_or(1)
}

impl Recorder for Bottlenecks {
    #[inline]
    fn task(&mut self, _job: &Job, now: Time) {
        self.pass(now);
    }

    /// Tasks are taken as a whole, and there is no other phase.
    #[inline(always)]
    fn phase(&mut self, phase: &Phase) {
        match phase.doing {
            Doing::Walk { .. } | Doing::Handle { .. } | Doing::Reserved => {}
            Doing::Work { .. } | Doing::Cure | Doing::Blocked | Doing::Serviced => {}
            Doing::LeftStanding => {}
            Doing::Taken => self.gear_kept(phase),
        }
    }

    fn ends(&mut self, of: Occupied, now: Time) {
        self.pass(now);
        if let Occupied::Gear(gear, amount) = of {
            self.count(self.gear_change(gear, -(amount as i32)), now);
        }
    }

    fn interrupted(&mut self, interruption: &Interruption) {
        let &Interruption { of, start, end, .. } = interruption;
        self.pauses.push((of, start, end));
    }

    #[inline]
    fn fetched(&mut self, person: PersonId, start: Time, end: Time) {
        match self.fetched {
            None => self.fetched = Some((person, start, end)),
            Some(_) => self.person_active(person, start, end),
        }
    }

    #[inline]
    fn work(&mut self, work: &TaskTimes, workers: Workers<'_>) {
        self.unit_active(work.station, work.unit, work.begins, work.ends);
        for person in workers {
            let mut begins = work.begins;
            if let Some((fetcher, start, end)) = self.fetched
                && fetcher == person
            {
                match end == begins {
                    true => begins = start,
                    false => self.person_active(person, start, end),
                }
                self.fetched = None;
            }
            self.person_active(person, begins, work.ends);
        }
    }

    fn stopped(&mut self, times: &StopTimes, _server: PersonId, others: &[PersonId]) {
        let others = others.iter().map(|&other| Occupied::Person(other));
        (self.pauses).extend(others.map(|other| (other, times.start, times.end)));
    }

    fn cure(&mut self, cure: &CureTimes) {
        if let Some(unit) = cure.unit {
            self.unit_active(cure.station, unit, cure.start, cure.end);
        }
    }

    fn take_off(&mut self, times: &TakeOffTimes, person: PersonId) {
        if let Some(unit) = times.unit {
            self.unit_active(times.station, unit, times.begins, times.ends);
        }
        // Whoever does it walks there first, and does not stop in between.
        let walked = self.fetched.take().map(|(_, start, _)| start);
        self.person_active(person, walked.unwrap_or(times.begins), times.ends);
    }

    fn gear(
        &mut self,
        gear: GearId,
        amount: u32,
        (start, end): (Time, Time),
        _moments: (Moment, Moment),
    ) {
        self.gear_busy(gear, amount, start, end);
    }

    #[inline]
    fn told(&mut self) {
        if let Some((person, start, end)) = self.fetched.take() {
            self.person_active(person, start, end);
        }
        self.pauses.clear();
    }

    #[inline]
    fn released(&mut self, _order: &OrderReleased) {}

    #[inline]
    fn done(&mut self, _order: &OrderDone) {}

    fn end(&mut self, now: Time, _moment: Moment) {
        self.pass(now);
        self.tell_pools();
        self.periods.finish(now);
    }
}
