//! Where finished lots lie: room for some of them at a station, and units that a lot has not left since there is none.
//!
//! A lot that ends at a station with little room keeps its unit until there is room, or until it is picked up. At one
//! instant everything ends first; then room that is free goes to the lots that have kept their units longest; then
//! decisions are taken.

use super::agenda::Event;
use super::bitset::Set;
use super::phase::{Doing, Occupied, Phase};
use super::prepared_shop::PreparedChoice;
use super::recorder::{Job, Recorder};
use super::simulation::Simulation;
use super::specialization::Specialization;
use super::state::{Blocked, Lying};
use super::task::job;
use crate::shop::{PlaceId, StationId};
use crate::units::{Moment, Time};

impl<'a, R: Recorder + ?Sized, S: Specialization> Simulation<'_, 'a, R, S> {
    /// Whether any station has room for so many lots only.
    #[inline(always)]
    pub(super) fn has_little_room(&self) -> bool {
        S::STOPS && self.prepared.has_little_room
    }

    fn lying(&self, lot: u32) -> Lying {
        let lying = self.state.lying.get(lot as usize);
        lying.copied().unwrap_or_default()
    }

    fn lying_mut(&mut self, lot: u32) -> &mut Lying {
        let lying = &mut self.state.lying;
        if lying.len() <= lot as usize {
            lying.resize(lot as usize + 1, Lying::default());
        }
        &mut lying[lot as usize]
    }

    /// The unit has no more to do with the lot, which lies down if there is room.
    #[inline(always)]
    pub(super) fn leave_unit(&mut self, lot: u32, choice: &PreparedChoice, unit: u32) {
        match self.has_little_room() && choice.has_little_room {
            true => self.stay_in_unit(lot, choice, unit),
            false => self.release_unit(choice, unit),
        }
    }

    /// Until room is given out at this instant, and longer if there is none.
    fn stay_in_unit(&mut self, lot: u32, choice: &PreparedChoice, unit: u32) {
        let station = choice.station;
        let now = self.state.now;
        self.lying_mut(lot).blocks = Some(Blocked {
            station,
            unit,
            choice: choice.number,
            since: now,
            is_told: false,
        });
        self.state.blocking.push(lot);
        self.state.free_stations.insert(station.index());
    }

    /// The unit at a station that a lot, or something that it will be made of, has not left.
    pub(super) fn own_units(
        &self,
        lot: u32,
        station: StationId,
    ) -> impl Iterator<Item = (usize, Moment)> {
        let mut units = Vec::new();
        if self.has_little_room() {
            let mut add = |thing: u32| {
                let blocks = self.lying(thing).blocks;
                if let Some(blocks) = blocks.filter(|blocks| blocks.station == station) {
                    units.push((blocks.unit as usize, blocks.since));
                }
            };
            match self.state.lots[lot].unassembled {
                true => self.inputs_of(lot).for_each(add),
                false => add(lot),
            }
        }
        units.into_iter()
    }

    /// The lots that are brought together for work on a lot.
    fn things(&self, lot: u32) -> Vec<u32> {
        match self.state.lots[lot].unassembled {
            true => self.inputs_of(lot).collect(),
            false => vec![lot],
        }
    }

    /// The work takes a unit as it is that the lot, or something that it is made of, has not left.
    pub(super) fn take_own_unit(&mut self, lot: u32, station: StationId, unit: u32) {
        for thing in self.things(lot) {
            let blocks = self.lying(thing).blocks;
            let is_here = |blocks: &Blocked| (blocks.station, blocks.unit) == (station, unit);
            if let Some(blocks) = blocks.filter(is_here) {
                self.blocks_no_more(thing, blocks);
            }
        }
        self.tell_whether_free(station);
    }

    fn blocks_no_more(&mut self, lot: u32, blocks: Blocked) {
        self.lying_mut(lot).blocks = None;
        self.state.blocking.retain(|other| *other != lot);
        if blocks.is_told {
            let unit = Occupied::Unit(blocks.station, blocks.unit);
            self.recorder.ends(unit, self.time());
        }
    }

    /// Whether a unit of the station is free, for any lot or for the one in it.
    pub(super) fn tell_whether_free(&mut self, station: StationId) {
        let is_here = |lot: &u32| {
            let blocks = self.lying(*lot).blocks;
            blocks.is_some_and(|blocks| blocks.station == station)
        };
        let free = !self.state.stations[station.index()].free.is_empty()
            || self.state.blocking.iter().any(is_here);
        match free {
            true => self.state.free_stations.insert(station.index()),
            false => self.state.free_stations.remove(station.index()),
        }
    }

    /// A lot gives up the room that it takes and the unit that it has not left.
    pub(super) fn leave(&mut self, lot: u32) {
        if !self.has_little_room() {
            return;
        }
        if let Some(station) = self.lying_mut(lot).room.take() {
            self.state.room_taken[station.index()] -= 1;
        }
        if let Some(blocks) = self.lying(lot).blocks {
            self.blocks_no_more(lot, blocks);
            let now = &mut self.state.stations[blocks.station.index()];
            now.free.insert(blocks.unit as usize);
            now.units[blocks.unit as usize].idle_since = Some(self.state.now);
            self.tell_whether_free(blocks.station);
        }
    }

    /// An assembly that is gathered where its last input lies takes over what that one takes up.
    pub(super) fn takes_over(&mut self, assembly: u32, input: u32) {
        if !self.has_little_room() {
            return;
        }
        let lying = std::mem::take(self.lying_mut(input));
        *self.lying_mut(assembly) = lying;
        for blocking in &mut self.state.blocking {
            if *blocking == input {
                *blocking = assembly;
            }
        }
    }

    /// When things that are brought for some work leave the place where they lay: when the last of them was picked up, as
    /// has been noted, or else when the work begins.
    #[inline(always)]
    pub(super) fn plan_pick_ups(&mut self, lot: u32, begins: Time) {
        if self.has_little_room() {
            self.plan_noted_pick_ups(lot, begins);
        }
    }

    fn plan_noted_pick_ups(&mut self, lot: u32, begins: Time) {
        let picked_up = std::mem::take(&mut self.state.picked_up);
        for thing in self.things(lot) {
            let noted = picked_up.iter().find(|(other, _)| *other == thing);
            let at = noted.map_or(begins, |&(_, at)| at);
            let moment = self.end_at(at);
            self.lying_mut(thing).is_fetched = true;
            self.state.agenda.plan(moment, Event::PickedUp(thing));
        }
        // The list keeps its memory.
        self.state.picked_up = picked_up;
        self.state.picked_up.clear();
    }

    /// Gives out room to the lots that have not left their units, longest first.
    #[inline(always)]
    pub(super) fn set_down(&mut self) {
        if self.has_little_room() && !self.state.blocking.is_empty() {
            self.give_out_room();
        }
    }

    #[inline(never)]
    fn give_out_room(&mut self) {
        let mut blocking = self.state.blocking.clone();
        blocking.sort_by_key(|&lot| self.rank_of_blocking(lot));
        for lot in blocking {
            let Some(blocks) = self.lying(lot).blocks else {
                continue;
            };
            let limit = self.prepared.shop.stations[blocks.station].set_down;
            let taken = &mut self.state.room_taken[blocks.station.index()];
            if limit.is_none_or(|limit| *taken < limit) {
                *taken += u32::from(limit.is_some());
                self.leave(lot);
                self.lying_mut(lot).room = limit.map(|_| blocks.station);
            } else if !blocks.is_told {
                self.tell_blocked(lot, blocks);
            }
        }
    }

    /// Blocked longest, then the order released first, the line, the batch.
    fn rank_of_blocking(&self, lot: u32) -> (Option<Moment>, u64, u32, u32) {
        let since = self.lying(lot).blocks.map(|blocks| blocks.since);
        let of = &self.state.lots[lot];
        (since, of.number, of.item, of.batch)
    }

    fn tell_blocked(&mut self, lot: u32, blocks: Blocked) {
        let job = self.blocking_job(lot, blocks);
        self.recorder.about(&job);
        let unit = Occupied::Unit(blocks.station, blocks.unit);
        (self.recorder).phase(&Phase::open(unit, Doing::Blocked, self.time()));
        self.lying_mut(lot).blocks = Some(Blocked {
            is_told: true,
            ..blocks
        });
    }

    /// What recorders know of a lot that has not left a unit.
    fn blocking_job(&self, lot: u32, blocks: Blocked) -> Job {
        let choice = self.prepared.choice_at(blocks.choice);
        job(lot, &self.state.lots[lot], choice)
    }

    /// Where nothing can go on, the lot that has not left a unit for longest is put on the floor beside it; says whether
    /// there was one.
    pub(super) fn put_aside(&mut self) -> bool {
        let blocking = self.state.blocking.iter().copied();
        let longest = blocking.min_by_key(|&lot| self.rank_of_blocking(lot));
        let Some((lot, blocks)) = longest.and_then(|lot| Some((lot, self.lying(lot).blocks?)))
        else {
            return false;
        };
        let job = self.blocking_job(lot, blocks);
        self.leave(lot);
        self.recorder.put_aside(&job, self.time());
        true
    }

    /// The last of a lot is picked up, unless that has been seen to: a task that takes no time ends first.
    #[inline(always)]
    pub(super) fn picked_up(&mut self, lot: u32) {
        if self.has_little_room() && std::mem::take(&mut self.lying_mut(lot).is_fetched) {
            self.leave(lot);
        }
    }

    /// The place where somebody brings a lot from has been left by the last of it.
    #[inline(always)]
    pub(super) fn note_pick_up(&mut self, lot: u32, from: PlaceId, to: PlaceId, at: Time) {
        if self.has_little_room() && !self.is_at(from, to) {
            self.state.picked_up.push((lot, at));
        }
    }
}
