//! What is heard where: machines with their levels, and how far people are from them.

use std::collections::BTreeMap;

use crate::experiment::Candidate;
use crate::metrics::{MachineTimes, Stay};
use crate::services::ServicePlan;
use crate::services::noise::{MachineNoise, NoisePlan, level_indoors, level_sum};
use crate::services::together::{Together, levels, stretches};
use crate::shop::{PlaceId, StationId};

/// A candidate whose noise is asked for.
pub struct Listening<'a> {
    pub candidate: &'a Candidate,
    pub services: &'a ServicePlan,
    pub noise: &'a NoisePlan,
}

/// How many units of a machine idle and cut at one time; of one machine after the other.
pub type Sounding = Vec<[usize; 2]>;

/// A unit that is on, or one that cuts, of which machine.
#[derive(Clone, Copy)]
struct SoundingUnit {
    machine: usize,
    cuts: bool,
}

/// A run, stretch by stretch of what sounds together.
pub struct HeardRun {
    stretches: Vec<Together>,
    units: Vec<SoundingUnit>,
    machines: usize,
}

impl<'a> Listening<'a> {
    /// Nothing where nobody says anything of noise.
    pub fn new(candidate: &'a Candidate, services: &'a ServicePlan) -> Option<Listening<'a>> {
        Some(Listening {
            candidate,
            services,
            noise: services.noise.as_ref()?,
        })
    }

    pub fn name(&self, station: StationId) -> &'a str {
        &self.candidate.shop.stations[station].name
    }

    pub fn heard(&self, times: &MachineTimes) -> HeardRun {
        let mut units = Vec::new();
        let mut on = Vec::new();
        for (machine, noise) in self.noise.machines.iter().enumerate() {
            let station = noise.station;
            let running = match self.services.collector_at(station) {
                // All of several collectors at one place draw on the same pipes.
                Some(collector) => {
                    let on = collector.on(&times.stations, times.runs_on_until);
                    let count = self.candidate.shop.stations[station].count as usize;
                    vec![on; count]
                }
                None => levels(&times.stations[station.index()]),
            };
            let cutting = levels(&times.cutting[station.index()]);
            for (cuts, of) in [(false, running), (true, cutting)] {
                units.extend(of.iter().map(|_| SoundingUnit { machine, cuts }));
                on.extend(of);
            }
        }
        HeardRun {
            stretches: stretches(on.iter().map(|times| &times[..])),
            units,
            machines: self.noise.machines.len(),
        }
    }

    /// The level of a machine where somebody stays: its own where they work at it, or where nobody knows how far that is.
    pub fn fall(&self, noise: &MachineNoise, stay: (PlaceId, Option<StationId>)) -> f64 {
        let (place, works_at) = stay;
        if works_at == Some(noise.station) {
            return 0.0;
        }
        let away = self.candidate.plan.as_ref().and_then(|plan| {
            let machine = plan.placements[noise.station].as_ref()?.at;
            Some(plan.standing(place)?.distance(machine))
        });
        away.map_or(0.0, |away| -level_indoors(0.0, away))
    }

    /// Of all that sounds, where a machine falls by so many dB.
    pub fn level(&self, sounding: &Sounding, fall: impl Fn(usize) -> f64) -> Option<f64> {
        let machines = self.noise.machines.iter().zip(sounding).enumerate();
        let levels = machines.flat_map(|(machine, (noise, &[idling, cutting]))| {
            let fall = match idling + cutting {
                0 => 0.0,
                _ => fall(machine),
            };
            let idle = std::iter::repeat_n(noise.idle - fall, idling);
            idle.chain(std::iter::repeat_n(noise.cutting - fall, cutting))
        });
        level_sum(levels)
    }
}

impl HeardRun {
    pub fn stretches(&self) -> impl Iterator<Item = (&Together, Sounding)> {
        let sounding = |stretch: &Together| {
            let mut all: Sounding = vec![[0, 0]; self.machines];
            for unit in stretch.on.iter().map(|&nth| self.units[nth]) {
                all[unit.machine][usize::from(unit.cuts)] += 1;
            }
            // What cuts is on as well.
            for [on, cutting] in &mut all {
                *on = on.saturating_sub(*cutting);
            }
            all
        };
        let all = self.stretches.iter();
        all.map(move |stretch| (stretch, sounding(stretch)))
    }
}

/// By how much each machine falls where somebody stays, worked out once for each such place.
#[derive(Default)]
pub struct Falls(BTreeMap<(PlaceId, Option<StationId>), Vec<f64>>);

impl Falls {
    pub fn at(&mut self, listening: &Listening, stay: &Stay) -> &[f64] {
        let at = (stay.place, stay.works_at);
        self.0.entry(at).or_insert_with(|| {
            let machines = listening.noise.machines.iter();
            machines.map(|noise| listening.fall(noise, at)).collect()
        })
    }
}
