//! What was waited for in a candidate's replications.

use super::findings::{WaitingFor, WorkAtStation};
use crate::metrics::{IdleTime, LeadTimeComponents, LineLeadTime, Waited};
use crate::shop::{ProjectId, Shop};
use crate::units::Span;

/// Sums over the replications that were looked into.
#[derive(Debug, Default)]
pub(super) struct TimeBreakdown {
    replications: u32,
    /// By project: of the replications in which orders of it were done, how many they are and their mean lead times
    /// split up, in seconds.
    splits: Vec<(u32, [f64; 7])>,
    crew: Vec<IdleTime>,
}

impl TimeBreakdown {
    pub fn add(&mut self, waited: Waited, projects: usize) {
        self.replications += 1;
        self.splits.resize(projects, (0, [0.0; 7]));
        for (project, (replications, sums)) in self.splits.iter_mut().enumerate() {
            let lines = || {
                let of_project = |line: &&LineLeadTime| line.project.index() == project;
                waited.lead_times.iter().filter(of_project)
            };
            let orders: u64 = lines().map(|line| line.orders).sum();
            if orders == 0 {
                continue;
            }
            *replications += 1;
            for line in lines().filter(|line| line.leaves > 0) {
                let share = 1e-6 / f64::from(line.leaves) / orders as f64;
                let parts = sums.iter_mut().zip(line.split.parts());
                parts.for_each(|(sum, part)| *sum += part as f64 * share);
            }
        }
        if self.replications == 1 {
            self.crew = waited.crew;
            return;
        }
        let crew = self.crew.iter_mut().zip(&waited.crew);
        crew.for_each(|(sum, one)| add_person(sum, one));
    }

    /// How a project's mean lead time in seconds splits up: as in the replications that were looked into, so that the
    /// parts add up to it. None if no order was done in any of those.
    pub fn split(
        &self,
        project: ProjectId,
        lead_time: Option<f64>,
    ) -> Option<LeadTimeComponents<f64>> {
        let &(replications, sums) = self.splits.get(project.index())?;
        if replications == 0 {
            return None;
        }
        Some(LeadTimeComponents::of_parts(scaled(sums, lead_time?)?))
    }

    /// Seconds that each person waited, by what for: as in the replications that were looked into, so that they add
    /// up to `waiting`.
    pub fn waiting_for(&self, person: usize, waiting: f64) -> Option<WaitingFor> {
        let of = self.crew.get(person)?;
        let times = [of.cure, of.station, of.gear, of.nothing].map(Span::seconds);
        // Who never waited in those had nothing to do, as far as is known.
        let [cure, station, gear, nothing] =
            scaled(times, waiting).unwrap_or([0.0, 0.0, 0.0, waiting]);
        Some(WaitingFor {
            cure,
            station,
            gear,
            nothing,
        })
    }

    /// Seconds that a person worked at each station, where they did: in all the seconds given for each, setting up and
    /// running as in the replications that were looked into.
    pub fn at_stations(
        &self,
        shop: &Shop,
        person: usize,
        working_at: &[f64],
    ) -> Vec<WorkAtStation> {
        let Some(of) = self.crew.get(person) else {
            return Vec::new();
        };
        let times = of.setting_up.iter().zip(&of.running).zip(working_at);
        (shop.stations.iter().zip(times))
            .map(|(station, ((setting_up, running), &whole))| {
                // Who never worked there in those ran it, as far as is known.
                let times = [setting_up.seconds(), running.seconds()];
                let [setting_up, running] = scaled(times, whole).unwrap_or([0.0, whole]);
                WorkAtStation {
                    name: station.name.clone(),
                    setting_up,
                    running,
                }
            })
            .filter(|at| at.setting_up > 0.0 || at.running > 0.0)
            .collect()
    }
}

/// Parts in the proportion of these, that add up to the whole: the ratio estimator (Cochran, Sampling Techniques,
/// chapter 6; from memory). None if there is nothing to share out and a whole all the same.
fn scaled<const N: usize>(parts: [f64; N], whole: f64) -> Option<[f64; N]> {
    let sum: f64 = parts.iter().sum();
    if sum > 0.0 {
        Some(parts.map(|part| part * (whole / sum)))
    } else {
        (whole <= 0.0).then_some(parts)
    }
}

fn add_person(sum: &mut IdleTime, one: &IdleTime) {
    sum.cure += one.cure;
    sum.station += one.station;
    sum.gear += one.gear;
    sum.nothing += one.nothing;
    let add = |sums: &mut [Span], more: &[Span]| {
        (sums.iter_mut().zip(more)).for_each(|(sum, &span)| *sum += span);
    };
    add(&mut sum.setting_up, &one.setting_up);
    add(&mut sum.running, &one.running);
}
