//! What people wait for, and what they work on where.

use std::sync::Arc;

use crate::engine::TaskTimes;
use crate::metrics::chronicle::{Occupation, OccupationChange};
use crate::shop::{OperationId, PersonId, Shop};
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

/// What is missing for a lot to be worked on; if neither is, it waits for a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Short {
    Station,
    Gear,
}

/// Why somebody who is idle is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Cause {
    Cure,
    Station,
    Gear,
}

/// People who can do the same see the same.
#[derive(Debug, Clone)]
struct Class {
    /// By operation.
    can: Arc<[bool]>,
    /// Needs that they could work on and see waiting, for a station and for gear.
    seen: [u32; 2],
    cause: Option<Cause>,
    /// How long each cause has lasted, up to `since`, within the measured time.
    clocks: [i64; 3],
    since: Time,
}

impl Class {
    fn settle(&mut self, at: Time) {
        if at > self.since {
            if let Some(cause) = self.cause {
                self.clocks[cause as usize] += (at - self.since).micros();
            }
            self.since = at;
        }
    }

    fn look(&mut self, cures: u32, at: Time) {
        let [for_station, for_gear] = self.seen;
        let cause = match (for_station, cures, for_gear) {
            (1.., _, _) => Some(Cause::Station),
            (0, 1.., _) => Some(Cause::Cure),
            (0, 0, 1..) => Some(Cause::Gear),
            (0, 0, 0) => None,
        };
        if cause != self.cause {
            self.settle(at);
            self.cause = cause;
        }
    }
}

#[derive(Debug, Clone)]
struct PersonSoFar {
    class: usize,
    /// The clocks of their class when they became idle.
    idle_since: [i64; 3],
    waited: [i64; 3],
    /// When they became active; instants before the measured time count as its beginning.
    active_since: Time,
    now: Occupation,
    hands_on: Span,
    /// Setting up and running, by station.
    worked_at: Vec<[Span; 2]>,
}

#[derive(Debug, Clone)]
pub(super) struct People {
    from: Time,
    until: Time,
    classes: Vec<Class>,
    crew: Vec<PersonSoFar>,
    /// Cures under way.
    cures: u32,
}

impl People {
    pub fn new(shop: &Shop, from: Time, until: Time) -> People {
        let mut classes: Vec<Class> = Vec::new();
        let stations = shop.stations.len();
        let crew = shop.crew.iter().map(|person| {
            let can: Arc<[bool]> = (shop.operations.ids())
                .map(|operation| person.can_do(operation))
                .collect();
            let known = classes.iter().position(|class| class.can == can);
            let class = known.unwrap_or(classes.len());
            if known.is_none() {
                classes.push(Class {
                    can,
                    seen: [0; 2],
                    cause: None,
                    clocks: [0; 3],
                    since: from,
                });
            }
            PersonSoFar {
                class,
                idle_since: [0; 3],
                waited: [0; 3],
                active_since: from,
                now: Occupation::Free,
                hands_on: Span::ZERO,
                worked_at: vec![[Span::ZERO; 2]; stations],
            }
        });
        let crew = crew.collect();
        People {
            from,
            until,
            classes,
            crew,
            cures: 0,
        }
    }

    /// Lots of an operation are seen to wait for something else than before.
    pub fn see(
        &mut self,
        operation: OperationId,
        before: Option<Short>,
        after: Option<Short>,
        at: Time,
    ) {
        for class in &mut self.classes {
            if class.can[operation.index()] {
                if let Some(short) = before {
                    class.seen[short as usize] -= 1;
                }
                if let Some(short) = after {
                    class.seen[short as usize] += 1;
                }
                class.look(self.cures, at);
            }
        }
    }

    pub fn cure_begins(&mut self, at: Time) {
        self.cures += 1;
        self.look(at);
    }

    pub fn cure_ends(&mut self, at: Time) {
        self.cures -= 1;
        self.look(at);
    }

    fn look(&mut self, at: Time) {
        for class in &mut self.classes {
            class.look(self.cures, at);
        }
    }

    #[inline(always)]
    pub fn turns(&mut self, person: PersonId, turn: OccupationChange) {
        let person = &mut self.crew[person.index()];
        let at = turn.at.max(self.from);
        if person.now == Occupation::Active {
            person.hands_on += at - person.active_since;
        }
        person.active_since = at;
        if person.now == Occupation::Free {
            let class = &mut self.classes[person.class];
            class.settle(at);
            let clocks = class.clocks.iter().zip(person.idle_since);
            let waited = person.waited.iter_mut().zip(clocks);
            waited.for_each(|(sum, (now, before))| *sum += now - before);
        }
        if turn.is == Occupation::Free {
            let class = &mut self.classes[person.class];
            class.settle(at);
            person.idle_since = class.clocks;
        }
        person.now = turn.is;
    }

    /// Somebody will work; what lies outside the measured time is cut off.
    #[inline]
    pub fn will_work(&mut self, person: PersonId, at: &TaskTimes) {
        let (from, until) = (self.from, self.until);
        let cut = |at: Time| at.max(from).min(until);
        let [begins, set_up, ends] = [at.begins, at.set_up, at.ends].map(cut);
        let person = &mut self.crew[person.index()];
        let [setting_up, running] = &mut person.worked_at[at.station.index()];
        *setting_up += set_up - begins;
        *running += ends - set_up;
    }

    /// What came of it in a run that ends now.
    pub fn found(&mut self, end: Time) -> Vec<IdleTime> {
        for index in 0..self.crew.len() {
            let was = self.crew[index].now;
            let is = Occupation::Held;
            self.turns(
                PersonId(index as u32),
                OccupationChange { was, is, at: end },
            );
        }
        let measured = end.max(self.from) - self.from;
        let people = self.crew.iter().map(|person| {
            let [cure, station, gear] = person.waited.map(Span::from_micros);
            IdleTime {
                cure,
                station,
                gear,
                nothing: measured - person.hands_on - cure - station - gear,
                setting_up: person.worked_at.iter().map(|at| at[0]).collect(),
                running: person.worked_at.iter().map(|at| at[1]).collect(),
            }
        });
        people.collect()
    }
}
