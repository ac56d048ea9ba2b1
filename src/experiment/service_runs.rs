//! What feeds a candidate, over its first replications, played once more for that alone.

use rayon::prelude::*;

use super::air::{AirSums, DustFindings, RunAir};
use super::current::{CurrentSums, PowerFindings, RunCurrents, UnitLoads};
use super::replications::{DIAGNOSED, Failure};
use super::sound::{Listening, NoiseFindings, NoiseSums, RunNoise};
use super::{Candidate, Settings};
use crate::engine::{Prepared, Recorder, Run, Workspace, simulate_in};
use crate::metrics::{Chronicle, MachineTimes, OnTimes};
use crate::services::CollectorPlan;
use crate::services::air::CollectorAir;

/// The services of one candidate; nothing of those of which nobody says anything.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ServiceFindings {
    pub power: Option<PowerFindings>,
    pub dust: Vec<DustFindings>,
    pub noise: Option<NoiseFindings>,
}

/// What the services of a candidate come to, given how often it was played.
///
/// # Errors
/// The first replication that gets stuck.
pub(super) fn service_findings(
    candidate: &Candidate,
    settings: &Settings,
    played: u32,
) -> Result<ServiceFindings, Failure> {
    let Some(plan) = candidate.services.as_deref() else {
        return Ok(ServiceFindings::default());
    };
    let units = UnitLoads::new(&candidate.shop, plan);
    let collectors: Vec<(&CollectorPlan, &CollectorAir)> = (plan.collectors.iter())
        .filter_map(|collector| Some((collector, collector.air.as_ref()?)))
        .collect();
    let mut currents = CurrentSums::new(&units);
    let mut airs: Vec<AirSums> = collectors.iter().map(|_| AirSums::new()).collect();
    let listening = Listening::new(candidate, plan);
    let mut noise = listening.as_ref().map(NoiseSums::new);
    if units.draw_something() || !collectors.is_empty() || listening.is_some() {
        let of = |times: &MachineTimes| {
            let of_collector =
                |&(plan, air): &(&CollectorPlan, &CollectorAir)| RunAir::of(plan, air, times);
            let airs: Vec<RunAir> = collectors.iter().map(of_collector).collect();
            let noise = listening
                .as_ref()
                .map(|listening| RunNoise::of(listening, times));
            (RunCurrents::of(&units, times), airs, noise)
        };
        for (current, of_run, heard) in of_each_run(candidate, settings, played, of)? {
            currents.add(current);
            if let (Some(sums), Some(heard)) = (&mut noise, heard) {
                sums.add(heard);
            }
            for (sums, air) in airs.iter_mut().zip(of_run) {
                sums.add(air);
            }
        }
    }
    let power = (!plan.wiring.is_empty()).then(|| currents.findings(&units, candidate, settings));
    let dust = airs.iter().zip(&collectors);
    let dust = dust.map(|(sums, (plan, air))| sums.findings(&candidate.shop, plan, air));
    Ok(ServiceFindings {
        power,
        dust: dust.collect(),
        noise: noise.map(|sums| sums.findings(settings)),
    })
}

/// Plays the first replications again, and takes from each what is wanted of its machines; in their order.
fn of_each_run<T: Send>(
    candidate: &Candidate,
    settings: &Settings,
    played: u32,
    of: impl Fn(&MachineTimes) -> T + Sync,
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
            Ok(of(&chronicle.into_witness().into_times()))
        })
        .collect();
    runs.into_iter().collect()
}
