//! What was waited for in a candidate's replications.

use super::findings::{AtStation, WaitingFor};
use crate::metrics::{OfLine, OfWaiting, Split, Waited};
use crate::shop::{ProjectId, Shop};
use crate::units::Span;

/// Sums over the replications that were looked into.
#[derive(Debug, Default)]
pub(super) struct WaitedSums {
    replications: u32,
    sums: Waited,
}

impl WaitedSums {
    pub fn add(&mut self, waited: Waited) {
        self.replications += 1;
        if self.replications == 1 {
            self.sums = waited;
            return;
        }
        let lines = self.sums.lead_times.iter_mut().zip(&waited.lead_times);
        lines.for_each(|(sum, one)| add_line(sum, one));
        let crew = self.sums.crew.iter_mut().zip(&waited.crew);
        crew.for_each(|(sum, one)| add_person(sum, one));
    }

    /// Seconds of the mean lead time of a project's orders; None if none was done.
    pub fn split(&self, project: ProjectId) -> Option<Split<f64>> {
        let (mut orders, mut parts) = (0, [0.0; 7]);
        let lines = self.sums.lead_times.iter();
        for line in lines.filter(|line| line.project == project && line.leaves > 0) {
            orders += line.orders;
            for (sum, part) in parts.iter_mut().zip(line.split.parts()) {
                *sum += part as f64 / 1e6 / f64::from(line.leaves);
            }
        }
        (orders > 0).then(|| Split::of_parts(parts.map(|part| part / orders as f64)))
    }

    /// Mean seconds of a replication that each person waited, by what for.
    pub fn waiting_for(&self, person: usize) -> Option<WaitingFor> {
        let of = self.sums.crew.get(person)?;
        let mean = |span: Span| span.seconds() / f64::from(self.replications);
        Some(WaitingFor {
            cure: mean(of.cure),
            station: mean(of.station),
            gear: mean(of.gear),
            nothing: mean(of.nothing),
        })
    }

    /// Mean seconds of a replication that a person worked at each station, where they did.
    pub fn at_stations(&self, shop: &Shop, person: usize) -> Vec<AtStation> {
        let Some(of) = self.sums.crew.get(person) else {
            return Vec::new();
        };
        let mean = |span: Span| span.seconds() / f64::from(self.replications);
        let times = of.setting_up.iter().zip(&of.running);
        (shop.stations.iter().zip(times))
            .filter(|(_, (setting_up, running))| !setting_up.is_zero() || !running.is_zero())
            .map(|(station, (&setting_up, &running))| AtStation {
                name: station.name.clone(),
                setting_up: mean(setting_up),
                running: mean(running),
            })
            .collect()
    }
}

fn add_line(sum: &mut OfLine, one: &OfLine) {
    sum.orders += one.orders;
    sum.lead_time += one.lead_time;
    let mut parts = sum.split.parts();
    (parts.iter_mut().zip(one.split.parts())).for_each(|(sum, part)| *sum += part);
    sum.split = Split::of_parts(parts);
}

fn add_person(sum: &mut OfWaiting, one: &OfWaiting) {
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
