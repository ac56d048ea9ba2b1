//! The currents of single runs, and what they come to.

use std::collections::{BTreeMap, BTreeSet};

use super::findings::{
    CircuitCurrents, CircuitFindings, Combination, LoadFindings, OverRating, PanelFindings,
    PowerFindings, VoltageDrop,
};
use super::unit_loads::{NumberedLoads, UnitLoads};
use super::{cords, replug};
use crate::experiment::estimates::{estimate_if_enough, none};
use crate::experiment::{Candidate, Settings};
use crate::metrics::MachineTimes;
use crate::services::power::{
    Circuit, CircuitAccount, Starts, StationLoad, accounts, leg_currents,
};
use crate::services::together::{Spells, stretches};
use crate::statistics::{Estimate, Summary};

/// What one run comes to. Units have their numbers.
pub struct RunCurrents {
    without: Accounts,
    with_starting: Option<Accounts>,
    /// What ran together, without what starts by itself.
    sets: BTreeSet<Vec<usize>>,
    /// Seconds in which any unit of a load is on.
    on: Vec<f64>,
}

/// Of every circuit, and of the panel's legs.
struct Accounts {
    circuits: Vec<CircuitAccount>,
    legs: [f64; 2],
}

impl RunCurrents {
    pub fn of(units: &UnitLoads, times: &MachineTimes) -> RunCurrents {
        let without = units.of_run(times, false);
        let mut starting = units
            .plugged()
            .filter(|(load, _)| load.starts == Starts::ByItself);
        let mut on = vec![0.0; units.plugged().count()];
        for (&unit, load) in without.numbers.iter().zip(&without.loads) {
            let nth = units.load_of(unit);
            let seconds: f64 = load.on.iter().map(|time| time.lasts().seconds()).sum();
            // The first unit that is on is any of them.
            on[nth] = f64::max(on[nth], seconds);
        }
        let together = stretches(without.loads.iter().map(|load| &load.on[..]));
        RunCurrents {
            sets: (together.into_iter())
                .map(|stretch| numbered(&without.numbers, &stretch.on))
                .collect(),
            with_starting: starting
                .next()
                .map(|_| Accounts::of(units, &units.of_run(times, true))),
            without: Accounts::of(units, &without),
            on,
        }
    }
}

fn numbered(numbers: &[usize], places: &[usize]) -> Vec<usize> {
    places.iter().map(|&place| numbers[place]).collect()
}

impl Accounts {
    fn of(units: &UnitLoads, of: &NumberedLoads) -> Accounts {
        let circuits = units.circuits();
        // What nobody has rated is over nothing.
        let rating = |circuit: &Circuit| circuit.rating.unwrap_or(f64::INFINITY);
        let ratings: Vec<f64> = circuits.iter().map(rating).collect();
        let supplied: Vec<_> = circuits.iter().map(|circuit| circuit.supplied).collect();
        let legs = leg_currents(&supplied, &of.loads);
        let own = |places: &[usize]| numbered(&of.numbers, places);
        let circuits = accounts(&ratings, &of.loads).into_iter();
        Accounts {
            legs: [legs.a, legs.b],
            circuits: circuits
                .map(|account| CircuitAccount {
                    combination: own(&account.combination),
                    continuous: own(&account.continuous),
                    over_combinations: (account.over_combinations.iter())
                        .map(|(on, spells)| (own(on), *spells))
                        .collect(),
                    ..account
                })
                .collect(),
        }
    }
}

/// What all runs so far come to.
pub struct CurrentSums {
    runs: u64,
    without: AccountSums,
    with_starting: Option<AccountSums>,
    sets: BTreeSet<Vec<usize>>,
    on: Vec<f64>,
}

#[derive(Clone)]
struct AccountSums {
    circuits: Vec<CircuitSums>,
    legs: [f64; 2],
}

#[derive(Clone, Default)]
struct CircuitSums {
    peak: f64,
    peak_of: Vec<usize>,
    with_continuous: f64,
    continuous: BTreeSet<usize>,
    planning: f64,
    spells: Summary,
    seconds: Summary,
    longest: Summary,
    over: Spells,
    runs_over: u64,
    combinations: BTreeMap<Vec<usize>, Spells>,
}

