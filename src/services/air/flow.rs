//! What flows where, and at which airflow a fan runs.
//!
//! From what enters at the port with the longest way everything up to the collector follows in one pass: the suction that
//! it takes at the next junction, what the other branches take in at that suction, what all of it loses on to the next
//! junction, and so on. What enters only rises with the suction at the inlet, so that either is found from the other.

use std::cell::Cell;

use super::fan::Collector;
use super::friction::smooth_loss;
use super::network::{DuctNetwork, DuctSection};
use super::rising::argument_of;

/// The air in one section.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DuctFlow {
    pub airflow: f64,
    pub velocity: f64,
    /// In Pa.
    pub velocity_pressure: f64,
    /// At the end at which it joins the next section or the collector, in Pa; 0 in a section without air.
    pub suction: f64,
}

/// Where a fan runs with the gates that are open.
#[derive(Debug, Clone, PartialEq)]
pub struct OperatingPoint {
    pub airflow: f64,
    /// Of the fan, in Pa.
    pub fan_pressure: f64,
    /// What filter and separator leave of it in the inlet pipe.
    pub inlet_suction: f64,
    /// Whether the maker's curve ends before that airflow.
    pub is_beyond_curve: bool,
    /// In the order of the network's sections.
    pub sections: Vec<DuctFlow>,
}

impl DuctNetwork {
    /// Where a collector's fan runs, where `is_open` tells of each gate: at the greatest airflow at which what it leaves
    /// at its inlet is what the ducts need. With nothing open that is 0.
    pub fn operating_point(
        &self,
        collector: &Collector,
        is_open: &dyn Fn(usize) -> bool,
    ) -> OperatingPoint {
        let ways = Ways::new(self, is_open);
        let airflow = match ways.begins(None) {
            Some(_) => greatest_balance(collector, &|airflow| ways.suction_at(airflow)),
            None => 0.0,
        };
        let flows = match airflow > 0.0 {
            true => ways.flows_at(airflow),
            false => vec![SectionFlow::default(); self.sections().len()],
        };
        let sections = (self.sections().iter().zip(flows))
            .map(|(section, flow)| DuctFlow {
                airflow: flow.airflow,
                velocity: section.velocity(flow.airflow),
                velocity_pressure: section.velocity_pressure(flow.airflow),
                suction: flow.suction,
            })
            .collect();
        OperatingPoint {
            airflow,
            fan_pressure: collector.curve.pressure(airflow),
            inlet_suction: collector.inlet_suction(airflow),
            is_beyond_curve: collector.curve.is_beyond(airflow),
            sections,
        }
    }

    /// The suction at the collector's inlet that draws an airflow through what is open, in Pa; none if nothing is.
    pub fn suction_for(&self, airflow: f64, is_open: &dyn Fn(usize) -> bool) -> Option<f64> {
        let ways = Ways::new(self, is_open);
        ways.begins(None)?;
        Some(ways.suction_at(airflow))
    }
}

/// The greatest airflow at which what the fan leaves meets what the ducts need.
///
/// Between two kinks of its curve what is left over is a hill, so that it is enough to look at both ends and at the top:
/// ducts need nearly the square of the airflow, and the fan's pressure falls along a line or a parabola.
fn greatest_balance(collector: &Collector, needed: &dyn Fn(f64) -> f64) -> f64 {
    let left_over = |airflow: f64| match airflow > 0.0 {
        true => collector.inlet_suction(airflow) - needed(airflow),
        false => collector.inlet_suction(0.0),
    };
    let ends = collector.curve.pieces();
    for piece in ends.windows(2).rev() {
        let (least, most) = (piece[0], piece[1]);
        if left_over(least) >= 0.0 {
            return falls_to_zero(least, most, &left_over);
        }
        // Where the fan's pressure falls, as nearly everywhere, what is left over falls too: it is below 0 all along.
        if collector.curve.pressure(most) <= collector.curve.pressure(least) {
            continue;
        }
        let top = top_of_hill(least, most, &left_over);
        if left_over(top) >= 0.0 {
            return falls_to_zero(top, most, &left_over);
        }
    }
    // The fan's pressure is above 0 where nothing flows, unless a maker's curve begins at 0.
    0.0
}

/// Where a function that is not below 0 at one end and below 0 at the other changes its sign: the secant through both
/// ends, with half of the value of an end that stays (the Illinois rule).
fn falls_to_zero(mut least: f64, mut most: f64, function: &dyn Fn(f64) -> f64) -> f64 {
    const STEPS: u32 = 200;
    let (mut above, mut below) = (function(least), function(most));
    if below >= 0.0 {
        return most;
    }
    let start = most - least;
    for _ in 0..STEPS {
        if above == 0.0 || most - least <= 1e-13 * start {
            break;
        }
        let secant = least + (most - least) * above / (above - below);
        let next = match secant > least && secant < most {
            true => secant,
            false => (least + most) / 2.0,
        };
        let found = function(next);
        if found.abs() <= 1e-13 * (above - below) {
            return next;
        }
        match found > 0.0 {
            true => {
                (least, above) = (next, found);
                below /= 2.0;
            }
            false => {
                (most, below) = (next, found);
                above /= 2.0;
            }
        }
    }
    least
}

/// The top of a hill between two ends, by thirds.
fn top_of_hill(mut least: f64, mut most: f64, function: &dyn Fn(f64) -> f64) -> f64 {
    const THIRDS: u32 = 80;
    for _ in 0..THIRDS {
        let third = (most - least) / 3.0;
        match function(least + third) < function(most - third) {
            true => least += third,
            false => most -= third,
        }
    }
    (least + most) / 2.0
}

