//! What an operation needs besides people, and how long it has been short of it.

use std::sync::Arc;

use super::people::{People, Short};
use crate::metrics::chronicle::{Occupation, OccupationChange};
use crate::shop::{GearId, Item, OperationId, Shop, StationId};
use crate::units::Time;

/// A station at which an operation can be done, and the gear that it takes there.
type StationAndGear = (StationId, Vec<(GearId, u32)>);

/// Steps that need the same have one need: an operation at any of these stations, with this gear.
#[derive(Debug, Clone)]
struct SharedNeed {
    operation: OperationId,
    options: Arc<[StationAndGear]>,
    short: Option<Short>,
    /// How long it was short of a station and of gear, up to `since`.
    clocks: [i64; 2],
    since: Time,
    /// Lots that are ready and have this need.
    waiting: u32,
    /// What people see these lots wait for. A station all of whose units cure is not seen: the cure is.
    seen: Option<Short>,
}

/// Which needs there are where.
#[derive(Debug, Default)]
struct NeedNumbers {
    /// Those of all steps, one after the other.
    of_steps: Vec<usize>,
    /// Where those of an item's first step stand, by project and item.
    first_step: Vec<Vec<usize>>,
    of_station: Vec<Vec<usize>>,
    of_gear: Vec<Vec<usize>>,
}

impl NeedNumbers {
    /// The needs of an item's steps; new ones join the others.
    fn add(&mut self, item: &Item, needs: &mut Vec<SharedNeed>) -> Vec<usize> {
        let steps = item.route.iter().filter_map(|step| {
            let operation = step.choices.first()?.work.operation;
            let choices = step.choices.iter();
            let options: Vec<StationAndGear> = choices
                .map(|choice| (choice.station, choice.work.gear.clone()))
                .collect();
            let known = (needs.iter())
                .position(|need| need.operation == operation && *need.options == *options);
            if known.is_some() {
                return known;
            }
            let number = needs.len();
            for (station, gear) in &options {
                add_once(&mut self.of_station[station.index()], number);
                for (kind, _) in gear {
                    add_once(&mut self.of_gear[kind.index()], number);
                }
            }
            needs.push(SharedNeed {
                operation,
                options: options.into(),
                short: None,
                clocks: [0; 2],
                since: Time::START,
                waiting: 0,
                seen: None,
            });
            Some(number)
        });
        steps.collect()
    }
}

/// Units and gear that are free, and what that means for every need.
#[derive(Debug, Clone)]
pub(super) struct Needs {
    needs: Vec<SharedNeed>,
    numbers: Arc<NeedNumbers>,
    units: Vec<UnitsNow>,
    gear_free: Vec<u32>,
}

#[derive(Debug, Clone, Copy)]
struct UnitsNow {
    count: u32,
    free: u32,
    curing: u32,
}

impl Needs {
    pub fn new(shop: &Shop) -> Needs {
        let units = shop.stations.iter().map(|station| UnitsNow {
            count: station.count,
            free: station.count,
            curing: 0,
        });
        let mut needs = Vec::new();
        let mut numbers = NeedNumbers {
            of_station: vec![Vec::new(); shop.stations.len()],
            of_gear: vec![Vec::new(); shop.gear.len()],
            ..NeedNumbers::default()
        };
        for project in &shop.projects {
            let first_step = project.items.iter().map(|item| {
                let of_item = numbers.add(item, &mut needs);
                let first = numbers.of_steps.len();
                numbers.of_steps.extend(of_item);
                first
            });
            let first_step = first_step.collect();
            numbers.first_step.push(first_step);
        }
        Needs {
            needs,
            numbers: Arc::new(numbers),
            units: units.collect(),
            gear_free: shop.gear.iter().map(|gear| gear.count).collect(),
        }
    }

    #[inline]
    pub fn of_step(&self, project: usize, item: usize, step: usize) -> usize {
        self.numbers.of_steps[self.numbers.first_step[project][item] + step]
    }

