//! What people wait for, and what they work on where.

use std::sync::Arc;

use super::needs::{Needs, Short};
use crate::engine::TaskTimes;
use crate::shop::{PersonId, Shop};
use crate::units::{Span, Time};

/// Where the time of a person goes besides walking and handling; within the measured time.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct IdleTime {
    /// For something to cure.
    pub cure: Span,
    /// A lot that they could work on waits for a station.
    pub station: Span,
    /// A lot that they could work on waits for gear.
    pub gear: Span,
    /// There was nothing to do for them, or they waited for others at a task that had begun.
    pub nothing: Span,
    /// Setting up, by station.
    pub setting_up: Vec<Span>,
    /// Running and tearing down, by station.
    pub running: Vec<Span>,
}

impl IdleTime {
    pub fn waiting(&self) -> Span {
        self.cure + self.station + self.gear + self.nothing
    }
}

/// Why somebody who is idle is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Cause {
    Cure,
    Station,
    Gear,
}

/// People who can do the same see the same.
#[derive(Debug)]
struct Class {
    /// By operation.
    can: Vec<bool>,
    people: Vec<usize>,
}

#[derive(Debug, Clone)]
struct PersonSoFar {
    /// From here on they are idle, as far as is known.
    until: Time,
    /// By cause, within the measured time.
    waited: [Span; 3],
    hands_on: Span,
}

/// A lot cures.
#[derive(Debug, Clone, Copy)]
struct CureNow {
    start: Time,
    end: Time,
}

#[derive(Debug, Clone)]
pub(super) struct People {
    from: Time,
    until: Time,
    classes: Arc<[Class]>,
    crew: Vec<PersonSoFar>,
    /// Setting up and running, by person and station: `worked_at[person * stations + station]`.
    worked_at: Vec<[Span; 2]>,
    stations: usize,
    cures: Vec<CureNow>,
}

impl People {
    pub fn new(shop: &Shop, from: Time, until: Time) -> People {
        let mut classes: Vec<Class> = Vec::new();
        for (number, person) in shop.crew.iter().enumerate() {
            let can: Vec<bool> = (shop.operations.ids())
                .map(|operation| person.can_do(operation))
                .collect();
            match classes.iter_mut().find(|class| class.can == can) {
                Some(class) => class.people.push(number),
                None => classes.push(Class {
                    can,
                    people: vec![number],
                }),
            }
        }
        let idle = PersonSoFar {
            until: Time::START,
            waited: [Span::ZERO; 3],
            hands_on: Span::ZERO,
        };
        let (crew, stations) = (shop.crew.len(), shop.stations.len());
        People {
            from,
            until,
            classes: classes.into(),
            crew: vec![idle; crew],
            worked_at: vec![[Span::ZERO; 2]; crew * stations],
            stations,
            cures: Vec::new(),
        }
    }

    /// What is measured of a time; an instant outside the measured time is cut to its beginning or end.
    #[inline]
    fn measured(&self, start: Time, end: Time) -> Span {
        if start >= self.from && end <= self.until {
            return end - start;
        }
        let cut = |at: Time| at.max(self.from).min(self.until);
        cut(end) - cut(start)
    }

    /// Somebody walks, handles something or works, and is not idle before the end.
    #[inline]
    pub fn active(&mut self, person: PersonId, start: Time, end: Time) {
        let hands_on = self.measured(start, end);
        let person = &mut self.crew[person.index()];
        person.hands_on += hands_on;
        person.until = person.until.max(end);
    }

    /// Somebody works.
    #[inline]
    pub fn works(&mut self, person: PersonId, task: &TaskTimes) {
        self.active(person, task.begins, task.ends);
        let setting_up = self.measured(task.begins, task.set_up);
        let running = self.measured(task.set_up, task.ends);
        let at = &mut self.worked_at[person.index() * self.stations + task.station.index()];
        at[0] += setting_up;
        at[1] += running;
    }

    pub fn cure(&mut self, now: Time, start: Time, end: Time) {
        self.forget_cures(now);
        self.cures.push(CureNow { start, end });
    }

    /// Forgets what has cured.
    pub fn forget_cures(&mut self, now: Time) {
        self.cures.retain(|cure| cure.end > now);
    }

    /// From when on somebody is idle, as far as is known.
    #[inline]
    pub fn idle_from(&self) -> Time {
        let idle = self.crew.iter().map(|person| person.until);
        idle.fold(Time::NEVER, Time::min)
    }

    pub fn is_curing(&self) -> bool {
        !self.cures.is_empty()
    }

    /// Lets time pass over which nothing changes; whoever is idle waits.
    pub fn pass(&mut self, at: Time, end: Time, needs: &Needs) {
        let (start, end) = (at.max(self.from), end.max(self.from));
        if end <= start {
            return;
        }
        let cures = (self.cures.iter()).any(|cure| cure.start <= at && at < cure.end);
        for class in self.classes.iter() {
            let is_idle = |&&person: &&usize| self.crew[person].until <= at;
            let Some(&first) = class.people.iter().find(is_idle) else {
                continue;
            };
            let Some(cause) = class.cause(at, needs, cures) else {
                continue;
            };
            for &person in class.people.iter().filter(|&&person| person >= first) {
                let person = &mut self.crew[person];
                if person.until <= at {
                    person.waited[cause as usize] += end - start;
                }
            }
        }
    }

    /// What came of it in a run that ends now.
    pub fn found(&self, end: Time) -> Vec<IdleTime> {
        let measured = end.max(self.from) - self.from;
        let people = self.crew.iter().enumerate().map(|(number, person)| {
            let [cure, station, gear] = person.waited;
            let at = &self.worked_at[number * self.stations..(number + 1) * self.stations];
            IdleTime {
                cure,
                station,
                gear,
                nothing: measured - person.hands_on - cure - station - gear,
                setting_up: at.iter().map(|at| at[0]).collect(),
                running: at.iter().map(|at| at[1]).collect(),
            }
        });
        people.collect()
    }
}

impl Class {
    /// Why somebody of the class is idle.
    fn cause(&self, at: Time, needs: &Needs, cures: bool) -> Option<Cause> {
        let mut for_gear = false;
        for need in needs.waiting() {
            if !self.can[need.operation.index()] {
                continue;
            }
            match needs.short(need, at) {
                // A station all of whose units cure is not seen: the cure is.
                Some(Short::Station) if needs.all_units_cure(need, at) => {}
                Some(Short::Station) => return Some(Cause::Station),
                Some(Short::Gear) => for_gear = true,
                None => {}
            }
        }
        match (cures, for_gear) {
            (true, _) => Some(Cause::Cure),
            (false, true) => Some(Cause::Gear),
            (false, false) => None,
        }
    }
}
