//! What is kept of one station and of one person over the replications.

use super::Settings;
use super::estimates::{estimate_if_enough, none, share};
use super::findings::{ActiveShares, DiagnosedTime, PersonFindings, StationFindings, WalkedMetres};
use crate::floor::Manner;
use crate::metrics::{PersonTotals, Record, StationTotals};
use crate::shop::{Person, PersonId, Station};
use crate::statistics::Summary;
use crate::units::Span;

#[derive(Debug, Clone, Default)]
pub(super) struct StationSums {
    running: f64,
    setup: f64,
    curing: f64,
    reserved: f64,
    blocked: f64,
    serviced: f64,
    left_standing: f64,
    queue: Summary,
    queue_max: Summary,
    /// Of the replications in which lots waited.
    wait: Summary,
    utilisation: Summary,
    lots: u64,
}

impl StationSums {
    /// Adds a replication in which so much time was measured.
    pub fn add(&mut self, of: &StationTotals, measured: Span, count: u32) {
        let seconds = measured.seconds();
        self.running += of.running.seconds();
        self.setup += of.setup.seconds();
        self.curing += of.curing.seconds();
        self.reserved += of.reserved.seconds();
        self.blocked += of.blocked.seconds();
        self.serviced += of.serviced.seconds();
        self.left_standing += of.left_standing.seconds();
        let mean = |sum: f64| if seconds > 0.0 { sum / seconds } else { 0.0 };
        self.queue.add(mean(of.queue as f64 / 1e6));
        self.queue_max.add(of.queue_max as f64);
        if of.waits > 0 {
            self.wait.add(of.waited.seconds() / of.waits as f64);
        }
        let busy = of.busy().seconds();
        self.utilisation
            .add(share(busy, seconds * f64::from(count)));
        self.lots += of.lots;
    }

    /// Of so many replications with so many seconds measured in all.
    pub fn findings(
        &self,
        station: &Station,
        (runs, measured): (f64, f64),
        held: ActiveShares,
        settings: &Settings,
    ) -> StationFindings {
        let open = measured * f64::from(station.count);
        let busy = self.running + self.setup + self.curing + self.serviced;
        let held_up = self.reserved + self.blocked + self.left_standing;
        StationFindings {
            name: station.name.clone(),
            count: station.count,
            utilisation: self.utilisation.mean().unwrap_or(0.0),
            running: self.running / runs,
            setup: self.setup / runs,
            curing: self.curing / runs,
            reserved: self.reserved / runs,
            serviced: self.serviced / runs,
            blocked: self.blocked / runs,
            left_standing: self.left_standing / runs,
            idle: (open - busy - held_up).max(0.0) / runs,
            queue: estimate_if_enough(&self.queue, settings).unwrap_or(none(settings.confidence)),
            queue_max: self.queue_max.mean().unwrap_or(0.0),
            wait: estimate_if_enough(&self.wait, settings),
            lots: self.lots as f64 / runs,
            held,
        }
    }
}

#[derive(Debug, Clone, Default)]
pub(super) struct PersonSums {
    walking: f64,
    handling: f64,
    working: f64,
    waiting: f64,
    away: f64,
    working_at: Vec<f64>,
    walked: [f64; 3],
    utilisation: Summary,
}

impl PersonSums {
    pub fn new(stations: usize) -> PersonSums {
        PersonSums {
            working_at: vec![0.0; stations],
            ..PersonSums::default()
        }
    }

    /// Adds what somebody did in a replication.
    pub fn add(&mut self, record: &Record, person: PersonId) {
        let PersonTotals {
            walking,
            handling,
            working,
            away,
            working_at,
            walked,
        } = &record.crew[person.index()];
        self.walking += walking.seconds();
        self.handling += handling.seconds();
        self.working += working.seconds();
        self.waiting += record.waiting(person).seconds();
        self.away += away.seconds();
        let busy = (*walking + *handling + *working).seconds();
        let there = record.measured() - *away;
        self.utilisation.add(share(busy, there.seconds()));
        (self.working_at.iter_mut().zip(working_at)).for_each(|(sum, span)| *sum += span.seconds());
        (self.walked.iter_mut().zip(walked)).for_each(|(sum, length)| *sum += length.metres());
    }

    /// Of so many replications.
    pub fn findings(
        &self,
        person: &Person,
        runs: f64,
        held: ActiveShares,
        diagnosed: DiagnosedTime,
    ) -> PersonFindings {
        PersonFindings {
            name: person.name.clone(),
            group: person.group.clone(),
            walking: self.walking / runs,
            handling: self.handling / runs,
            working: self.working / runs,
            waiting: self.waiting / runs,
            away: self.away / runs,
            walked: WalkedMetres {
                empty: self.walked[Manner::Empty as usize] / runs,
                carrying: self.walked[Manner::Carrying as usize] / runs,
                pushing: self.walked[Manner::Pushing as usize] / runs,
            },
            working_at: (self.working_at.iter())
                .map(|seconds| seconds / runs)
                .collect(),
            utilisation: self.utilisation.mean().unwrap_or(0.0),
            held,
            diagnosed,
        }
    }
}
