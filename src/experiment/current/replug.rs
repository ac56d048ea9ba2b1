//! Which plug to put elsewhere.

use std::collections::BTreeSet;

use super::findings::Replug;
use super::unit_loads::UnitLoads;
use crate::services::power::{ADDED, Starts};

/// The one plug after which the circuit that is farthest over its rating is so no longer, with what the code adds for what
/// is continuous, and no other comes to be: rather one with which that holds if everything starts that may, and of these
/// the one that leaves most room. `sets` are the units that ran together, `continuous` those that did for hours.
pub fn replug(
    units: &UnitLoads,
    sets: &BTreeSet<Vec<usize>>,
    continuous: &BTreeSet<usize>,
) -> Option<Replug> {
    let socket = Sockets::new(units, sets, continuous);
    let now: Vec<usize> = units.plugged().map(|(_, circuit)| circuit).collect();
    let from = socket.farthest_over(&now)?;
    let is_moved = |load: &usize| now[*load] == from && socket.is_worked[*load];
    let mut loads: Vec<usize> = (0..now.len()).filter(is_moved).collect();
    // A collector is on with one machine after the other, and stays where it stands: of equal plugs rather that one.
    loads.sort_by_key(|&load| !socket.is_collector(load));
    let loads = loads.into_iter();
    let tries = loads.flat_map(|load| {
        let alike = socket.alike(from);
        alike.map(move |to| (load, to))
    });
    let rated = tries.filter_map(|(load, to)| {
        let mut plugs = now.clone();
        plugs[load] = to;
        let [room, room_with] = [false, true].map(|with_starting| {
            let of = |circuit| socket.room(&plugs, circuit, with_starting);
            Some(f64::min(of(from)?, of(to)?))
        });
        let (room, room_with) = (room?, room_with?);
        let holds_with_starting = room_with >= 0.0;
        let peak = |circuit| socket.peak(&plugs, circuit, holds_with_starting);
        let replug = Replug {
            name: units.name(load).to_owned(),
            from: units.circuits()[from].name.clone(),
            to: units.circuits()[to].name.clone(),
            peak_from: peak(from),
            peak_to: peak(to),
            holds_with_starting,
        };
        let rank = match holds_with_starting {
            true => room_with,
            false => room,
        };
        (room >= 0.0).then_some((rank, replug))
    });
    // Of equal ones the first.
    let best = rated.reduce(|best, other| {
        let rank = |(room, of): &(f64, Replug)| (of.holds_with_starting, *room);
        match rank(&other) > rank(&best) {
            true => other,
            false => best,
        }
    });
    best.map(|(_, replug)| replug)
}

/// What ran together, whatever it is plugged into.
struct Sockets<'a> {
    units: &'a UnitLoads<'a>,
    sets: &'a BTreeSet<Vec<usize>>,
    continuous: &'a BTreeSet<usize>,
    /// By load, whether it is on with somebody's work, and how many A all of its units add that start by themselves.
    is_worked: Vec<bool>,
    starting: Vec<f64>,
}

impl<'a> Sockets<'a> {
    fn new(
        units: &'a UnitLoads<'a>,
        sets: &'a BTreeSet<Vec<usize>>,
        continuous: &'a BTreeSet<usize>,
    ) -> Sockets<'a> {
        let loads = || units.plugged().map(|(load, _)| load);
        Sockets {
            units,
            sets,
            continuous,
            is_worked: loads()
                .map(|load| load.starts == Starts::WithWork)
                .collect(),
            starting: loads()
                .map(|load| match load.starts {
                    Starts::ByItself => load.amps * f64::from(load.count(units.shop)),
                    Starts::WithWork | Starts::Throughout => 0.0,
                })
                .collect(),
        }
    }

    fn is_collector(&self, load: usize) -> bool {
        let mut loads = self.units.plugged();
        let station = loads.nth(load).and_then(|(load, _)| load.station);
        station.is_some_and(|station| self.units.plan.collector_at(station).is_some())
    }

    /// Other circuits of the same voltage.
    fn alike(&self, circuit: usize) -> impl Iterator<Item = usize> + use<'_> {
        let circuits = self.units.circuits();
        let both = circuits[circuit].is_of_both_legs();
        (0..circuits.len())
            .filter(move |&other| other != circuit && circuits[other].is_of_both_legs() == both)
    }

    fn farthest_over(&self, plugs: &[usize]) -> Option<usize> {
        let rated = (self.units.circuits().iter().enumerate())
            .filter_map(|(number, circuit)| Some((number, circuit.rating?)));
        let over = rated.map(|(number, rating)| (number, self.peak(plugs, number, false) - rating));
        let over = over.filter(|&(_, over)| over > 0.0);
        let farthest = over.reduce(|one, other| if other.1 > one.1 { other } else { one });
        farthest.map(|(number, _)| number)
    }

    /// The most over all that ran together, of what each unit adds.
    fn most(&self, plugs: &[usize], circuit: usize, of: impl Fn(usize) -> f64) -> f64 {
        let on_it = |unit: &usize| plugs[self.units.load_of(*unit)] == circuit;
        let sum = |set: &Vec<usize>| set.iter().copied().filter(on_it).map(&of).sum();
        self.sets.iter().map(sum).fold(0.0, f64::max)
    }

    /// What starts by itself on a circuit, in A.
    fn starting(&self, plugs: &[usize], circuit: usize, is_asked: bool) -> f64 {
        let loads = plugs.iter().zip(&self.starting);
        let on_it = loads.filter(|&(&on, _)| is_asked && on == circuit);
        on_it.map(|(_, amps)| amps).sum()
    }

    fn peak(&self, plugs: &[usize], circuit: usize, with_starting: bool) -> f64 {
        let amps = |unit| self.units.amps(unit);
        self.most(plugs, circuit, amps) + self.starting(plugs, circuit, with_starting)
    }

    /// What is left of a rating, with what the code adds for what is continuous.
    fn room(&self, plugs: &[usize], circuit: usize, with_starting: bool) -> Option<f64> {
        let counted = |unit: usize| {
            let added = if self.continuous.contains(&unit) {
                ADDED
            } else {
                0.0
            };
            self.units.amps(unit) * (1.0 + added)
        };
        let most = self.most(plugs, circuit, counted);
        let rating = self.units.circuits()[circuit].carries()?;
        Some(rating - most - self.starting(plugs, circuit, with_starting))
    }
}
