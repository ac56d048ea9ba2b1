//! What an operation needs besides people, and how long it has been short of it.

use std::sync::Arc;

use super::short_clock::ShortClock;
use crate::shop::{GearId, Item, OperationId, Shop, StationId, Work};
use crate::units::{Span, Time};

/// What is missing for a lot to be worked on; if neither is, it waits for a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Short {
    Station,
    Gear,
}

/// A station at which an operation can be done, and the gear that it takes there.
type StationAndGear = (StationId, Vec<(GearId, u32)>);

/// Steps that need the same have one need: an operation at any of these stations, with this gear.
#[derive(Debug)]
pub(super) struct SharedNeed {
    pub operation: OperationId,
    /// Whether somebody has to come, for the work or to bring something.
    pub needs_somebody: bool,
    options: Vec<StationAndGear>,
    /// Which clock says how long all stations were taken: that of the only one, or a further one.
    clock: usize,
    /// Whether it takes gear anywhere.
    takes_gear: bool,
    /// Whether units of all its stations may be tied up by cures.
    may_cure: bool,
}

/// Which needs there are where.
#[derive(Debug, Default)]
struct NeedNumbers {
    needs: Vec<SharedNeed>,
    /// Of each need, the same of lots that need nobody; itself where there are none.
    unattended: Vec<u32>,
    /// Those of all steps, one after the other.
    of_steps: Vec<u32>,
    /// Where those of an item's first step stand, by item among those of all projects.
    first_step: Vec<u32>,
    /// Where the items of a project stand among those.
    first_item: Vec<u32>,
    /// Needs of several stations of which this is one.
    several_at: Vec<Vec<usize>>,
    /// Where each station's units stand among those of all, and their end.
    first_unit: Vec<usize>,
    /// Whether any of the needs takes gear.
    take_gear: bool,
}

/// The gear that some work takes for a lot.
fn taken(work: &Work, lot: u32) -> Vec<(GearId, u32)> {
    let gear = work.gear.iter();
    gear.map(|&(gear, count)| (gear, count.of(lot))).collect()
}

impl NeedNumbers {
    fn new(shop: &Shop) -> NeedNumbers {
        let mut numbers = NeedNumbers {
            several_at: vec![Vec::new(); shop.stations.len()],
            first_unit: vec![0],
            ..NeedNumbers::default()
        };
        let mut units = 0;
        for station in &shop.stations {
            units += station.count as usize;
            numbers.first_unit.push(units);
        }
        let mut may_cure = vec![false; shop.stations.len()];
        let items = shop.projects.iter().flat_map(|project| &project.items);
        for choice in items
            .flat_map(|item| &item.route)
            .flat_map(|step| &step.choices)
        {
            let cure = choice.work.cure.as_ref();
            may_cure[choice.station.index()] |= cure.is_some_and(|cure| cure.ties_up_station);
        }
        let mut clocks = shop.stations.len();
        for (id, project) in shop.projects.enumerate() {
            let lines = shop.orders.iter().filter(|line| line.project == id);
            let together = lines.map(|line| line.together).max().unwrap_or(1);
            numbers.first_item.push(numbers.first_step.len() as u32);
            for item in &project.items {
                let first = numbers.of_steps.len() as u32;
                numbers.first_step.push(first);
                let lot = item.largest_lot(item.pieces.saturating_mul(together));
                numbers.add(item, lot, &may_cure, &mut clocks);
            }
        }
        numbers
    }

    /// Adds the needs of an item's steps; new ones join the others. What gear each piece needs is counted for a lot of
    /// so many, the largest one: a smaller one counts as short of gear where that one would be.
    fn add(&mut self, item: &Item, lot: u32, may_cure: &[bool], clocks: &mut usize) {
        for step in &item.route {
            let Some(first) = step.choices.first() else {
                continue;
            };
            let operation = first.work.operation;
            let options: Vec<StationAndGear> = (step.choices.iter())
                .map(|choice| (choice.station, taken(&choice.work, lot)))
                .collect();
            let known = (self.needs.iter())
                .position(|need| need.operation == operation && need.options == options);
            let number = known.unwrap_or(self.needs.len());
            self.of_steps.push(number as u32);
            if known.is_some() {
                continue;
            }
            let mut stations: Vec<usize> =
                options.iter().map(|(station, _)| station.index()).collect();
            stations.dedup();
            let clock = match stations[..] {
                [station] => station,
                _ => {
                    for station in stations {
                        self.several_at[station].push(number);
                    }
                    *clocks += 1;
                    *clocks - 1
                }
            };
            let takes_gear = options.iter().any(|(_, gear)| !gear.is_empty());
            self.take_gear |= takes_gear;
            let may_cure = (options.iter()).all(|(station, _)| may_cure[station.index()]);
            self.needs.push(SharedNeed {
                operation,
                needs_somebody: true,
                takes_gear,
                may_cure,
                options: options.clone(),
                clock,
            });
            self.unattended.push(number as u32);
            // Lots that need nobody have the same clocks, but a need of their own.
            if step.choices.iter().all(|choice| choice.work.people == 0) {
                let double = self.needs.len() as u32;
                self.unattended[number] = double;
                self.unattended.push(double);
                self.needs.push(SharedNeed {
                    operation,
                    needs_somebody: false,
                    takes_gear,
                    may_cure,
                    options,
                    clock,
                });
            }
        }
    }
}

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
    /// Lots that are ready and have this need.
    lots: Vec<u32>,
    /// Needs that some lots have, and where each of them stands in this list.
    waiting: Vec<u32>,
    place: Vec<u32>,
    /// Needs among these that take gear.
    with_gear: u32,
    /// How long each need that takes gear was short of a station and of gear while lots had it.
    gear_clocks: Vec<[Span; 2]>,
}

