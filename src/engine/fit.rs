//! Work that may not be interrupted: whether it would end before the shop is closed.

use super::draws::{self, Purpose};
use super::fetch::Carrier;
use super::prepared_shop::PreparedChoice;
use super::queue::Rank;
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use crate::shop::{PersonId, PlaceId};
use crate::units::{Span, Time};

impl<R: Recorder, S: Specialization> Simulation<'_, '_, R, S> {
    /// The first lot of a queue whose work may not be interrupted that this person, or nobody, may take now: at the
    /// beginning of a longest stretch of open time any of them, since no other one would be longer.
    pub(super) fn first_that_fits(
        &mut self,
        queue: usize,
        person: Option<PersonId>,
    ) -> Option<(Rank, u32)> {
        let lots = &self.state.lots;
        let is_current = |lot: u32, stamp: u32| lots[lot].stamp == stamp;
        let waiting = &mut self.state.queues[queue];
        let session = self.state.session;
        if session.begins_longest && self.state.now == session.opens {
            return waiting.peek_current(is_current);
        }
        let station = self.prepared.queues[queue].station;
        let in_order = waiting.in_order_of_rank(is_current);
        in_order.into_iter().find(|&(_, lot)| {
            let choices = self.prepared.choices_from(self.state.lots[lot].at);
            let choice = choices.iter().find(|choice| choice.station == station);
            choice.is_some_and(|choice| self.would_end(lot, choice, person) <= session.stretch_ends)
        })
    }

    /// When the work on a lot would end if it were begun now: with the fetching by this person, and with the times that
    /// are drawn for it.
    fn would_end(&mut self, slot: u32, choice: &PreparedChoice, person: Option<PersonId>) -> Time {
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
        let (_, setup_is_due) = self.unit_for(choice);
        let setup = match setup_is_due {
            true => draws::once(&work.setup, lot.key, choice.step, Purpose::Setup),
            false => Span::ZERO,
        };
        let run = draws::run(choice, lot.key, lot.pieces);
        let teardown = draws::once(&work.teardown, lot.key, choice.step, Purpose::Teardown);
        begins + setup + run + teardown
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
