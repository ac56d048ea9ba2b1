//! Who may take which lot, and which one they choose.

use super::plan::Plan;
use super::play::Play;
use super::shop::{ChooseRule, QueueRule, Work};
use super::state::{Lot, LotState};

/// Something that is offered to a person.
#[derive(Clone, Copy, Debug)]
pub enum Offer {
    /// Work on a lot at a station.
    Work { lot: usize, station: usize },
    /// Bringing a finished lot to where it belongs.
    Delivery { lot: usize, to: usize },
    /// Taking off what a cure ties up.
    TakeOff { lot: usize, at: usize },
}

/// Which work on a lot at a station is looked at.
type Which<'b> = &'b dyn Fn(usize, usize) -> bool;

/// Smaller is better; the parts are compared one after the other.
type Key = (i64, i64, usize, usize, usize, i64, usize);

impl<'a> Play<'a> {
    /// Takes the next decision of this instant; false when nothing more can start.
    pub fn start_something(&mut self) -> bool {
        if let Some((lot, station)) = self.work_that_needs_nobody() {
            self.begin(self.plan_work(lot, station, None));
            return true;
        }
        for person in 0..self.people.len() {
            if !self.is_idle(person) {
                continue;
            }
            let Some(offer) = self.choice_of(person) else {
                continue;
            };
            self.begin(self.plan(&offer, person));
            return true;
        }
        false
    }

