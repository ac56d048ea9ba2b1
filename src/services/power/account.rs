//! What runs on a circuit together, and what that comes to.

use std::collections::BTreeMap;

use super::motor::ADDED;
use crate::services::together::{OnTime, Spells, Together, stretches, unbroken};
use crate::units::{Moment, Span};

/// Advice of the code, as shares of the supply: on a circuit's run, and with cord and feeder (NEC 210.19 and 215.2,
/// informational notes).
pub const MOST_DROP_OF_RUN: f64 = 0.03;
pub const MOST_DROP: f64 = 0.05;

/// What is on for so long without a break is continuous (NEC article 100).
const CONTINUOUS: Span = Span::from_micros(3 * 3_600_000_000);

/// Sums of amps are taken for the same within this share.
const SAME: f64 = 1e-9;

/// What a circuit hangs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Supplied {
    /// 120 V on one leg.
    One(ElectricLeg),
    /// 240 V on both.
    Both,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ElectricLeg {
    A,
    B,
}

/// Something that draws current.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitLoad {
    /// The circuit that it hangs on.
    pub circuit: usize,
    /// While it is on, in A.
    pub amps: f64,
    /// What a motor's table says in place of that for planning, in A.
    pub table_amps: Option<f64>,
    pub is_motor: bool,
    pub continuity: Continuity,
    pub on: Vec<OnTime>,
}

/// Whether a load counts as continuous, for which the code adds to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Continuity {
    /// If it is on for hours without a break.
    ByTimes,
    /// However short it is on, as a heater.
    Always,
    /// However long it is taken to be on, as what starts by itself and may be on at any time, but not at all times.
    Never,
}

/// What a circuit's loads come to. Amps are never mixed: what really runs together, the same with what the code adds to
/// continuous loads, and the figure to plan with.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitAccount {
    /// The most that ran together, in A, and what that was when it first did.
    pub peak: f64,
    pub first_at: Option<Moment>,
    /// Numbers of loads.
    pub combination: Vec<usize>,
    /// When it was over the rating.
    pub over: Spells,
    /// The same with each set of loads.
    pub over_combinations: BTreeMap<Vec<usize>, Spells>,
    /// Loads that were on for hours, or count as if they were.
    pub continuous: Vec<usize>,
    /// The most that ran together with 25 % of what is continuous.
    pub with_continuous: f64,
    /// The most of amps by the motor table, with 25 % of the largest motor and of what is continuous.
    pub planning: f64,
}

impl CircuitAccount {
    pub fn is_over(&self, rating: f64) -> bool {
        exceeds(self.peak, rating)
    }

    /// Whether the rating is enough with what the code adds to continuous loads.
    pub fn carries_continuous(&self, rating: f64) -> bool {
        !exceeds(self.with_continuous, rating)
    }
}

fn exceeds(amps: f64, rating: f64) -> bool {
    amps > rating * (1.0 + SAME)
}

/// The account of each circuit, in order, given the rating of each in A.
pub fn accounts(ratings: &[f64], loads: &[CircuitLoad]) -> Vec<CircuitAccount> {
    let account = |(circuit, &rating): (usize, &f64)| {
        let numbers: Vec<usize> = (0..loads.len())
            .filter(|&number| loads[number].circuit == circuit)
            .collect();
        account(rating, loads, &numbers)
    };
    ratings.iter().enumerate().map(account).collect()
}

fn account(rating: f64, loads: &[CircuitLoad], numbers: &[usize]) -> CircuitAccount {
    let times = numbers.iter().map(|&number| &loads[number].on[..]);
    let together: Vec<Together> = (stretches(times).into_iter())
        .map(|stretch| Together {
            on: stretch.on.iter().map(|&at| numbers[at]).collect(),
            ..stretch
        })
        .collect();
    let continuous: Vec<usize> = (numbers.iter().copied())
        .filter(|&number| is_continuous(&loads[number]))
        .collect();
    let added = |on: &[usize], amps: &dyn Fn(&CircuitLoad) -> f64| -> f64 {
        let runs_on = on.iter().filter(|number| continuous.contains(number));
        ADDED * runs_on.map(|&number| amps(&loads[number])).sum::<f64>()
    };
    let sum = |on: &[usize], amps: &dyn Fn(&CircuitLoad) -> f64| -> f64 {
        on.iter().map(|&number| amps(&loads[number])).sum()
    };
    let mut found = CircuitAccount {
        peak: 0.0,
        first_at: None,
        combination: Vec::new(),
        over: Spells::default(),
        over_combinations: BTreeMap::new(),
        continuous: continuous.clone(),
        with_continuous: 0.0,
        planning: 0.0,
    };
    let mut over = Vec::new();
    let mut combinations: BTreeMap<&[usize], Vec<OnTime>> = BTreeMap::new();
    for stretch in &together {
        let running = sum(&stretch.on, &|load| load.amps);
        if found.first_at.is_none() || exceeds(running, found.peak) {
            found.peak = running;
            found.first_at = Some(stretch.time.from);
            found.combination.clone_from(&stretch.on);
        }
        if exceeds(running, rating) {
            over.push(stretch.time);
            let times = combinations.entry(&stretch.on).or_default();
            times.push(stretch.time);
        }
        let with_continuous = running + added(&stretch.on, &|load| load.amps);
        found.with_continuous = found.with_continuous.max(with_continuous);
        let largest = (stretch.on.iter().map(|&number| &loads[number]))
            .filter(|load| load.is_motor)
            .map(CircuitLoad::planned)
            .fold(0.0, f64::max);
        let planned = sum(&stretch.on, &CircuitLoad::planned)
            + ADDED * largest
            + added(&stretch.on, &CircuitLoad::planned);
        found.planning = found.planning.max(planned);
    }
    found.over = Spells::of(over);
    found.over_combinations = (combinations.into_iter())
        .map(|(on, times)| (on.to_vec(), Spells::of(times)))
        .collect();
    found
}

impl CircuitLoad {
    fn planned(&self) -> f64 {
        self.table_amps.unwrap_or(self.amps)
    }
}

fn is_continuous(load: &CircuitLoad) -> bool {
    let lasts = |time: &OnTime| time.lasts() >= CONTINUOUS;
    match load.continuity {
        Continuity::ByTimes => unbroken(&load.on).iter().any(lasts),
        Continuity::Always => !load.on.is_empty(),
        Continuity::Never => false,
    }
}

/// The most that ran at one time over each leg of a panel, in A.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LegCurrents {
    pub a: f64,
    pub b: f64,
}

impl LegCurrents {
    /// A panel's current is its greater leg's.
    pub fn greater(self) -> f64 {
        self.a.max(self.b)
    }
}

/// The currents of a panel's legs, given what each circuit hangs on. What hangs on both counts on both.
pub fn leg_currents(circuits: &[Supplied], loads: &[CircuitLoad]) -> LegCurrents {
    let mut most = LegCurrents::default();
    for stretch in stretches(loads.iter().map(|load| &load.on[..])) {
        let on = |leg: ElectricLeg| -> f64 {
            let loads = stretch.on.iter().map(|&number| &loads[number]);
            loads
                .filter(|load| match circuits[load.circuit] {
                    Supplied::One(one) => one == leg,
                    Supplied::Both => true,
                })
                .map(|load| load.amps)
                .sum()
        };
        most.a = most.a.max(on(ElectricLeg::A));
        most.b = most.b.max(on(ElectricLeg::B));
    }
    most
}
