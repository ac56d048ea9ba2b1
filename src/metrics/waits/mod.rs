//! The witness that finds what the work waits for, and what people wait for.
//!
//! **The work.** An order begins as lots of its parts, its leaves. Each of them lives from the release to the end of
//! the order, first as itself, then inside the assembly that it went into. The lead time of the order is split into
//! the means over its leaves of the time in which they were worked on, carried, cured, waited for a station, for
//! gear, for a person, or, being done, for other parts. A lot that is ready waits for a station while none that can
//! do its operation has a free unit; else for gear while none of those with a free unit has what it takes; else for a
//! person. Lots that replace spoiled pieces are no leaves: the others wait for them.
//!
//! **People.** Somebody who is idle waits for a station if a lot that they have the skill for waits for one whose
//! units are not all curing; else for a cure if anything cures, also where that ties up a station; else for gear if a
//! lot that they have the skill for waits for it; else there is nothing to do for them. Who waits for others at a
//! task that has begun has nothing to do either.
//!
//! Memory grows with the lots and people in process, not with the run.

mod lots;
mod needs;
mod people;

pub use lots::{LeadTimeComponents, LineLeadTime};
pub use people::IdleTime;

use super::chronicle::{OccupationChange, PlannedTask, Witness};
use crate::engine::{Job, OrderDone, OrderReleased};
use crate::shop::{GearId, PersonId, Shop, StationId};
use crate::units::{Span, Time};
use lots::{LotTimes, Lots, ReadyLot};
use needs::Needs;
use people::People;

/// Hears a run and finds what was waited for.
#[derive(Debug, Clone)]
pub struct Waits {
    needs: Needs,
    people: People,
    lots: Lots,
    /// How long the lot of the task that is being told has waited for what.
    waited: LotTimes,
    crew: Vec<IdleTime>,
}

/// What was found of a run.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Waited {
    /// By order line.
    pub lead_times: Vec<LineLeadTime>,
    pub crew: Vec<IdleTime>,
}

impl Waits {
    pub fn new(shop: &Shop, warm_up: Span, until: Option<Time>) -> Waits {
        let from = Time::START + warm_up;
        Waits {
            needs: Needs::new(shop),
            people: People::new(shop, from, until.unwrap_or(Time::NEVER)),
            lots: Lots::new(shop, from),
            waited: LotTimes::default(),
            crew: Vec::new(),
        }
    }

    /// What the lead times of a run that has ended went into, what each person waited for, and where they worked.
    pub fn into_waited(self) -> Waited {
        Waited {
            lead_times: self.lots.into_found(),
            crew: self.crew,
        }
    }

    /// How many lots and orders there is room for now.
    pub fn held(&self) -> usize {
        self.lots.held()
    }
}

impl Witness for Waits {
    const PHASES: bool = false;
    const OCCUPATIONS: bool = true;

    #[inline]
    fn person(&mut self, person: PersonId, turn: OccupationChange) {
        self.people.turns(person, turn);
    }

    #[inline]
    fn unit(&mut self, station: StationId, turn: OccupationChange) {
        self.needs.unit_turns(station, turn, &mut self.people);
    }

    fn gear_taken(&mut self, gear: GearId, amount: u32, now: Time) {
        self.needs.take_gear(gear, amount, now, &mut self.people);
    }

    fn gear_back(&mut self, gear: GearId, amount: u32, now: Time) {
        self.needs
            .give_back_gear(gear, amount, now, &mut self.people);
    }

    fn cure_begins(&mut self, now: Time) {
        self.people.cure_begins(now);
    }

    fn cure_ends(&mut self, now: Time) {
        self.people.cure_ends(now);
    }

    #[inline]
    fn ready(&mut self, job: &Job, now: Time) {
        let need = job.operation.map(|_| {
            let (project, item) = (job.project.index(), job.item.index());
            self.needs.of_step(project, item, job.step as usize)
        });
        let mut clocks = [0; 2];
        if let Some(need) = need {
            clocks = self.needs.clocks(need, now);
            self.needs.waits(need, now, &mut self.people);
        }
        let at = now;
        self.lots.ready(job, ReadyLot { at, need, clocks });
    }

    #[inline]
    fn task(&mut self, job: &Job, now: Time) {
        self.waited = LotTimes::default();
        let Some(ReadyLot { at, need, clocks }) = self.lots.take_ready(job) else {
            return;
        };
        let [mut station, mut gear] = [0; 2];
        if let Some(need) = need {
            let clocks_now = self.needs.clocks(need, now);
            [station, gear] = [clocks_now[0] - clocks[0], clocks_now[1] - clocks[1]];
            self.needs.waits_no_more(need, now, &mut self.people);
        }
        let [station, gear] = [station, gear].map(Span::from_micros);
        self.waited.waited_station = station;
        self.waited.waited_gear = gear;
        self.waited.waited_person = now - at - station - gear;
    }

    #[inline]
    fn planned(&mut self, task: &PlannedTask, workers: &[PersonId]) {
        let mut times = self.waited;
        match &task.work {
            None => times.carried = task.brought - task.chosen,
            Some(work) => {
                times.carried = work.begins - work.chosen;
                times.worked = work.ends - work.begins;
                times.curing = task.cured.unwrap_or(work.ends) - work.ends;
                for &person in workers {
                    self.people.will_work(person, work);
                }
            }
        }
        self.lots.spend(&task.job, &times);
    }

    #[inline]
    fn released(&mut self, order: &OrderReleased) {
        self.lots.released(order);
    }

    #[inline]
    fn done(&mut self, order: &OrderDone) {
        self.lots.done(order);
    }

    fn end(&mut self, now: Time) {
        self.crew = self.people.found(now);
    }
}
