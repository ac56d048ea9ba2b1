//! Which loads could share a circuit.

use crate::services::power::{
    CircuitAccount, CircuitLoad, Continuity, ElectricLeg, LegCurrents, Supplied, accounts,
    leg_currents,
};
use crate::services::together::OnTime;
use crate::units::Moment;

/// When a load is on, beside the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Worked {
    /// While somebody works at it: one for each of those who work.
    ByHand,
    /// Whatever else is on, such as a collector, lamps, a heater or a compressor, which starts by itself.
    Along,
}

/// Something that is to be plugged in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlannedLoad {
    pub amps: f64,
    /// By the motor table, in A.
    pub table_amps: Option<f64>,
    pub is_motor: bool,
    pub is_continuous: bool,
    pub worked: Worked,
    /// Whether it takes 240 V, on both legs.
    pub takes_both_legs: bool,
    /// Whether it is what one sees by: it shares no circuit with anything else, since a breaker that trips is to leave
    /// nobody in the dark beside a blade that still turns (common practice).
    pub is_light: bool,
}

/// Loads that could hang on one circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct ProposedCircuit {
    pub loads: Vec<usize>,
    pub supplied: Supplied,
    pub account: CircuitAccount,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Sharing {
    pub circuits: Vec<ProposedCircuit>,
    /// What runs together at most over each leg of the panel.
    pub legs: LegCurrents,
}

/// The largest load first, each on the first circuit of 120 V that carries it besides what it has, with what the code adds
/// to continuous loads; on the lighter leg. What takes 240 V has a circuit of its own.
///
/// So many people work at one time, at any of the loads that are worked by hand: at least one.
pub fn propose_circuits(loads: &[PlannedLoad], people: usize, rating: f64) -> Sharing {
    let times = on_times(loads, people);
    let load = |number: usize, circuit: usize| CircuitLoad {
        circuit,
        amps: loads[number].amps,
        table_amps: loads[number].table_amps,
        is_motor: loads[number].is_motor,
        continuity: match loads[number].is_continuous {
            true => Continuity::Always,
            false => Continuity::ByTimes,
        },
        on: times[number].clone(),
    };
    let account = |on: &[usize]| -> CircuitAccount {
        let all: Vec<CircuitLoad> = on.iter().map(|&number| load(number, 0)).collect();
        let mut found = accounts(&[rating], &all);
        found.remove(0)
    };
    let mut order: Vec<usize> = (0..loads.len()).collect();
    order.sort_by(|&one, &other| loads[other].amps.total_cmp(&loads[one].amps));
    let mut shared: Vec<Vec<usize>> = Vec::new();
    let mut alone: Vec<Vec<usize>> = Vec::new();
    for number in order {
        if loads[number].takes_both_legs {
            alone.push(vec![number]);
            continue;
        }
        let fits = shared.iter().position(|on| {
            if on
                .iter()
                .any(|&other| loads[other].is_light != loads[number].is_light)
            {
                return false;
            }
            let with: Vec<usize> = on.iter().copied().chain([number]).collect();
            account(&with).carries_continuous(rating)
        });
        match fits {
            Some(circuit) => shared[circuit].push(number),
            None => shared.push(vec![number]),
        }
    }
    let mut circuits: Vec<Vec<usize>> = alone;
    let mut supplied = vec![Supplied::Both; circuits.len()];
    for on in shared {
        circuits.push(on);
        let with = |leg: ElectricLeg| {
            let supplied: Vec<Supplied> = supplied
                .iter()
                .copied()
                .chain([Supplied::One(leg)])
                .collect();
            currents(&circuits, &supplied, &load).greater()
        };
        let leg = match with(ElectricLeg::B) < with(ElectricLeg::A) {
            true => ElectricLeg::B,
            false => ElectricLeg::A,
        };
        supplied.push(Supplied::One(leg));
    }
    let legs = currents(&circuits, &supplied, &load);
    let circuits = (circuits.into_iter().zip(supplied))
        .map(|(mut on, supplied)| {
            on.sort_unstable();
            ProposedCircuit {
                account: account(&on),
                loads: on,
                supplied,
            }
        })
        .collect();
    Sharing { circuits, legs }
}

fn currents(
    circuits: &[Vec<usize>],
    supplied: &[Supplied],
    load: &dyn Fn(usize, usize) -> CircuitLoad,
) -> LegCurrents {
    let on = circuits.iter().enumerate();
    let loads = on.flat_map(|(circuit, on)| on.iter().map(move |&number| load(number, circuit)));
    leg_currents(supplied, &loads.collect::<Vec<_>>())
}

/// Times in which each set of loads that people can work at is on once, and all the while what runs along.
fn on_times(loads: &[PlannedLoad], people: usize) -> Vec<Vec<OnTime>> {
    let by_hand: Vec<usize> = (0..loads.len())
        .filter(|&number| loads[number].worked == Worked::ByHand)
        .collect();
    let sets = sets_of(by_hand.len(), people.min(by_hand.len()));
    let slot = |from: usize, until: usize| OnTime {
        from: Moment::from_micros(from as i64),
        until: Moment::from_micros(until as i64),
    };
    let mut times = vec![Vec::new(); loads.len()];
    for (at, set) in sets.iter().enumerate() {
        for &index in set {
            times[by_hand[index]].push(slot(at, at + 1));
        }
    }
    for number in 0..loads.len() {
        if loads[number].worked == Worked::Along {
            times[number].push(slot(0, sets.len().max(1)));
        }
    }
    times
}

/// All sets of so many of the first numbers.
fn sets_of(numbers: usize, size: usize) -> Vec<Vec<usize>> {
    let mut sets = vec![Vec::new()];
    for _ in 0..size {
        sets = (sets.iter())
            .flat_map(|set: &Vec<usize>| {
                let next = set.last().map_or(0, |last| last + 1);
                (next..numbers).map(move |number| set.iter().copied().chain([number]).collect())
            })
            .collect();
    }
    sets
}
