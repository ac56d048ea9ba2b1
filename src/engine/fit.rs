//! Whether work on a lot may begin of which others in its queue may not: there has to be gear for all of its pieces, and a
//! unit for it, and what may not be interrupted has to end before anything interrupts it.

use std::cmp::Reverse;

use super::bitset::Set;
use super::draws::{self, Purpose};
use super::prepared_shop::{PreparedChoice, QueueKind};
use super::queue::Rank;
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use super::state::Lot;
use super::stuck::TooLate;
use crate::floor::Manner;
use crate::shop::{Interruptions, PersonId, StationId, stretch};
use crate::units::{Span, Time};

impl<'a, R: Recorder + ?Sized, S: Specialization> Simulation<'_, 'a, R, S> {
    /// The first lot of a queue on which this person, or nobody, may begin now: there is gear for it, and it may be
    /// interrupted or ends in time, or would fit no better anywhere else.
    pub(super) fn first_that_may_begin(
        &mut self,
        queue: usize,
        person: Option<PersonId>,
    ) -> Option<(Rank, u32)> {
        let lots = &self.state.lots;
        let is_current = |lot: u32, stamp: u32| lots[lot].stamp == stamp;
        let kind = &self.prepared.queues[queue];
        let always_fits = !S::HOURS || kind.always_fits;
        let differ = kind.lots_differ || S::HOURS && self.puts_some_off(kind);
        if always_fits && !differ {
            return self.state.queues[queue].peek_current(is_current);
        }
        let in_order = self.state.queues[queue].in_order_of_rank(is_current);
        in_order.into_iter().find(|&(_, lot)| {
            let Lot { at, pieces, .. } = self.state.lots[lot];
            let free = &self.state.gear_free;
            let mut gear = kind.gear.iter();
            let choices = self.prepared.choices_from(at);
            gear.all(|&(gear, count)| free[gear.index()] >= count.of(pieces))
                && (!kind.has_little_room || self.finds_a_unit(lot, kind.station))
                && self.needs_whom_it_finds(kind, lot, person)
                && (choices.iter().find(|choice| choice.station == kind.station)).is_some_and(
                    |choice| {
                        (always_fits || self.would_fit(lot, choice, person))
                            && (!S::HOURS || self.has_its_turn(kind, lot, choice, person))
                    },
                )
        })
    }

    /// Whether a lot that lies ready needs somebody, as where upkeep falls due, if somebody asks, and nobody otherwise.
    fn needs_whom_it_finds(&self, kind: &QueueKind, lot: u32, person: Option<PersonId>) -> bool {
        if !(kind.unmanned && kind.has_upkeep) {
            return true;
        }
        let choices = self.prepared.choices_from(self.state.lots[lot].at);
        let choice = choices.iter().find(|choice| choice.station == kind.station);
        choice.is_some_and(|choice| self.brings_upkeep(lot, choice) == person.is_some())
    }

    /// Whether a unit of a station is free, or free for this lot since it is in it.
    fn finds_a_unit(&self, lot: u32, station: StationId) -> bool {
        !self.state.stations[station.index()].free.is_empty()
            || self.own_units(lot, station).next().is_some()
    }

    /// Whether the work on a lot would end in time if it were begun now, with the fetching by this person and with the times
    /// that are drawn for it, or would fit no better anywhere else.
    fn would_fit(
        &mut self,
        slot: u32,
        choice: &PreparedChoice<'a>,
        person: Option<PersonId>,
    ) -> bool {
        let Reckoned {
            fetching,
            whole,
            helpers,
            is_manned,
        } = self.would_take(slot, choice, person);
        let hours = self.prepared.hours.of_choice(choice.number);
        if is_manned {
            let helpers = helpers.into_iter().map(Some);
            return self.fits(whole, helpers.chain([person]), hours.together, &hours.by);
        }
        // Who brings a lot for work that nobody attends has brought it before they go.
        let is_brought =
            person.is_none() || self.fits(fetching, [person].into_iter(), hours.by_one, &hours.by);
        let alone = [None].into_iter();
        is_brought && (choice.work.after_hours || self.fits(whole, alone, hours.alone, &hours.by))
    }

    /// Whether what takes so long ends before anything interrupts any of these people, or nobody; or they have as long now
    /// as so many have anywhere.
    fn fits(
        &self,
        takes: Span,
        people: impl Iterator<Item = Option<PersonId>>,
        longest: Span,
        by: &Interruptions,
    ) -> bool {
        let mut least = Time::NEVER;
        for person in people {
            let Some(interrupted) = self.interrupted_at(person, by) else {
                return false;
            };
            least = least.min(interrupted);
        }
        let stretch = stretch(self.time(), least);
        takes <= stretch || stretch >= longest
    }

    /// When something interrupts what this person, or nobody, begins now; nothing if it cannot be begun.
    pub(super) fn interrupted_at(
        &self,
        person: Option<PersonId>,
        by: &Interruptions,
    ) -> Option<Time> {
        let closes = self.state.session.stretch_ends;
        let shop = self.prepared.shop;
        shop.interrupted_at(person, by, self.time(), closes)
    }

    /// What work on a lot would take if it were begun now.
    fn would_take(
        &mut self,
        slot: u32,
        choice: &PreparedChoice<'a>,
        person: Option<PersonId>,
    ) -> Reckoned {
        let now = self.time();
        let lot = self.state.lots[slot];
        let work = choice.work;
        let stands = self.state.rolled_out.clone();
        let (mut fetching, mut begins, mut helpers) = (Span::ZERO, now, Vec::new());
        if let Some(person) = person {
            let mut carrier = self.carrier_if(person);
            self.clear_floor(&mut carrier, choice.station);
            self.fetch(slot, &lot, &mut carrier, choice);
            self.roll_out(&mut carrier, choice.station);
            fetching = carrier.time - now;
            helpers = self.helpers_by_stay(choice, person);
            begins = carrier.time.max(self.would_be_here(&helpers, choice));
            self.note_rolled_out(choice.station, person);
        }
        let (_, setup) = self.unit_for(slot, choice);
        let setup = setup.map_or(Span::ZERO, |setup| {
            draws::setup(setup, lot.key, choice.step)
        });
        let run = draws::run(choice, lot.key, lot.pieces);
        let teardown = draws::once(&work.teardown, lot.key, choice.step, Purpose::Teardown);
        let stops = match person {
            Some(person) if choice.has_run_stops => self.stops_would_take(slot, choice, person),
            _ => None,
        };
        self.state.rolled_out = stands;
        let worked = begins + setup + run + stops.unwrap_or_default() + teardown;
        Reckoned {
            fetching,
            whole: worked - now,
            helpers,
            is_manned: work.people > 0 || stops.is_some(),
        }
    }

    /// Why work on a lot is never begun at a station, if whoever could bring it is always there too late.
    #[cold]
    pub(super) fn comes_too_late(&mut self, slot: u32, station: StationId) -> Option<TooLate> {
        let shop = self.prepared.shop;
        if !self.may_stand_still() {
            return None;
        }
        let choices = self.prepared.choices_from(self.state.lots[slot].at);
        let choice = choices.iter().find(|choice| choice.station == station)?;
        if choice.work.people > 0 || choice.work.after_hours {
            return None;
        }
        let skilled = shop.skilled(choice.work.operation);
        let takes = skilled.iter().flatten();
        let takes = takes.map(|&person| self.would_take(slot, choice, Some(person)).whole);
        let takes = takes.min()?;
        let hours = self.prepared.hours.of_choice(choice.number);
        let left = shop.longest_begun_by(&skilled, &hours.by);
        (takes > left && left < hours.alone).then_some(TooLate { takes, left })
    }

    /// How long work on a lot would keep somebody who began it now.
    pub(super) fn would_keep(
        &mut self,
        slot: u32,
        choice: &PreparedChoice<'a>,
        person: PersonId,
    ) -> Span {
        let takes = self.would_take(slot, choice, Some(person));
        match takes.is_manned {
            true => takes.whole,
            false => takes.fetching,
        }
    }

    /// When the last of some helpers would be where they work.
    fn would_be_here(&mut self, helpers: &[PersonId], choice: &PreparedChoice) -> Time {
        let first = choice.work.helper_at(choice.station);
        let places = [first].into_iter().chain(std::iter::repeat(choice.here));
        let arrivals = helpers.iter().zip(places).map(|(&helper, there)| {
            let mut carrier = self.carrier_if(helper);
            self.roll_in_own(&mut carrier, Some(choice.station));
            self.walk(&mut carrier, Manner::Empty, there);
            carrier.time
        });
        let last = arrivals.max();
        last.unwrap_or_else(|| self.time())
    }

    /// The idle people who would help somebody with some work: those whom nothing interrupts for longest, then by the
    /// file's order.
    pub(super) fn helpers_by_stay(
        &self,
        choice: &PreparedChoice,
        person: PersonId,
    ) -> Vec<PersonId> {
        let wanted = choice.work.people.saturating_sub(1) as usize;
        let mut helpers = Vec::new();
        if wanted == 0 {
            return helpers;
        }
        let mut from = 0;
        while let Some(helper) = self.next_helper(choice.work, person, from) {
            from = helper.index() + 1;
            helpers.push(helper);
        }
        let by = &self.prepared.hours.of_choice(choice.number).by;
        let stays = |helper: &PersonId| self.interrupted_at(Some(*helper), by);
        helpers.sort_by_key(|helper| Reverse(stays(helper)));
        helpers.truncate(wanted);
        helpers
    }

    /// The first lot to be delivered from a place that somebody may deliver now.
    #[inline]
    pub(super) fn first_delivery_from(&mut self, place: usize, person: usize) -> Option<u32> {
        let lots = &self.state.lots;
        let is_current = |lot: u32, stamp: u32| lots[lot].stamp == stamp;
        if !self.people_come_and_go() {
            let first = self.state.deliveries[place].peek_current(is_current);
            return first.map(|(_, lot)| lot);
        }
        let in_order = self.state.deliveries[place].in_order_of_rank(is_current);
        let person = PersonId(person as u32);
        let mut lots = in_order.into_iter().map(|(_, lot)| lot);
        lots.find(|&lot| self.delivery_would_fit(lot, person))
    }

    pub(super) fn delivery_would_take(&mut self, slot: u32, person: PersonId) -> Span {
        let lot = self.state.lots[slot];
        let stands = self.state.rolled_out.clone();
        let mut carrier = self.carrier_if(person);
        self.roll_in_own(&mut carrier, None);
        self.deliver(slot, &lot, &mut carrier);
        self.state.rolled_out = stands;
        carrier.time - self.time()
    }

    fn delivery_would_fit(&mut self, slot: u32, person: PersonId) -> bool {
        let takes = self.delivery_would_take(slot, person);
        let longest = self.prepared.hours.delivery;
        self.fits(
            takes,
            [Some(person)].into_iter(),
            longest,
            &Interruptions::NONE,
        )
    }

    /// How long it would take somebody to take off what the cure of a task ties up.
    pub(super) fn take_off_would_take(&mut self, task: u32, person: PersonId) -> Option<Span> {
        let choice = self.prepared.choice_at(self.state.tasks[task].choice?);
        let stands = self.state.rolled_out.clone();
        let mut carrier = self.carrier_if(person);
        self.roll_in_own(&mut carrier, Some(choice.station));
        self.walk(&mut carrier, Manner::Empty, choice.here);
        self.state.rolled_out = stands;
        Some((carrier.time - self.time()) + self.take_off_takes(task, choice))
    }

    /// Whether somebody may take off now what the cure of a task ties up.
    pub(super) fn may_take_off(&mut self, person: PersonId, task: u32) -> bool {
        let Some(choice) = self.state.tasks[task].choice else {
            return false;
        };
        let choice = self.prepared.choice_at(choice);
        let can = self.prepared.shop.crew[person].can_do(choice.work.operation);
        if !can || !self.people_come_and_go() {
            return can;
        }
        let takes = self.take_off_would_take(task, person).unwrap_or_default();
        let longest = self.prepared.hours.of_choice(choice.number).take_off;
        self.fits(
            takes,
            [Some(person)].into_iter(),
            longest,
            &Interruptions::NONE,
        )
    }
}

/// What a task would take, were nothing to interrupt it.
struct Reckoned {
    /// What whoever chooses it does until all is there.
    fetching: Span,
    /// From the choice to the end of the tear-down.
    whole: Span,
    helpers: Vec<PersonId>,
    /// Whether people stay with it.
    is_manned: bool,
}
