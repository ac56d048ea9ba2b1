//! The current of each circuit over one run.

use super::unit_loads::UnitLoads;
use crate::engine::{Prepared, Run, simulate};
use crate::experiment::{Failure, Study};
use crate::metrics::{Chronicle, OnTimes};
use crate::services::power::Starts;
use crate::services::together::stretches;
use crate::units::Span;

/// What runs together on a circuit, in A, from the start of a run, which is told with its warm-up.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitCurve {
    pub name: String,
    /// In A; None where that is for an electrician to say.
    pub rating: Option<f64>,
    /// Seconds of shop time between which something runs, in order, and what it draws; without what starts by itself.
    pub steps: Vec<CurrentStep>,
    /// What may start by itself at any time, and what that adds.
    pub starting: Vec<String>,
    pub starting_amps: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurrentStep {
    pub from_s: f64,
    pub to_s: f64,
    pub amps: f64,
}

impl CircuitCurve {
    /// The most at one time, without what starts by itself.
    pub fn peak(&self) -> f64 {
        self.steps.iter().map(|step| step.amps).fold(0.0, f64::max)
    }
}

/// Plays one replication of a candidate, the first of which is 0; nothing of circuits on which nothing hangs.
///
/// # Errors
/// If the replication gets stuck.
pub fn circuit_curves(
    study: &Study,
    candidate: usize,
    replication: u32,
) -> Result<Vec<CircuitCurve>, Failure> {
    let candidate = &study.candidates[candidate];
    let Some(plan) = candidate.services.as_deref() else {
        return Ok(Vec::new());
    };
    let units = UnitLoads::new(&candidate.shop, plan);
    if !units.draw_something() {
        return Ok(Vec::new());
    }
    let run = Run {
        seed: study.settings.seed,
        replication,
        until: study.settings.until,
    };
    let on_times = OnTimes::new(&candidate.shop, Span::ZERO, study.settings.until);
    let mut chronicle = Chronicle::new(on_times);
    let prepared = Prepared::new(&candidate.shop, &candidate.walks);
    simulate(&prepared, &run, &mut chronicle).map_err(|stuck| Failure {
        candidate: candidate.name.clone(),
        replication,
        stuck,
    })?;
    let times = chronicle.into_witness().into_times();
    let of_run = units.of_run(&times, false);
    let circuits = units.circuits().iter().enumerate();
    let curves = circuits.filter_map(|(number, circuit)| {
        let hanging = || units.plugged().filter(move |&(_, on)| on == number);
        hanging().next()?;
        let loads: Vec<_> = of_run
            .loads
            .iter()
            .filter(|load| load.circuit == number)
            .collect();
        let stretches = stretches(loads.iter().map(|load| &load.on[..])).into_iter();
        let shop_time = |moment| candidate.shop.calendar.time(moment).seconds();
        let steps = stretches.map(|stretch| CurrentStep {
            from_s: shop_time(stretch.time.from),
            to_s: shop_time(stretch.time.until),
            amps: stretch.on.iter().map(|&load| loads[load].amps).sum(),
        });
        let starting = || hanging().filter(|(load, _)| load.starts == Starts::ByItself);
        Some(CircuitCurve {
            name: circuit.name.clone(),
            rating: circuit.rating,
            // What runs on after closing has no length in shop time.
            steps: steps.filter(|step| step.to_s > step.from_s).collect(),
            starting: starting()
                .map(|(load, _)| load.name(&candidate.shop).to_owned())
                .collect(),
            starting_amps: starting()
                .map(|(load, _)| load.amps * f64::from(load.count(&candidate.shop)))
                .sum(),
        })
    });
    Ok(curves.collect())
}
