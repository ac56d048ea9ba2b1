//! From the records of a candidate's replications, in their order, to its findings.

use std::sync::Arc;

use super::bottleneck_shares::BottleneckShares;
use super::busiest::{busiest, saturated};
use super::calendar_sums::{CalendarSums, keeps_hours};
use super::estimates::{estimate_if_enough, none, share};
use super::findings::{
    ActiveShares, CandidateFindings, GearFindings, PersonFindings, ProjectFindings,
    StationFindings, WalkedMetres,
};
use super::legs::{CHECKED, legs_of};
use super::overload::{OrderPace, OverloadSums};
use super::project_sums::ProjectSums;
use super::replications::Replication;
use super::resource_sums::{PersonSums, StationSums};
use super::time_breakdown::TimeBreakdown;
use super::{Candidate, Settings};
use crate::floor::Manner;
use crate::metrics::ProjectTotals;
use crate::shop::{PersonId, ProjectId};
use crate::statistics::{Estimate, Histogram, PairedSummary, Summary, suffices};

/// What is kept of the replications so far: the two figures that are paired one by one, and sums of all others.
#[derive(Debug)]
pub(super) struct Aggregate {
    /// Metres, by replication.
    pub walking: Vec<f64>,
    /// Seconds, by replication; None where no order was done.
    pub lead_time: Vec<Option<f64>>,
    makespan: Summary,
    hands_on: Summary,
    orders_done: Summary,
    built: u64,
    put_aside: u64,
    throughput: Summary,
    released: Summary,
    in_process: Summary,
    overload: OverloadSums,
    measured: f64,
    pub calendar: CalendarSums,
    stations: Vec<StationSums>,
    crew: Vec<PersonSums>,
    /// Share of each kind of gear that is taken.
    gear: Vec<Summary>,
    walking_per_order: Summary,
    projects: Vec<ProjectSums>,
    trips: Vec<u64>,
    /// Of the first replications alone.
    checked_trips: Vec<u64>,
    held: BottleneckShares,
    waited: TimeBreakdown,
    counts: Counts,
}

/// How many there are of each station and of each kind of gear.
#[derive(Debug)]
struct Counts {
    stations: Vec<u32>,
    gear: Vec<u32>,
}

impl Aggregate {
    pub fn new(candidate: &Candidate) -> Aggregate {
        let shop = &candidate.shop;
        let places = candidate.walks.places();
        let person = PersonSums::new(shop.stations.len());
        Aggregate {
            walking: Vec::new(),
            lead_time: Vec::new(),
            makespan: Summary::new(),
            hands_on: Summary::new(),
            orders_done: Summary::new(),
            built: 0,
            put_aside: 0,
            throughput: Summary::new(),
            released: Summary::new(),
            in_process: Summary::new(),
            overload: OverloadSums::default(),
            measured: 0.0,
            calendar: CalendarSums::of(shop),
            stations: vec![StationSums::default(); shop.stations.len()],
            crew: vec![person; shop.crew.len()],
            gear: vec![Summary::new(); shop.gear.len()],
            walking_per_order: Summary::new(),
            projects: vec![ProjectSums::default(); shop.projects.len()],
            trips: vec![0; 3 * places * places],
            checked_trips: vec![0; 3 * places * places],
            held: BottleneckShares::default(),
            waited: TimeBreakdown::default(),
            counts: Counts {
                stations: shop.stations.iter().map(|station| station.count).collect(),
                gear: shop.gear.iter().map(|gear| gear.count).collect(),
            },
        }
    }

