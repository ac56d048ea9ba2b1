//! The noise of single runs, and what they come to.

use std::collections::BTreeMap;

use super::findings::{
    DayDoses, HeardMachine, HouseNoise, LoudestNoise, NoiseFindings, PersonNoise, QuietNoise,
};
use super::listening::{Falls, HeardRun, Listening, Sounding};
use crate::experiment::Settings;
use crate::experiment::estimates::{estimate_if_enough, none};
use crate::metrics::{MachineTimes, Stay};
use crate::services::noise::{NoiseExposure, wall_reduction};
use crate::services::together::OnTime;
use crate::statistics::Summary;
use crate::units::{Moment, Span};

/// Microseconds of a day.
const DAY: i64 = 86_400_000_000;

/// What one run comes to.
pub struct RunNoise {
    people: Vec<PersonDays>,
    /// By machine, how long a unit is on, and how long one cuts.
    machines: Vec<[Span; 2]>,
    /// The loudest in the shop, with what sounds then; likewise in quiet time.
    loudest: Option<(f64, Sounding)>,
    loudest_quiet: Option<(f64, Sounding)>,
    quiet: Span,
}

/// By day of the calendar, what somebody hears who is there, without protection and with it.
type PersonDays = BTreeMap<i64, [NoiseExposure; 2]>;

impl RunNoise {
    pub fn of(listening: &Listening, times: &MachineTimes) -> RunNoise {
        let heard = listening.heard(times);
        let mut run = RunNoise {
            people: Vec::new(),
            machines: vec![[Span::ZERO; 2]; listening.noise.machines.len()],
            loudest: None,
            loudest_quiet: None,
            quiet: Span::ZERO,
        };
        for (stretch, sounding) in heard.stretches() {
            run.sounds(listening, stretch.time, &sounding);
        }
        let mut falls = Falls::default();
        let crew = listening.candidate.shop.crew.iter();
        run.people = (crew.zip(&times.people))
            .map(|(person, stays)| {
                let protection = person.protection.unwrap_or(0.0);
                days(listening, (&heard, &mut falls), stays, protection)
            })
            .collect();
        run
    }

    fn sounds(&mut self, listening: &Listening, time: OnTime, sounding: &Sounding) {
        for (sums, &[idling, cutting]) in self.machines.iter_mut().zip(sounding) {
            if idling + cutting > 0 {
                sums[0] += time.lasts();
            }
            if cutting > 0 {
                sums[1] += time.lasts();
            }
        }
        if listening.noise.house.is_none() {
            return;
        }
        // As loud as it is at the machines: nobody says how far the wall is from them.
        let Some(level) = listening.level(sounding, |_| 0.0) else {
            return;
        };
        louder(&mut self.loudest, level, sounding);
        let quiet = listening.noise.quiet.map(|quiet| within(time, quiet));
        if let Some(quiet) = quiet.filter(|&quiet| quiet > Span::ZERO) {
            self.quiet += quiet;
            louder(&mut self.loudest_quiet, level, sounding);
        }
    }
}

fn louder(loudest: &mut Option<(f64, Sounding)>, level: f64, sounding: &Sounding) {
    if loudest.as_ref().is_none_or(|(most, _)| level > *most) {
        *loudest = Some((level, sounding.clone()));
    }
}

/// How long a time lies between two times of day.
fn within(time: OnTime, [from, to]: [Span; 2]) -> Span {
    let lasts = match to > from {
        true => to - from,
        false => Span::from_micros((to - from).micros() + DAY),
    };
    let first = time.from.micros().div_euclid(DAY) - 1;
    let last = time.until.micros().div_euclid(DAY);
    let of_day = |day: i64| {
        let begins = Moment::from_micros(day * DAY) + from;
        let until = time.until.min(begins + lasts);
        let from = time.from.max(begins);
        (until > from).then(|| until - from)
    };
    (first..=last).filter_map(of_day).sum()
}

/// What somebody hears on each day; both lists are in the order of time.
fn days(
    listening: &Listening,
    (heard, falls): (&HeardRun, &mut Falls),
    stays: &[Stay],
    protection: f64,
) -> PersonDays {
    let mut days = PersonDays::new();
    for stay in stays {
        for (day, _) in by_day(stay.time) {
            days.entry(day).or_default();
        }
    }
    let mut next = 0;
    for (stretch, sounding) in heard.stretches() {
        while next < stays.len() && stays[next].time.until <= stretch.time.from {
            next += 1;
        }
        let together = stays[next..].iter();
        for stay in together.take_while(|stay| stay.time.from < stretch.time.until) {
            let falls = falls.at(listening, stay);
            let Some(level) = listening.level(&sounding, |machine| falls[machine]) else {
                continue;
            };
            let both = OnTime {
                from: stay.time.from.max(stretch.time.from),
                until: stay.time.until.min(stretch.time.until),
            };
            for (day, lasts) in by_day(both) {
                let [bare, protected] = days.entry(day).or_default();
                bare.hear(level, lasts, 0.0);
                protected.hear(level, lasts, protection);
            }
        }
    }
    days
}