    /// How long so far the need was short of a station and of gear, in microseconds.
    #[inline]
    pub fn clocks(&self, need: usize, now: Time) -> [i64; 2] {
        let need = &self.needs[need];
        let mut clocks = need.clocks;
        if let Some(short) = need.short {
            clocks[short as usize] += (now - need.since).micros();
        }
        clocks
    }

    #[inline]
    pub fn waits(&mut self, need: usize, at: Time, people: &mut People) {
        self.needs[need].waiting += 1;
        if self.needs[need].waiting == 1 {
            self.see(need, at, people);
        }
    }

    #[inline]
    pub fn waits_no_more(&mut self, need: usize, at: Time, people: &mut People) {
        self.needs[need].waiting -= 1;
        if self.needs[need].waiting == 0 {
            self.see(need, at, people);
        }
    }

    /// Nothing changes for anybody unless the first unit comes free, the last one is taken, or all of them cure.
    #[inline]
    pub fn unit_turns(&mut self, station: StationId, turn: OccupationChange, people: &mut People) {
        // A unit that is held is as little to be had as one that works.
        if matches!(turn.was, Occupation::Held | Occupation::Active)
            && matches!(turn.is, Occupation::Held | Occupation::Active)
        {
            return;
        }
        let units = &mut self.units[station.index()];
        let before = (units.free == 0, units.curing == units.count);
        units.free += u32::from(turn.is == Occupation::Free);
        units.free -= u32::from(turn.was == Occupation::Free);
        units.curing += u32::from(turn.is == Occupation::Curing);
        units.curing -= u32::from(turn.was == Occupation::Curing);
        if before != (units.free == 0, units.curing == units.count) {
            for nth in 0..self.numbers.of_station[station.index()].len() {
                self.look(
                    self.numbers.of_station[station.index()][nth],
                    turn.at,
                    people,
                );
            }
        }
    }

    pub fn take_gear(&mut self, gear: GearId, amount: u32, at: Time, people: &mut People) {
        self.gear_free[gear.index()] -= amount;
        self.look_at_gear(gear, at, people);
    }

    pub fn give_back_gear(&mut self, gear: GearId, amount: u32, at: Time, people: &mut People) {
        self.gear_free[gear.index()] += amount;
        self.look_at_gear(gear, at, people);
    }

    fn look_at_gear(&mut self, gear: GearId, at: Time, people: &mut People) {
        for nth in 0..self.numbers.of_gear[gear.index()].len() {
            self.look(self.numbers.of_gear[gear.index()][nth], at, people);
        }
    }

    /// Settles a need's clocks, and tells people if they see something else now.
    fn look(&mut self, number: usize, at: Time, people: &mut People) {
        let short = self.short(number);
        if self.needs[number].short != short {
            let clocks = self.clocks(number, at);
            let need = &mut self.needs[number];
            need.clocks = clocks;
            need.since = at;
            need.short = short;
        }
        self.see(number, at, people);
    }

    /// Tells people if they see something else now.
    #[inline]
    fn see(&mut self, number: usize, at: Time, people: &mut People) {
        let need = &self.needs[number];
        let seen = match need.short {
            _ if need.waiting == 0 => None,
            Some(Short::Station) if self.all_units_cure(number) => None,
            short => short,
        };
        let need = &mut self.needs[number];
        if need.seen != seen {
            people.see(need.operation, need.seen, seen, at);
            need.seen = seen;
        }
    }

    fn short(&self, need: usize) -> Option<Short> {
        let mut short = Some(Short::Station);
        for (station, gear) in self.needs[need].options.iter() {
            if self.units[station.index()].free == 0 {
                continue;
            }
            let has = |&(kind, amount): &(GearId, u32)| self.gear_free[kind.index()] >= amount;
            if gear.iter().all(has) {
                return None;
            }
            short = Some(Short::Gear);
        }
        short
    }

    fn all_units_cure(&self, need: usize) -> bool {
        let mut units =
            (self.needs[need].options.iter()).map(|(station, _)| self.units[station.index()]);
        units.all(|units| units.curing == units.count)
    }
}

fn add_once(list: &mut Vec<usize>, number: usize) {
    if list.last() != Some(&number) {
        list.push(number);
    }
}
