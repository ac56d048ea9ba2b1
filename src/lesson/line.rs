//! The second lesson, first half: orders in a line of machines, their queues, and Little's law.

use super::by_hand::{has_one_decimal, is_share, is_whole_percent};
use super::dice::LessonDice;
use super::level::{BUSIER_BY, BUSIEST_IN_LINE, LessonLevel, RELIEVED, WAITED};
use super::played::{LessonError, play, study};
use crate::engine::{Doing, Occupied, WorkPhase};
use crate::experiment::{CandidateFindings, Study, trace};
use crate::metrics::What;

const MOST_TRIES: usize = 4_000_000;
/// Minutes that the work of one order takes at a machine, and between two orders.
const MINUTES: (i64, i64) = (4, 30);

/// What is printed. Everything is in whole minutes.
#[derive(Debug, Clone, PartialEq)]
pub struct LineExercise {
    /// When each order comes.
    pub arrivals: Vec<i64>,
    /// What one order takes at each machine, in the order of the line.
    pub minutes: Vec<i64>,
}

/// When one order is at one machine, in minutes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Visit {
    pub begins: f64,
    pub ends: f64,
}

/// What a second one of a machine comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneMore {
    pub all_done: f64,
    pub mean_lead: f64,
}

/// What is right.
#[derive(Debug, Clone, PartialEq)]
pub struct LineAnswer {
    /// By order, then by machine.
    pub visits: Vec<Vec<Visit>>,
    pub all_done: f64,
    /// From start to finish, of each order and on average.
    pub leads: Vec<f64>,
    pub mean_lead: f64,
    /// In percent.
    pub utilisation: Vec<f64>,
    /// Minutes that all orders together waited before each machine, and the mean queue there.
    pub waited: Vec<f64>,
    pub queues: Vec<f64>,
    /// Orders done in an hour, and orders in the line on average.
    pub per_hour: f64,
    pub in_line: f64,
    /// With a second one of each machine.
    pub one_more: Vec<OneMore>,
}

/// The line by hand, by which numbers are chosen: the answers are those of the shop as it is played.
struct LineSums {
    all_done: i64,
    leads: i64,
    waited: Vec<i64>,
}

impl LineExercise {
    pub fn draw(level: &LessonLevel, dice: &mut LessonDice) -> Result<LineExercise, LessonError> {
        let drawn = (0..MOST_TRIES).map(|_| LineExercise::any(level, dice));
        let mut fitting = drawn.filter(LineExercise::fits);
        fitting.next().ok_or(LessonError::NoNumbers("queues"))
    }

    fn any(level: &LessonLevel, dice: &mut LessonDice) -> LineExercise {
        let (least, most) = MINUTES;
        let mut arrivals = vec![0];
        while arrivals.len() < level.orders {
            arrivals.push(arrivals[arrivals.len() - 1] + dice.whole(least, most));
        }
        let minutes = (0..level.machines).map(|_| dice.whole(least, most));
        LineExercise {
            minutes: minutes.collect(),
            arrivals,
        }
    }

    /// Which machine the work takes longest at.
    fn longest(&self) -> usize {
        let machines = 0..self.minutes.len();
        machines.fold(0, |longest, machine| {
            match self.minutes[machine] > self.minutes[longest] {
                true => machine,
                false => longest,
            }
        })
    }

    /// Whether it can be worked by hand, its answer is clear and as hard as others.
    fn fits(&self) -> bool {
        let orders = self.arrivals.len() as i64;
        let longest = self.longest();
        let now = self.reckon(None);
        let LineSums {
            all_done,
            leads,
            waited,
        } = &now;
        let busy = |machine: usize| orders * self.minutes[machine];
        let is_clear = (0..self.minutes.len()).all(|machine| {
            let apart = 100 * (busy(longest) - busy(machine));
            is_whole_percent(busy(machine), *all_done)
                && has_one_decimal(waited[machine], *all_done)
                && (machine == longest || apart >= BUSIER_BY * all_done)
        });
        is_clear
            && is_share(busy(longest), *all_done, BUSIEST_IN_LINE)
            && has_one_decimal(*leads, orders)
            && has_one_decimal(*leads, *all_done)
            && has_one_decimal(60 * orders, *all_done)
            && is_share(waited.iter().sum(), *leads, WAITED)
            && self.relief_is_clear(&now, longest)
    }

    /// Whether a second one of what is busiest helps much more than one of anything else.
    fn relief_is_clear(&self, now: &LineSums, longest: usize) -> bool {
        let orders = self.arrivals.len() as i64;
        let saved = |machine: usize| {
            let then = self.reckon(Some(machine));
            has_one_decimal(then.leads, orders).then_some(now.leads - then.leads)
        };
        let all: Option<Vec<i64>> = (0..self.minutes.len()).map(saved).collect();
        let Some(all) = all else { return false };
        let others = (0..all.len()).filter(|&machine| machine != longest);
        100 * all[longest] >= RELIEVED * now.leads
            && others
                .into_iter()
                .all(|other| 2 * all[other] <= all[longest])
    }

