//! Sets of small numbers that are gone through in order: stations with a free unit, idle people.

use std::fmt::Debug;

/// A set of small numbers, 64 to a word.
pub(super) trait Set: Debug + Default {
    /// Makes it a set for the numbers below `size`, with all of them or none.
    fn renew(&mut self, size: usize, full: bool);
    fn insert(&mut self, member: usize);
    fn remove(&mut self, member: usize);
    fn contains(&self, member: usize) -> bool;
    fn is_empty(&self) -> bool;
    /// Into how many words the set is cut.
    fn words(&self) -> usize;
    /// The members from `64 * index` on, as bits.
    fn word(&self, index: usize) -> u64;

    /// The members of both sets in one of these words, as bits.
    #[inline]
    fn both(&self, other: &Self, index: usize) -> u64 {
        self.word(index) & other.word(index)
    }

    /// Whether any member is in both sets.
    #[inline]
    fn meets(&self, other: &Self) -> bool {
        (0..self.words()).any(|index| self.both(other, index) != 0)
    }

    /// The first member that is not smaller than `from`.
    #[inline]
    fn next(&self, from: usize) -> Option<usize> {
        next(self.words(), from, |index| self.word(index))
    }

    /// The first member of both sets that is not smaller than `from`.
    #[inline]
    fn next_of_both(&self, other: &Self, from: usize) -> Option<usize> {
        next(self.words(), from, |index| self.both(other, index))
    }
}

#[inline]
fn next(words: usize, from: usize, word: impl Fn(usize) -> u64) -> Option<usize> {
    let mut mask = u64::MAX << (from % 64);
    for index in from / 64..words {
        let bits = word(index) & mask;
        if bits != 0 {
            return Some(index * 64 + bits.trailing_zeros() as usize);
        }
        mask = u64::MAX;
    }
    None
}

/// So many of the lowest bits, at most 64.
fn lowest(count: usize) -> u64 {
    match count {
        0 => 0,
        _ => u64::MAX >> 64_usize.saturating_sub(count),
    }
}

/// A set of numbers below 64.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct BitSet64(u64);

impl BitSet64 {
    /// So many numbers it can hold.
    pub const SIZE: usize = 64;
}

impl Set for BitSet64 {
    fn renew(&mut self, size: usize, full: bool) {
        debug_assert!(size <= BitSet64::SIZE);
        self.0 = if full { lowest(size) } else { 0 };
    }

    #[inline]
    fn insert(&mut self, member: usize) {
        self.0 |= 1 << (member % 64);
    }

    #[inline]
    fn remove(&mut self, member: usize) {
        self.0 &= !(1 << (member % 64));
    }

    #[inline]
    fn contains(&self, member: usize) -> bool {
        self.0 & (1 << (member % 64)) != 0
    }

    #[inline]
    fn is_empty(&self) -> bool {
        self.0 == 0
    }

    #[inline]
    fn words(&self) -> usize {
        1
    }

    #[inline]
    fn word(&self, _index: usize) -> u64 {
        self.0
    }
}

/// A set of any size.
#[derive(Debug, Clone, Default)]
pub(super) struct BitSet {
    words: Vec<u64>,
    members: usize,
}

impl Set for BitSet {
    fn renew(&mut self, size: usize, full: bool) {
        self.words.clear();
        self.words.resize(size.div_ceil(64), 0);
        self.members = 0;
        if full {
            let left = (0..size).step_by(64).map(|from| lowest(size - from));
            let words = self.words.iter_mut().zip(left);
            words.for_each(|(word, all)| *word = all);
            self.members = size;
        }
    }

    #[inline]
    fn insert(&mut self, member: usize) {
        let bit = 1 << (member % 64);
        let word = &mut self.words[member / 64];
        self.members += usize::from(*word & bit == 0);
        *word |= bit;
    }

    #[inline]
    fn remove(&mut self, member: usize) {
        let bit = 1 << (member % 64);
        let word = &mut self.words[member / 64];
        self.members -= usize::from(*word & bit != 0);
        *word &= !bit;
    }

    #[inline]
    fn contains(&self, member: usize) -> bool {
        self.words[member / 64] & (1 << (member % 64)) != 0
    }

    #[inline]
    fn is_empty(&self) -> bool {
        self.members == 0
    }

    #[inline]
    fn words(&self) -> usize {
        self.words.len()
    }

    #[inline]
    fn word(&self, index: usize) -> u64 {
        self.words[index]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn members_are_those_that_were_put_in_and_not_taken_out() {
        holds_what_a_tree_holds::<BitSet64>(&[1, 2, 63, 64]);
        holds_what_a_tree_holds::<BitSet>(&[1, 63, 64, 65, 128, 129, 200]);
    }

    /// Against the standard library's set, within one word, at its end, and beyond it.
    fn holds_what_a_tree_holds<B: Set>(sizes: &[usize]) {
        for &size in sizes {
            let (mut set, mut expected) = (B::default(), BTreeSet::new());
            set.renew(size, true);
            assert_eq!(set.next(size - 1), Some(size - 1));
            assert_eq!((0..size).filter(|&one| set.contains(one)).count(), size);
            set.renew(size, false);
            assert!(set.is_empty());
            for turn in 0..2000 {
                let member = turn * 7919 % size;
                if turn * turn % 5 < 2 {
                    set.insert(member);
                    expected.insert(member);
                } else {
                    set.remove(member);
                    expected.remove(&member);
                }
                assert_eq!(set.contains(member), expected.contains(&member));
                assert_eq!(set.is_empty(), expected.is_empty());
                let from = turn * 31 % size;
                assert_eq!(set.next(from), expected.range(from..).next().copied());
            }
        }
    }
}
