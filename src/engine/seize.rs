//! What a task takes and gives back: people, a unit, gear.

use super::bitset::Set;
use super::prepared_shop::PreparedChoice;
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use crate::floor::Manner;
use crate::shop::{GearId, PersonId, PlaceId, StationId, Work};
use crate::units::Time;

impl<R: Recorder, S: Specialization> Simulation<'_, '_, R, S> {
    #[inline]
    pub(super) fn release_person(&mut self, person: PersonId) {
        if !S::IN_TURN {
            self.state.idle.insert(person.index());
        }
        if !S::PLAIN {
            self.state.idle_of_class[self.prepared.class_of[person.index()]] += 1;
        }
    }

    #[inline]
    pub(super) fn seize_person(&mut self, person: PersonId) {
        if !S::IN_TURN {
            self.state.idle.remove(person.index());
        }
        if !S::PLAIN {
            self.state.idle_of_class[self.prepared.class_of[person.index()]] -= 1;
        }
    }

    /// Idle skilled people in the file's order, linked; the first of them.
    pub(super) fn seize_helpers(&mut self, work: &Work, person: PersonId) -> Option<PersonId> {
        let mut wanted = work.people.saturating_sub(1);
        let mut first = None;
        let mut last: Option<PersonId> = None;
        let mut from = 0;
        while wanted > 0
            && let Some(helper) = self.next_helper(work, person, from)
        {
            from = helper.index() + 1;
            self.seize_person(helper);
            self.state.people[helper.index()].next_helper = None;
            match last {
                Some(last) => self.state.people[last.index()].next_helper = Some(helper),
                None => first = Some(helper),
            }
            last = Some(helper);
            wanted -= 1;
        }
        first
    }

    /// The first idle person from one on who can help with some work.
    pub(super) fn next_helper(
        &self,
        work: &Work,
        person: PersonId,
        from: usize,
    ) -> Option<PersonId> {
        let mut from = from;
        loop {
            let helper = PersonId(self.state.idle.next(from)? as u32);
            if helper != person && self.prepared.shop.crew[helper].can_do(work.operation) {
                return Some(helper);
            }
            from = helper.index() + 1;
        }
    }

    /// Helpers walk to the station at once; returns when the last one is there.
    pub(super) fn call_helpers(&mut self, first: Option<PersonId>, station: StationId) -> Time {
        let here = PlaceId::from(station);
        let mut all_here = self.time();
        let mut helper = first;
        while let Some(person) = helper {
            let mut carrier = self.carrier(person);
            self.walk(&mut carrier, Manner::Empty, here);
            self.recorder.fetched(person, self.time(), carrier.time);
            all_here = all_here.max(carrier.time);
            let now = &mut self.state.people[person.index()];
            now.place = here;
            now.last_station = Some(station);
            helper = now.next_helper;
        }
        all_here
    }

    /// Of the free units the first whose last work was this operation on this item, else the one idle longest: one
    /// that has not worked yet before all, then the first. Says whether setup is due.
    #[inline(always)]
    pub(super) fn seize_unit(&mut self, choice: &PreparedChoice) -> (u32, bool) {
        if choice.is_simple {
            // Where one person does everything in turn, nobody asks which stations are free.
            if !S::IN_TURN {
                self.state.free_stations.remove(choice.station.index());
            }
            return (0, false);
        }
        self.seize_one_unit(choice)
    }

    /// Goes by what the units did last even where this work has no setup, since what comes after it may have one.
    #[inline(never)]
    fn seize_one_unit(&mut self, choice: &PreparedChoice) -> (u32, bool) {
        let (unit, setup_is_due) = self.unit_for(choice);
        let now = &mut self.state.stations[choice.station.index()];
        now.free.remove(unit);
        now.units[unit].last_work = Some((choice.work.operation, choice.item));
        if now.free.is_empty() {
            self.state.free_stations.remove(choice.station.index());
        }
        (unit as u32, setup_is_due)
    }

    /// The unit that this work would take now, and whether setup is due there.
    pub(super) fn unit_for(&self, choice: &PreparedChoice) -> (usize, bool) {
        if choice.is_simple {
            return (0, false);
        }
        let this = Some((choice.work.operation, choice.item));
        let now = &self.state.stations[choice.station.index()];
        let mut unit = now.free.next(0).unwrap_or(0);
        let mut from = unit + 1;
        while now.units[unit].last_work != this
            && let Some(other) = now.free.next(from)
        {
            let is_set_up = now.units[other].last_work == this;
            if is_set_up || now.units[other].idle_since < now.units[unit].idle_since {
                unit = other;
            }
            from = other + 1;
        }
        let setup_is_due = choice.work.setup.is_some() && now.units[unit].last_work != this;
        (unit, setup_is_due)
    }

    #[inline(always)]
    pub(super) fn release_unit(&mut self, choice: &PreparedChoice, unit: u32) {
        let station = choice.station.index();
        if !choice.is_simple {
            let now = &mut self.state.stations[station];
            now.free.insert(unit as usize);
            now.units[unit as usize].idle_since = Some(self.state.now);
        }
        if !S::IN_TURN {
            self.state.free_stations.insert(station);
        }
    }

    #[inline]
    pub(super) fn seize_gear(&mut self, work: &Work) {
        if !S::PLAIN {
            for &(gear, count) in &work.gear {
                self.state.gear_free[gear.index()] -= count;
            }
        }
    }

    /// Gives back the gear that the work's cure ties up, or the other gear.
    #[inline]
    pub(super) fn give_back_gear(&mut self, work: &Work, tied_up: bool) {
        if !S::PLAIN {
            for &(gear, count) in &work.gear {
                if cure_ties_up(work, gear) == tied_up {
                    self.state.gear_free[gear.index()] += count;
                }
            }
        }
    }
}

/// Whether gear of this work stays tied up until the end of the cure.
pub(super) fn cure_ties_up(work: &Work, gear: GearId) -> bool {
    let cure = work.cure.as_ref();
    cure.is_some_and(|cure| cure.ties_up_gear.contains(&gear))
}