impl Needs {
    pub fn new(shop: &Shop) -> Needs {
        let numbers = NeedNumbers::new(shop);
        let needs = numbers.needs.len();
        let clocks = numbers.needs.iter().map(|need| need.clock + 1).max();
        let units = numbers.first_unit.last().copied().unwrap_or_default();
        Needs {
            units: vec![UnitNow::FREE; units],
            clocks: vec![
                ShortClock::NEVER_SHORT;
                clocks.unwrap_or_default().max(shop.stations.len())
            ],
            gear_count: shop.gear.iter().map(|gear| gear.count).collect(),
            gear_taken: Vec::new(),
            lots: vec![0; needs],
            waiting: Vec::new(),
            place: vec![0; needs],
            with_gear: 0,
            gear_clocks: vec![[Span::ZERO; 2]; needs],
            numbers: Arc::new(numbers),
        }
    }

    /// The start of another run.
    pub fn begin(&mut self) {
        self.units.fill(UnitNow::FREE);
        self.clocks.fill(ShortClock::NEVER_SHORT);
        self.gear_taken.clear();
        self.lots.fill(0);
        self.waiting.clear();
        self.with_gear = 0;
        self.gear_clocks.fill([Span::ZERO; 2]);
    }

    #[inline]
    pub fn of_step(&self, project: usize, item: usize, step: usize) -> usize {
        let numbers = &*self.numbers;
        let item = numbers.first_item[project] as usize + item;
        numbers.of_steps[numbers.first_step[item] as usize + step] as usize
    }

    /// How long so far the need was short of a station and of gear.
    #[inline]
    pub fn clocks(&self, need: usize, now: Time) -> [Span; 2] {
        let of = &self.numbers.needs[need];
        match of.takes_gear {
            true => self.gear_clocks[need],
            false => [self.clocks[of.clock].read(now), Span::ZERO],
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
            self.with_gear += u32::from(self.numbers.needs[need].takes_gear);
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
            self.with_gear -= u32::from(self.numbers.needs[need].takes_gear);
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

    /// Whether anything that is needed anywhere is gear.
    #[inline]
    pub fn take_gear(&self) -> bool {
        self.numbers.take_gear
    }

    #[inline]
    pub fn gear_is_waited_for(&self) -> bool {
        self.with_gear > 0
    }

    /// A unit of a station is taken from now on until `free`, and cures from `cures_from` on. Says until when no unit
    /// is free, if none is.
    #[inline]
    pub fn unit_taken(
        &mut self,
        (station, unit): (StationId, u32),
        now: Time,
        cures_from: Time,
        free: Time,
    ) -> Option<Time> {
        let station = station.index();
        let first = self.numbers.first_unit[station];
        let end = self.numbers.first_unit[station + 1];
        let unit = first + unit as usize;
        self.units[unit] = UnitNow {
            until: free,
            cures_from,
        };
        let mut until = free;
        // Units are taken in turn, so the next one is the likeliest to be free.
        for other in (unit + 1..end).chain(first..unit) {
            if self.units[other].until <= now {
                return None;
            }
            until = until.min(self.units[other].until);
        }
        self.clocks[station].is_short_from(now, until);
        if !self.numbers.several_at[station].is_empty() {
            self.several_short(station, now);
        }
        Some(until)
    }

    /// A unit of which nobody knew until when it would be taken is free now.
    pub fn unit_is_free(&mut self, (station, unit): (StationId, u32), now: Time) {
        let station = station.index();
        let first = self.numbers.first_unit[station];
        self.units[first + unit as usize] = UnitNow {
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
            let stations = of.options.iter().map(|(station, _)| station.index());
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

    /// What the lots that have a need are short of at an instant that has just passed or passes now.
    pub fn short(&self, need: &SharedNeed, at: Time) -> Option<Short> {
        if !need.takes_gear {
            return (self.clocks[need.clock].until > at).then_some(Short::Station);
        }
        let mut short = Some(Short::Station);
        for (station, gear) in &need.options {
            if self.clocks[station.index()].until > at {
                continue;
            }
            if (gear.iter()).all(|&(gear, amount)| self.gear_free(gear, at) >= amount) {
                return None;
            }
            short = Some(Short::Gear);
        }
        short
    }

    fn gear_free(&self, gear: GearId, at: Time) -> u32 {
        let taken = (self.gear_taken.iter())
            .filter(|taken| taken.gear == gear && taken.start <= at && at < taken.end);
        self.gear_count[gear.index()] - taken.map(|taken| taken.amount).sum::<u32>()
    }

    #[inline]
    pub fn all_units_cure(&self, need: &SharedNeed, at: Time) -> bool {
        let cures = |station: usize| {
            let units = self.numbers.first_unit[station]..self.numbers.first_unit[station + 1];
            (self.units[units].iter()).all(|unit| unit.cures_from <= at && at < unit.until)
        };
        need.may_cure && (need.options.iter()).all(|(station, _)| cures(station.index()))
    }

    /// Lets time pass over which nothing changes.
    pub fn pass_gear_clocks(&mut self, at: Time, span: Span) {
        for place in 0..self.waiting.len() {
            let number = self.waiting[place] as usize;
            let need = &self.numbers.needs[number];
            if need.takes_gear
                && let Some(short) = self.short(need, at)
            {
                self.gear_clocks[number][short as usize] += span;
            }
        }
    }
}