    /// What the lot's next operation takes at this station.
    pub fn work_at(&self, lot: usize, station: usize) -> Option<&'a Work> {
        self.step(lot)
            .at
            .iter()
            .find(|at| at.0 == station)
            .map(|at| &at.1)
    }

    fn plan(&self, offer: &Offer, person: usize) -> Plan {
        match *offer {
            Offer::Work { lot, station } => self.plan_work(lot, station, Some(person)),
            Offer::Delivery { lot, to } => self.plan_delivery(lot, to, person),
            Offer::TakeOff { lot, at } => self.plan_take_off(lot, at, person),
        }
    }

    /// Whether a unit and gear are there, and nothing goes on that does not go together with the work.
    fn all_is_there(&self, lot: usize, station: usize) -> bool {
        let work = self.work_at(lot, station).expect("it is in the queue");
        let gear = work.gear_for(self.lots[lot].pieces);
        !self.units_for(lot, station).is_empty()
            && gear.iter().all(|&(kind, amount)| self.gear[kind] >= amount)
            && self.may_go_on(lot, station)
    }

    pub fn has_skill(&self, person: usize, op: &str) -> bool {
        self.shop.crew[person]
            .can
            .as_ref()
            .is_none_or(|can| can.iter().any(|c| c == op))
    }

    /// Whether any lot could find a unit here; a quick look before a queue is sorted.
    fn has_units(&self, station: usize) -> bool {
        let blocked = |lot: &Lot| lot.blocks.is_some_and(|blocks| blocks.0 == station);
        self.units[station].iter().any(|unit| unit.free) || self.lots.iter().any(blocked)
    }

    /// All ready lots whose next operation the station does, first by the queue rule.
    fn queue(&self, station: usize, which: Which) -> Vec<usize> {
        let ready = |lot: &usize| self.lots[*lot].state == LotState::Ready;
        let mut queue: Vec<usize> = (0..self.lots.len())
            .filter(ready)
            .filter(|&lot| self.work_at(lot, station).is_some() && which(lot, station))
            .collect();
        queue.sort_by_key(|&lot| {
            let l = &self.lots[lot];
            let first = match self.shop.rules.queue {
                QueueRule::Fifo => l.since,
                QueueRule::Spt => self.expected_run(lot, station),
                QueueRule::Lpt => -self.expected_run(lot, station),
                QueueRule::Mwkr => -self.work_left(lot),
                QueueRule::Edd => self.due(lot),
            };
            (first, l.order, l.line, l.batch)
        });
        queue
    }

    /// Reading: compared in whole microseconds, so that equal times tie.
    fn expected_run(&self, lot: usize, station: usize) -> i64 {
        self.work_at(lot, station)
            .expect("it waits here")
            .run(self.lots[lot].pieces)
    }

    /// Run times of what is left of the lot's own route, each where the file names it first.
    fn work_left(&self, lot: usize) -> i64 {
        let left = &self.line(lot).route[self.lots[lot].step..];
        left.iter()
            .map(|step| step.at[0].1.run(self.lots[lot].pieces))
            .sum()
    }

    /// Reading: an order without a due date comes after all that have one.
    fn due(&self, lot: usize) -> i64 {
        self.orders[self.lots[lot].order].due.unwrap_or(i64::MAX)
    }

    fn work_that_needs_nobody(&self) -> Option<(usize, usize)> {
        for station in 0..self.shop.stations.len() {
            if !self.has_units(station) {
                continue;
            }
            for lot in self.queue(station, &|_, _| true) {
                let work = self.work_at(lot, station).expect("it is in the queue");
                let alone = work.people == 0
                    && self.all_is_there(lot, station)
                    && !self.must_fetch(work, station)
                    && self.carry_takes_no_time(lot, self.here(lot, station));
                if !alone {
                    continue;
                }
                let plan = self.plan_work(lot, station, None);
                if !plan.is_manned() && self.is_offered(&plan) {
                    return Some((lot, station));
                }
            }
        }
        None
    }

    /// Whether gear or something else has to be fetched first.
    pub fn must_fetch(&self, work: &Work, station: usize) -> bool {
        let stored = work
            .gear
            .iter()
            .filter_map(|&(kind, _)| self.shop.gear[kind].stored_at);
        stored.chain(work.fetch_from).any(|from| from != station)
    }

    /// Reading: only walks by hand count here, and no cart is taken; the way back counts if there is one.
    fn carry_takes_no_time(&self, lot: usize, here: usize) -> bool {
        let handling = &self.shop.handling;
        self.to_bring(lot, here).iter().all(|thing| {
            handling.pick_up == 0
                && handling.put_down == 0
                && self.distance(thing.place, here) == 0
                && (thing.pieces <= thing.at_once || self.distance(here, thing.place) == 0)
        })
    }

    /// Whether this person can take part in the work on the lot now.
    fn can_take_part(&self, person: usize, lot: usize, station: usize) -> bool {
        let work = self.work_at(lot, station).expect("it is in the queue");
        let op = &self.step(lot).op;
        let skilled = (0..self.people.len())
            .filter(|&p| self.is_idle(p) && self.has_skill(p, op))
            .count();
        // Reading: who brings a lot for work that nobody attends needs the skill as well.
        let all_there =
            self.has_skill(person, op) && skilled >= work.people && self.all_is_there(lot, station);
        all_there && self.is_offered(&self.plan_work(lot, station, Some(person)))
    }

    /// The one lot that a station with a free unit offers this person.
    fn head(&self, person: usize, station: usize, which: Which) -> Option<usize> {
        if !self.has_units(station) {
            return None;
        }
        self.queue(station, which)
            .into_iter()
            .find(|&lot| self.can_take_part(person, lot, station))
    }

    /// Who leaves cures for the end of a session takes one if there is nothing else, or if the best of all else would leave
    /// too little time for it.
    fn choice_of(&self, person: usize) -> Option<Offer> {
        if !self.shop.rules.cures_last {
            return self.best(person, &|_, _| true, &|_, _| true);
        }
        let cures = |lot, station| self.work_at(lot, station).is_some_and(|work| work.cure > 0);
        let plain = |lot: usize, station: usize| !cures(lot, station);
        let Some(other) = self.best(person, &plain, &plain) else {
            return self.best(person, &|_, _| true, &|_, _| true);
        };
        let goes = self.there[person].end_after(self.now);
        let taken = self.plan(&other, person).of_chooser();
        let left = goes.map_or(i64::MAX, |goes| goes - self.now - taken);
        let now_or_never = |lot, station| {
            let needs = || self.plan_work(lot, station, Some(person)).of_chooser();
            plain(lot, station) || self.all_is_there(lot, station) && left < needs()
        };
        self.best(person, &now_or_never, &|_, _| true)
    }

    /// The best offer of some of the work; the lengths of queues may count others too.
    fn best(&self, person: usize, which: Which, counted: Which) -> Option<Offer> {
        if self.shop.rules.stay_while_queue
            && let Some(station) = self.people[person].last_station
            && let Some(lot) = self.head(person, station, which)
        {
            return Some(Offer::Work { lot, station });
        }
        let mut offers = Vec::new();
        for station in 0..self.shop.stations.len() {
            if let Some(lot) = self.head(person, station, which) {
                offers.push(Offer::Work { lot, station });
            }
        }
        // Reading: every finished lot that waits for its delivery is offered on its own, and so is all that is to be
        // taken off.
        for lot in 0..self.lots.len() {
            let line = self.line(lot);
            let offer = match self.lots[lot].state {
                LotState::AwaitsDelivery => Offer::Delivery {
                    lot,
                    to: line.deliver_to.expect("it waits for its delivery"),
                },
                LotState::AwaitsTakeOff if self.has_skill(person, &self.step(lot).op) => {
                    Offer::TakeOff {
                        lot,
                        at: self.station_of(self.lots[lot].place.expect("it lies where it cured")),
                    }
                }
                _ => continue,
            };
            if self.is_offered(&self.plan(&offer, person)) {
                offers.push(offer);
            }
        }
        offers
            .into_iter()
            .min_by_key(|offer| self.preference(person, offer, counted))
    }

    fn preference(&self, person: usize, offer: &Offer, counted: Which) -> Key {
        let all = self.shop.stations.len();
        let (lot, to, station, is_work) = match *offer {
            Offer::Work { lot, station } => (lot, self.here(lot, station), station, true),
            Offer::Delivery { lot, to } => (lot, to, all, false),
            Offer::TakeOff { lot, at } => (lot, self.here(lot, at), all, false),
        };
        let l = &self.lots[lot];
        // The lot, or the first input that is not there yet; where nothing is to be brought,
        // the station itself.
        let lies_at = self
            .to_bring(lot, to)
            .first()
            .map_or(to, |first| first.place);
        let first = match self.shop.rules.choose {
            ChooseRule::FirstCome => l.since,
            ChooseRule::Nearest => self.distance(self.people[person].place, lies_at),
            ChooseRule::LongestQueue if is_work => -(self.queue(station, counted).len() as i64),
            ChooseRule::LongestQueue => -1,
            ChooseRule::ShortestWork if is_work => self.expected_run(lot, station),
            ChooseRule::MostWorkLeft if is_work => -self.work_left(lot),
            // No operation is left of a finished lot: nothing. Reading: what is taken off counts as none either.
            ChooseRule::ShortestWork | ChooseRule::MostWorkLeft => 0,
            ChooseRule::DueDate => self.due(lot),
        };
        (
            first,
            l.since,
            l.order,
            l.line,
            l.batch,
            self.distance(lies_at, to),
            station,
        )
    }
}
