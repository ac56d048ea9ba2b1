//! Work that is followed by a cure, where that is left for the end of a session.
//!
//! It is offered to somebody if nothing else is, or if the best of all else would leave less of the time until they go than
//! it needs, fetching included. Lots that are passed over stay where they are in their queues.

use super::dispatch::{Offer, Offered};
use super::offering::Offering;
use super::prepared_shop::{PreparedChoice, QueueKind};
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use crate::shop::{Interruptions, PersonId, stretch};
use crate::units::Span;

/// What interrupts people by closing, or by their going.
const GOING: Interruptions = Interruptions {
    may_pause: false,
    silence: None,
};

impl<'a, R: Recorder + ?Sized, S: Specialization> Simulation<'_, 'a, R, S> {
    /// The best of what is offered to a person.
    #[inline(always)]
    pub(super) fn offer_to(&mut self, person: usize) -> Option<Offer> {
        match self.may_stand_still() && self.prepared.puts_cures_off {
            true => self.offer_cures_last(person),
            false => self.best_offer(person),
        }
    }

    #[inline(never)]
    fn offer_cures_last(&mut self, person: usize) -> Option<Offer> {
        self.state.offering = Offering::WithoutCures;
        self.state.offering = match self.best_offer(person) {
            Some(other) => Offering::NowOrNever(self.would_leave(person, &other)),
            None => Offering::All,
        };
        let best = self.best_offer(person);
        self.state.offering = Offering::All;
        best
    }

    /// How much of the time until somebody goes an offer would leave, if they took it.
    fn would_leave(&mut self, person: usize, offer: &Offer) -> Span {
        let person = PersonId(person as u32);
        let now = self.time();
        let goes = self.interrupted_at(Some(person), &GOING);
        let left = goes.map_or(Span::ZERO, |goes| stretch(now, goes));
        let takes = match offer.what {
            Offered::Work(station) => {
                let choices = self.prepared.choices_from(self.state.lots[offer.lot].at);
                let at_station = |choice: &&PreparedChoice| choice.station == station;
                let choice = choices.iter().find(at_station);
                choice.map(|choice| self.would_keep(offer.lot, choice, person))
            }
            Offered::Delivery => Some(self.delivery_would_take(offer.lot, person)),
            Offered::TakeOff(nth) => self.take_off_would_take(self.state.take_offs[nth], person),
        };
        left - takes.unwrap_or_default()
    }

    /// Whether lots of a queue are not offered now.
    #[inline]
    pub(super) fn is_passed_over(&self, kind: &QueueKind) -> bool {
        S::HOURS && kind.is_put_off && self.state.offering == Offering::WithoutCures
    }

    /// Whether a lot of a queue may be taken now: it is not put off, or there will be too little time for it later.
    pub(super) fn has_its_turn(
        &mut self,
        kind: &QueueKind,
        lot: u32,
        choice: &PreparedChoice<'a>,
        person: Option<PersonId>,
    ) -> bool {
        match (self.state.offering, person) {
            (Offering::NowOrNever(left), Some(person)) if kind.is_put_off => {
                left < self.would_keep(lot, choice, person)
            }
            _ => true,
        }
    }

    /// Whether lots of a queue are offered one by one, since some may be put off.
    pub(super) fn puts_some_off(&self, kind: &QueueKind) -> bool {
        kind.is_put_off && matches!(self.state.offering, Offering::NowOrNever(_))
    }

    /// Whether lots that are offered now wait in a queue of a station.
    pub(super) fn counts_in_queue(&self, queue: usize) -> bool {
        !self.is_passed_over(&self.prepared.queues[queue])
    }
}
