//! What people wait for, and what they work on where.

use super::needs::Short;
use crate::shop::{OperationId, PersonId, Shop, StationId};
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

#[derive(Debug)]
struct Person {
    class: usize,
    /// The clocks of their class when they became idle; None while they are at a task.
    idle: Option<[i64; 3]>,
    /// When their task ends, as far as told.
    free_at: Time,
    waited: [i64; 3],
    hands_on: Span,
    setting_up: Vec<Span>,
    running: Vec<Span>,
}

#[derive(Debug)]
pub(super) struct People {
    from: Time,
    until: Time,
    classes: Vec<Class>,
    crew: Vec<Person>,
    /// Cures under way.
    cures: u32,
}

impl People {
    pub fn new(shop: &Shop, from: Time, until: Time) -> People {
        let mut classes: Vec<Class> = Vec::new();
        let stations = shop.stations.len();
        let crew = shop.crew.iter().map(|person| {
            let can: Vec<bool> = (shop.operations.ids())
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
            Person {
                class,
                idle: Some([0; 3]),
                free_at: Time::START,
                waited: [0; 3],
                hands_on: Span::ZERO,
                setting_up: vec![Span::ZERO; stations],
                running: vec![Span::ZERO; stations],
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

    /// Somebody is at a task up to some instant, or longer. Says whether they were idle before.
    pub fn occupy(&mut self, person: PersonId, chosen: Time, until: Time) -> bool {
        let person = &mut self.crew[person.index()];
        let began = person.idle.take();
        if let Some(began) = began {
            let class = &mut self.classes[person.class];
            class.settle(chosen);
            for (sum, (now, before)) in
                (person.waited.iter_mut()).zip(class.clocks.iter().zip(began))
            {
                *sum += now - before;
            }
            person.free_at = until;
        } else {
            person.free_at = person.free_at.max(until);
        }
        began.is_some()
    }

    pub fn free_at(&self, person: PersonId) -> Time {
        self.crew[person.index()].free_at
    }

    pub fn is_free(&mut self, person: PersonId, at: Time) {
        let person = &mut self.crew[person.index()];
        let class = &mut self.classes[person.class];
        class.settle(at);
        person.idle = Some(class.clocks);
    }

    /// The part of a phase that lies in the measured time.
    fn measured(&self, start: Time, end: Time) -> Span {
        let cut = |at: Time| at.max(self.from).min(self.until);
        cut(end) - cut(start)
    }

    pub fn walks_or_handles(&mut self, person: PersonId, start: Time, end: Time) {
        let span = self.measured(start, end);
        self.crew[person.index()].hands_on += span;
    }

    pub fn works(&mut self, person: PersonId, at: StationId, [begins, set_up, ends]: [Time; 3]) {
        let setting_up = self.measured(begins, set_up);
        let running = self.measured(set_up, ends);
        let person = &mut self.crew[person.index()];
        person.hands_on += setting_up + running;
        person.setting_up[at.index()] += setting_up;
        person.running[at.index()] += running;
    }

    /// What came of it in a run that ends now.
    pub fn found(&mut self, end: Time) -> Vec<IdleTime> {
        for person in (0..self.crew.len()).map(|index| PersonId(index as u32)) {
            self.occupy(person, end, end);
        }
        let measured = end.max(self.from) - self.from;
        let people = self.crew.iter().map(|person| {
            let [cure, station, gear] = person.waited.map(Span::from_micros);
            IdleTime {
                cure,
                station,
                gear,
                nothing: measured - person.hands_on - cure - station - gear,
                setting_up: person.setting_up.clone(),
                running: person.running.clone(),
            }
        });
        people.collect()
    }
}
