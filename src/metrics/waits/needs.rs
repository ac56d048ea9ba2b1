//! What an operation needs besides people, and how long it has been short of it.

use std::sync::Arc;

use super::need_numbers::{NeedNumbers, SharedNeed};
use super::short_clock::ShortClock;
use crate::engine::slots::{self, HeldSlot};
use crate::engine::{Occupied, Phase};
use crate::metrics::pool::others_of;
use crate::shop::{GearId, Shop, StationId};
use crate::units::{Span, Time};

/// What is missing for a lot to be worked on; if neither is, it waits for a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Short {
    Station,
    /// What goes on does not go together with it.
    KeptApart,
    Gear,
}

/// How long something was short, by what it was short of.
pub(super) type ShortTimes = [Span; 3];

/// What a unit of a station does, as far as is known.
#[derive(Debug, Clone, Copy)]
struct UnitNow {
    /// From here on it is free.
    until: Time,
    /// From here on it cures, until it is free.
    cures_from: Time,
}

impl UnitNow {
    const FREE: UnitNow = UnitNow {
        until: Time::START,
        cures_from: Time::START,
    };
}

/// So much of a kind of gear is taken.
#[derive(Debug, Clone, Copy)]
struct GearTaken {
    gear: GearId,
    amount: u32,
    start: Time,
    end: Time,
}

/// Units and gear that are taken, and what that means for every need.
///
/// A task is known to its end when it is chosen. So it is known then until when a station has no free unit, and until
/// when none of several stations has, and nothing has to be done when that instant comes.
#[derive(Debug, Clone)]
pub(super) struct Needs {
    numbers: Arc<NeedNumbers>,
    units: Vec<UnitNow>,
    /// Of each station, then of each need of several stations.
    clocks: Vec<ShortClock>,
    gear_count: Arc<[u32]>,
    gear_taken: Vec<GearTaken>,
    /// Of each slot, until when tasks hold it that did not hold it to the end when that was last looked at.
    slots_held: Vec<Vec<Time>>,
    /// Lots that are ready and have this need.
    lots: Vec<u32>,
    /// Needs that some lots have, and where each of them stands in this list.
    waiting: Vec<u32>,
    place: Vec<u32>,
    /// Needs among these that ask for more than a unit.
    asking_for_more: u32,
    /// How long each such need was short of what while lots had it.
    short_times: Vec<ShortTimes>,
}

impl Needs {
    pub fn new(shop: &Shop) -> Needs {
        let numbers = NeedNumbers::new(shop);
        let needs = numbers.needs.len();
        let clocks = numbers.needs.iter().map(|need| need.clock + 1).max();
        let units = numbers.units.last().map_or(0, |last| last.end);
        Needs {
            units: vec![UnitNow::FREE; units],
            clocks: vec![
                ShortClock::NEVER_SHORT;
                clocks.unwrap_or_default().max(shop.stations.len())
            ],
            gear_count: shop.gear.iter().map(|gear| gear.count).collect(),
            gear_taken: Vec::new(),
            slots_held: vec![Vec::new(); slots::count(shop)],
            lots: vec![0; needs],
            waiting: Vec::new(),
            place: vec![0; needs],
            asking_for_more: 0,
            short_times: vec![ShortTimes::default(); needs],
            numbers: Arc::new(numbers),
        }
    }

    /// The start of another run.
    pub fn begin(&mut self) {
        self.units.fill(UnitNow::FREE);
        self.clocks.fill(ShortClock::NEVER_SHORT);
        self.gear_taken.clear();
        self.slots_held.iter_mut().for_each(Vec::clear);
        self.lots.fill(0);
        self.waiting.clear();
        self.asking_for_more = 0;
        self.short_times.fill(ShortTimes::default());
    }

    #[inline]
    pub fn of_step(&self, project: usize, item: usize, step: usize) -> usize {
        let numbers = &*self.numbers;
        let item = numbers.first_item[project] as usize + item;
        numbers.of_steps[numbers.first_step[item] as usize + step] as usize
    }

    /// How long so far the need was short of what.
    #[inline]
    pub fn clocks(&self, need: usize, now: Time) -> ShortTimes {
        let of = &self.numbers.needs[need];
        match of.asks_for_more {
            true => self.short_times[need],
            false => [self.clocks[of.clock].read(now), Span::ZERO, Span::ZERO],
        }
    }

    /// The same need of a lot that needs nobody.
    pub fn unattended(&self, need: usize) -> usize {
        self.numbers.unattended[need] as usize
    }

    #[inline]
    pub fn waits(&mut self, need: usize) {
        self.lots[need] += 1;
        if self.lots[need] == 1 {
            self.place[need] = self.waiting.len() as u32;
            self.waiting.push(need as u32);
            self.asking_for_more += u32::from(self.numbers.needs[need].asks_for_more);
        }
    }

