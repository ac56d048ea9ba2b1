//! The places of a plan: stations, then the doors of the room, then where one stands for single operations.

use super::{Placement, Plan, Point};
use crate::shop::{PlaceId, PlaceKind, StationId};

impl Plan {
    pub fn places(&self) -> usize {
        self.first_work_stand() + self.work_stands.len()
    }

    /// The number of doors.
    fn doors(&self) -> usize {
        self.room.as_ref().map_or(0, |room| room.doors.len())
    }

    fn first_work_stand(&self) -> usize {
        self.placements.len() + self.doors()
    }

    pub fn place_kind(&self, place: PlaceId) -> PlaceKind {
        PlaceKind::of(place, self.placements.len(), self.doors())
    }

    /// The station at which a place is, if it is at one.
    pub fn station_at(&self, place: PlaceId) -> Option<StationId> {
        match self.place_kind(place) {
            PlaceKind::Station(station) => Some(station),
            PlaceKind::Door(_) => None,
            PlaceKind::WorkStand(stand) => Some(self.work_stands.get(stand)?.station),
        }
    }

    /// Where one stands for single operations at a station.
    pub fn work_stands_at(&self, station: StationId) -> impl Iterator<Item = PlaceId> + '_ {
        let first = self.first_work_stand();
        let stands = self.work_stands.iter().enumerate();
        let stands = stands.filter(move |(_, stand)| stand.station == station);
        stands.map(move |(nth, _)| PlaceId((first + nth) as u32))
    }

    /// Where one stands for work at a station, and for single operations there.
    pub fn places_at(&self, station: StationId) -> impl Iterator<Item = PlaceId> + '_ {
        std::iter::once(station.into()).chain(self.work_stands_at(station))
    }

    /// Where the station of a place stands, with where one stands there.
    pub fn placement_at(&self, place: PlaceId) -> Option<Placement> {
        let station = self.station_at(place)?;
        let placement = *self.placements[station].as_ref()?;
        let is_parked = || self.rolled_out.iter().any(|thing| thing.station == station);
        let stand = match self.place_kind(place) {
            PlaceKind::WorkStand(nth) if !is_parked() => self.work_stands[nth].stand,
            _ => None,
        };
        Some(Placement {
            stand: stand.unwrap_or(placement.stand),
            ..placement
        })
    }

    /// Where one stands at a place: of a door, in the middle of its opening.
    pub fn standing(&self, place: PlaceId) -> Option<Point> {
        match self.place_kind(place) {
            PlaceKind::Door(door) => Some(self.room.as_ref()?.doors.get(door)?.middle()),
            _ => self.placement_at(place).as_ref().map(Placement::standing),
        }
    }
}
