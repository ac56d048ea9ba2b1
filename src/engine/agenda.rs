//! What happens next: planned events, the earliest first.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::shop::{OrderLineId, PersonId};
use crate::units::Time;

/// Something that is planned to happen; the number says to which one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Event {
    /// A task's run and tear-down are over.
    TaskEnds(u32),
    /// A task's cure is over.
    CureEnds(u32),
    /// Somebody has brought what a station that works alone needs.
    CarrierFree(PersonId),
    /// A cart has been unloaded for the last time in a task.
    CartFree(u32),
    /// A finished lot has been brought to where it is delivered to.
    Delivered(u32),
    /// An order line releases an order.
    Release(OrderLineId),
}

impl Event {
    #[inline]
    fn pack(self) -> u64 {
        let (kind, index) = match self {
            Event::TaskEnds(task) => (0, task),
            Event::CureEnds(task) => (1, task),
            Event::CarrierFree(person) => (2, person.0),
            Event::CartFree(cart) => (3, cart),
            Event::Delivered(task) => (4, task),
            Event::Release(line) => (5, line.0),
        };
        (kind << 32) | u64::from(index)
    }

    #[inline]
    fn unpack(packed: u64) -> Event {
        let index = packed as u32;
        match packed >> 32 {
            0 => Event::TaskEnds(index),
            1 => Event::CureEnds(index),
            2 => Event::CarrierFree(PersonId(index)),
            3 => Event::CartFree(index),
            4 => Event::Delivered(index),
            _ => Event::Release(OrderLineId(index)),
        }
    }
}

/// So many of the next events stand in order; it costs little to put one more among them.
const SOON: usize = 16;

/// The events by time. The order among events of one instant is fixed, but decides nothing: all of them are handled
/// before anybody chooses, and releases are put in the order of their lines.
///
/// What is planned last is mostly due first (the end of a task), and a small shop has few events planned. So the next
/// ones stand in a short list, and only what comes behind them is kept in a heap.
#[derive(Debug, Default)]
pub(super) struct Agenda {
    /// The earliest one last. Empty only if nothing is planned.
    soon: Vec<Planned>,
    /// What is later than all of these.
    later: BinaryHeap<Reverse<Planned>>,
}

/// An event and its instant. The instant is in the upper half, so that one comparison orders both.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Planned(i128);

impl Planned {
    #[inline]
    fn new(at: Time, event: Event) -> Planned {
        Planned(i128::from(at.micros()) << 64 | i128::from(event.pack()))
    }

    #[inline]
    fn at(self) -> Time {
        Time::from_micros((self.0 >> 64) as i64)
    }

    #[inline]
    fn event(self) -> Event {
        Event::unpack(self.0 as u64)
    }
}

impl Agenda {
    #[inline(always)]
    pub fn plan(&mut self, at: Time, event: Event) {
        let planned = Planned::new(at, event);
        if self.soon.last().is_none_or(|next| planned < *next) {
            self.soon.push(planned);
            if self.soon.len() > SOON {
                self.put_off_last();
            }
        } else {
            self.plan_behind(planned);
        }
    }

    /// Plans an event that is not the next one.
    #[inline(never)]
    fn plan_behind(&mut self, planned: Planned) {
        let last_soon = self.soon.first();
        if last_soon.is_some_and(|last| *last < planned) && !self.later.is_empty() {
            self.later.push(Reverse(planned));
            return;
        }
        self.soon.push(planned);
        for place in (1..self.soon.len()).rev() {
            if self.soon[place - 1] > planned {
                break;
            }
            self.soon.swap(place - 1, place);
        }
        if self.soon.len() > SOON {
            self.put_off_last();
        }
    }

    /// The last event of the list goes into the heap.
    #[cold]
    fn put_off_last(&mut self) {
        self.later.push(Reverse(self.soon.remove(0)));
    }

    #[inline]
    pub fn next_time(&self) -> Option<Time> {
        self.soon.last().map(|planned| planned.at())
    }

    /// Takes the next event, if one is planned.
    #[inline]
    pub fn take_next(&mut self) -> Option<Event> {
        let planned = self.soon.pop()?;
        if self.soon.is_empty() && !self.later.is_empty() {
            self.look_ahead();
        }
        Some(planned.event())
    }

    /// Takes the next events out of the heap.
    #[cold]
    fn look_ahead(&mut self) {
        let next = std::iter::from_fn(|| self.later.pop()).take(SOON / 2);
        self.soon.extend(next.map(|Reverse(planned)| planned));
        self.soon.reverse();
    }
}
