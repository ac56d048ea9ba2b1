//! The recorder that follows the active periods of stations, people and gear.

use super::active::{Active, ActivePeriods, Momentary};
use super::pool::Pool;
use crate::engine::{Handling, Job, OrderDone, OrderReleased, Recorder, TaskTimes, Walk};
use crate::shop::{GearId, PersonId, PlaceId, Shop, StationId};
use crate::units::{Span, Time};

/// Hears a run and finds what was the bottleneck when.
///
/// A unit of a station is active while it is set up, runs, is torn down or cures; reserved, it waits for somebody or
/// for the lot. A person is active while walking, handling or working. Units of one station, and people who are alike,
/// are active while all of them are; a kind of gear while so much of it is taken that the operation
/// which needs most of it could not begin. In each case the next piece of work would have to wait.
#[derive(Debug)]
pub struct Bottlenecks {
    periods: Option<ActivePeriods>,
    /// One for each station and each group of people, of which some have a single unit.
    pools: Vec<Pool>,
    /// The group of each person, and which of its units they are.
    person: Vec<(usize, usize)>,
    gear: Vec<Taken>,
    numbers: Counted<usize>,
    found: (Vec<Active>, Vec<Momentary>),
}

/// Something for each station, each group of people and each kind of gear.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Counted<T> {
    pub stations: Vec<T>,
    /// By name of the group, in the order in which the file names them.
    pub people: Vec<(String, T)>,
    pub gear: Vec<T>,
}

/// What is taken of one kind of gear.
#[derive(Debug)]
struct Taken {
    /// Active while more than this is taken.
    spare: u32,
    /// When what was taken comes back.
    back: Vec<(Time, u32)>,
}

impl Bottlenecks {
    /// Only the time behind the warm-up is seen.
    pub fn new(shop: &Shop, warm_up: Span) -> Bottlenecks {
        let mut numbers = Counted::default();
        let mut units = Vec::new();
        for (station, of) in shop.stations.enumerate() {
            numbers.stations.push(station.index());
            units.push(of.count as usize);
        }
        let mut seats = Vec::new();
        for person in &shop.crew {
            let known = numbers
                .people
                .iter()
                .find(|(name, _)| *name == person.group);
            let group = match known {
                Some(&(_, group)) => group,
                None => {
                    numbers.people.push((person.group.clone(), units.len()));
                    units.push(0);
                    units.len() - 1
                }
            };
            seats.push((group, units[group]));
            units[group] += 1;
        }
        let pools: Vec<Pool> = units.into_iter().map(Pool::new).collect();
        let mut gear = Vec::new();
        for (id, kind) in shop.gear.enumerate() {
            numbers.gear.push(pools.len() + gear.len());
            gear.push(Taken {
                spare: kind.count.saturating_sub(most_needed(shop, id)),
                back: Vec::new(),
            });
        }
        let resources = pools.len() + gear.len();
        Bottlenecks {
            periods: Some(ActivePeriods::new(resources, Time::START + warm_up)),
            pools,
            person: seats,
            gear,
            numbers,
            found: (Vec::new(), Vec::new()),
        }
    }

    /// Keeps the momentary bottleneck of every instant too.
    pub fn marking(mut self) -> Bottlenecks {
        self.periods = self.periods.map(ActivePeriods::marking);
        self
    }

    /// What was found of a run that has ended.
    pub fn found(&self) -> Counted<Active> {
        let active = |&number: &usize| self.found.0.get(number).copied().unwrap_or_default();
        let people = self.numbers.people.iter();
        Counted {
            stations: self.numbers.stations.iter().map(active).collect(),
            people: people
                .map(|(name, number)| (name.clone(), active(number)))
                .collect(),
            gear: self.numbers.gear.iter().map(active).collect(),
        }
    }

    /// The momentary bottlenecks of a run that has ended, by number of the resource as in [`numbers`](Self::numbers).
    pub fn momentary(&self) -> &[Momentary] {
        &self.found.1
    }

    /// Which number each station, group of people and kind of gear has.
    pub fn numbers(&self) -> &Counted<usize> {
        &self.numbers
    }

    fn unit(&mut self, pool: usize, unit: usize, start: Time, end: Time) {
        let of = &mut self.pools[pool];
        if of.is_single() {
            self.active(pool, start, end);
        } else {
            of.active(unit, start, end);
        }
    }

    fn person(&mut self, person: PersonId, start: Time, end: Time) {
        let (group, unit) = self.person[person.index()];
        self.unit(group, unit, start, end);
    }

    fn active(&mut self, resource: usize, start: Time, end: Time) {
        if let Some(periods) = &mut self.periods {
            periods.active(resource, start, end);
        }
    }

    /// Nothing that is told from here on begins before `now`, so it is known when all units of a pool were active.
    fn settle(&mut self, now: Time) {
        if let Some(periods) = &mut self.periods {
            for (resource, pool) in self.pools.iter_mut().enumerate() {
                pool.settle(now, |start, end| periods.active(resource, start, end));
            }
            periods.pass(now);
        }
    }
}

/// The most that one operation takes of a kind of gear; at least one, so that gear without use is never active.
fn most_needed(shop: &Shop, gear: GearId) -> u32 {
    let needs = shop.ordered_work().flat_map(|(_, work)| &work.gear);
    let of_this = needs
        .filter(|(kind, _)| *kind == gear)
        .map(|&(_, count)| count);
    of_this.max().unwrap_or(1)
}

impl Recorder for Bottlenecks {
    fn task(&mut self, _job: &Job, now: Time) {
        self.settle(now);
    }

    fn walk(&mut self, walk: &Walk) {
        self.person(walk.person, walk.start, walk.end);
    }

    fn handling(&mut self, person: PersonId, _: Handling, _: PlaceId, start: Time, end: Time) {
        self.person(person, start, end);
    }

    fn work(&mut self, work: &TaskTimes, workers: impl Iterator<Item = PersonId> + Clone) {
        let station = work.station.index();
        self.unit(station, work.unit as usize, work.begins, work.ends);
        for person in workers {
            self.person(person, work.begins, work.ends);
        }
    }

    fn cure(&mut self, station: StationId, unit: Option<u32>, start: Time, end: Time) {
        if let Some(unit) = unit {
            self.unit(station.index(), unit as usize, start, end);
        }
    }

    fn gear(&mut self, gear: GearId, amount: u32, start: Time, end: Time) {
        let kind = &mut self.gear[gear.index()];
        let (mut taken, mut until) = (0, None);
        kind.back.retain(|&(back, _)| back > start);
        kind.back.push((end, amount));
        // As far as is known now: whatever is taken later only prolongs it.
        kind.back
            .sort_unstable_by_key(|&(back, _)| std::cmp::Reverse(back));
        for &(back, amount) in &kind.back {
            taken += amount;
            if taken > kind.spare && until.is_none() {
                until = Some(back);
            }
        }
        if let Some(until) = until {
            self.active(self.pools.len() + gear.index(), start, until);
        }
    }

    fn released(&mut self, _: &OrderReleased) {}

    fn done(&mut self, _order: &OrderDone) {}

    fn end(&mut self, now: Time) {
        self.settle(now);
        if let Some(periods) = self.periods.take() {
            self.found = periods.end_marked(now);
        }
    }
}
