//! What an operation needs besides people, and how long it has been short of it.

use super::people::People;
use crate::shop::{GearId, Item, OperationId, Shop, StationId};
use crate::units::Time;

/// What is missing for a lot to be worked on; if neither is, it waits for a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Short {
    Station,
    Gear,
}

/// Steps that need the same have one need: an operation at any of these stations, with this gear.
#[derive(Debug)]
struct Need {
    operation: OperationId,
    options: Vec<(StationId, Vec<(GearId, u32)>)>,
    short: Option<Short>,
    /// How long it was short of a station and of gear, up to `since`.
    clocks: [i64; 2],
    since: Time,
    /// Lots that are ready and have this need.
    waiting: u32,
    /// What people see these lots wait for. A station all of whose units cure is not seen: the cure is.
    seen: Option<Short>,
}

/// Units and gear that are free, and what that means for every need.
#[derive(Debug)]
pub(super) struct Needs {
    needs: Vec<Need>,
    /// By project, item and step.
    of_step: Vec<Vec<Vec<usize>>>,
    of_station: Vec<Vec<usize>>,
    of_gear: Vec<Vec<usize>>,
    units: Vec<Units>,
    gear_free: Vec<u32>,
}

#[derive(Debug, Clone, Copy)]
struct Units {
    count: u32,
    free: u32,
    curing: u32,
}

impl Needs {
    pub fn new(shop: &Shop) -> Needs {
        let units = shop.stations.iter().map(|station| Units {
            count: station.count,
            free: station.count,
            curing: 0,
        });
        let mut needs = Needs {
            needs: Vec::new(),
            of_step: Vec::new(),
            of_station: vec![Vec::new(); shop.stations.len()],
            of_gear: vec![Vec::new(); shop.gear.len()],
            units: units.collect(),
            gear_free: shop.gear.iter().map(|gear| gear.count).collect(),
        };
        for project in &shop.projects {
            let items = project.items.iter().map(|item| needs.add(item)).collect();
            needs.of_step.push(items);
        }
        needs
    }

    /// The needs of an item's steps.
    fn add(&mut self, item: &Item) -> Vec<usize> {
        let steps = item.route.iter().filter_map(|step| {
            let operation = step.choices.first()?.work.operation;
            let choices = step.choices.iter();
            let options: Vec<_> = choices
                .map(|choice| (choice.station, choice.work.gear.clone()))
                .collect();
            let known = (self.needs.iter())
                .position(|need| need.operation == operation && need.options == options);
            if known.is_some() {
                return known;
            }
            let number = self.needs.len();
            for (station, gear) in &options {
                add_once(&mut self.of_station[station.index()], number);
                for (kind, _) in gear {
                    add_once(&mut self.of_gear[kind.index()], number);
                }
            }
            self.needs.push(Need {
                operation,
                options,
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

    pub fn of_step(&self, project: usize, item: usize, step: usize) -> usize {
        self.of_step[project][item][step]
    }

    /// How long so far the need was short of a station and of gear, in microseconds.
    pub fn clocks(&self, need: usize, now: Time) -> [i64; 2] {
        let need = &self.needs[need];
        let mut clocks = need.clocks;
        if let Some(short) = need.short {
            clocks[short as usize] += (now - need.since).micros();
        }
        clocks
    }

    pub fn waits(&mut self, need: usize, at: Time, people: &mut People) {
        self.needs[need].waiting += 1;
        self.look(need, at, people);
    }

    pub fn waits_no_more(&mut self, need: usize, at: Time, people: &mut People) {
        self.needs[need].waiting -= 1;
        self.look(need, at, people);
    }

    pub fn take_unit(&mut self, station: StationId, at: Time, people: &mut People) {
        self.units[station.index()].free -= 1;
        self.look_at(station, at, people);
    }

    pub fn give_back_unit(&mut self, station: StationId, at: Time, people: &mut People) {
        self.units[station.index()].free += 1;
        self.look_at(station, at, people);
    }

    pub fn unit_cures(&mut self, station: StationId, at: Time, people: &mut People) {
        self.units[station.index()].curing += 1;
        self.look_at(station, at, people);
    }

    pub fn unit_is_cured(&mut self, station: StationId, at: Time, people: &mut People) {
        self.units[station.index()].curing -= 1;
        self.give_back_unit(station, at, people);
    }

    pub fn take_gear(&mut self, gear: GearId, amount: u32, at: Time, people: &mut People) {
        self.gear_free[gear.index()] -= amount;
        self.look_at_gear(gear, at, people);
    }

    pub fn give_back_gear(&mut self, gear: GearId, amount: u32, at: Time, people: &mut People) {
        self.gear_free[gear.index()] += amount;
        self.look_at_gear(gear, at, people);
    }

    fn look_at(&mut self, station: StationId, at: Time, people: &mut People) {
        for nth in 0..self.of_station[station.index()].len() {
            self.look(self.of_station[station.index()][nth], at, people);
        }
    }

    fn look_at_gear(&mut self, gear: GearId, at: Time, people: &mut People) {
        for nth in 0..self.of_gear[gear.index()].len() {
            self.look(self.of_gear[gear.index()][nth], at, people);
        }
    }

    /// Settles a need's clocks and tells people if they see something else now.
    fn look(&mut self, number: usize, at: Time, people: &mut People) {
        let short = self.short(number);
        let all_cure = short == Some(Short::Station) && self.all_units_cure(number);
        let clocks = self.clocks(number, at);
        let need = &mut self.needs[number];
        if need.short != short {
            need.clocks = clocks;
            need.since = at;
            need.short = short;
        }
        let seen = short.filter(|_| need.waiting > 0 && !all_cure);
        if need.seen != seen {
            people.see(need.operation, need.seen, seen, at);
            need.seen = seen;
        }
    }

    fn short(&self, need: usize) -> Option<Short> {
        let mut short = Some(Short::Station);
        for (station, gear) in &self.needs[need].options {
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
