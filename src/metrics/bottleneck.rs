//! The witness that follows the active periods of stations, people and gear.

use std::sync::Arc;

use super::active::{Active, ActivePeriods, Momentary};
use super::chronicle::{OccupationChange, Witness};
use crate::shop::{GearId, PersonId, Shop, StationId};
use crate::units::{Span, Time};

/// Hears a run and finds what was the bottleneck when.
///
/// A unit of a station is active while it is set up, runs, is torn down or cures; reserved, it waits for somebody or
/// for the lot. A person is active while walking, handling or working. Units of one station, and people who are alike,
/// are active while all of them are; a kind of gear while so much of it is taken that the operation
/// which needs most of it could not begin. In each case the next piece of work would have to wait.
#[derive(Debug, Clone)]
pub struct Bottlenecks {
    periods: ActivePeriods,
    /// One for each station, each group of people and each kind of gear.
    pools: Vec<Pool>,
    /// The group of each person.
    group: Arc<[usize]>,
    /// The number of the first kind of gear.
    first_gear: usize,
    numbers: Arc<Counted<usize>>,
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

impl<T> Counted<T> {
    /// The same of each.
    pub fn map<U>(&self, of: impl Fn(&T) -> U) -> Counted<U> {
        let people = self.people.iter();
        Counted {
            stations: self.stations.iter().map(&of).collect(),
            people: people
                .map(|(group, one)| (group.clone(), of(one)))
                .collect(),
            gear: self.gear.iter().map(&of).collect(),
        }
    }

    /// Adds to each what there is of it in another one.
    pub fn add<U>(&mut self, more: &Counted<U>, add: impl Fn(&mut T, &U)) {
        let stations = self.stations.iter_mut().zip(&more.stations);
        let gear = self.gear.iter_mut().zip(&more.gear);
        stations.chain(gear).for_each(|(sum, one)| add(sum, one));
        let people = self.people.iter_mut().zip(&more.people);
        people.for_each(|((_, sum), (_, one))| add(sum, one));
    }
}

/// Several machines or people of whom any can do the next piece of work, or pieces of gear. Active while none is left
/// that the next piece of work could have.
#[derive(Debug, Clone, Copy)]
struct Pool {
    busy: u32,
    /// Active while more than these are busy.
    spare: u32,
}

impl Pool {
    /// Of which all must be busy.
    fn of(units: u32) -> Pool {
        Pool {
            busy: 0,
            spare: units.saturating_sub(1),
        }
    }
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
            let number = match known.find(|(name, _)| *name == person.group) {
                Some(&(_, number)) => number,
                None => {
                    numbers.people.push((person.group.clone(), units.len()));
                    units.push(0);
                    units.len() - 1
                }
            };
            group.push(number);
            units[number] += 1;
        }
        let first_gear = units.len();
        let mut pools: Vec<Pool> = units.into_iter().map(Pool::of).collect();
        for (id, kind) in shop.gear.enumerate() {
            numbers.gear.push(pools.len());
            pools.push(Pool {
                busy: 0,
                spare: kind.count.saturating_sub(most_needed(shop, id)),
            });
        }
        Bottlenecks {
            periods: ActivePeriods::new(pools.len(), Time::START + warm_up),
            pools,
            group: group.into(),
            first_gear,
            numbers: Arc::new(numbers),
            found: (Vec::new(), Vec::new()),
        }
    }

    /// Keeps the momentary bottleneck of every instant too.
    pub fn marking(mut self) -> Bottlenecks {
        self.periods = self.periods.marking();
        self
    }

    /// What was found of a run that has ended.
    pub fn found(&self) -> Counted<Active> {
        self.numbers
            .map(|&number| self.found.0.get(number).copied().unwrap_or_default())
    }

    /// The momentary bottlenecks of a run that has ended, by number of the resource as in [`numbers`](Self::numbers).
    pub fn momentary(&self) -> &[Momentary] {
        &self.found.1
    }

    /// Which number each station, group of people and kind of gear has.
    pub fn numbers(&self) -> &Counted<usize> {
        &self.numbers
    }

    #[inline(always)]
    fn turns(&mut self, resource: usize, turn: OccupationChange) {
        match (turn.was.is_active(), turn.is.is_active()) {
            (false, true) => self.busier(resource, 1, turn.at),
            (true, false) => self.less_busy(resource, 1, turn.at),
            _ => {}
        }
    }

    #[inline]
    fn busier(&mut self, resource: usize, by: u32, at: Time) {
        let pool = &mut self.pools[resource];
        let was_active = pool.busy > pool.spare;
        pool.busy += by;
        if pool.busy > pool.spare && !was_active {
            self.periods.begins(resource, at);
        }
    }

    #[inline]
    fn less_busy(&mut self, resource: usize, by: u32, at: Time) {
        let pool = &mut self.pools[resource];
        let was_active = pool.busy > pool.spare;
        pool.busy -= by;
        if pool.busy <= pool.spare && was_active {
            self.periods.ends(resource, at);
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

impl Witness for Bottlenecks {
    const PHASES: bool = false;
    const OCCUPATIONS: bool = true;

    #[inline]
    fn person(&mut self, person: PersonId, turn: OccupationChange) {
        self.turns(self.group[person.index()], turn);
    }

    #[inline]
    fn unit(&mut self, station: StationId, turn: OccupationChange) {
        self.turns(station.index(), turn);
    }

    fn gear_taken(&mut self, gear: GearId, amount: u32, now: Time) {
        self.busier(self.first_gear + gear.index(), amount, now);
    }

    fn gear_back(&mut self, gear: GearId, amount: u32, now: Time) {
        self.less_busy(self.first_gear + gear.index(), amount, now);
    }

    fn end(&mut self, now: Time) {
        let none = ActivePeriods::new(0, now);
        self.found = std::mem::replace(&mut self.periods, none).end_marked(now);
    }
}
