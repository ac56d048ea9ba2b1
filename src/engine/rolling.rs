//! What is parked and rolled out to be used: by whoever brings what the work needs, who rolls it in before doing anything
//! elsewhere, unless somebody else has used it since. Whoever needs the floor on which it stands rolls it in first.
//!
//! What is rolled in counts as parked from the choice of the task before which that is done, and what is rolled out as out
//! from the choice of the one for which it is; the walks of a task go by what is out when it is their turn. The station is
//! reserved while it is rolled in.

use super::agenda::Event;
use super::bitset::Set;
use super::fetch::Carrier;
use super::phase::{Doing, Handling, Occupied, Phase};
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use crate::floor::Manner;
use crate::shop::{PersonId, PlaceId, StationId};
use crate::units::Length;

impl<'s, R: Recorder + ?Sized, S: Specialization> Simulation<'s, '_, R, S> {
    #[inline(always)]
    fn rolls(&self) -> bool {
        S::STOPS && self.prepared.rolls
    }

    /// The number of the way from one place to another, as things stand now.
    #[inline(always)]
    pub(super) fn way_between(&self, from: PlaceId, to: PlaceId) -> usize {
        match self.rolls() {
            true => self.travel.pair(self.stand(from), self.stand(to)),
            false => self.travel.pair(from, to),
        }
    }

    /// How far it is from one place to another, as things stand now.
    #[inline(always)]
    pub(super) fn distance_now(&self, from: PlaceId, to: PlaceId) -> Length {
        match self.rolls() {
            true => self.travel.distance(self.stand(from), self.stand(to)),
            false => self.travel.distance(from, to),
        }
    }

    /// A place, or where that is while it is rolled out.
    fn stand(&self, place: PlaceId) -> PlaceId {
        let out = (self.prepared.shop.station_at(place))
            .filter(|station| matches!(self.state.rolled_out.get(station.index()), Some(Some(_))));
        out.and_then(|_| self.travel.rolled_out(place))
            .unwrap_or(place)
    }

    /// Rolls in what stands where the work at a station is to be done, and before that what this person has left out
    /// elsewhere.
    #[inline]
    pub(super) fn clear_floor(&mut self, carrier: &mut Carrier<'s>, station: StationId) {
        if !self.rolls() {
            return;
        }
        self.roll_in_own(carrier, Some(station));
        let shop = self.prepared.shop;
        for floor in &shop.shared_floor {
            if let Some(other) = floor.beside(station)
                && self.state.rolled_out[other.index()].is_some()
            {
                self.roll_in(carrier, other);
            }
        }
    }

    /// Rolls in what this person was the last to use, unless that is where they are needed next.
    #[inline]
    pub(super) fn roll_in_own(&mut self, carrier: &mut Carrier<'s>, station: Option<StationId>) {
        if !self.rolls() {
            return;
        }
        for other in self.prepared.shop.stations.ids() {
            let is_theirs = self.state.rolled_out[other.index()] == Some(carrier.person);
            let is_free = self.state.free_stations.contains(other.index());
            if is_theirs && is_free && station != Some(other) {
                self.roll_in(carrier, other);
            }
        }
    }

    fn roll_in(&mut self, carrier: &mut Carrier<'s>, station: StationId) {
        let Some(rolling) = self.prepared.shop.stations[station].rolling else {
            return;
        };
        self.walk(carrier, Manner::Empty, station.into());
        self.handle_load(carrier, Handling::RollIn, rolling.back);
        self.state.rolled_out[station.index()] = None;
        if carrier.is_told {
            let (now, until) = (self.time(), carrier.time);
            self.state.free_stations.remove(station.index());
            self.state.stations[station.index()].free.remove(0);
            if until > now {
                let unit = Occupied::Unit(station, 0);
                let reserved = Phase::closed(unit, Doing::Reserved, now, until);
                self.recorder.phase(&reserved);
            }
            let parked = self.end_at(until);
            self.state.agenda.plan(parked, Event::RolledIn(station));
        }
    }

    pub(super) fn rolled_in(&mut self, station: StationId) {
        self.state.stations[station.index()].free.insert(0);
        self.state.free_stations.insert(station.index());
    }

    /// Somebody who has brought all that the work needs rolls the station out, if it is parked.
    #[inline]
    pub(super) fn roll_out(&mut self, carrier: &mut Carrier<'s>, station: StationId) {
        if self.rolls()
            && self.state.rolled_out[station.index()].is_none()
            && self.travel.rolled_out(station.into()).is_some()
            && let Some(rolling) = self.prepared.shop.stations[station].rolling
        {
            self.handle_load(carrier, Handling::RollOut, rolling.out);
        }
    }

    /// A station is where somebody uses it.
    #[inline]
    pub(super) fn note_rolled_out(&mut self, station: StationId, by: PersonId) {
        if self.rolls() && self.travel.rolled_out(station.into()).is_some() {
            self.state.rolled_out[station.index()] = Some(by);
        }
    }
}
