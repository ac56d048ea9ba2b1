//! Arrivals that a search for walks has still to look at, the shortest first.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Arrivals are put in order a stretch of lengths at a time, in metres: most lie far ahead, and many of those are never
/// looked at.
const STRETCH_M: f64 = 0.1;
/// What is longer than so many stretches is in the last one.
const MOST_STRETCHES: usize = 4096;

/// No arrival.
const NONE: u32 = u32::MAX;

/// By length, then by rank, then by number.
type ArrivalKey = (u64, u32, u32);

/// An arrival of a stretch that lies ahead, and the next one of it.
#[derive(Debug, Clone, Copy)]
struct Ahead {
    arrival: ArrivalKey,
    next: u32,
}

/// Arrivals in the order of their lengths in metres, which are never shorter than what has been taken.
#[derive(Debug, Default)]
pub(super) struct ArrivalQueue {
    /// Of the stretches up to this one, in order.
    near: BinaryHeap<Reverse<ArrivalKey>>,
    stretch: usize,
    /// The first of each stretch that lies ahead.
    first: Vec<u32>,
    ahead: Vec<Ahead>,
}

impl ArrivalQueue {
    pub fn clear(&mut self) {
        self.near.clear();
        self.stretch = 0;
        self.first.clear();
        self.ahead.clear();
    }

    #[inline]
    pub fn push(&mut self, length: f64, rank: u32, number: u32) {
        // Lengths are never negative, so their bits are ordered as they are.
        let arrival = (length.to_bits(), rank, number);
        let stretch = ((length / STRETCH_M) as usize).min(MOST_STRETCHES - 1);
        if stretch <= self.stretch {
            self.near.push(Reverse(arrival));
            return;
        }
        if stretch >= self.first.len() {
            self.first.resize(stretch + 1, NONE);
        }
        let next = std::mem::replace(&mut self.first[stretch], self.ahead.len() as u32);
        self.ahead.push(Ahead { arrival, next });
    }

    /// The shortest, with its length and its number.
    #[inline]
    pub fn pop(&mut self) -> Option<(f64, u32)> {
        while self.near.is_empty() {
            self.stretch += 1;
            let mut next = *self.first.get(self.stretch)?;
            while let Some(&Ahead {
                arrival,
                next: after,
            }) = self.ahead.get(next as usize)
            {
                self.near.push(Reverse(arrival));
                next = after;
            }
        }
        let Reverse((length, _, number)) = self.near.pop()?;
        Some((f64::from_bits(length), number))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The plain way: all in one heap.
    #[test]
    fn arrivals_come_in_the_order_of_one_heap() {
        let mut random = 1_u64;
        let mut drawn = |most: u64| {
            random = random
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            (random >> 33) % most
        };
        let mut arrivals = ArrivalQueue::default();
        for reach in [1e-3, 0.3, 20.0, 1e6] {
            arrivals.clear();
            let mut heap = BinaryHeap::new();
            let mut least = 0.0;
            for number in 0..5_000 {
                // Some are as long as others, and some as long as what was just taken.
                let length = least + reach * drawn(40) as f64 / 40.0;
                let rank = drawn(3) as u32;
                arrivals.push(length, rank, number);
                heap.push(Reverse((length.to_bits(), rank, number)));
                if drawn(3) > 0 {
                    let taken = arrivals.pop();
                    let expected = heap.pop().map(|Reverse((bits, _, number))| (bits, number));
                    assert_eq!(
                        taken.map(|(length, number)| (length.to_bits(), number)),
                        expected
                    );
                    least = taken.map_or(least, |(length, _)| length);
                }
            }
            while let Some((length, number)) = arrivals.pop() {
                let expected = heap.pop().map(|Reverse((bits, _, number))| (bits, number));
                assert_eq!(Some((length.to_bits(), number)), expected);
            }
            assert!(heap.is_empty());
        }
    }
}