    pub fn add(&mut self, played: Replication) {
        let Replication { record, diagnosis } = played;
        let measured = record.measured();
        let on_calendar = record.measured_on_calendar().seconds();
        if let Some(diagnosis) = diagnosis {
            self.held.add(&diagnosis.bottlenecks, measured);
            (self.waited).add(diagnosis.waited, &record.crew, self.projects.len());
        }
        let seconds = measured.seconds();
        let over = |amount: f64, time: f64| if time > 0.0 { amount / time } else { 0.0 };
        let rate_on_calendar = |amount: f64| over(amount, on_calendar);
        let done = record.orders_done() as f64;
        let of_projects =
            |of: fn(&ProjectTotals) -> u64| record.projects.iter().map(of).sum::<u64>();
        let released = of_projects(|project| project.released) as f64;
        self.built += of_projects(|project| project.built);
        self.released.add(rate_on_calendar(released) * 3600.0);
        self.walking.push(record.walking().metres());
        self.lead_time.push(record.mean_lead_time());
        self.makespan.add(record.makespan().seconds());
        self.hands_on.add(record.hands_on().seconds());
        self.orders_done.add(done);
        self.put_aside += record.put_aside;
        self.throughput.add(rate_on_calendar(done) * 3600.0);
        (self.in_process).add(rate_on_calendar(record.in_process as f64 / 1e6));
        if let Some(thirds) = record.in_process_by_third {
            let in_process = thirds.map(|area| 3.0 * rate_on_calendar(area as f64 / 1e6));
            self.overload.add(in_process, (released, done));
        }
        self.measured += seconds;
        self.calendar.add(&record);
        let stations = self.stations.iter_mut().zip(&record.stations);
        for ((sums, of), count) in stations.zip(&self.counts.stations) {
            sums.add(of, measured, *count);
        }
        for (person, sums) in (0..).map(PersonId).zip(&mut self.crew) {
            sums.add(&record, person);
        }
        let gear = self.gear.iter_mut().zip(&record.gear);
        for ((sums, of), count) in gear.zip(&self.counts.gear) {
            sums.add(share(of.taken as f64 / 1e6, seconds * f64::from(*count)));
        }
        if done > 0.0 {
            self.walking_per_order.add(record.walking().metres() / done);
        }
        let projects = self.projects.iter_mut().zip(&record.projects);
        projects.for_each(|(sums, of)| sums.add(of));
        let checked = (self.walking.len() <= CHECKED as usize).then_some(&mut self.checked_trips);
        for sums in [&mut self.trips].into_iter().chain(checked) {
            sums.iter_mut()
                .zip(&record.trips)
                .for_each(|(sum, trips)| *sum += trips);
        }
    }

    /// Whether the half-widths of walking and of lead time are at most this share of their means.
    pub fn is_precise(&self, share: f64, settings: &Settings) -> bool {
        let fits = |estimate: Option<Estimate>| {
            estimate.is_none_or(|e| {
                e.half_width
                    .is_some_and(|half_width| half_width <= share * e.mean.abs())
            })
        };
        let estimate = |summary| Estimate::of_summary(&summary, settings.confidence);
        fits(estimate(self.walking_summary())) && fits(estimate(self.lead_time_summary()))
    }

    /// Whether there are enough replications for the means to be nearly normal.
    pub fn suffices(&self) -> bool {
        let figures = [
            &self.walking_summary(),
            &self.lead_time_summary(),
            &self.makespan,
        ];
        figures.into_iter().all(suffices) && self.projects.iter().all(ProjectSums::suffices)
    }

    /// Whether there are enough for the differences of another one from this one.
    pub fn suffices_against(&self, other: &Aggregate) -> bool {
        self.walking_pairs(other).suffices() && self.lead_time_pairs(other).suffices()
    }

    /// The sums of a project by its place in the shop.
    pub fn project(&self, project: ProjectId) -> &ProjectSums {
        &self.projects[project.index()]
    }

    fn walking_summary(&self) -> Summary {
        self.walking.iter().copied().collect()
    }

    fn lead_time_summary(&self) -> Summary {
        self.lead_time.iter().copied().flatten().collect()
    }

    /// Other minus this one.
    pub fn walking_pairs(&self, other: &Aggregate) -> PairedSummary {
        let mut pairs = PairedSummary::default();
        for (&own, &others) in self.walking.iter().zip(&other.walking) {
            pairs.add(own, others);
        }
        pairs
    }

    /// Other minus this one, over the replications in which both finished an order.
    pub fn lead_time_pairs(&self, other: &Aggregate) -> PairedSummary {
        let mut pairs = PairedSummary::default();
        for (own, others) in self.lead_time.iter().zip(&other.lead_time) {
            if let (Some(own), Some(others)) = (own, others) {
                pairs.add(*own, *others);
            }
        }
        pairs
    }

    /// Of all orders of all projects.
    fn lead_times(&self) -> Histogram {
        let mut all = Histogram::new();
        for project in &self.projects {
            all.merge(project.lead_times());
        }
        all
    }

    /// Lead times in seconds by replication; None if one of them finished no order.
    pub fn mean_lead_times(&self) -> Option<Vec<f64>> {
        self.lead_time.iter().copied().collect()
    }

