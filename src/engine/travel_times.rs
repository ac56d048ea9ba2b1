//! How far it is from place to place and how long somebody takes for it.

use crate::floor::{Distances, Manner};
use crate::shop::{PersonId, PlaceId, Shop};
use crate::units::{Length, Span};

/// Tables of ways that are not one person's: carrying and pushing.
const TABLES_FOR_ALL: usize = 2;

/// All pairs of places, once for each speed.
#[derive(Debug)]
pub(super) struct TravelTimes {
    places: usize,
    /// Tables of all pairs, one after the other: carrying, pushing, then one for each speed at which somebody walks.
    legs: Vec<Leg>,
    /// By person.
    pace: Vec<SpeedClass>,
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
pub(super) struct Leg {
    pub distance: Length,
    pub takes: Span,
}

impl TravelTimes {
    pub fn new(shop: &Shop, walks: &Distances) -> TravelTimes {
        let places = walks.places();
        let loaded = shop.handling.loaded_speed;
        // Nobody pushes where there are no carts; the table is there so that the others keep their place.
        let carts = shop.handling.carts.as_ref();
        let pushing = carts.map_or(loaded, |carts| carts.speed);
        let mut speeds = Vec::new();
        let mut pace = Vec::new();
        for person in &shop.crew {
            let own = super::prepared::index_or_push(&mut speeds, person.walking_speed);
            pace.push(SpeedClass((TABLES_FOR_ALL + own) * places * places));
        }
        let mut legs = Vec::new();
        let for_all = [(Manner::Carrying, loaded), (Manner::Pushing, pushing)];
        let on_foot = speeds.into_iter().map(|speed| (Manner::Empty, speed));
        for (manner, speed) in for_all.into_iter().chain(on_foot) {
            for from in 0..places {
                legs.extend((0..places).map(|to| {
                    let (from, to) = (PlaceId(from as u32), PlaceId(to as u32));
                    let distance = walks.distance(manner, from, to);
                    let takes = speed.time_for(distance);
                    Leg { distance, takes }
                }));
            }
        }
        TravelTimes { places, legs, pace }
    }

    #[inline(always)]
    pub fn pair(&self, from: PlaceId, to: PlaceId) -> usize {
        from.index() * self.places + to.index()
    }

    #[inline]
    pub fn distance(&self, from: PlaceId, to: PlaceId) -> Length {
        self.legs[self.pair(from, to)].distance
    }

    /// The pace of somebody who walks empty-handed.
    pub fn pace_of(&self, person: PersonId) -> SpeedClass {
        self.pace[person.index()]
    }

    /// The pace of somebody who pushes a cart.
    pub fn pushing(&self) -> SpeedClass {
        SpeedClass(self.places * self.places)
    }

    #[inline(always)]
    pub fn leg(&self, pace: SpeedClass, pair: usize) -> &Leg {
        &self.legs[pace.0 + pair]
    }
}
