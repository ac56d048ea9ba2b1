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
    /// How deep the floor before it should be free, in metres.
    pub front: f64,
    /// How much floor should be free on both sides of what work is fed through, in metres.
    pub beside: f64,
    /// In metres, the length of what is usually fed through it, whatever is built now.
    pub fed: f64,
    /// How much it matters that this is free, 1 as a rule.
    pub fed_weight: f64,
    /// Along x and along y before turning, in metres: the floor that is taken while it is used, if that is more than its
    /// body, as by something that is folded away.
    pub spread: Option<(f64, f64)>,
    /// Behind what it stands, as an out-feed table does behind its saw.
    pub follows: Option<StationId>,
    /// Something may hang above it, at the wall behind it.
    pub is_bench: bool,
}

/// What a station stands with its back to. One stands before it, so its back is the +y side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Belongs {
    ToAWall,
    /// Room is wanted all around, as for what long boards are fed through.
    InTheOpen,
    Anywhere,
}

/// Two stations that belong together, whatever is walked between them, or that stand better apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Affinity {
    pub one: StationId,
    pub other: StationId,
    /// From middle to middle in metres: closer than that nothing is won, or lost.
    pub apart: f64,
    /// What each metre more counts, or where it is negative, each metre less; in metres of the mean trip.
    pub metre: f64,
}

impl Affinity {
    pub(super) fn cost(&self, distance: f64) -> f64 {
        match self.metre >= 0.0 {
            true => self.metre * (distance - self.apart).max(0.0),
            false => -self.metre * (self.apart - distance).max(0.0),
        }
    }
}

/// What a search for places is given beside the placement that it starts from.
#[derive(Debug, Clone, Copy)]
pub struct PlaceSearch<'a> {
    pub site: &'a Site<'a>,
    pub flow: &'a Flow,
    pub habits: &'a Table<StationId, Habit>,
    pub affinities: &'a [Affinity],
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

    /// What it means that a station is left out: one, and more the more is done there and the more depends on it.
    pub fn loss(&self, station: StationId) -> f64 {
        let mut loss = 1.0 + BUSY * self.trips_of(station) / self.trips();
        if self.habits[station].fed_weight > 1.0 {
            loss += THE_SAW;
        }
        loss
    }

    /// Half of the free floor that is wanted where one stands, in metres.
    pub(super) fn elbow(&self) -> f64 {
        self.site
            .premises
            .limits
            .standing_room
            .max(self.site.body_width)
            / 2.0
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

/// What the whole shop is built around counts as so many more.
const THE_SAW: f64 = 5.0;

/// Metres of the mean trip.
const FAULT: f64 = 1e4;
const WARNING: f64 = 10.0;
const WARNING_METRE: f64 = 6.0;
