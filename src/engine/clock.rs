//! The two clocks of a run.
//!
//! A run is played on the calendar, and decides only while work can be done. What a task takes lasts in shop time, so
//! the end of a task is reckoned in shop time and planned for the moment of the calendar that belongs to it. Recorders
//! are told shop time, in which nothing has to be interrupted, and the moments of what goes on while the shop is shut.
//!
//! In a shop that is always open both are the same, and nothing is left of all this.

use super::bitset::Set;
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use super::state::{Lot, Order, State};
use crate::units::{Moment, Span, Time};

impl<R: Recorder + ?Sized, S: Specialization> Simulation<'_, '_, R, S> {
    /// Shop time now; while the shop is shut, that at which it was closed.
    #[inline(always)]
    pub(super) fn time(&self) -> Time {
        match S::HOURS {
            true => self.state.time,
            false => Time::from_micros(self.state.now.micros()),
        }
    }

    /// Whether anything may be begun.
    #[inline(always)]
    pub(super) fn is_open(&self) -> bool {
        !S::HOURS || self.state.now >= self.state.session.opens
    }

    /// Goes on to a moment, which is not before now.
    #[inline(always)]
    pub(super) fn go_on_to(&mut self, now: Moment) {
        self.state.now = now;
        if S::HOURS {
            let state = &mut self.state;
            if now >= state.session.closes {
                state.session = self.prepared.shop.calendar.session_at(now);
            }
            let session = &state.session;
            state.time = match now > session.opens {
                true => session.from + (now - session.opens),
                false => session.from,
            };
            self.let_come_and_go();
        }
    }

    /// When the shop opens next, if it is shut and there is something to do, or when anything else changes that something
    /// waits for.
    #[inline(always)]
    pub(super) fn next_chance(&self) -> Moment {
        if !S::HOURS || self.state.orders_open == 0 {
            return Moment::NEVER;
        }
        match self.is_open() {
            false => self.state.session.opens,
            // What may not be interrupted can begin then though nothing else happens until then.
            true if !S::PLAIN && self.prepared.may_not_fit && self.anything_waits() => {
                self.change_waited_for()
            }
            true => Moment::NEVER,
        }
    }

    fn anything_waits(&self) -> bool {
        let state = &self.state;
        !state.manned_waiting.is_empty()
            || !state.unmanned_waiting.is_empty()
            || !state.delivery_places.is_empty()
            || !state.take_offs.is_empty()
    }

    /// When the shop is next opened or closed, or anything else changes that decides what may begin. While it is open,
    /// that is so only where the hour decides anything.
    pub(super) fn next_change_of_hours(&self) -> Moment {
        if !S::HOURS {
            return Moment::NEVER;
        }
        match self.is_open() {
            true if !self.prepared.may_not_fit => Moment::NEVER,
            true => {
                let calendar = &self.prepared.shop.calendar;
                let closing = calendar.closing_after(self.state.now);
                match self.prepared.hours.change_after(self.state.time) {
                    Time::NEVER => closing,
                    change => calendar.end_at(change).min(closing),
                }
            }
            false => self.state.session.opens,
        }
    }

    /// The moment at which what goes on now ends, if that is at this shop time.
    #[inline(always)]
    pub(super) fn end_at(&self, time: Time) -> Moment {
        if !S::HOURS {
            return Moment::from_micros(time.micros());
        }
        let session = &self.state.session;
        let end = session.opens + (time - session.from);
        match end <= session.closes {
            true => end,
            false => self.prepared.shop.calendar.end_at(time),
        }
    }

    /// When a lot has become ready.
    #[inline(always)]
    pub(super) fn ready_time(&self, lot: &Lot) -> Time {
        match S::HOURS {
            true => lot.ready_time,
            false => Time::from_micros(lot.ready.micros()),
        }
    }

    /// Since an order was released: how long the shop was shut, and how many sessions have had working time.
    pub(super) fn hours_since_release(&self, order: &Order) -> (Span, u64) {
        let State {
            now, time, session, ..
        } = &self.state;
        let in_shop_time = *time - order.released_time;
        let calendar = &self.prepared.shop.calendar;
        let mut sessions = 0;
        if in_shop_time > Span::ZERO && !calendar.is_always_open() {
            // At the very beginning of a session none of it has passed.
            let last = session.number - i64::from(*time == session.from);
            sessions = (last - order.released_session + 1) as u64;
        }
        debug_assert_eq!(sessions, calendar.sessions_between(order.released, *now));
        (*now - order.released - in_shop_time, sessions)
    }

    /// The shop time of any moment.
    #[inline(always)]
    pub(super) fn time_of(&self, moment: Moment) -> Time {
        if !S::HOURS {
            return Time::from_micros(moment.micros());
        }
        let session = &self.state.session;
        match moment >= session.opens && moment <= session.closes {
            true => session.from + (moment - session.opens),
            false => self.prepared.shop.calendar.time(moment),
        }
    }
}