    pub fn findings(&self, candidate: &Candidate, settings: &Settings) -> CandidateFindings {
        let runs = self.walking.len() as f64;
        let shop = &candidate.shop;
        let legs = legs_of(candidate, &self.trips, runs);
        let checked = runs.min(f64::from(CHECKED));
        let held = self.held.shares();
        let walked_in = |manner| {
            legs.iter()
                .filter(|leg| leg.manner == manner)
                .fold(0.0, |sum, leg| sum + leg.metres)
        };
        let walked = WalkedMetres {
            empty: walked_in(Manner::Empty),
            carrying: walked_in(Manner::Carrying),
            pushing: walked_in(Manner::Pushing),
        };
        let level = settings.confidence;
        let estimate =
            |summary: &Summary| Estimate::by(summary, level, settings.replications.intervals());
        let nothing = none(level);
        let flow = |summary: &Summary| estimate_if_enough(summary, settings);
        let stations = self.stations(candidate, &held.stations, settings);
        let crew = self.crew(candidate, &held.people, runs);
        let gear: Vec<GearFindings> = (shop.gear.iter().zip(&self.gear))
            .zip(&held.gear)
            .map(|((gear, taken), &held)| GearFindings {
                held,
                name: gear.name.clone(),
                count: gear.count,
                utilisation: taken.mean().unwrap_or(0.0),
            })
            .collect();
        let lead_time = estimate(&self.lead_time_summary());
        let saturated = saturated(&stations, &crew, &gear);
        let pace = self.overload.pace(
            (
                self.makespan.mean().unwrap_or(0.0),
                lead_time.map(|e| e.mean),
            ),
            !saturated.is_empty(),
            candidate.shop.varies(),
            settings.replications.intervals(),
        );
        let orders_done = self.orders_done.mean().unwrap_or(0.0);
        CandidateFindings {
            name: candidate.name.clone(),
            walking: estimate(&self.walking_summary()).unwrap_or(nothing),
            walked,
            walking_per_order: self.walking_per_order.mean(),
            lead_time,
            lead_times: self.lead_times(),
            makespan: estimate(&self.makespan).unwrap_or(nothing),
            hands_on: self.hands_on.mean().unwrap_or(0.0),
            orders_done,
            built_per_order: match orders_done > 0.0 {
                true => self.built as f64 / runs / orders_done,
                false => 1.0,
            },
            put_aside: self.put_aside as f64 / runs,
            measured: self.measured / runs,
            throughput_per_hour: flow(&self.throughput).unwrap_or(nothing),
            released_per_hour: self.released.mean().unwrap_or(0.0),
            work_in_process: flow(&self.in_process).unwrap_or(nothing),
            projects: self.projects(candidate, runs, settings),
            in_process_by_third: self.overload.thirds(),
            overload: (pace == Some(OrderPace::FasterThanBuilt)).then(|| saturated.clone()),
            at_capacity: (pace == Some(OrderPace::AsFastAsBuilt)).then_some(saturated),
            bottleneck: busiest(&stations, &crew, &gear),
            stations,
            gear,
            crew,
            hours: keeps_hours(shop).then(|| self.calendar.findings(shop, settings.starts, runs)),
            in_time: self.calendar.in_time(shop, settings, runs as u64),
            checked_legs: legs_of(candidate, &self.checked_trips, checked),
            legs,
            power: None,
            heat: None,
            light: None,
            noise: None,
            dust: Vec::new(),
        }
    }

    fn stations(
        &self,
        candidate: &Candidate,
        held: &[ActiveShares],
        settings: &Settings,
    ) -> Vec<StationFindings> {
        let runs = self.walking.len() as f64;
        let rows = candidate.shop.stations.iter().zip(&self.stations);
        rows.enumerate()
            .map(|(index, (station, sums))| {
                let held = held.get(index).copied().unwrap_or_default();
                sums.findings(station, (runs, self.measured), held, settings)
            })
            .collect()
    }

    fn crew(
        &self,
        candidate: &Candidate,
        held: &[(Arc<str>, ActiveShares)],
        runs: f64,
    ) -> Vec<PersonFindings> {
        let rows = candidate.shop.crew.iter().zip(&self.crew);
        let of_group = |group: &str| held.iter().find(|(name, _)| **name == *group);
        rows.enumerate()
            .map(|(index, (person, sums))| {
                let held = of_group(&person.group).map_or_else(ActiveShares::default, |of| of.1);
                let diagnosed = self.waited.person(&candidate.shop, index);
                sums.findings(person, runs, held, diagnosed)
            })
            .collect()
    }

    fn projects(
        &self,
        candidate: &Candidate,
        runs: f64,
        settings: &Settings,
    ) -> Vec<ProjectFindings> {
        let by = (settings.confidence, settings.replications.intervals());
        let rows = candidate.shop.projects.enumerate().zip(&self.projects);
        rows.map(|((id, project), sums)| {
            let all_done = self.calendar.project_done(id, &candidate.shop);
            sums.findings(&project.name, runs, by, self.waited.split(id), all_done)
        })
        .collect()
    }
}