/// What flows in one section, and the suction at the end at which it joins.
#[derive(Debug, Clone, Copy, Default)]
struct SectionFlow {
    airflow: f64,
    suction: f64,
}

/// How a section begins that air comes through.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Begins {
    Port,
    ShutGate,
    /// At the sections behind it, of which this one has the longest way.
    Junction(usize),
}

/// The network with the gates as they are.
struct Ways<'a> {
    network: &'a DuctNetwork,
    /// None where no air comes through at all.
    begins: Vec<Option<Begins>>,
    at_inlet: Option<Begins>,
    /// Velocity and airflow of the section before, and what a metre of smooth pipe lost there: the pieces of a main between
    /// shut branches are alike, and powers are what all of this costs.
    before: Cell<(f64, f64, f64)>,
}

/// A first guess; any airflow does.
const GUESS: f64 = 0.1;
/// Airflow is nearly the root of suction.
const SQUARE: f64 = 2.0;

impl<'a> Ways<'a> {
    fn new(network: &'a DuctNetwork, is_open: &dyn Fn(usize) -> bool) -> Ways<'a> {
        let sections = network.sections();
        let mut begins = vec![None; sections.len()];
        let mut depth = vec![0_usize; sections.len()];
        let longest = |at: Option<usize>, begins: &[Option<Begins>], depth: &[usize]| {
            let behind = network.behind(at).iter().copied();
            behind
                .filter(|&next| begins[next].is_some())
                .max_by_key(|&next| (depth[next], std::cmp::Reverse(next)))
        };
        for (number, section) in sections.iter().enumerate().rev() {
            begins[number] = match section.has_gate && !is_open(number) {
                true => (section.leak > 0.0).then_some(Begins::ShutGate),
                false if network.is_port(number) => Some(Begins::Port),
                false => longest(Some(number), &begins, &depth).map(|next| {
                    depth[number] = depth[next] + 1;
                    Begins::Junction(next)
                }),
            };
        }
        let at_inlet = longest(None, &begins, &depth).map(Begins::Junction);
        Ways {
            network,
            begins,
            at_inlet,
            before: Cell::new((f64::NAN, f64::NAN, f64::NAN)),
        }
    }

    fn loss(&self, section: &DuctSection, airflow: f64) -> f64 {
        section.loss_with(airflow, |velocity, airflow| {
            let before = self.before.get();
            if (before.0, before.1) == (velocity, airflow) {
                return before.2;
            }
            let loss = smooth_loss(velocity, airflow);
            self.before.set((velocity, airflow, loss));
            loss
        })
    }

    fn begins(&self, at: Option<usize>) -> Option<Begins> {
        at.map_or(self.at_inlet, |number| self.begins[number])
    }

    /// The suction at the inlet at which so much air comes in through all ports together.
    fn suction_at(&self, airflow: f64) -> f64 {
        self.inlet_at(airflow, &mut None).suction
    }

    fn flows_at(&self, airflow: f64) -> Vec<SectionFlow> {
        let mut flows = Some(vec![SectionFlow::default(); self.begins.len()]);
        self.inlet_at(airflow, &mut flows);
        flows.unwrap_or_default()
    }

    fn inlet_at(&self, airflow: f64, told: &mut Option<Vec<SectionFlow>>) -> SectionFlow {
        let entering = argument_of(airflow, airflow, 1.0, |entering| {
            self.pass(None, entering, &mut None).airflow
        });
        self.pass(None, entering, told)
    }

    /// What flows in a section (or at the inlet) where so much enters at the port with the longest way behind it.
    fn pass(
        &self,
        at: Option<usize>,
        entering: f64,
        told: &mut Option<Vec<SectionFlow>>,
    ) -> SectionFlow {
        let section = at.map(|number| &self.network.sections()[number]);
        let begins = self.begins(at).expect("air comes through");
        let flow = match (begins, section) {
            (Begins::Port, Some(section)) => SectionFlow {
                airflow: entering,
                suction: section.entrance(entering) + section.loss(entering),
            },
            (Begins::ShutGate, Some(section)) => SectionFlow {
                airflow: entering,
                suction: section.leak_suction(entering),
            },
            (Begins::Junction(longest), _) => {
                let (joined, arriving) = self.join(at, longest, entering, told);
                match section {
                    None => joined,
                    Some(section) => SectionFlow {
                        airflow: joined.airflow,
                        // Where air speeds up again, that is paid; nothing is regained where it slows down.
                        suction: joined.suction
                            + (section.velocity_pressure(joined.airflow) - arriving).max(0.0)
                            + self.loss(section, joined.airflow),
                    },
                }
            }
            (_, None) => SectionFlow::default(),
        };
        if let (Some(told), Some(number)) = (told, at) {
            told[number] = flow;
        }
        flow
    }

    /// What the sections behind a junction bring together at its one suction, and the mean of their velocity pressures by
    /// airflow.
    fn join(
        &self,
        at: Option<usize>,
        longest: usize,
        entering: f64,
        told: &mut Option<Vec<SectionFlow>>,
    ) -> (SectionFlow, f64) {
        let sections = self.network.sections();
        let first = self.pass(Some(longest), entering, told);
        let mut joined = first;
        let mut weighed = first.airflow * sections[longest].velocity_pressure(first.airflow);
        for &other in self.network.behind(at) {
            if other == longest || self.begins[other].is_none() {
                continue;
            }
            let entering = argument_of(first.suction, GUESS, SQUARE, |entering| {
                self.pass(Some(other), entering, &mut None).suction
            });
            let flow = self.pass(Some(other), entering, told);
            joined.airflow += flow.airflow;
            weighed += flow.airflow * sections[other].velocity_pressure(flow.airflow);
        }
        (joined, weighed / joined.airflow)
    }
}
