//! What people wait for, and what they work on where.

use std::sync::Arc;

use super::followers::Follower;
use super::needs::{Needs, Short};
use crate::engine::TaskTimes;
use crate::shop::{PersonId, Shop};
use crate::units::{Span, Time};

/// What a person waits for; within the measured time.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct IdleTime {
    /// For something to cure that they could go on with, or that ties up the station of a lot that they could work on.
    pub cure: Span,
    /// A lot that they could work on waits for a station.
    pub station: Span,
    /// A lot that they could work on waits for gear.
    pub gear: Span,
    /// There was nothing to do for them, or they waited for others at a task that had begun.
    pub nothing: Span,
}

impl IdleTime {
    pub fn waiting(&self) -> Span {
        self.cure + self.station + self.gear + self.nothing
    }
}

/// What a person does at a station; within the measured time.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct TimeAtStation {
    pub setting_up: Span,
    /// Running and tearing down.
    pub running: Span,
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

impl PersonSoFar {
    const IDLE: PersonSoFar = PersonSoFar {
        until: Time::START,
        waited: [Span::ZERO; 3],
        hands_on: Span::ZERO,
    };
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
    /// By person and station: `worked_at[person * stations + station]`.
    worked_at: Vec<TimeAtStation>,
    stations: usize,
    /// What cures and the people of a class can go on with, by class.
    cures: Vec<Vec<CureNow>>,
    /// How many these are in all.
    curing: usize,
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
        let (crew, stations) = (shop.crew.len(), shop.stations.len());
        People {
            from,
            until,
            cures: vec![Vec::new(); classes.len()],
            curing: 0,
            classes: classes.into(),
            crew: vec![PersonSoFar::IDLE; crew],
            worked_at: vec![TimeAtStation::default(); crew * stations],
            stations,
        }
    }

    /// The start of another run.
    pub fn begin(&mut self) {
        self.crew.fill(PersonSoFar::IDLE);
        self.worked_at.fill(TimeAtStation::default());
        self.cures.iter_mut().for_each(Vec::clear);
        self.curing = 0;
    }

    /// Whether a time lies in the measured time; if not, [`cut`](Self::cut) cuts its instants.
    #[inline]
    fn is_measured(&self, start: Time, end: Time) -> bool {
        start >= self.from && end <= self.until
    }

    /// An instant outside the measured time is cut to its beginning or end.
    fn cut(&self, at: Time) -> Time {
        at.max(self.from).min(self.until)
    }

    /// Somebody walks or handles something, and is not idle before the end.
    #[inline]
    pub fn fetches(&mut self, person: PersonId, start: Time, end: Time) {
        let hands_on = match self.is_measured(start, end) {
            true => end - start,
            false => self.cut(end) - self.cut(start),
        };
        let person = &mut self.crew[person.index()];
        person.hands_on += hands_on;
        person.until = person.until.max(end);
    }

    /// Somebody works.
    #[inline]
    pub fn works(&mut self, person: PersonId, task: &TaskTimes) {
        let (mut begins, mut set_up, mut ends) = (task.begins, task.set_up, task.ends);
        if !self.is_measured(begins, ends) {
            [begins, set_up, ends] = [begins, set_up, ends].map(|at| self.cut(at));
        }
        let at = &mut self.worked_at[person.index() * self.stations + task.station.index()];
        at.setting_up += set_up - begins;
        at.running += ends - set_up;
        let person = &mut self.crew[person.index()];
        person.hands_on += ends - begins;
        person.until = person.until.max(task.ends);
    }

    pub fn cure(&mut self, now: Time, follower: Follower, start: Time, end: Time) {
        self.forget_cures(now);
        for (class, cures) in self.classes.iter().zip(&mut self.cures) {
            if class.goes_on_with(follower) {
                cures.push(CureNow { start, end });
                self.curing += 1;
            }
        }
    }

    /// Forgets what has cured.
    #[inline]
    pub fn forget_cures(&mut self, now: Time) {
        if self.curing > 0 {
            (self.cures.iter_mut()).for_each(|cures| cures.retain(|cure| cure.end > now));
            self.curing = self.cures.iter().map(Vec::len).sum();
        }
    }

    /// From when on somebody is idle, as far as is known.
    #[inline]
    pub fn idle_from(&self) -> Time {
        let idle = self.crew.iter().map(|person| person.until);
        idle.fold(Time::NEVER, Time::min)
    }

    /// Whether something cures with which anybody can go on.
    #[inline]
    pub fn is_curing(&self) -> bool {
        self.curing > 0
    }

    /// Lets time pass over which nothing changes but who is idle; whoever is waits.
    pub fn pass(&mut self, at: Time, end: Time, needs: &Needs) {
        let (start, end) = (at.max(self.from), end.max(self.from));
        if end <= start {
            return;
        }
        for (class, cures) in self.classes.iter().zip(&self.cures) {
            let mut cause = None;
            for &person in &class.people {
                let person = &mut self.crew[person];
                if person.until >= end {
                    continue;
                }
                match *cause.get_or_insert_with(|| class.cause(at, needs, cures)) {
                    Some(cause) => {
                        let idle = end - start.max(person.until);
                        person.waited[cause as usize] += idle;
                    }
                    None => break,
                }
            }
        }
    }

    /// What each person did at each station: `[person * stations + station]`.
    pub fn worked_at(&self) -> &[TimeAtStation] {
        &self.worked_at
    }

    /// What came of it in a run that ends now.
    pub fn found(&self, end: Time) -> Vec<IdleTime> {
        let measured = end.max(self.from) - self.from;
        let people = self.crew.iter().map(|person| {
            let [cure, station, gear] = person.waited;
            IdleTime {
                cure,
                station,
                gear,
                nothing: measured - person.hands_on - cure - station - gear,
            }
        });
        people.collect()
    }
}

impl Class {
    /// Why somebody of the class is idle, who can go on with these cures.
    fn cause(&self, at: Time, needs: &Needs, cures: &[CureNow]) -> Option<Cause> {
        let (mut for_gear, mut for_cure) = (false, false);
        for need in needs.waiting() {
            if !need.needs_somebody || !self.can[need.operation.index()] {
                continue;
            }
            match needs.short(need, at) {
                // A station all of whose units cure is not seen: the cure is.
                Some(Short::Station) if needs.all_units_cure(need, at) => for_cure = true,
                Some(Short::Station) => return Some(Cause::Station),
                Some(Short::Gear) => for_gear = true,
                None => {}
            }
        }
        for_cure |= (cures.iter()).any(|cure| cure.start <= at && at < cure.end);
        match (for_cure, for_gear) {
            (true, _) => Some(Cause::Cure),
            (false, true) => Some(Cause::Gear),
            (false, false) => None,
        }
    }

    /// Whether somebody of the class could do what follows.
    fn goes_on_with(&self, follower: Follower) -> bool {
        match follower {
            Follower::Operation(operation) => self.can[operation.index()],
            Follower::Delivery => true,
            Follower::Nobody => false,
        }
    }
}
