//! What happens next: planned events, the earliest first.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::units::Time;

/// Something that is planned to happen; the number says to which one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Event {
    /// A task's run and tear-down are over.
    TaskEnds(u32),
    /// A task's cure is over.
    CureEnds(u32),
    /// Somebody has brought what a station that works alone needs.
    CarrierFree(u32),
    /// A cart has been unloaded for the last time in a task.
    CartFree(u32),
    /// A finished lot has been brought to where it is delivered to.
    Delivered(u32),
    /// An order line releases an order.
    Release(u32),
}

impl Event {
    #[inline]
    fn pack(self) -> u64 {
        let (kind, index) = match self {
            Event::TaskEnds(task) => (0, task),
            Event::CureEnds(task) => (1, task),
            Event::CarrierFree(person) => (2, person),
            Event::CartFree(cart) => (3, cart),
            Event::Delivered(task) => (4, task),
            Event::Release(line) => (5, line),
        };
        (kind << 32) | u64::from(index)
    }

    #[inline]
    fn unpack(packed: u64) -> Event {
        let index = packed as u32;
        match packed >> 32 {
            0 => Event::TaskEnds(index),
            1 => Event::CureEnds(index),
            2 => Event::CarrierFree(index),
            3 => Event::CartFree(index),
            4 => Event::Delivered(index),
            _ => Event::Release(index),
        }
    }
}

/// A heap by time. The order among events of one instant is fixed, but decides nothing: all of them are handled
/// before anybody chooses, and releases are put in the order of their lines.
///
/// The end of a task is mostly both planned last and due first, so the earliest event may stay outside the heap.
#[derive(Debug, Default)]
pub(super) struct Agenda {
    /// Earlier than everything in the heap.
    first: Option<i128>,
    /// The instant in the upper half, the event in the lower one: one comparison orders both.
    heap: BinaryHeap<Reverse<i128>>,
}

impl Agenda {
    #[inline]
    pub fn plan(&mut self, at: Time, event: Event) {
        let planned = i128::from(at.micros()) << 64 | i128::from(event.pack());
        if self.peek().is_some_and(|earliest| earliest < planned) {
            self.heap.push(Reverse(planned));
        } else if let Some(before) = self.first.replace(planned) {
            self.heap.push(Reverse(before));
        }
    }

    #[inline]
    fn peek(&self) -> Option<i128> {
        self.first
            .or_else(|| self.heap.peek().map(|&Reverse(planned)| planned))
    }

    #[inline]
    pub fn next_time(&self) -> Option<Time> {
        self.peek().map(instant)
    }

    /// The next event of the instant `now`, if there is one.
    #[inline]
    pub fn next_at(&mut self, now: Time) -> Option<Event> {
        let planned = self.peek()?;
        if instant(planned) != now {
            return None;
        }
        if self.first.take().is_none() {
            self.heap.pop();
        }
        Some(Event::unpack(planned as u64))
    }
}

#[inline]
fn instant(planned: i128) -> Time {
    Time::from_micros((planned >> 64) as i64)
}
