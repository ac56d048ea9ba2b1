//! What places are numbered: stations, then the doors of the room, then where one stands for single operations.

use super::{PlaceId, StationId};

/// What a place is, by its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlaceKind {
    Station(StationId),
    /// Counted from the first door.
    Door(usize),
    /// Counted from the first one; what has a row behind all places is told so as well.
    WorkStand(usize),
}

impl PlaceKind {
    /// Where there are so many stations and doors.
    #[inline]
    pub fn of(place: PlaceId, stations: usize, doors: usize) -> PlaceKind {
        let Some(door) = place.index().checked_sub(stations) else {
            return PlaceKind::Station(StationId(place.0));
        };
        match door.checked_sub(doors) {
            None => PlaceKind::Door(door),
            Some(stand) => PlaceKind::WorkStand(stand),
        }
    }
}
