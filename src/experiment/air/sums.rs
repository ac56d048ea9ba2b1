//! Which gates are open together in a run, and what that comes to.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::findings::{DustFindings, GatesOpen, SlowestAir};
use super::help::help;
use crate::metrics::MachineTimes;
use crate::services::CollectorPlan;
use crate::services::air::{CollectorAir, ConnectionWay, GateRule, LaidAir};
use crate::services::sizing::shortest_tree;
use crate::services::together::{OnTime, stretches};
use crate::shop::Shop;
use crate::units::Span;

/// How long which gates of a collector were open together while a machine of it was on.
pub struct RunAir(BTreeMap<Vec<usize>, Span>);

impl RunAir {
    pub fn of(plan: &CollectorPlan, air: &CollectorAir, times: &MachineTimes) -> RunAir {
        let on: Vec<OnTime> = (plan.serves.iter())
            .flat_map(|station| times.stations[station.index()].iter().copied())
            .collect();
        let of_gates = match air.gates {
            GateRule::ByHand => &times.worked,
            GateRule::ByItself => &times.stations,
        };
        let gates = air
            .connections
            .iter()
            .map(|connection| &of_gates[connection.station.index()][..]);
        let count = air.connections.len();
        let mut open: BTreeMap<Vec<usize>, Span> = BTreeMap::new();
        for stretch in stretches(gates.chain([&on[..]])) {
            if stretch.on.last() == Some(&count) {
                let gates = stretch.on[..stretch.on.len() - 1].to_vec();
                *open.entry(gates).or_default() += stretch.time.lasts();
            }
        }
        RunAir(open)
    }
}

/// What all runs so far come to.
pub struct AirSums {
    runs: u64,
    open: BTreeMap<Vec<usize>, Span>,
}

impl AirSums {
    pub fn new() -> AirSums {
        AirSums {
            runs: 0,
            open: BTreeMap::new(),
        }
    }

    pub fn add(&mut self, of: RunAir) {
        self.runs += 1;
        for (gates, time) in of.0 {
            *self.open.entry(gates).or_default() += time;
        }
    }

    pub fn findings(&self, shop: &Shop, plan: &CollectorPlan, air: &CollectorAir) -> DustFindings {
        let laid = air.laid();
        let all: Span = self.open.values().copied().sum();
        let gates = |open: &[usize]| -> GatesOpen {
            let time = self.open.get(open).copied().unwrap_or_default();
            self.gates(&laid, open, (time, all))
        };
        let mut sets: Vec<(&Vec<usize>, &Span)> = self.open.iter().collect();
        sets.sort_by_key(|&(open, time)| (Reverse(*time), open));
        let together: Vec<GatesOpen> = sets.into_iter().map(|(open, _)| gates(open)).collect();
        DustFindings {
            collector: shop.stations[plan.station].name.clone(),
            runs: self.runs,
            names: (air.connections.iter())
                .map(|connection| shop.stations[connection.station].name.clone())
                .collect(),
            pipe: laid.ducts.pipe,
            shortest: shortest(air),
            alone: (0..air.connections.len())
                .map(|nth| gates(&[nth]))
                .collect(),
            slowest: slowest(&together),
            help: help(&laid, &are_alone(&together, air.connections.len())),
            together,
            air: air.clone(),
        }
    }

    fn gates(&self, laid: &LaidAir, open: &[usize], (time, all): (Span, Span)) -> GatesOpen {
        let runs = if self.runs > 0 { self.runs as f64 } else { 1.0 };
        GatesOpen {
            open: open.to_vec(),
            share: match all {
                Span::ZERO => 0.0,
                all => time.seconds() / all.seconds(),
            },
            seconds: time.seconds() / runs,
            clean: laid.state(open, false),
            dirty: (laid.air.dirt > 1.0).then(|| laid.state(open, true)),
        }
    }
}

/// By connection, whether its gate alone is open for more than seldom.
fn are_alone(together: &[GatesOpen], connections: usize) -> Vec<bool> {
    let told = |nth: usize| {
        let mut sets = together.iter();
        sets.any(|gates| gates.open == [nth] && gates.is_told())
    };
    (0..connections).map(told).collect()
}

/// Drops included.
fn shortest(air: &CollectorAir) -> Option<f64> {
    let inlet = air.mains.first()?.points[0];
    let mut places = vec![inlet];
    let mut drops = 0.0;
    for connection in &air.connections {
        if let ConnectionWay::Main(main) = connection.way {
            places.push(connection.at);
            drops += (air.mains[main].height - air.branch.port_height).abs();
        }
    }
    Some(shortest_tree(&places)? + drops)
}

fn slowest(together: &[GatesOpen]) -> Option<SlowestAir> {
    let told = together.iter().filter(|gates| gates.is_told());
    let sections = told.flat_map(|gates| {
        let sections = gates.clean.sections.iter().enumerate();
        sections.map(move |(number, section)| (section.velocity, number, gates))
    });
    let (velocity, section, gates) = sections.min_by(|one, other| one.0.total_cmp(&other.0))?;
    Some(SlowestAir {
        velocity,
        section,
        open: gates.open.clone(),
    })
}
