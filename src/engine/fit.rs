//! Whether work on a lot may begin of which others in its queue may not: there has to be gear for all of its pieces, and a
//! unit for it, and what may not be interrupted has to end before the shop is closed.

use super::bitset::Set;
use super::draws::{self, Purpose};
use super::fetch::Carrier;
use super::prepared_shop::{PreparedChoice, QueueKind};
use super::queue::Rank;
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use super::state::Lot;
use crate::shop::{PersonId, PlaceId, StationId};
use crate::units::{Span, Time};

impl<'a, R: Recorder, S: Specialization> Simulation<'_, 'a, R, S> {
    /// The first lot of a queue on which this person, or nobody, may begin now: there is gear for it, and it may be
    /// interrupted or ends in time. At the beginning of a longest stretch of open time any of them ends in time as well
    /// as anywhere.
    pub(super) fn first_that_may_begin(
        &mut self,
        queue: usize,
        person: Option<PersonId>,
    ) -> Option<(Rank, u32)> {
        let lots = &self.state.lots;
        let is_current = |lot: u32, stamp: u32| lots[lot].stamp == stamp;
        let waiting = &mut self.state.queues[queue];
        let session = self.state.session;
        let kind = &self.prepared.queues[queue];
        let may_pause = !S::HOURS || kind.pausable;
        let fits = may_pause || session.begins_longest && self.state.now == session.opens;
        if fits && !kind.lots_differ {
            return waiting.peek_current(is_current);
        }
        let in_order = waiting.in_order_of_rank(is_current);
        in_order.into_iter().find(|&(_, lot)| {
            let Lot { at, pieces, .. } = self.state.lots[lot];
            let free = &self.state.gear_free;
            let mut gear = kind.gear.iter();
            let choices = self.prepared.choices_from(at);
            gear.all(|&(gear, count)| free[gear.index()] >= count.of(pieces))
                && (!kind.has_little_room || self.finds_a_unit(lot, kind.station))
                && self.needs_whom_it_finds(kind, lot, person)
                && (choices.iter().find(|choice| choice.station == kind.station)).is_some_and(
                    |choice| fits || self.would_end(lot, choice, person) <= session.stretch_ends,
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

    /// When the work on a lot would end if it were begun now: with the fetching by this person, and with the times that
    /// are drawn for it.
    fn would_end(
        &mut self,
        slot: u32,
        choice: &PreparedChoice<'a>,
        person: Option<PersonId>,
    ) -> Time {
        let lot = self.state.lots[slot];
        let work = choice.work;
        let mut begins = self.time();
        if let Some(person) = person {
            let mut carrier = Carrier {
                is_told: false,
                ..self.carrier(person)
            };
            self.fetch(slot, &lot, &mut carrier, choice);
            begins = carrier.time.max(self.helpers_would_be_here(choice, person));
        }
        let (_, setup) = self.unit_for(slot, choice);
        let setup = setup.map_or(Span::ZERO, |setup| {
            draws::setup(setup, lot.key, choice.step)
        });
        let run = draws::run(choice, lot.key, lot.pieces);
        let teardown = draws::once(&work.teardown, lot.key, choice.step, Purpose::Teardown);
        let upkeep = match person {
            Some(person) if choice.has_upkeep => self.upkeep_would_take(slot, choice, person),
            _ => Span::ZERO,
        };
        begins + setup + run + upkeep + teardown
    }

    /// When the last of the helpers would be at the station who would be taken now.
    fn helpers_would_be_here(&self, choice: &PreparedChoice, person: PersonId) -> Time {
        let now = self.time();
        let here = PlaceId::from(choice.station);
        let mut all_here = now;
        let mut from = 0;
        for _ in 1..choice.work.people {
            let Some(helper) = self.next_helper(choice.work, person, from) else {
                break;
            };
            from = helper.index() + 1;
            let helper = &self.state.people[helper.index()];
            if helper.place != here {
                let pair = self.travel.pair(helper.place, here);
                all_here = all_here.max(now + self.travel.of(helper.speed, pair).takes);
            }
        }
        all_here
    }

    /// Whether work that has been chosen now and ends at an instant is interrupted although it should not be. All work of
    /// a plain shop may be.
    #[inline]
    pub(super) fn is_forced(&self, choice: &PreparedChoice, ends: Time) -> bool {
        S::HOURS && !S::PLAIN && !choice.work.pausable && ends > self.state.session.stretch_ends
    }
}
