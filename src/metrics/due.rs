//! What is due when: the earliest first, and what falls on one instant in the order in which it was planned.

use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

use crate::units::Time;

/// So many of the next changes stand in order; it costs little to put one more among them.
const SOON: usize = 32;

/// Changes by time. Mostly few are planned, and they stand in a short list; only what comes behind them is kept in a
/// heap.
#[derive(Debug, Clone)]
pub(super) struct Due<T> {
    /// The earliest one last.
    soon: Vec<DueChange<T>>,
    /// What is not earlier than all of these.
    later: BinaryHeap<Reverse<DueChange<T>>>,
    planned: u64,
}

#[derive(Debug, Clone, Copy)]
struct DueChange<T> {
    at: Time,
    nth: u64,
    what: T,
}

impl<T> DueChange<T> {
    #[inline]
    fn key(&self) -> (Time, u64) {
        (self.at, self.nth)
    }
}

impl<T> PartialEq for DueChange<T> {
    fn eq(&self, other: &DueChange<T>) -> bool {
        self.key() == other.key()
    }
}

impl<T> Eq for DueChange<T> {}

impl<T> PartialOrd for DueChange<T> {
    fn partial_cmp(&self, other: &DueChange<T>) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl<T> Ord for DueChange<T> {
    fn cmp(&self, other: &DueChange<T>) -> Ordering {
        self.key().cmp(&other.key())
    }
}

impl<T: Copy> Due<T> {
    pub fn new() -> Due<T> {
        Due {
            soon: Vec::with_capacity(SOON + 1),
            later: BinaryHeap::new(),
            planned: 0,
        }
    }

    /// Forgets all changes.
    pub fn clear(&mut self) {
        self.soon.clear();
        self.later.clear();
        self.planned = 0;
    }

    #[inline]
    pub fn push(&mut self, at: Time, what: T) {
        let nth = self.planned;
        self.planned += 1;
        let planned = DueChange { at, nth, what };
        let is_next = self.soon.last().is_none_or(|next| next.at > at);
        if is_next && self.soon.len() < SOON {
            self.soon.push(planned);
        } else {
            self.push_among_others(planned);
        }
    }

    fn push_among_others(&mut self, planned: DueChange<T>) {
        // Of equal instants what is planned later comes later, so the list need not be asked for numbers.
        let is_behind = |other: &DueChange<T>| other.at <= planned.at;
        if !self.later.is_empty() && self.soon.first().is_none_or(is_behind) {
            self.later.push(Reverse(planned));
            return;
        }
        self.soon.push(planned);
        // The list is short: one by one is quicker than all at once.
        let mut place = self.soon.len() - 1;
        while place > 0 && is_behind(&self.soon[place - 1]) {
            self.soon[place] = self.soon[place - 1];
            place -= 1;
        }
        self.soon[place] = planned;
        if self.soon.len() > SOON {
            self.later.push(Reverse(self.soon.remove(0)));
        }
    }

    /// Whether a change is due up to an instant.
    #[inline]
    pub fn comes_until(&self, now: Time) -> bool {
        self.soon.last().is_some_and(|next| next.at <= now)
    }

    /// The next change up to an instant.
    #[inline]
    pub fn pop_until(&mut self, now: Time) -> Option<(Time, T)> {
        if self.soon.last()?.at > now {
            return None;
        }
        let next = self.soon.pop()?;
        if self.soon.is_empty() && !self.later.is_empty() {
            self.bring_near();
        }
        Some((next.at, next.what))
    }

    #[cold]
    fn bring_near(&mut self) {
        while self.soon.len() < SOON / 2
            && let Some(Reverse(next)) = self.later.pop()
        {
            self.soon.insert(0, next);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against sorting, with instants that fall together and more changes than stand in order.
    #[test]
    fn changes_come_in_the_order_of_time_and_then_as_planned() {
        let mut due = Due::new();
        let mut expected = Vec::new();
        let mut state = 1u64;
        let mut now = 0;
        for nth in 0..2000u32 {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            let at = now + (state >> 33) as i64 % 50;
            due.push(Time::from_micros(at), nth);
            expected.push((at, nth));
            if nth % 100 == 99 {
                now += 20;
                expected.sort_unstable();
                while let Some((at, what)) = due.pop_until(Time::from_micros(now)) {
                    assert_eq!((at.micros(), what), expected.remove(0));
                }
                assert!(expected.first().is_none_or(|next| next.0 > now));
                assert_eq!(due.soon.is_empty(), expected.is_empty());
            }
        }
        assert!(expected.len() > SOON);
    }
}
