//! Lots that wait for a station or for somebody to deliver them: into their queues and out of them.

use super::bitset::Set;
use super::prepared_shop::PreparedChoice;
use super::recorder::Recorder;
use super::simulation::Simulation;
use super::specialization::Specialization;
use super::state::Lot;
use super::task::job;
use crate::shop::{OrderLineId, PlaceId, QueueRule};

impl<'s, 'a, R: Recorder + ?Sized, S: Specialization> Simulation<'s, 'a, R, S> {
    /// A lot joins the queues of all stations that can do its next operation.
    #[inline(always)]
    pub(super) fn enqueue(&mut self, slot: u32, lot: Lot) {
        let prepared = self.prepared;
        let (now, time) = (self.state.now, self.time());
        let choices = self.choices_from(lot.at);
        if let Some(first) = choices.first() {
            self.recorder.ready(&job(slot, &lot, first), time, now);
        }
        let mut needs_nobody = !S::IN_TURN && !choices.is_empty();
        for choice in choices {
            if S::IN_TURN {
                let rank = lot.rank(now.micros());
                self.state
                    .single_queue
                    .push_uncounted(rank, slot, lot.stamp);
                self.recorder.queued(choice.station, time);
                continue;
            }
            let station = choice.station.index();
            let value = match prepared.shop.rules.queue {
                QueueRule::Fifo => now.micros(),
                _ => self.queue_value(lot, choice),
            };
            let (queue, alone) = self.queue_for(slot, lot, choice);
            needs_nobody &= alone;
            let waiting = &mut self.state.queues[queue];
            if alone {
                self.state.unmanned_waiting.insert(station);
            }
            if !alone || S::STOPS && choice.has_run_stops {
                self.state.manned_waiting.insert(station);
            }
            waiting.push(lot.rank(value), slot, lot.stamp);
            // It may go to the front, even before one that became ready at the same instant.
            if S::PLAIN
                && !alone
                && let Some((rank, first)) = waiting.peek_unchecked()
            {
                self.state.heads[station] = (rank.value, first);
            }
            self.recorder.queued(choice.station, time);
        }
        if needs_nobody && let Some(first) = choices.first() {
            self.recorder.needs_nobody(&job(slot, &lot, first), time);
        }
    }

    fn queue_value(&self, lot: Lot, choice: &PreparedChoice) -> i64 {
        let ready = lot.ready.micros();
        let due = self.due(&lot);
        self.prepared
            .queue_value(lot.at, choice, lot.pieces, ready, due)
    }

    /// The choices of a step from its first on.
    #[inline]
    pub(super) fn choices_from(&self, first: u32) -> &'s [PreparedChoice<'a>] {
        if S::PLAIN {
            std::slice::from_ref(self.prepared.choice_at(first))
        } else {
            self.prepared.choices_from(first)
        }
    }

    /// The queue in which a lot waits for this choice, and whether that is one of lots that need nobody.
    #[inline]
    fn queue_for(&self, slot: u32, lot: Lot, choice: &PreparedChoice) -> (usize, bool) {
        match choice.unmanned_queue {
            Some(queue) if self.lies_ready(slot, lot, choice) => (queue, true),
            _ => (choice.queue, false),
        }
    }

    /// Whether nothing has to be brought for this lot to be worked on at the station, or bringing it takes no time.
    #[inline]
    fn lies_ready(&self, slot: u32, lot: Lot, choice: &PreparedChoice) -> bool {
        let here = choice.here;
        if !S::PLAIN && lot.unassembled {
            return (self.inputs_of(slot)).all(|input| {
                let input = self.state.lots[input];
                let finished = &self.prepared.items[input.item as usize];
                self.comes_at_once(input, finished.carry, here)
            });
        }
        self.comes_at_once(lot, choice.carry, here)
    }

    /// Whether bringing a lot takes no time, of which so many pieces are carried at once.
    fn comes_at_once(&self, lot: Lot, at_once: u32, to: PlaceId) -> bool {
        let prepared = self.prepared;
        self.is_at(lot.place, to)
            || prepared.pick_up.is_zero() && prepared.put_down.is_zero() && {
                let carries = lot.pieces.div_ceil(at_once);
                self.travel.carries_take_no_time(carries, lot.place, to)
            }
    }

    /// Microseconds; the largest number if nothing is due.
    pub(super) fn due(&self, lot: &Lot) -> i64 {
        let order = &self.state.orders[lot.order];
        let line = &self.prepared.shop.orders[OrderLineId(order.line)];
        line.due
            .map_or(i64::MAX, |due| (order.released + due).micros())
    }

    /// Takes a lot out of the queues in which it waits; it has been chosen for work that needs nobody if `alone`.
    /// Where stamps count, its own has moved on.
    #[inline(always)]
    pub(super) fn take_from_queues(
        &mut self,
        slot: u32,
        lot: Lot,
        choices: &[PreparedChoice],
        alone: bool,
    ) {
        let (now, ready) = (self.time(), self.ready_time(&lot));
        for choice in choices {
            if S::IN_TURN {
                self.state.single_queue.pop_uncounted();
                self.recorder.unqueued(choice.station, ready, now);
                continue;
            }
            let (queue, alone) = match choice.unmanned_queue {
                // A plain lot waits in one queue, so it is the one from which it was chosen.
                Some(queue) if S::PLAIN && alone => (queue, true),
                _ if S::PLAIN => (choice.queue, false),
                _ => self.queue_for(slot, lot, choice),
            };
            let waiting = &mut self.state.queues[queue];
            if S::PLAIN || self.prepared.is_plain_queue[queue] {
                waiting.pop();
            } else {
                let lots = &self.state.lots;
                waiting.remove(slot, |lot, stamp| lots[lot].stamp == stamp);
            }
            let station = choice.station.index();
            let next = if S::PLAIN {
                waiting.peek_unchecked()
            } else {
                None
            };
            if let Some((rank, next)) = next {
                // The heads are what stations offer to people; lots that need nobody are not among them.
                if !alone {
                    self.state.heads[station] = (rank.value, next);
                }
            } else if S::PLAIN || !self.lots_wait_at(station, alone) {
                match alone {
                    true => self.state.unmanned_waiting.remove(station),
                    false => self.state.manned_waiting.remove(station),
                }
                if S::STOPS && alone && !self.lots_wait_at(station, false) {
                    self.state.manned_waiting.remove(station);
                }
            }
            self.recorder.unqueued(choice.station, ready, now);
        }
    }

    /// Whether lots wait at the station, for work that needs nobody or for other work.
    fn lots_wait_at(&self, station: usize, alone: bool) -> bool {
        let of_station = match alone {
            true => &self.prepared.unmanned[station],
            false => &self.prepared.manned[station],
        };
        let waits = |&queue: &usize| !self.state.queues[queue].is_empty();
        // What needs nobody needs somebody where upkeep falls due.
        let may_need_somebody = !alone && S::STOPS && self.prepared.has_upkeep[station];
        of_station.iter().any(waits)
            || may_need_somebody && self.prepared.unmanned[station].iter().any(waits)
    }

    pub(super) fn enqueue_for_delivery(&mut self, slot: u32) {
        let value = self.delivery_value(slot);
        let lot = &self.state.lots[slot];
        let (job, time) = (self.delivery_job(slot, lot), self.time());
        self.recorder.ready(&job, time, self.state.now);
        let (rank, place) = (lot.rank(lot.ready.micros()), lot.place.index());
        self.state.deliveries[place].push((value, rank), slot, lot.stamp);
        self.state.delivery_places.insert(place);
    }
}
