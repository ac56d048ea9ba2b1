//! How stations usually stand, and what a search for places is given.

use super::grid::SpotGrid;
use crate::floor::{Flow, Prices, Site};
use crate::shop::{PlaceId, StationId, Table};

/// Where things like a station usually stand. Common practice; nobody has to follow it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Habit {
    pub belongs: Belongs,
    /// Out of the way in a corner.
    pub corner: bool,
    /// Near a door, since what is kept there comes in by it.
    pub by_door: bool,
    /// Along x and along y before turning, in metres: the floor that is taken while it is used, if that is more than
    /// its body, as by something that is folded away.
    pub spread: Option<(f64, f64)>,
    /// In metres, the length of what is usually fed through it, whatever is built now.
    pub fed: f64,
}

/// What a station stands with its back to. One stands before it, so its back is the +y side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Belongs {
    ToAWall,
    /// Room is wanted all around, as for what long boards are fed through.
    InTheOpen,
    Anywhere,
}

/// What a search for places is given beside the placement that it starts from.
#[derive(Debug, Clone, Copy)]
pub struct PlaceSearch<'a> {
    pub site: &'a Site<'a>,
    pub flow: &'a Flow,
    pub habits: &'a Table<StationId, Habit>,
    pub grid: SpotGrid,
    /// How much free floor beyond what the rules ask for counts, 1 as a rule; less where the room is full.
    pub elbow_room: f64,
}

impl PlaceSearch<'_> {
    /// All trips together: what is disliked about a spot is reckoned in metres of the mean trip.
    pub(super) fn trips(&self) -> f64 {
        let trips: f64 = self.flow.legs.iter().map(|leg| leg.trips).sum();
        trips.max(1.0)
    }

    /// Trips to and from a station.
    pub(super) fn trips_of(&self, station: StationId) -> f64 {
        let here = PlaceId::from(station);
        let legs = self.flow.legs.iter();
        legs.filter(|leg| (leg.from == here) != (leg.to == here))
            .map(|leg| leg.trips)
            .sum()
    }

    /// What it means that a station is left out: one, and more the more is done there.
    pub fn loss(&self, station: StationId) -> f64 {
        1.0 + BUSY * self.trips_of(station) / self.trips()
    }

    /// A warning is like so much more of every trip; a fault is refused whatever is walked.
    pub(super) fn prices(&self) -> Prices {
        let trips = self.trips();
        Prices {
            fault: FAULT * trips,
            fault_metre: FAULT * trips,
            warning: WARNING * trips,
            warning_metre: WARNING_METRE * trips,
        }
    }
}

/// A station to and from which all trips lead counts as so many more that are left out.
const BUSY: f64 = 10.0;

/// Metres of the mean trip.
const FAULT: f64 = 1e4;
const WARNING: f64 = 0.4;
const WARNING_METRE: f64 = 1.5;