/// Spells of another run beside those of earlier ones.
fn beside(all: Spells, more: Spells) -> Spells {
    Spells {
        count: all.count + more.count,
        sum: all.sum + more.sum,
        longest: all.longest.max(more.longest),
    }
}

impl AccountSums {
    fn new(units: &UnitLoads) -> AccountSums {
        AccountSums {
            circuits: vec![CircuitSums::default(); units.circuits().len()],
            legs: [0.0; 2],
        }
    }

    fn add(&mut self, of: Accounts) {
        for (most, leg) in self.legs.iter_mut().zip(of.legs) {
            *most = most.max(leg);
        }
        for (sums, account) in self.circuits.iter_mut().zip(of.circuits) {
            sums.add(account);
        }
    }
}

impl CircuitSums {
    fn add(&mut self, of: CircuitAccount) {
        if of.peak > self.peak {
            self.peak = of.peak;
            self.peak_of = of.combination;
        }
        self.with_continuous = self.with_continuous.max(of.with_continuous);
        self.planning = self.planning.max(of.planning);
        self.continuous.extend(of.continuous);
        self.spells.add(of.over.count as f64);
        self.seconds.add(of.over.sum.seconds());
        self.longest.add(of.over.longest.seconds());
        self.over = beside(self.over, of.over);
        self.runs_over += u64::from(of.over.count > 0);
        for (on, spells) in of.over_combinations {
            let all = self.combinations.entry(on).or_default();
            *all = beside(*all, spells);
        }
    }

    fn findings(&self, units: &UnitLoads, settings: &Settings) -> CircuitCurrents {
        let continuous: Vec<usize> = self.continuous.iter().copied().collect();
        CircuitCurrents {
            peak: self.peak,
            peak_of: units.names(&self.peak_of),
            over: (self.over.count > 0).then(|| self.over_rating(units, settings)),
            with_continuous: self.with_continuous,
            continuous: units.names(&continuous),
            planning: self.planning,
        }
    }

    fn over_rating(&self, units: &UnitLoads, settings: &Settings) -> OverRating {
        let runs = self.spells.count() as f64;
        let mean = |summary: &Summary| -> Estimate {
            estimate_if_enough(summary, settings).unwrap_or(none(settings.confidence))
        };
        let mut combinations: Vec<(&Vec<usize>, &Spells)> = self.combinations.iter().collect();
        combinations.sort_by_key(|(on, spells)| (std::cmp::Reverse(spells.sum), *on));
        let told = |(on, spells): (&Vec<usize>, &Spells)| Combination {
            of: units.names(on),
            amps: on.iter().map(|&unit| units.amps(unit)).sum(),
            spells: spells.count as f64 / runs,
            seconds: spells.sum.seconds() / runs,
            longest_of_all: spells.longest.seconds(),
        };
        OverRating {
            runs: self.runs_over,
            spells: mean(&self.spells),
            seconds: mean(&self.seconds),
            longest: mean(&self.longest),
            longest_of_all: self.over.longest.seconds(),
            combinations: combinations.into_iter().map(told).collect(),
        }
    }
}

impl CurrentSums {
    pub fn new(units: &UnitLoads) -> CurrentSums {
        CurrentSums {
            runs: 0,
            without: AccountSums::new(units),
            with_starting: None,
            sets: BTreeSet::new(),
            on: vec![0.0; units.plugged().count()],
        }
    }

    pub fn add(&mut self, of: RunCurrents) {
        self.runs += 1;
        if let Some(with) = of.with_starting {
            let fresh = || AccountSums {
                circuits: vec![CircuitSums::default(); with.circuits.len()],
                legs: [0.0; 2],
            };
            self.with_starting.get_or_insert_with(fresh).add(with);
        }
        self.without.add(of.without);
        self.sets.extend(of.sets);
        for (sum, seconds) in self.on.iter_mut().zip(of.on) {
            *sum += seconds;
        }
    }