    /// First come, first served at each machine, of which there is one more of one kind.
    fn reckon(&self, one_more: Option<usize>) -> LineSums {
        let mut ready = self.arrivals.clone();
        let mut waited = Vec::with_capacity(self.minutes.len());
        for (machine, minutes) in self.minutes.iter().enumerate() {
            let units = 1 + usize::from(one_more == Some(machine));
            let mut waits = 0;
            let mut free = [0; 2];
            for (order, at) in ready.iter_mut().enumerate() {
                // All take equally long here, so units come free in turn.
                let unit = &mut free[order % units];
                let begins = (*at).max(*unit);
                waits += begins - *at;
                *unit = begins + minutes;
                *at = *unit;
            }
            waited.push(waits);
        }
        LineSums {
            all_done: ready.iter().copied().max().unwrap_or(0),
            leads: ready.iter().sum::<i64>() - self.arrivals.iter().sum::<i64>(),
            waited,
        }
    }

    /// The answer, as the shop plays it.
    ///
    /// # Errors
    /// If the scenario behind it is wrong, which the tests would show.
    pub fn answer(&self) -> Result<LineAnswer, LessonError> {
        let study = study(&self.scenario())?;
        let found = play(&study)?;
        let line = &found.candidates[0];
        let visits = self.visits(&study)?;
        let leads: Vec<f64> = (visits.iter().zip(&self.arrivals))
            .map(|(visits, &came)| visits.last().map_or(0.0, |last| last.ends) - came as f64)
            .collect();
        // The first station is where the material lies.
        let machines = &line.stations[1..];
        Ok(LineAnswer {
            visits,
            all_done: in_minutes(line.makespan.mean),
            leads,
            mean_lead: mean_lead(line),
            utilisation: machines.iter().map(|of| 100.0 * of.utilisation).collect(),
            waited: (machines.iter())
                .map(|of| {
                    of.wait
                        .as_ref()
                        .map_or(0.0, |wait| in_minutes(wait.mean) * of.lots)
                })
                .collect(),
            queues: machines.iter().map(|of| of.queue.mean).collect(),
            per_hour: line.throughput_per_hour.mean,
            in_line: line.work_in_process.mean,
            one_more: (found.candidates[1..].iter())
                .map(|with| OneMore {
                    all_done: in_minutes(with.makespan.mean),
                    mean_lead: mean_lead(with),
                })
                .collect(),
        })
    }

    /// When each order is at each machine, from the run told line by line.
    fn visits(&self, study: &Study) -> Result<Vec<Vec<Visit>>, LessonError> {
        let nowhere = Visit {
            begins: 0.0,
            ends: 0.0,
        };
        let mut visits = vec![vec![nowhere; self.minutes.len()]; self.arrivals.len()];
        let tell = trace(study, 0, 0, |line| {
            if let (What::Phase { of, doing }, Some(job)) = (&line.what, &line.job)
                && let Occupied::Unit(station, _) = of
                && let Doing::Work {
                    phase: WorkPhase::Run,
                    ..
                } = doing
            {
                visits[job.order as usize][station.index() - 1] = Visit {
                    begins: in_minutes(line.start.seconds()),
                    ends: in_minutes(line.end.seconds()),
                };
            }
        });
        tell.map_err(LessonError::Stuck)?;
        Ok(visits)
    }

    /// Nothing is carried, and at each machine there are as many people as can ever be needed.
    pub fn scenario(&self) -> String {
        let mut text = "stations:\n  s0: {}\n".to_owned();
        for (number, minutes) in (1..).zip(&self.minutes) {
            text.push_str(&format!(
                "  s{number}: {{count: 1, does: {{w{number}: {{per lot: {minutes} min}}}}}}\n"
            ));
        }
        text.push_str("handling: {pick up: 0, put down: 0}\ncrew:\n");
        for number in 1..=self.minutes.len() {
            text.push_str(&format!(
                "  a{number}: {{can: [w{number}]}}\n  b{number}: {{can: [w{number}]}}\n"
            ));
        }
        let route: Vec<String> = (1..=self.minutes.len())
            .map(|number| format!("w{number}"))
            .collect();
        text.push_str(&format!(
            "projects:\n  product: {{pieces: 1, material at: s0, route: [{}]}}\norders:\n",
            route.join(", ")
        ));
        for came in &self.arrivals {
            text.push_str(&format!(
                "  - {{project: product, first: {came} min, every: 0, count: 1}}\n"
            ));
        }
        text.push_str("layouts:\n  line: {distances: 0}\ncandidates:\n");
        for number in 1..=self.minutes.len() {
            text.push_str(&format!(
                "  one more {number}: {{layout: line, change: {{stations: {{s{number}: {{count: 2}}}}}}}}\n"
            ));
        }
        text
    }
}

fn in_minutes(seconds: f64) -> f64 {
    seconds / 60.0
}

/// In minutes.
fn mean_lead(of: &CandidateFindings) -> f64 {
    (of.lead_time.as_ref()).map_or(0.0, |lead| in_minutes(lead.mean))
}