/// The days in which a time lies, with how much of it.
fn by_day(time: OnTime) -> impl Iterator<Item = (i64, Span)> {
    let day = |moment: i64| moment.div_euclid(DAY);
    let (from, until) = (time.from.micros(), time.until.micros());
    let last = if until > from {
        day(until - 1)
    } else {
        day(from) - 1
    };
    (day(from)..=last).map(move |day| {
        let lasts = until.min((day + 1) * DAY) - from.max(day * DAY);
        (day, Span::from_micros(lasts))
    })
}

/// What all runs so far come to.
pub struct NoiseSums<'a> {
    listening: &'a Listening<'a>,
    runs: u64,
    people: Vec<HearerSums>,
    machines: Vec<[Span; 2]>,
    loudest: Option<(f64, Sounding)>,
    loudest_quiet: Option<(f64, Sounding)>,
    quiet: Span,
}

#[derive(Clone, Default)]
struct HearerSums {
    days: u64,
    peak: Option<f64>,
    above_limit: Span,
    /// Without protection and with it: of each replication the mean day, and of all days the worst.
    doses: [(Summary, f64); 2],
}

impl HearerSums {
    fn add(&mut self, days: &PersonDays) {
        for exposures in days.values() {
            let [bare, _] = exposures;
            self.days += 1;
            self.above_limit += bare.above_limit;
            self.peak = self.peak.into_iter().chain(bare.peak).reduce(f64::max);
            for ((_, worst), exposure) in self.doses.iter_mut().zip(exposures) {
                *worst = worst.max(exposure.dose);
            }
        }
        for (which, (means, _)) in self.doses.iter_mut().enumerate() {
            let sum: f64 = days.values().map(|exposures| exposures[which].dose).sum();
            if !days.is_empty() {
                means.add(sum / days.len() as f64);
            }
        }
    }
}

impl<'a> NoiseSums<'a> {
    pub fn new(listening: &'a Listening<'a>) -> NoiseSums<'a> {
        NoiseSums {
            listening,
            runs: 0,
            people: vec![HearerSums::default(); listening.candidate.shop.crew.len()],
            machines: vec![[Span::ZERO; 2]; listening.noise.machines.len()],
            loudest: None,
            loudest_quiet: None,
            quiet: Span::ZERO,
        }
    }

    pub fn add(&mut self, of: RunNoise) {
        self.runs += 1;
        for (sums, days) in self.people.iter_mut().zip(&of.people) {
            sums.add(days);
        }
        for (sums, times) in self.machines.iter_mut().zip(of.machines) {
            for (sum, time) in sums.iter_mut().zip(times) {
                *sum += time;
            }
        }
        self.quiet += of.quiet;
        for (most, of) in [
            (&mut self.loudest, of.loudest),
            (&mut self.loudest_quiet, of.loudest_quiet),
        ] {
            if let Some((level, sounding)) = of {
                louder(most, level, &sounding);
            }
        }
    }

    pub fn findings(&self, settings: &Settings) -> NoiseFindings {
        let listening = self.listening;
        let crew = listening.candidate.shop.crew.iter();
        NoiseFindings {
            runs: self.runs,
            machines: self.machines(),
            untimed: (listening.noise.untimed.iter())
                .map(|&station| listening.name(station).to_owned())
                .collect(),
            people: (crew.zip(&self.people))
                .map(|(person, sums)| {
                    let doses = |which: usize| {
                        let (means, worst) = &sums.doses[which];
                        let mean = estimate_if_enough(means, settings);
                        DayDoses {
                            mean: mean.unwrap_or(none(settings.confidence)),
                            worst: *worst,
                        }
                    };
                    PersonNoise {
                        name: person.name.clone(),
                        days: sums.days,
                        peak: sums.peak,
                        above_limit: sums.above_limit.seconds() / (sums.days.max(1) as f64),
                        bare: doses(0),
                        protected: person.protection.map(|protection| (protection, doses(1))),
                    }
                })
                .collect(),
            is_placed: listening.candidate.plan.is_some(),
            house: self.house(),
        }
    }

    fn mean(&self, sum: Span) -> f64 {
        sum.seconds() / (self.runs.max(1) as f64)
    }

    fn machines(&self) -> Vec<HeardMachine> {
        let machines = self.listening.noise.machines.iter().zip(&self.machines);
        let heard = machines.map(|(noise, &[on, cuts])| HeardMachine {
            name: self.listening.name(noise.station).to_owned(),
            idle: noise.idle,
            cutting: noise.cutting,
            is_typical: noise.is_typical,
            on: self.mean(on),
            cuts: self.mean(cuts),
        });
        heard.collect()
    }

    fn house(&self) -> Option<HouseNoise> {
        let noise = self.listening.noise;
        let wall = noise.house.as_ref()?;
        let behind = |loudest: &Option<(f64, Sounding)>| {
            let (level, sounding) = loudest.as_ref()?;
            let sounding = noise.machines.iter().zip(sounding);
            let of = sounding.filter(|(_, count)| count.iter().sum::<usize>() > 0);
            Some(LoudestNoise {
                level: wall.level_behind(*level)?,
                of: of
                    .map(|(noise, _)| self.listening.name(noise.station).to_owned())
                    .collect(),
            })
        };
        Some(HouseNoise {
            reduction: wall_reduction(&wall.parts)?,
            loudest: behind(&self.loudest),
            quiet: noise.quiet.map(|_| QuietNoise {
                loudest: behind(&self.loudest_quiet),
                seconds: self.mean(self.quiet),
            }),
        })
    }
}
