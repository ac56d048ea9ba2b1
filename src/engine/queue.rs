//! Lots that wait for one station and need the same people and gear there.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::fifo::Fifo;

/// Where a lot stands in a queue: by the rule's value, then by the order released first, the line of the project
/// in the file, and the batch. No two lots have the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Rank {
    pub value: i64,
    pub order: u64,
    /// The item in the upper half, the batch in the lower one.
    pub line_and_batch: u64,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Queued<K> {
    rank: K,
    lot: u32,
    stamp: u32,
}

/// The smallest rank first. A lot that several stations can do waits in a queue of each, so an entry may be out of
/// date: it is when the lot's stamp has moved on. Such entries are dropped when they come up, or when they outnumber
/// the good ones.
///
/// Lots mostly come in the order of their ranks, always so under the rule first in, first out: a lot that ranks
/// behind all that came in order is put behind them, and only the others need a heap.
#[derive(Debug)]
pub(super) struct LotQueue<K> {
    in_order: Fifo<Queued<K>>,
    heap: BinaryHeap<Reverse<Queued<K>>>,
    waiting: usize,
}

impl<K: Ord> Default for LotQueue<K> {
    fn default() -> LotQueue<K> {
        LotQueue {
            in_order: Fifo::default(),
            heap: BinaryHeap::new(),
            waiting: 0,
        }
    }
}

impl<K: Ord + Copy> LotQueue<K> {
    /// Forgets all lots.
    pub fn clear(&mut self) {
        self.in_order.clear();
        self.heap.clear();
        self.waiting = 0;
    }

    #[inline]
    pub fn is_empty(&self) -> bool {
        self.waiting == 0
    }

    pub fn len(&self) -> usize {
        self.waiting
    }

    #[inline(always)]
    pub fn push(&mut self, rank: K, lot: u32, stamp: u32) {
        self.waiting += 1;
        self.push_uncounted(rank, lot, stamp);
    }

    /// Likewise where nobody asks how many lots wait, nor whether any do but by
    /// [`peek_unchecked`](Self::peek_unchecked).
    #[inline(always)]
    pub fn push_uncounted(&mut self, rank: K, lot: u32, stamp: u32) {
        let entry = Queued { rank, lot, stamp };
        match self.in_order.last() {
            Some(last) if rank < last.rank => self.push_out_of_order(entry),
            _ => self.in_order.join(entry),
        }
    }

    #[inline(never)]
    fn push_out_of_order(&mut self, entry: Queued<K>) {
        self.heap.push(Reverse(entry));
    }

    /// The first entry, and whether it is in the heap.
    #[inline]
    fn peek(&self) -> Option<(&Queued<K>, bool)> {
        let Some(Reverse(of_heap)) = self.heap.peek() else {
            return self.in_order.first().map(|entry| (entry, false));
        };
        match self.in_order.first() {
            Some(entry) if entry.rank < of_heap.rank => Some((entry, false)),
            _ => Some((of_heap, true)),
        }
    }

    #[inline]
    fn drop_first(&mut self, of_heap: bool) {
        if of_heap {
            self.heap.pop();
        } else {
            self.in_order.leave();
        }
    }

    /// The first lot, if any. Entries that are out of date and stand before it are dropped.
    #[inline]
    pub fn peek_current(&mut self, is_current: impl Fn(u32, u32) -> bool) -> Option<(K, u32)> {
        if self.waiting == 0 {
            return None;
        }
        while let Some((entry, of_heap)) = self.peek() {
            if is_current(entry.lot, entry.stamp) {
                return Some((entry.rank, entry.lot));
            }
            self.drop_first(of_heap);
        }
        None
    }

    /// All lots that wait, the first one first.
    pub fn in_order_of_rank(&self, is_current: impl Fn(u32, u32) -> bool) -> Vec<(K, u32)> {
        let in_heap = self.heap.iter().map(|Reverse(entry)| entry);
        let mut all: Vec<Queued<K>> = (self.in_order.iter().chain(in_heap))
            .filter(|entry| is_current(entry.lot, entry.stamp))
            .copied()
            .collect();
        all.sort_unstable();
        all.into_iter()
            .map(|entry| (entry.rank, entry.lot))
            .collect()
    }

    /// The first lot of a queue whose lots wait nowhere else: none of them is ever out of date.
    #[inline]
    pub fn peek_unchecked(&self) -> Option<(K, u32)> {
        let entry = if self.heap.is_empty() {
            self.in_order.first()?
        } else {
            self.peek()?.0
        };
        Some((entry.rank, entry.lot))
    }

    /// The first lot of such a queue was taken.
    #[inline]
    pub fn pop(&mut self) {
        self.waiting -= 1;
        self.pop_uncounted();
    }

    #[inline]
    pub fn pop_uncounted(&mut self) {
        if self.heap.is_empty() {
            self.in_order.leave();
        } else if let Some((_, of_heap)) = self.peek() {
            self.drop_first(of_heap);
        }
    }

    /// One lot of this queue was taken, here or at another station at which it waited too. Its stamp has moved on, so
    /// that its entry here is out of date: that is dropped at once if it stands first, otherwise when it comes up or
    /// when such entries outnumber the others.
    #[inline]
    pub fn remove(&mut self, lot: u32, is_current: impl Fn(u32, u32) -> bool) {
        self.waiting -= 1;
        match self.peek() {
            Some((entry, of_heap)) if entry.lot == lot => self.drop_first(of_heap),
            _ if self.in_order.len() + self.heap.len() > 2 * self.waiting + 16 => {
                self.heap
                    .retain(|Reverse(entry)| is_current(entry.lot, entry.stamp));
                self.in_order
                    .retain(|entry| is_current(entry.lot, entry.stamp));
            }
            _ => {}
        }
    }
}
