//! A layout on the floor: the room, and where everything stands in it.

use super::{Placement, Point, Polygon, Room};
use crate::shop::{PlaceId, StationId, Table};

/// How people get from one standing place to another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Going {
    /// Around what stands there.
    Around,
    Straight,
    Rectilinear,
}

/// Where things stand. Places are the stations, then the doors of the room.
#[derive(Debug, Clone)]
pub struct Plan {
    pub room: Option<Room>,
    /// Nothing for a station that the layout does not place.
    pub placements: Table<StationId, Option<Placement>>,
    pub going: Going,
    /// Width of the circle that a walking person needs, in metres.
    pub body_width: f64,
}

impl Plan {
    /// Where one stands at a place.
    pub fn standing(&self, place: PlaceId) -> Option<Point> {
        let stations = self.placements.len();
        match place.index().checked_sub(stations) {
            None => (self.placements[StationId(place.0)].as_ref()).map(Placement::standing),
            Some(door) => Some(self.room.as_ref()?.doors.get(door)?.middle()),
        }
    }

    /// What cannot be walked through: footprints in the file's order, then the things of the room.
    pub fn obstacles(&self) -> Vec<Polygon> {
        let stations = self
            .placements
            .iter()
            .flatten()
            .filter_map(Placement::footprint);
        let things = self.room.iter().flat_map(|room| &room.blocked);
        stations
            .chain(things.map(|thing| thing.outline.clone()))
            .collect()
    }
}
