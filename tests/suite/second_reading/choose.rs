//! Who may take which lot, and which one they choose.

use super::play::Play;
use super::shop::{ChooseRule, QueueRule, Work};
use super::state::LotState;

/// Something that is offered to a person.
#[derive(Clone, Copy, Debug)]
pub enum Offer {
    /// Work on a lot at a station.
    Work { lot: usize, station: usize },
    /// Bringing a finished lot to where it belongs.
    Delivery { lot: usize, to: usize },
}

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
            match self.choice_of(person) {
                Some(Offer::Work { lot, station }) => {
                    self.begin(self.plan_work(lot, station, Some(person)));
                }
                Some(Offer::Delivery { lot, to }) => {
                    self.begin(self.plan_delivery(lot, to, person));
                }
                None => continue,
            }
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

    fn has_free_unit(&self, station: usize) -> bool {
        self.units[station].iter().any(|u| u.free)
    }

    fn gear_is_there(&self, work: &Work) -> bool {
        work.gear
            .iter()
            .all(|&(kind, amount)| self.gear[kind] >= amount)
    }

    pub fn has_skill(&self, person: usize, op: &str) -> bool {
        self.shop.crew[person]
            .can
            .as_ref()
            .is_none_or(|can| can.iter().any(|c| c == op))
    }

    /// All ready lots whose next operation the station does, first by the queue rule.
    fn queue(&self, station: usize) -> Vec<usize> {
        let ready = |lot: &usize| self.lots[*lot].state == LotState::Ready;
        let mut queue: Vec<usize> = (0..self.lots.len())
            .filter(ready)
            .filter(|&lot| self.work_at(lot, station).is_some())
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
            if !self.has_free_unit(station) {
                continue;
            }
            for lot in self.queue(station) {
                let work = self.work_at(lot, station).expect("it is in the queue");
                let alone =
                    work.people == 0 && self.gear_is_there(work) && !self.must_fetch(work, station);
                if alone
                    && self.carry_takes_no_time(lot, station)
                    && self.is_offered(&self.plan_work(lot, station, None))
                {
                    return Some((lot, station));
                }
            }
        }
        None
    }

    /// Whether gear or something else has to be fetched first.
    fn must_fetch(&self, work: &Work, station: usize) -> bool {
        let stored = work
            .gear
            .iter()
            .filter_map(|&(kind, _)| self.shop.gear[kind].stored_at);
        stored.chain(work.fetch_from).any(|from| from != station)
    }

    /// Reading: only walks by hand count here, and no cart is taken; the way back counts if there is one.
    fn carry_takes_no_time(&self, lot: usize, station: usize) -> bool {
        let handling = &self.shop.handling;
        self.to_bring(lot, station)
            .iter()
            .all(|&(place, pieces, a_carry)| {
                handling.pick_up == 0
                    && handling.put_down == 0
                    && self.distance(place, station) == 0
                    && (pieces <= a_carry || self.distance(station, place) == 0)
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
            self.has_skill(person, op) && skilled >= work.people && self.gear_is_there(work);
        all_there && self.is_offered(&self.plan_work(lot, station, Some(person)))
    }

    /// The one lot that a station with a free unit offers this person.
    fn head(&self, person: usize, station: usize) -> Option<usize> {
        if !self.has_free_unit(station) {
            return None;
        }
        self.queue(station)
            .into_iter()
            .find(|&lot| self.can_take_part(person, lot, station))
    }

    fn choice_of(&self, person: usize) -> Option<Offer> {
        if self.shop.rules.stay_while_queue
            && let Some(station) = self.people[person].last_station
            && let Some(lot) = self.head(person, station)
        {
            return Some(Offer::Work { lot, station });
        }
        let mut offers = Vec::new();
        for station in 0..self.shop.stations.len() {
            if let Some(lot) = self.head(person, station) {
                offers.push(Offer::Work { lot, station });
            }
        }
        // Reading: every finished lot that waits for its delivery is offered on its own.
        for lot in 0..self.lots.len() {
            if self.lots[lot].state == LotState::AwaitsDelivery {
                let to = self
                    .line(lot)
                    .deliver_to
                    .expect("it waits for its delivery");
                if self.is_offered(&self.plan_delivery(lot, to, person)) {
                    offers.push(Offer::Delivery { lot, to });
                }
            }
        }
        offers
            .into_iter()
            .min_by_key(|offer| self.preference(person, offer))
    }

    fn preference(&self, person: usize, offer: &Offer) -> Key {
        let (lot, to, station) = match *offer {
            Offer::Work { lot, station } => (lot, station, station),
            Offer::Delivery { lot, to } => (lot, to, self.shop.stations.len()),
        };
        let l = &self.lots[lot];
        // The lot, or the first input that is not there yet; where nothing is to be brought,
        // the station itself.
        let lies_at = self.to_bring(lot, to).first().map_or(to, |first| first.0);
        let first = match (self.shop.rules.choose, offer) {
            (ChooseRule::FirstCome, _) => l.since,
            (ChooseRule::Nearest, _) => self.distance(self.people[person].place, lies_at),
            (ChooseRule::LongestQueue, Offer::Work { station, .. }) => {
                -(self.queue(*station).len() as i64)
            }
            (ChooseRule::LongestQueue, Offer::Delivery { .. }) => -1,
            (ChooseRule::ShortestWork, Offer::Work { station, .. }) => {
                self.expected_run(lot, *station)
            }
            (ChooseRule::ShortestWork, Offer::Delivery { .. }) => 0,
            // No operation is left of a finished lot: nothing.
            (ChooseRule::MostWorkLeft, _) => -self.work_left(lot),
            (ChooseRule::DueDate, _) => self.due(lot),
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