    pub fn findings(
        &self,
        units: &UnitLoads,
        candidate: &Candidate,
        settings: &Settings,
    ) -> PowerFindings {
        let wiring = &units.plan.wiring;
        let station = |load: &StationLoad| load.name(units.shop).to_owned();
        let reach = cords::outlets(candidate, wiring);
        PowerFindings {
            runs: self.runs,
            circuits: (0..wiring.circuits.len())
                .map(|circuit| self.circuit(circuit, units, settings))
                .collect(),
            panel: PanelFindings {
                rating: wiring.panel.rating,
                without: self.without.legs,
                with_starting: self.with_starting.as_ref().map(|with| with.legs),
            },
            loads: self.loads(units, &reach),
            without_circuit: (wiring.loads.iter())
                .filter(|load| load.circuit.is_none())
                .map(station)
                .collect(),
            short_cords: cords::too_short(candidate, wiring, &reach),
            replug: replug::replug(units, &self.sets, &self.continuous()),
        }
    }

    /// Units that were on for hours, or count as if they were.
    fn continuous(&self) -> BTreeSet<usize> {
        let circuits = self.without.circuits.iter();
        circuits
            .flat_map(|sums| sums.continuous.iter().copied())
            .collect()
    }

    fn loads(&self, units: &UnitLoads, reach: &[Option<f64>]) -> Vec<LoadFindings> {
        let wiring = &units.plan.wiring;
        let mut on = self.on.iter();
        let loads = wiring.loads.iter().zip(reach);
        loads
            .map(|(load, &outlet)| {
                let seconds = load.circuit.and_then(|_| on.next());
                let runs = (self.runs > 0).then_some(self.runs as f64);
                let is_known = load.starts != Starts::ByItself;
                LoadFindings {
                    name: load.name(units.shop).to_owned(),
                    circuit: load
                        .circuit
                        .map(|circuit| wiring.circuits[circuit].name.clone()),
                    volts: load.volts,
                    amps: load.amps,
                    table_amps: load.table_amps,
                    source: load.source,
                    starts: load.starts,
                    on: (seconds.zip(runs).filter(|_| is_known)).map(|(sum, runs)| sum / runs),
                    outlet,
                }
            })
            .collect()
    }

    fn circuit(&self, number: usize, units: &UnitLoads, settings: &Settings) -> CircuitFindings {
        let circuit = &units.circuits()[number];
        let on_it = || {
            units
                .plugged()
                .enumerate()
                .filter(|&(_, (_, on))| on == number)
        };
        let names = |starting: bool| -> Vec<String> {
            on_it()
                .filter(|(_, (load, _))| !starting || load.starts == Starts::ByItself)
                .map(|(nth, _)| units.name(nth).to_owned())
                .collect()
        };
        let starting = names(true);
        let with = self.with_starting.as_ref().filter(|_| !starting.is_empty());
        CircuitFindings {
            name: circuit.name.clone(),
            rating: circuit.rating,
            volts: circuit.volts,
            legs: circuit.legs(),
            loads: names(false),
            without: self.without.circuits[number].findings(units, settings),
            with_starting: with.map(|with| with.circuits[number].findings(units, settings)),
            starting,
            drop: self.drop(number, units),
        }
    }

    /// While as much runs on the circuit, and over its legs, as ever does.
    fn drop(&self, number: usize, units: &UnitLoads) -> Option<VoltageDrop> {
        let most = self.with_starting.as_ref().unwrap_or(&self.without);
        let circuit = &units.circuits()[number];
        let run = circuit.run?.drop(most.circuits[number].peak);
        let feeder = units.plan.wiring.panel.feeder;
        let feeder = feeder.map_or(0.0, |feeder| feeder.drop(PanelFindings::greater(most.legs)));
        let on_it = units
            .plugged()
            .enumerate()
            .filter(|&(_, (_, on))| on == number);
        let at = on_it.map(|(nth, (load, _))| {
            let cord = load.cord.map_or(0.0, |cord| cord.drop(load.amps));
            (units.name(nth), run + feeder + cord)
        });
        let (at, total) = at.max_by(|one, other| one.1.total_cmp(&other.1))?;
        Some(VoltageDrop {
            run,
            run_share: run / circuit.volts,
            at: at.to_owned(),
            total,
            total_share: total / circuit.volts,
        })
    }
}
