//! What was waited for in the diagnosed replications of a candidate.

use super::findings::{DiagnosedTime, WaitingFor, WorkAtStation};
use crate::metrics::{
    IdleTime, LeadTimeComponents, LineLeadTime, PersonTotals, TimeAtStation, Waited,
};
use crate::shop::{ProjectId, Shop};
use crate::units::Span;

/// Sums over the replications that were diagnosed.
#[derive(Debug, Default)]
pub(super) struct TimeBreakdown {
    replications: u32,
    /// By project: of the replications in which orders of it were done, how many they are and their mean lead times
    /// split up, in seconds.
    splits: Vec<(u32, [f64; 9])>,
    crew: Vec<IdleTime>,
    /// By person and station.
    worked_at: Vec<TimeAtStation>,
    /// Walking and handling of each person.
    moving: Vec<[Span; 2]>,
}

impl TimeBreakdown {
    pub fn add(&mut self, waited: Waited, crew: &[PersonTotals], projects: usize) {
        self.replications += 1;
        self.splits.resize(projects, (0, [0.0; 9]));
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
        self.moving.resize(crew.len(), [Span::ZERO; 2]);
        for ([walking, handling], person) in self.moving.iter_mut().zip(crew) {
            *walking += person.walking;
            *handling += person.handling;
        }
        if self.replications == 1 {
            self.crew = waited.crew;
            self.worked_at = waited.worked_at;
            return;
        }
        for (sum, one) in self.crew.iter_mut().zip(&waited.crew) {
            sum.cure += one.cure;
            sum.station += one.station;
            sum.kept_apart += one.kept_apart;
            sum.gear += one.gear;
            sum.nothing += one.nothing;
            sum.away += one.away;
        }
        for (sum, one) in self.worked_at.iter_mut().zip(&waited.worked_at) {
            sum.setting_up += one.setting_up;
            sum.running += one.running;
            sum.servicing += one.servicing;
        }
    }

    /// How a project's mean lead time in seconds splits up. None if no order was done in any replication that was
    /// diagnosed.
    pub fn split(&self, project: ProjectId) -> Option<LeadTimeComponents<f64>> {
        let &(replications, sums) = self.splits.get(project.index())?;
        let mean = |sum: f64| sum / f64::from(replications);
        (replications > 0).then(|| LeadTimeComponents::of_parts(sums.map(mean)))
    }

    /// Where a person's time went in a replication, on average.
    pub fn person(&self, shop: &Shop, person: usize) -> DiagnosedTime {
        let (Some(of), Some([walking, handling])) =
            (self.crew.get(person), self.moving.get(person))
        else {
            return DiagnosedTime::default();
        };
        let mean = |span: Span| span.seconds() / f64::from(self.replications);
        let stations = shop.stations.len();
        let times = self.worked_at.iter().skip(person * stations);
        DiagnosedTime {
            walking: mean(*walking),
            handling: mean(*handling),
            at_stations: (shop.stations.iter().zip(times))
                .map(|(station, at)| WorkAtStation {
                    name: station.name.clone(),
                    setting_up: mean(at.setting_up),
                    running: mean(at.running),
                    servicing: mean(at.servicing),
                })
                .filter(|at| at.whole() > 0.0)
                .collect(),
            waiting_for: WaitingFor {
                cure: mean(of.cure),
                station: mean(of.station),
                kept_apart: mean(of.kept_apart),
                gear: mean(of.gear),
                nothing: mean(of.nothing),
            },
            away: mean(of.away),
        }
    }
}
