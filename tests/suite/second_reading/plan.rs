//! What a task would take and how long each bit of it would last, if it were begun now.

use super::play::Play;
use super::result::Manner;
use super::shop::Line;
use super::state::Key;

/// A walk, or a handling where one stands.
pub struct Leg {
    pub person: usize,
    pub walk: Option<Walk>,
    pub time: i64,
}

pub struct Walk {
    pub from: usize,
    pub to: usize,
    pub manner: Manner,
    pub distance: i64,
}

pub struct Helper {
    pub person: usize,
    pub walk: Option<Leg>,
}

pub struct WorkPlan {
    pub unit: usize,
    pub key: Key,
    pub helpers: Vec<Helper>,
    pub setup: i64,
    pub run: i64,
    pub teardown: i64,
}

pub struct Plan {
    pub lot: usize,
    /// The station, or where a finished lot is brought.
    pub place: usize,
    pub chooser: Option<usize>,
    /// What the chooser does to bring all that is needed.
    pub legs: Vec<Leg>,
    /// A cart, and after how many legs it is free again.
    pub cart: Option<(usize, usize)>,
    /// Nothing for a delivery.
    pub work: Option<WorkPlan>,
}

impl Plan {
    /// How long the chooser's fetching lasts.
    pub fn fetching(&self) -> i64 {
        self.legs.iter().map(|leg| leg.time).sum()
    }

    /// How long the task lasts from the choice to the end of the tear-down, without any pause.
    pub fn length(&self) -> i64 {
        let Some(work) = &self.work else {
            return self.fetching();
        };
        let walks = work
            .helpers
            .iter()
            .filter_map(|helper| helper.walk.as_ref());
        let walks = walks.map(|walk| walk.time);
        let begins = walks.chain([self.fetching()]).max().unwrap_or(0);
        begins + work.setup + work.run + work.teardown
    }
}

/// Somebody on their way through the fetching of a task.
struct Carrier {
    person: usize,
    place: usize,
    legs: Vec<Leg>,
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
    fn unit_for(&self, station: usize, key: &Key) -> usize {
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

    /// Work on a lot, by somebody or by nobody.
    pub fn plan_work(&self, lot: usize, station: usize, chooser: Option<usize>) -> Plan {
        let work = self
            .work_at(lot, station)
            .expect("the station does the operation");
        let op = self.step(lot).op.clone();
        let l = &self.lots[lot];
        let key = (op.clone(), self.orders[l.order].project, l.line);

        // Claims: a unit, helpers, gear; the cart comes with the bringing.
        let unit = self.unit_for(station, &key);
        let needs_setup = self.units[station][unit].last_work.as_ref() != Some(&key);
        let mut helpers: Vec<usize> = (0..self.people.len())
            .filter(|&p| Some(p) != chooser && self.is_idle(p) && self.has_skill(p, &op))
            .collect();
        self.by_stay(&mut helpers, work, station);
        helpers.truncate(work.people.saturating_sub(1));
        let helpers = helpers.into_iter().map(|person| {
            let mut helper = self.carrier(person);
            self.walk(&mut helper, station, Manner::Empty);
            Helper {
                person,
                walk: helper.legs.pop(),
            }
        });

        let mut plan = Plan {
            lot,
            place: station,
            chooser,
            legs: Vec::new(),
            cart: None,
            work: Some(WorkPlan {
                unit,
                key,
                helpers: helpers.collect(),
                setup: if needs_setup { work.setup } else { 0 },
                run: work.run(l.pieces),
                teardown: work.teardown,
            }),
        };
        if let Some(person) = chooser {
            let mut carrier = self.carrier(person);
            plan.cart = self.bring(&mut carrier, lot, station);
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
            plan.legs = carrier.legs;
        }
        plan
    }

    /// Somebody brings a finished lot to where it belongs.
    pub fn plan_delivery(&self, lot: usize, to: usize, person: usize) -> Plan {
        let mut carrier = self.carrier(person);
        let cart = self.bring(&mut carrier, lot, to);
        Plan {
            lot,
            place: to,
            chooser: Some(person),
            legs: carrier.legs,
            cart,
            work: None,
        }
    }

    fn carrier(&self, person: usize) -> Carrier {
        Carrier {
            person,
            place: self.people[person].place,
            legs: Vec::new(),
        }
    }

    /// Brings the lot, or an assembly's inputs one after the other, by cart or by hand.
    fn bring(&self, carrier: &mut Carrier, lot: usize, station: usize) -> Option<(usize, usize)> {
        let things = self.to_bring(lot, station);
        let Some(carts) = &self.shop.handling.carts else {
            for (place, pieces, at_once) in things {
                self.carry(carrier, place, pieces, at_once, station);
            }
            return None;
        };
        let asks = things.iter().any(|thing| thing.1 >= carts.at_least);
        let free = (0..self.carts.len()).filter(|&c| self.carts[c].free);
        let nearest = free.min_by_key(|&c| (self.distance(carrier.place, self.carts[c].place), c));
        let cart = nearest.filter(|_| asks);
        let mut stands_at = cart.map(|cart| self.carts[cart].place);
        let mut legs = 0;
        for (place, pieces, at_once) in things {
            let Some(from) = stands_at.filter(|_| pieces >= carts.at_least) else {
                self.carry(carrier, place, pieces, at_once, station);
                continue;
            };
            self.walk(carrier, from, Manner::Empty);
            let mut left = pieces;
            while left > 0 {
                left -= carts.pieces;
                self.walk(carrier, place, Manner::Pushing);
                self.handle(carrier, carts.load);
                self.walk(carrier, station, Manner::Pushing);
                self.handle(carrier, carts.unload);
            }
            stands_at = Some(station);
            legs = carrier.legs.len();
        }
        cart.map(|cart| (cart, legs))
    }

    fn carry(
        &self,
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

    fn carry_once(&self, carrier: &mut Carrier, place: usize, station: usize) {
        self.walk(carrier, place, Manner::Empty);
        self.handle(carrier, self.shop.handling.pick_up);
        self.walk(carrier, station, Manner::Carrying);
        self.handle(carrier, self.shop.handling.put_down);
    }

    /// A walk is one phase, rounded once; nobody walks to where they stand.
    fn walk(&self, carrier: &mut Carrier, to: usize, manner: Manner) {
        let from = carrier.place;
        if from == to {
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
        let distance = self.distance(from, to);
        carrier.place = to;
        carrier.legs.push(Leg {
            person: carrier.person,
            walk: Some(Walk {
                from,
                to,
                manner,
                distance,
            }),
            time: (distance as f64 / speed / 1000.0).round() as i64,
        });
    }

    fn handle(&self, carrier: &mut Carrier, time: i64) {
        carrier.legs.push(Leg {
            person: carrier.person,
            walk: None,
            time,
        });
    }
}
