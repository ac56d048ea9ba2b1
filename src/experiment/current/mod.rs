//! What runs together on each circuit, over the first replications of a candidate, played once more for it alone.

mod cords;
mod findings;
mod replug;
mod sums;
mod unit_loads;

use rayon::prelude::*;

pub use findings::{
    CircuitCurrents, CircuitFindings, Combination, CordFindings, LoadFindings, OverRating,
    PanelFindings, PowerFindings, Replug, VoltageDrop,
};

use self::sums::{CurrentSums, RunCurrents};
use self::unit_loads::UnitLoads;
use super::replications::{DIAGNOSED, Failure};
use super::{Candidate, Settings};
use crate::engine::{Prepared, Recorder, Run, Workspace, simulate_in};
use crate::metrics::{Chronicle, OnTimes};
use crate::services::together::OnTime;

/// When the machines of one replication are on, by station, and the whole of the measured time.
struct RunTimes {
    stations: Vec<Vec<OnTime>>,
    whole: OnTime,
}

/// Plays the first replications of a candidate again, and takes from each what is wanted of when its machines are on; in
/// their order.
///
/// # Errors
/// The first replication that gets stuck.
fn of_each_run<T: Send>(
    candidate: &Candidate,
    settings: &Settings,
    played: u32,
    of: impl Fn(&RunTimes) -> T + Sync,
) -> Result<Vec<T>, Failure> {
    let prepared = Prepared::new(&candidate.shop, &candidate.walks);
    let runs: Vec<Result<T, Failure>> = (0..played.min(DIAGNOSED))
        .into_par_iter()
        .map_init(Workspace::default, |workspace, replication| {
            let run = Run {
                seed: settings.seed,
                replication,
                until: settings.until,
            };
            let on_times = OnTimes::new(&candidate.shop, settings.warm_up, settings.until);
            let mut chronicle = Chronicle::new(on_times);
            // Told like all single runs, so that no engine is compiled for it.
            let recorder: &mut dyn Recorder = &mut chronicle;
            simulate_in(workspace, &prepared, &run, recorder).map_err(|stuck| Failure {
                candidate: candidate.name.clone(),
                replication,
                stuck,
            })?;
            let (stations, whole) = chronicle.into_witness().into_times();
            Ok(of(&RunTimes { stations, whole }))
        })
        .collect();
    runs.into_iter().collect()
}

/// The currents of a candidate, given how often it was played; nothing where nobody says anything of current.
///
/// # Errors
/// The first replication that gets stuck.
pub(super) fn power_findings(
    candidate: &Candidate,
    settings: &Settings,
    played: u32,
) -> Result<Option<PowerFindings>, Failure> {
    let plan = candidate.services.as_deref();
    let Some(plan) = plan.filter(|plan| !plan.wiring.is_empty()) else {
        return Ok(None);
    };
    let units = UnitLoads::new(&candidate.shop, plan);
    let mut sums = CurrentSums::new(&units);
    if units.draw_something() {
        let of = |times: &RunTimes| RunCurrents::of(&units, times);
        let runs = of_each_run(candidate, settings, played, of)?;
        runs.into_iter().for_each(|run| sums.add(run));
    }
    Ok(Some(sums.findings(&units, candidate, settings)))
}
