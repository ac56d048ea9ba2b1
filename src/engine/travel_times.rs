//! How far it is from place to place and how long somebody takes for it.

use super::prepared_shop::PreparedShop;
use crate::floor::{Distances, Manner};
use crate::shop::{PersonId, PlaceId};
use crate::units::{Length, Span};

/// Tables of ways that are not one person's: carrying and pushing.
const TABLES_FOR_ALL: usize = 2;

/// All pairs of places, once for each speed.
#[derive(Debug, Clone)]
pub(super) struct TravelTimes {
    places: usize,
    /// Tables of all pairs, one after the other: carrying, pushing, then one for each speed at which somebody walks.
    times: Vec<TravelTime>,
    /// By person.
    speed_of: Vec<SpeedClass>,
    /// By place: the row that it has while its station is rolled out, if that ever is.
    rolled_out: Vec<Option<PlaceId>>,
}

/// How fast somebody walks: where the table of that speed begins.
#[derive(Debug, Clone, Copy)]
pub(super) struct SpeedClass(usize);

impl SpeedClass {
    /// With something in the hands; everybody is as fast.
    pub const CARRYING: SpeedClass = SpeedClass(0);
}

/// The way from one place to another, in one manner at one speed.
#[derive(Debug, Clone, Copy)]
pub(super) struct TravelTime {
    pub distance: Length,
    pub takes: Span,
}

impl TravelTimes {
    pub fn new(prepared: &PreparedShop, walks: &Distances) -> TravelTimes {
        let places = walks.places();
        let handling = &prepared.shop.handling;
        let loaded = handling.loaded_speed;
        // Nobody pushes where there are no carts; the table is there so that the others keep their place.
        let carts = handling.carts.as_ref();
        let pushing = carts.map_or(loaded, |carts| carts.speed);
        let table = |own| SpeedClass((TABLES_FOR_ALL + own) * places * places);
        let speed_of = prepared.speed_of.iter().map(|&own| table(own)).collect();
        let mut times = Vec::new();
        let for_all = [(Manner::Carrying, loaded), (Manner::Pushing, pushing)];
        let on_foot = prepared.speeds.iter().map(|&speed| (Manner::Empty, speed));
        for (manner, speed) in for_all.into_iter().chain(on_foot) {
            for from in 0..places {
                times.extend((0..places).map(|to| {
                    let (from, to) = (PlaceId(from as u32), PlaceId(to as u32));
                    let distance = walks.distance(manner, from, to);
                    let takes = speed.time_for(distance);
                    TravelTime { distance, takes }
                }));
            }
        }
        TravelTimes {
            places,
            times,
            speed_of,
            rolled_out: (0..prepared.shop.places() as u32)
                .map(|place| walks.row_rolled_out(PlaceId(place)))
                .collect(),
        }
    }

    /// The row of a place while its station is rolled out, if that ever is on this layout.
    #[inline]
    pub fn rolled_out(&self, place: PlaceId) -> Option<PlaceId> {
        self.rolled_out.get(place.index()).copied().flatten()
    }

    #[inline(always)]
    pub fn pair(&self, from: PlaceId, to: PlaceId) -> usize {
        from.index() * self.places + to.index()
    }

    #[inline]
    pub fn distance(&self, from: PlaceId, to: PlaceId) -> Length {
        self.times[self.pair(from, to)].distance
    }

    /// The speed of somebody who walks empty-handed.
    pub fn speed_of(&self, person: PersonId) -> SpeedClass {
        self.speed_of[person.index()]
    }

    /// The speed of somebody who pushes a cart.
    pub fn pushing(&self) -> SpeedClass {
        SpeedClass(self.places * self.places)
    }

    #[inline(always)]
    pub fn of(&self, speed: SpeedClass, pair: usize) -> &TravelTime {
        &self.times[speed.0 + pair]
    }

    /// Whether the walks of so many carries by hand, with those back between them, take no time.
    #[inline]
    pub fn carries_take_no_time(&self, carries: u32, from: PlaceId, to: PlaceId) -> bool {
        let carrying = self.of(SpeedClass::CARRYING, self.pair(from, to));
        carrying.takes.is_zero() && (carries <= 1 || self.distance(to, from).is_zero())
    }
}
