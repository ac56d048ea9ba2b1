//! How things are carried, legs of a walk one after the other, and where they lie.

use super::play::Play;
use super::quantity::round_micros;
use super::result::Manner;
use super::shop::Line;

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
/// Something of a lot that has to be brought to a station.
pub struct Thing {
    pub lot: usize,
    pub place: usize,
    pub pieces: i64,
    pub at_once: i64,
}
pub fn length(legs: &[Leg]) -> i64 {
    legs.iter().map(|leg| leg.time).sum()
}

/// A cart and the legs after which it is free; lots and the legs after which they are picked up.
pub type Brought = (Option<(usize, usize)>, Vec<(usize, usize)>);

/// Somebody on their way through the fetching of a task.
pub struct Carrier {
    pub person: usize,
    pub place: usize,
    pub legs: Vec<Leg>,
    /// What is rolled out, as far as this task has come.
    pub out: Vec<Option<usize>>,
    /// What it rolls in, and after how many legs that is done.
    pub rolled_in: Vec<(usize, usize)>,
}
impl Play<'_> {
    /// As things stand now.
    ///
    /// # Panics
    /// When the layout does not connect the two stations.
    pub fn distance(&self, from: usize, to: usize) -> i64 {
        self.distance_with(&self.out, from, to)
    }

    fn distance_with(&self, out: &[Option<usize>], from: usize, to: usize) -> i64 {
        let name = |s: usize| self.place_name(s);
        let stations = self.shop.stations.len();
        let row = |s: usize| match out[self.station_of(s)] {
            Some(_) if s < stations => stations + s,
            Some(_) => self.shop.stands.len() + s,
            None => s,
        };
        self.layout.distances[row(from)][row(to)]
            .unwrap_or_else(|| panic!("no way leads from {} to {}", name(from), name(to)))
    }

    /// What a place is called.
    pub fn place_name(&self, place: usize) -> String {
        let stations = &self.shop.stations;
        match place.checked_sub(2 * stations.len()) {
            None => stations[place].name.clone(),
            Some(nth) => {
                let (station, op) = &self.shop.stands[nth];
                format!("{} ({op})", stations[*station].name)
            }
        }
    }

    /// The station at which a place is.
    pub fn station_of(&self, place: usize) -> usize {
        let stand = place.checked_sub(2 * self.shop.stations.len());
        stand.map_or(place, |nth| self.shop.stands[nth].0)
    }

    /// Where one stands for a lot's next work at a station.
    pub fn here(&self, lot: usize, station: usize) -> usize {
        let work = self.work_at(lot, station).expect("the station does it");
        work.stands_at.unwrap_or(station)
    }

    /// The lot itself, or the lots that an assembly will be made of.
    pub fn things(&self, lot: usize) -> Vec<usize> {
        if self.lots[lot].place.is_some() {
            vec![lot]
        } else {
            self.lots[lot].inputs.clone()
        }
    }

    /// Everything of the lot that is not at the station.
    pub fn to_bring(&self, lot: usize, station: usize) -> Vec<Thing> {
        let things = self.things(lot).into_iter().map(|lot| Thing {
            lot,
            place: self.lots[lot]
                .place
                .expect("an input that is done lies somewhere"),
            pieces: self.lots[lot].pieces,
            at_once: self.pieces_per_carry(self.line(lot), self.lots[lot].step),
        });
        things
            .filter(|thing| self.station_of(thing.place) != self.station_of(station))
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
    pub fn carrier(&self, person: usize) -> Carrier {
        Carrier {
            person,
            place: self.people[person].place,
            legs: Vec::new(),
            out: self.out.clone(),
            rolled_in: Vec::new(),
        }
    }

    /// Brings the lot, or an assembly's inputs one after the other, by cart or by hand. Says which cart and when it is free,
    /// and when the last of each lot was picked up, in legs.
    pub fn bring(&self, carrier: &mut Carrier, lot: usize, station: usize) -> Brought {
        let things = self.to_bring(lot, station);
        let carts = self.shop.handling.carts.as_ref();
        let asks = |thing: &Thing| carts.is_some_and(|carts| thing.pieces >= carts.at_least);
        let free = (0..self.carts.len()).filter(|&c| self.carts[c].free);
        let nearest = free.min_by_key(|&c| {
            (
                self.distance_with(&carrier.out, carrier.place, self.carts[c].place),
                c,
            )
        });
        let cart = nearest.filter(|_| things.iter().any(asks));
        let mut stands_at = cart.map(|cart| self.carts[cart].place);
        let mut legs = 0;
        let mut picked_up = Vec::new();
        for thing in things {
            let cart_place = stands_at.filter(|_| asks(&thing));
            let (Some(from), Some(carts)) = (cart_place, carts) else {
                let mut left = thing.pieces;
                let mut last = 0;
                while left > 0 {
                    left = left.saturating_sub(thing.at_once);
                    last = self.carry_once(carrier, thing.place, station);
                }
                picked_up.push((thing.lot, last));
                continue;
            };
            self.walk(carrier, from, Manner::Empty);
            let mut left = thing.pieces;
            let mut last = 0;
            while left > 0 {
                left -= carts.pieces;
                self.walk(carrier, thing.place, Manner::Pushing);
                self.handle(carrier, carts.load);
                last = carrier.legs.len();
                self.walk(carrier, station, Manner::Pushing);
                self.handle(carrier, carts.unload);
            }
            picked_up.push((thing.lot, last));
            stands_at = Some(station);
            legs = carrier.legs.len();
        }
        (cart.map(|cart| (cart, legs)), picked_up)
    }

    /// Says after how many legs it was picked up.
    pub fn carry_once(&self, carrier: &mut Carrier, place: usize, station: usize) -> usize {
        self.walk(carrier, place, Manner::Empty);
        self.handle(carrier, self.shop.handling.pick_up);
        let picked_up = carrier.legs.len();
        self.walk(carrier, station, Manner::Carrying);
        self.handle(carrier, self.shop.handling.put_down);
        picked_up
    }

    /// A walk is one phase, rounded once; nobody walks to where they stand.
    pub fn walk(&self, carrier: &mut Carrier, to: usize, manner: Manner) {
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
        let distance = self.distance_with(&carrier.out, from, to);
        carrier.place = to;
        carrier.legs.push(Leg {
            person: carrier.person,
            walk: Some(Walk {
                from,
                to,
                manner,
                distance,
            }),
            // Reading: by seconds from metres. Where that is half a microsecond more than a whole number of them, the last
            // digit of the doubles decides.
            time: round_micros(distance as f64 / 1e9 / speed),
        });
    }

    pub fn handle(&self, carrier: &mut Carrier, time: i64) {
        carrier.legs.push(Leg {
            person: carrier.person,
            walk: None,
            time,
        });
    }
}
