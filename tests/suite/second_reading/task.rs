//! What a task takes, how everything is brought, and when it is over.

use super::play::{Ending, LotState, Play};
use super::record::Phase;
use super::result::Manner;
use super::shop::Line;

/// Somebody on their way through the fetching of a task.
struct Carrier {
    person: usize,
    place: usize,
    time: i64,
}

impl Play<'_> {
    /// # Panics
    /// When the layout does not connect the two stations.
    pub fn distance(&self, from: usize, to: usize) -> i64 {
        let name = |s: usize| &self.shop.stations[s].name;
        self.distances[from][to]
            .unwrap_or_else(|| panic!("no way leads from {} to {}", name(from), name(to)))
    }

    /// Place, pieces and pieces a carry of everything of the lot that is not at the station.
    pub fn to_bring(&self, lot: usize, station: usize) -> Vec<(usize, i64, i64)> {
        let things = if self.lots[lot].place.is_some() {
            vec![lot]
        } else {
            self.lots[lot].inputs.clone()
        };
        things
            .into_iter()
            .map(|thing| {
                let place = self.lots[thing]
                    .place
                    .expect("an input that is done lies somewhere");
                (
                    place,
                    self.lots[thing].pieces,
                    self.pieces_per_carry(self.line(thing), self.lots[thing].step),
                )
            })
            .filter(|thing| thing.0 != station)
            .collect()
    }

    fn pieces_per_carry(&self, line: &Line, steps_done: usize) -> i64 {
        let handling = &self.shop.handling;
        // The smallest tolerance keeps a load of exactly the limit whole.
        let by_mass = line.piece_kg[steps_done]
            .filter(|&kg| kg > 0.0)
            .map(|kg| (handling.carry_kg / kg + 1e-9).floor() as i64);
        let limits = [by_mass, handling.carry_pieces];
        limits
            .into_iter()
            .flatten()
            .min()
            .unwrap_or(i64::MAX)
            .max(1)
    }

    /// Of the free units the first whose last work was the same; else one that has not worked yet; else the one
    /// that has been free longest. Of several alike the first.
    fn unit_for(&self, station: usize, key: &(String, usize, usize)) -> usize {
        let units = &self.units[station];
        let free: Vec<usize> = (0..units.len()).filter(|&u| units[u].free).collect();
        let did = |u: &&usize| units[**u].last_work.as_ref();
        let same = free.iter().find(|u| did(u) == Some(key));
        let fresh = free.iter().find(|u| did(u).is_none());
        let longest = free.iter().min_by_key(|&&u| units[u].freed);
        *same
            .or(fresh)
            .or(longest)
            .expect("work begins at a free unit")
    }

    /// Work on a lot is begun, by somebody or by nobody.
    pub fn start_work(&mut self, lot: usize, station: usize, chooser: Option<usize>) {
        let work = self
            .work_at(lot, station)
            .expect("the station does the operation");
        let op = self.step(lot).op.clone();
        let l = &self.lots[lot];
        let key = (op.clone(), self.orders[l.order].project, l.line);
        let pieces = l.pieces;

        // Claims: a unit, helpers, gear; the cart comes with the bringing.
        let unit = self.unit_for(station, &key);
        let needs_setup = self.units[station][unit].last_work.as_ref() != Some(&key);
        self.units[station][unit].free = false;
        self.units[station][unit].last_work = Some(key);
        let mut helpers = Vec::new();
        for person in 0..self.people.len() {
            let one_more = helpers.len() + 1 < work.people;
            if one_more
                && Some(person) != chooser
                && self.people[person].idle
                && self.has_skill(person, &op)
            {
                helpers.push(person);
            }
        }
        for person in chooser.iter().chain(&helpers) {
            self.people[*person].idle = false;
            self.people[*person].last_station = Some(station);
        }
        for &(kind, amount) in &work.gear {
            self.gear[kind] -= amount;
        }
        self.record.wait_is_over(lot, self.now);

        // Fetching.
        let mut begin = self.now;
        if let Some(person) = chooser {
            let mut carrier = Carrier {
                person,
                place: self.people[person].place,
                time: self.now,
            };
            self.bring(&mut carrier, lot, station);
            self.walk(&mut carrier, station, Manner::Empty);
            let stored: Vec<usize> = work
                .gear
                .iter()
                .filter_map(|&(kind, _)| self.shop.gear[kind].stored_at)
                .collect();
            for from in stored.into_iter().chain(work.fetch_from) {
                if from != station {
                    self.carry_once(&mut carrier, from, station);
                }
            }
            begin = carrier.time;
            self.people[person].place = station;
        }
        for &person in &helpers {
            let mut helper = Carrier {
                person,
                place: self.people[person].place,
                time: self.now,
            };
            self.walk(&mut helper, station, Manner::Empty);
            begin = begin.max(helper.time);
            self.people[person].place = station;
        }
        self.record
            .station(station, Phase::Reserved, self.now, begin);

        // Work.
        let setup_end = begin + if needs_setup { work.setup } else { 0 };
        let end = setup_end + work.run(pieces) + work.teardown;
        self.record.station(station, Phase::Setup, begin, setup_end);
        self.record.station(station, Phase::Running, setup_end, end);
        self.agenda.push((end, Ending::Run { station }));
        if work.people == 0 {
            if let Some(person) = chooser {
                self.agenda.push((begin, Ending::PersonBusy(person)));
            }
        } else {
            for &person in chooser.iter().chain(&helpers) {
                self.record.person(person, Phase::Working, begin, end);
                self.agenda.push((end, Ending::PersonBusy(person)));
            }
        }

        // Cure, with what it ties up.
        let cured = end + work.cure;
        let unit_free = if work.cure_ties_station { cured } else { end };
        self.record.station(station, Phase::Curing, end, unit_free);
        self.agenda
            .push((unit_free, Ending::UnitTaken { station, unit }));
        for &(kind, amount) in &work.gear {
            let back = if work.cure_ties_gear.contains(&kind) {
                cured
            } else {
                end
            };
            self.agenda.push((back, Ending::GearTaken(kind, amount)));
        }
        self.agenda.push((cured, Ending::Operation { lot }));
        self.lots[lot].state = LotState::Taken;
        self.lots[lot].place = Some(station);
    }

    /// Somebody brings a finished lot to where it belongs.
    pub fn start_delivery(&mut self, lot: usize, to: usize, person: usize) {
        let mut carrier = Carrier {
            person,
            place: self.people[person].place,
            time: self.now,
        };
        self.bring(&mut carrier, lot, to);
        self.people[person].idle = false;
        self.people[person].place = to;
        self.lots[lot].state = LotState::Taken;
        self.lots[lot].place = Some(to);
        self.agenda.push((carrier.time, Ending::PersonBusy(person)));
        self.agenda.push((carrier.time, Ending::Delivery { lot }));
    }

    /// Brings the lot, or an assembly's inputs one after the other, by cart or by hand.
    fn bring(&mut self, carrier: &mut Carrier, lot: usize, station: usize) {
        let things = self.to_bring(lot, station);
        let Some(carts) = &self.shop.handling.carts else {
            for (place, pieces, at_once) in things {
                self.carry(carrier, place, pieces, at_once, station);
            }
            return;
        };
        let asks = things.iter().any(|thing| thing.1 >= carts.at_least);
        let free = (0..self.carts.len()).filter(|&c| self.carts[c].free);
        let nearest = free.min_by_key(|&c| (self.distance(carrier.place, self.carts[c].place), c));
        let cart = nearest.filter(|_| asks);
        let mut cart_free = self.now;
        for (place, pieces, at_once) in things {
            let Some(cart) = cart.filter(|_| pieces >= carts.at_least) else {
                self.carry(carrier, place, pieces, at_once, station);
                continue;
            };
            self.walk(carrier, self.carts[cart].place, Manner::Empty);
            let mut left = pieces;
            while left > 0 {
                left -= carts.pieces;
                self.walk(carrier, place, Manner::Pushing);
                self.handle(carrier, carts.load);
                self.walk(carrier, station, Manner::Pushing);
                self.handle(carrier, carts.unload);
            }
            self.carts[cart].place = station;
            cart_free = carrier.time;
        }
        if let Some(cart) = cart {
            self.carts[cart].free = false;
            self.agenda.push((cart_free, Ending::CartInUse(cart)));
        }
    }

    fn carry(
        &mut self,
        carrier: &mut Carrier,
        place: usize,
        pieces: i64,
        at_once: i64,
        station: usize,
    ) {
        let mut left = pieces;
        while left > 0 {
            left = left.saturating_sub(at_once);
            self.carry_once(carrier, place, station);
        }
    }

    fn carry_once(&mut self, carrier: &mut Carrier, place: usize, station: usize) {
        self.walk(carrier, place, Manner::Empty);
        self.handle(carrier, self.shop.handling.pick_up);
        self.walk(carrier, station, Manner::Carrying);
        self.handle(carrier, self.shop.handling.put_down);
    }

    /// A walk is one phase, rounded once; nobody walks to where they stand.
    fn walk(&mut self, carrier: &mut Carrier, to: usize, manner: Manner) {
        if carrier.place == to {
            return;
        }
        let speed = match manner {
            Manner::Empty => self.shop.crew[carrier.person].speed,
            Manner::Carrying => self.shop.handling.loaded_speed,
            Manner::Pushing => {
                self.shop
                    .handling
                    .carts
                    .as_ref()
                    .expect("there is a cart")
                    .speed
            }
        };
        let distance = self.distance(carrier.place, to);
        let end = carrier.time + (distance as f64 / speed / 1000.0).round() as i64;
        self.record
            .person(carrier.person, Phase::Walking, carrier.time, end);
        self.record
            .walk(carrier.person, carrier.place, to, manner, distance, end);
        carrier.place = to;
        carrier.time = end;
    }

    fn handle(&mut self, carrier: &mut Carrier, time: i64) {
        self.record.person(
            carrier.person,
            Phase::Handling,
            carrier.time,
            carrier.time + time,
        );
        carrier.time += time;
    }
}
