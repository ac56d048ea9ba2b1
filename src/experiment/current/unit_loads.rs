//! The units of all loads that hang on a circuit, numbered, and when they are on.

use crate::metrics::MachineTimes;
use crate::services::ServicePlan;
use crate::services::power::{Circuit, CircuitLoad, Continuity, Starts, StationLoad};
use crate::services::together::{OnTime, levels};
use crate::shop::Shop;

/// Loads by number: those of one station are the first of its units that is on, the second beside it, and so on, whichever
/// of them these are.
pub struct UnitLoads<'a> {
    pub shop: &'a Shop,
    pub plan: &'a ServicePlan,
    /// Loads with their circuits, and the number of the first unit of each.
    plugged: Vec<(&'a StationLoad, usize)>,
    first: Vec<usize>,
}

/// Loads of a run with the number of each.
pub struct NumberedLoads {
    pub numbers: Vec<usize>,
    pub loads: Vec<CircuitLoad>,
}

impl<'a> UnitLoads<'a> {
    pub fn new(shop: &'a Shop, plan: &'a ServicePlan) -> UnitLoads<'a> {
        let loads = plan.wiring.loads.iter();
        let plugged: Vec<_> = loads
            .filter_map(|load| Some((load, load.circuit?)))
            .collect();
        let mut next = 0;
        let first = plugged
            .iter()
            .map(|(load, _)| {
                let first = next;
                next += load.count(shop) as usize;
                first
            })
            .collect();
        UnitLoads {
            shop,
            plan,
            plugged,
            first,
        }
    }

    pub fn circuits(&self) -> &'a [Circuit] {
        &self.plan.wiring.circuits
    }

    pub fn draw_something(&self) -> bool {
        !self.plugged.is_empty()
    }

    pub fn plugged(&self) -> impl Iterator<Item = (&'a StationLoad, usize)> {
        self.plugged.iter().copied()
    }

    /// Which of the [plugged](UnitLoads::plugged) loads a unit belongs to.
    pub fn load_of(&self, unit: usize) -> usize {
        self.first.partition_point(|&first| first <= unit) - 1
    }

    pub fn name(&self, load: usize) -> &'a str {
        self.plugged[load].0.name(self.shop)
    }

    /// The names of units, those of one station together: "2 × drum sander".
    pub fn names(&self, units: &[usize]) -> Vec<String> {
        let loads: Vec<usize> = units.iter().map(|&unit| self.load_of(unit)).collect();
        loads
            .chunk_by(|one, other| one == other)
            .map(|same| match same.len() {
                1 => self.name(same[0]).to_owned(),
                count => format!("{count} × {}", self.name(same[0])),
            })
            .collect()
    }

    pub fn amps(&self, unit: usize) -> f64 {
        self.plugged[self.load_of(unit)].0.amps
    }

    /// The loads of one run; with what starts by itself as if it were on all the time, or without it.
    pub fn of_run(&self, times: &MachineTimes, with_starting: bool) -> NumberedLoads {
        let mut found = NumberedLoads {
            numbers: Vec::new(),
            loads: Vec::new(),
        };
        for (&(load, circuit), &first) in self.plugged.iter().zip(&self.first) {
            for (unit, on) in self.on(load, times, with_starting).into_iter().enumerate() {
                found.numbers.push(first + unit);
                found.loads.push(CircuitLoad {
                    circuit,
                    amps: load.amps,
                    table_amps: load.table_amps,
                    is_motor: load.is_motor,
                    continuity: match (load.is_continuous, load.starts) {
                        (true, _) => Continuity::Always,
                        (false, Starts::ByItself) => Continuity::Never,
                        (false, _) => Continuity::ByTimes,
                    },
                    on,
                });
            }
        }
        found
    }

    /// When one unit, two units and so on are on.
    fn on(
        &self,
        load: &StationLoad,
        times: &MachineTimes,
        with_starting: bool,
    ) -> Vec<Vec<OnTime>> {
        let count = load.count(self.shop) as usize;
        let throughout = || vec![vec![times.whole]; count];
        let Some(station) = load.station else {
            return throughout();
        };
        match load.starts {
            Starts::ByItself if !with_starting => Vec::new(),
            Starts::ByItself | Starts::Throughout => throughout(),
            Starts::WithWork => match self.plan.collector_at(station) {
                None => levels(&times.stations[station.index()]),
                Some(collector) => {
                    let on = collector.on(&times.stations, times.runs_on_until);
                    // All of several collectors at one place draw on the same pipes.
                    vec![on; count]
                }
            },
        }
    }
}
