//! What a task takes and gives back: people, a unit, gear.

use super::bitset::Set;
use super::prepared_shop::PreparedChoice;
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use crate::floor::Manner;
use crate::random::Distribution;
use crate::shop::{GearId, PersonId, Work};
use crate::units::{Moment, Time};

impl<'a, R: Recorder + ?Sized, S: Specialization> Simulation<'_, 'a, R, S> {
    #[inline]
    pub(super) fn release_person(&mut self, person: PersonId) {
        if S::HOURS && !S::PLAIN {
            let now = &mut self.state.people[person.index()];
            now.is_busy = false;
            if now.is_away {
                return;
            }
        }
        if !S::IN_TURN {
            self.state.idle.insert(person.index());
        }
        if !S::PLAIN {
            self.state.idle_of_class[self.prepared.class_of[person.index()]] += 1;
        }
    }

    #[inline]
    pub(super) fn seize_person(&mut self, person: PersonId) {
        if S::HOURS && !S::PLAIN {
            self.state.people[person.index()].is_busy = true;
        }
        if !S::IN_TURN {
            self.state.idle.remove(person.index());
        }
        if !S::PLAIN {
            self.state.idle_of_class[self.prepared.class_of[person.index()]] -= 1;
        }
    }

    /// Idle skilled people in the file's order, linked; the first of them. Where people come and go, those who stay longest
    /// go before the others.
    pub(super) fn seize_helpers(
        &mut self,
        choice: &PreparedChoice<'a>,
        person: PersonId,
    ) -> Option<PersonId> {
        let mut helpers = (None, None);
        if self.people_come_and_go() {
            for helper in self.helpers_by_stay(choice, person) {
                self.seize_helper(helper, &mut helpers);
            }
            return helpers.0;
        }
        let work = choice.work;
        let mut wanted = work.people.saturating_sub(1);
        let mut from = 0;
        while wanted > 0
            && let Some(helper) = self.next_helper(work, person, from)
        {
            from = helper.index() + 1;
            self.seize_helper(helper, &mut helpers);
            wanted -= 1;
        }
        helpers.0
    }

    /// Links a helper behind the last one so far.
    #[inline]
    fn seize_helper(
        &mut self,
        helper: PersonId,
        (first, last): &mut (Option<PersonId>, Option<PersonId>),
    ) {
        self.seize_person(helper);
        self.state.people[helper.index()].next_helper = None;
        match *last {
            Some(last) => self.state.people[last.index()].next_helper = Some(helper),
            None => *first = Some(helper),
        }
        *last = Some(helper);
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

    /// Helpers walk to where they work at once, the first one to where what comes out is taken; returns when the last one is
    /// there.
    pub(super) fn call_helpers(
        &mut self,
        first: Option<PersonId>,
        choice: &PreparedChoice,
    ) -> Time {
        let station = choice.station;
        let mut there = choice.work.helper_at(station);
        let mut all_here = self.time();
        let mut helper = first;
        while let Some(person) = helper {
            let mut carrier = self.carrier_to(person, station);
            self.roll_in_own(&mut carrier, Some(station));
            self.walk(&mut carrier, Manner::Empty, there);
            self.recorder.fetched(person, self.time(), carrier.time);
            self.note_arrival(person, carrier.time);
            all_here = all_here.max(carrier.time);
            let now = &mut self.state.people[person.index()];
            now.place = there;
            now.last_station = Some(station);
            helper = now.next_helper;
            there = choice.here;
        }
        all_here
    }

    /// Of the free units the first that is set to what this work needs, else the one idle longest: one that has not
    /// worked yet before all, then the first. Says which setup is due.
    #[inline(always)]
    pub(super) fn seize_unit(
        &mut self,
        lot: u32,
        choice: &PreparedChoice<'a>,
    ) -> (u32, Option<&'a Distribution>) {
        if choice.is_simple {
            // Where one person does everything in turn, nobody asks which stations are free.
            if !S::IN_TURN {
                self.state.free_stations.remove(choice.station.index());
            }
            return (0, None);
        }
        self.seize_one_unit(lot, choice)
    }

    /// Goes by what the units did last even where this work has no setup, since what comes after it may have one.
    #[inline(never)]
    fn seize_one_unit(
        &mut self,
        lot: u32,
        choice: &PreparedChoice<'a>,
    ) -> (u32, Option<&'a Distribution>) {
        let (unit, setup) = self.unit_for(lot, choice);
        let now = &mut self.state.stations[choice.station.index()];
        now.free.remove(unit);
        now.units[unit].set_to = Some(choice.set_to);
        if S::STOPS {
            now.units[unit].last_choice = choice.number;
        }
        if now.free.is_empty() {
            self.state.free_stations.remove(choice.station.index());
        }
        if S::STOPS && choice.has_little_room {
            self.take_own_unit(lot, choice.station, unit as u32);
        }
        (unit as u32, setup)
    }

    /// The unit that this work would take now, and the setup that is due there.
    pub(super) fn unit_for(
        &self,
        lot: u32,
        choice: &PreparedChoice<'a>,
    ) -> (usize, Option<&'a Distribution>) {
        if choice.is_simple {
            return (0, None);
        }
        if S::STOPS && choice.has_little_room {
            let unit = self.unit_free_or_own(lot, choice);
            return (unit, self.setup_at(unit, choice));
        }
        let this = Some(choice.set_to);
        let now = &self.state.stations[choice.station.index()];
        if now.units.len() == 1 {
            return (0, self.setup_at(0, choice));
        }
        let mut unit = now.free.next(0).unwrap_or(0);
        let mut from = unit + 1;
        while now.units[unit].set_to != this
            && let Some(other) = now.free.next(from)
        {
            let is_set_up = now.units[other].set_to == this;
            if is_set_up || now.units[other].idle_since < now.units[unit].idle_since {
                unit = other;
            }
            from = other + 1;
        }
        (unit, self.setup_at(unit, choice))
    }

    /// Likewise where units count as free for the lots in them.
    fn unit_free_or_own(&self, lot: u32, choice: &PreparedChoice) -> usize {
        let now = &self.state.stations[choice.station.index()];
        let mut units: Vec<(usize, Option<Moment>)> = Vec::new();
        let mut from = 0;
        while let Some(unit) = now.free.next(from) {
            units.push((unit, now.units[unit].idle_since));
            from = unit + 1;
        }
        let own = self.own_units(lot, choice.station);
        units.extend(own.map(|(unit, since)| (unit, Some(since))));
        units.sort_unstable();
        let is_set_up = |unit: &usize| now.units[*unit].set_to == Some(choice.set_to);
        let numbers = units.iter().map(|&(unit, _)| unit);
        let longest = units.iter().min_by_key(|&&(unit, since)| (since, unit));
        let found = numbers.clone().find(is_set_up);
        found.or(longest.map(|&(unit, _)| unit)).unwrap_or(0)
    }

    /// The setup that is due at a unit.
    #[inline]
    fn setup_at(&self, unit: usize, choice: &PreparedChoice<'a>) -> Option<&'a Distribution> {
        let unit_now = &self.state.stations[choice.station.index()].units[unit];
        match unit_now.set_to == Some(choice.set_to) {
            true => None,
            false if !S::STOPS || unit_now.set_to.is_none() => choice.work.setup.as_ref(),
            false => self.setup_after(unit_now.last_choice, choice),
        }
    }

    /// The setup of some work where the unit last did another one.
    fn setup_after(&self, last: u32, next: &PreparedChoice<'a>) -> Option<&'a Distribution> {
        let last = self.prepared.choice_at(last);
        let station = &self.prepared.shop.stations[next.station];
        let of = |choice: &PreparedChoice| (choice.setting, choice.work.operation);
        (station.setup_between(of(last), of(next))).or(next.work.setup.as_ref())
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
    pub(super) fn seize_gear(&mut self, work: &Work, pieces: u32) {
        if !S::PLAIN {
            for &(gear, count) in &work.gear {
                self.state.gear_free[gear.index()] -= count.of(pieces);
            }
        }
    }

    /// Gives back the gear of a lot of so many pieces that the work's cure ties up, or the other gear.
    #[inline]
    pub(super) fn give_back_gear(&mut self, work: &Work, pieces: u32, tied_up: bool) {
        if !S::PLAIN {
            for &(gear, count) in &work.gear {
                if cure_ties_up(work, gear) == tied_up {
                    self.state.gear_free[gear.index()] += count.of(pieces);
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
