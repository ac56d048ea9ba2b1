//! First in, first out.

/// A line of entries: they join at the end and leave at the front.
///
/// Those that have left keep their place in the list until all have, or until the list is full: so joining and leaving
/// cost a step each, without going round in a ring.
#[derive(Debug)]
pub(super) struct Fifo<T> {
    entries: Vec<T>,
    /// So many have left.
    left: usize,
}

impl<T> Default for Fifo<T> {
    fn default() -> Fifo<T> {
        Fifo {
            entries: Vec::new(),
            left: 0,
        }
    }
}

impl<T> Fifo<T> {
    pub fn clear(&mut self) {
        self.entries.clear();
        self.left = 0;
    }

    #[inline]
    pub fn len(&self) -> usize {
        self.entries.len() - self.left
    }

    #[inline]
    pub fn first(&self) -> Option<&T> {
        self.entries.get(self.left)
    }

    /// All that have not left, the first one first.
    pub fn iter(&self) -> impl Iterator<Item = &T> {
        self.entries[self.left..].iter()
    }

    /// The last entry. An empty line has none, since then nobody's place is kept.
    #[inline]
    pub fn last(&self) -> Option<&T> {
        self.entries.last()
    }

    #[inline]
    pub fn join(&mut self, entry: T) {
        if self.entries.len() == self.entries.capacity() {
            self.make_room();
        }
        self.entries.push(entry);
    }

    /// The first entry leaves; there is one.
    #[inline]
    pub fn leave(&mut self) {
        self.left += 1;
        if self.left >= self.entries.len() {
            self.entries.clear();
            self.left = 0;
        }
    }

    pub fn retain(&mut self, stays: impl FnMut(&T) -> bool) {
        self.give_up_places();
        self.entries.retain(stays);
    }

    /// Takes the places of those that have left, if they are most of them; if not, the list may grow.
    #[cold]
    fn make_room(&mut self) {
        if self.left > self.entries.len() / 2 {
            self.give_up_places();
        }
    }

    fn give_up_places(&mut self) {
        self.entries.drain(..self.left);
        self.left = 0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::VecDeque;

    /// Against the standard library's queue, through times of growing and of shrinking.
    #[test]
    fn entries_leave_in_the_order_in_which_they_joined() {
        let (mut line, mut expected) = (Fifo::default(), VecDeque::new());
        let mut next = 0;
        for turn in 0..5000_usize {
            for _ in 0..(turn / 100 % 3) * (turn % 5) {
                line.join(next);
                expected.push_back(next);
                assert_eq!(line.last(), Some(&next));
                next += 1;
            }
            if expected.pop_front().is_some() {
                line.leave();
            }
            assert_eq!(line.len(), expected.len());
            assert_eq!(line.first(), expected.front());
            if turn % 97 == 0 {
                line.retain(|entry| entry % 3 != 0);
                expected.retain(|entry| entry % 3 != 0);
            }
        }
        assert!(next > 5000, "{next} have joined");
    }

    #[test]
    fn memory_does_not_grow_with_those_that_have_left() {
        let mut line = Fifo::default();
        (0..10).for_each(|entry| line.join(entry));
        for entry in 10..100_000 {
            line.join(entry);
            line.leave();
        }
        assert_eq!((line.len(), line.first()), (10, Some(&99_990)));
        assert!(line.entries.capacity() <= 32);
    }
}