    #[inline]
    pub fn waits_no_more(&mut self, need: usize) {
        self.lots[need] -= 1;
        if self.lots[need] == 0 {
            let place = self.place[need] as usize;
            self.waiting.swap_remove(place);
            if let Some(&moved) = self.waiting.get(place) {
                self.place[moved as usize] = place as u32;
            }
            self.asking_for_more -= u32::from(self.numbers.needs[need].asks_for_more);
        }
    }

    #[inline]
    pub fn all(&self) -> &[SharedNeed] {
        &self.numbers.needs
    }

    /// Needs that some lots have, by their place among all.
    #[inline]
    pub fn waiting(&self) -> impl Iterator<Item = usize> {
        self.waiting.iter().map(|&need| need as usize)
    }

    pub fn nothing_waits(&self) -> bool {
        self.waiting.is_empty()
    }

    #[inline]
    pub fn more_is_waited_for(&self) -> bool {
        self.asking_for_more > 0
    }

    /// A unit of a station is taken from now on until `free`, and cures from `cures_from` on.
    #[inline]
    pub fn unit_taken(
        &mut self,
        (station, unit): (StationId, u32),
        now: Time,
        cures_from: Time,
        free: Time,
    ) {
        let station = station.index();
        let units = &mut self.units[self.numbers.units[station].clone()];
        units[unit as usize] = UnitNow {
            until: free,
            cures_from,
        };
        let mut until = free;
        let is_short = others_of(units, unit as usize).all(|other| {
            until = until.min(other.until);
            other.until > now
        });
        if is_short {
            self.clocks[station].is_short_from(now, until);
            if !self.numbers.several_at[station].is_empty() {
                self.several_short(station, now);
            }
        }
    }

    /// A unit is not to be had while it is rolled in.
    #[cold]
    pub fn rolled_in(&mut self, phase: &Phase) {
        if let (Occupied::Unit(station, unit), Some(end)) = (phase.of, phase.end) {
            self.unit_taken((station, unit), phase.start, end, end);
        }
    }

    /// A unit of which nobody knew until when it would be taken is free now.
    fn unit_is_free(&mut self, (station, unit): (StationId, u32), now: Time) {
        let station = station.index();
        self.units[self.numbers.units[station].clone()][unit as usize] = UnitNow {
            until: now,
            cures_from: now,
        };
        self.clocks[station].is_short_no_more(now);
        for &need in &self.numbers.several_at[station] {
            self.clocks[self.numbers.needs[need].clock].is_short_no_more(now);
        }
    }

    /// No unit of a station is free any more: perhaps none of another one either.
    fn several_short(&mut self, station: usize, now: Time) {
        for &need in &self.numbers.several_at[station] {
            let of = &self.numbers.needs[need];
            let stations = of.options.iter().map(|at| at.station.index());
            let until = stations.map(|station| self.clocks[station].until).min();
            self.clocks[of.clock].is_short_from(now, until.unwrap_or(now));
        }
    }

    pub fn gear_taken(&mut self, gear: GearId, amount: u32, start: Time, end: Time) {
        self.gear_taken.retain(|taken| taken.end > start);
        self.gear_taken.push(GearTaken {
            gear,
            amount,
            start,
            end,
        });
    }

    /// Gear that was kept until somebody took it off is free now.
    fn gear_is_free(&mut self, gear: GearId, amount: u32, now: Time) {
        let mut taken = self.gear_taken.iter_mut();
        let kept = |taken: &&mut GearTaken| {
            (taken.gear, taken.amount, taken.end) == (gear, amount, Time::NEVER)
        };
        if let Some(taken) = taken.find(kept) {
            taken.end = now;
        }
    }

    /// A task holds a slot from now on.
    pub fn slot_held(&mut self, slot: u32, now: Time, until: Time) {
        let held = &mut self.slots_held[slot as usize];
        held.retain(|&end| end > now);
        held.push(until);
    }

    /// A unit or gear is not to be had from an instant on until it is told that it is; nothing else is taken so.
    pub fn held(&mut self, of: Occupied, from: Time) {
        match of {
            Occupied::Unit(station, unit) => {
                self.unit_taken((station, unit), from, Time::NEVER, Time::NEVER);
            }
            Occupied::Gear(gear, amount) => self.gear_taken(gear, amount, from, Time::NEVER),
            Occupied::Person(_) | Occupied::SetAside(_) => {}
        }
    }

    /// What nobody knew the end of is over now.
    pub fn is_free(&mut self, of: Occupied, now: Time) {
        match of {
            Occupied::Unit(station, unit) => self.unit_is_free((station, unit), now),
            Occupied::Gear(gear, amount) => self.gear_is_free(gear, amount, now),
            Occupied::Person(_) | Occupied::SetAside(_) => {}
        }
    }

    /// What the lots that have a need are short of at an instant that has just passed or passes now.
    pub fn short(&self, need: &SharedNeed, at: Time) -> Option<Short> {
        if !need.asks_for_more {
            return (self.clocks[need.clock].until > at).then_some(Short::Station);
        }
        let mut short = Short::Station;
        for option in &need.options {
            if self.clocks[option.station.index()].until > at {
                continue;
            }
            let is_kept_apart = !option.slots.iter().all(|slot| self.is_open(slot, at));
            let mut gear = option.gear.iter();
            let has_gear = gear.all(|&(gear, amount)| self.gear_free(gear, at) >= amount);
            short = match (is_kept_apart, has_gear) {
                (false, true) => return None,
                (false, false) => Short::Gear,
                (true, _) if short == Short::Gear => short,
                (true, _) => Short::KeptApart,
            };
        }
        Some(short)
    }

    /// Gear of which too little is free for lots that have a need, at a station that has a free unit.
    pub fn missing_gear(&self, need: &SharedNeed, at: Time) -> Option<GearId> {
        let is_free = |station: StationId| self.clocks[station.index()].until <= at;
        let options = (need.options.iter()).filter(|option| is_free(option.station));
        let mut gear = options.flat_map(|option| &option.gear);
        let missing = gear.find(|&&(gear, amount)| self.gear_free(gear, at) < amount);
        missing.map(|&(gear, _)| gear)
    }

    fn is_open(&self, slot: &HeldSlot, at: Time) -> bool {
        let held = self.slots_held[slot.sees as usize].iter();
        (held.filter(|&&end| end > at).count() as u32) < slot.fewer_than
    }

    fn gear_free(&self, gear: GearId, at: Time) -> u32 {
        let taken = (self.gear_taken.iter())
            .filter(|taken| taken.gear == gear && taken.start <= at && at < taken.end);
        self.gear_count[gear.index()] - taken.map(|taken| taken.amount).sum::<u32>()
    }

    #[inline]
    pub fn all_units_cure(&self, need: &SharedNeed, at: Time) -> bool {
        let cures = |unit: &UnitNow| unit.cures_from <= at && at < unit.until;
        need.may_cure && self.units_for(need).all(cures)
    }

    /// The units of all stations that a need can be met at.
    fn units_for(&self, need: &SharedNeed) -> impl Iterator<Item = &UnitNow> {
        let stations = need.options.iter().map(|option| option.station.index());
        stations.flat_map(|station| &self.units[self.numbers.units[station].clone()])
    }

    /// Until when lots that have a need are short of the same as at an instant, and the same units cure, as far as is
    /// known.
    #[inline]
    pub fn same_until(&self, need: &SharedNeed, at: Time) -> Time {
        let mut until = after(at, self.clocks[need.clock].until);
        if need.may_cure {
            let changes = |unit: &UnitNow| after(at, unit.cures_from).min(after(at, unit.until));
            until = self.units_for(need).map(changes).fold(until, Time::min);
        }
        match need.asks_for_more {
            true => until.min(self.more_is_same_until(need, at)),
            false => until,
        }
    }

    /// Until when lots that ask for more than a unit are short of the same as at an instant.
    fn more_is_same_until(&self, need: &SharedNeed, at: Time) -> Time {
        let options = need.options.iter();
        let stations = (options.clone()).map(|option| self.clocks[option.station.index()].until);
        let slots = options.flat_map(|option| &option.slots);
        let held = slots.flat_map(|slot| &self.slots_held[slot.sees as usize]);
        let gear = (self.gear_taken.iter()).flat_map(|taken| [taken.start, taken.end]);
        let changes = stations.chain(held.copied()).chain(gear);
        changes.fold(Time::NEVER, |until, change| until.min(after(at, change)))
    }

    /// Lets time pass from an instant on, at most until another one, over which nothing changes for the lots that ask for
    /// more than a unit. Returns until when.
    pub fn pass_short_times(&mut self, at: Time, most: Time) -> Time {
        let asking = |place: &u32| self.numbers.needs[*place as usize].asks_for_more;
        let asking = self.waiting.iter().copied().filter(asking);
        let until = asking.clone().fold(most, |until, number| {
            until.min(self.same_until(&self.numbers.needs[number as usize], at))
        });
        for number in asking {
            let number = number as usize;
            if let Some(short) = self.short(&self.numbers.needs[number], at) {
                self.short_times[number][short as usize] += until - at;
            }
        }
        until
    }
}

/// When something changes, if it does so after an instant.
#[inline]
fn after(at: Time, change: Time) -> Time {
    match change > at {
        true => change,
        false => Time::NEVER,
    }
}
