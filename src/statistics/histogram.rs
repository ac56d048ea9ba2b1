//! Quantiles of many durations in little memory.

use std::collections::VecDeque;

/// How many buckets each doubling of the value is divided into, as a power of two.
const DIVISION_BITS: u32 = 8;

/// How often whole microseconds from 0 to 2^63 - 1 occurred.
///
/// Values below 512 have a bucket each. Above, a bucket is as wide as 1/256 of the power of two
/// at or below it, so any two values in it are within 0.4 % of each other. Only the buckets from
/// the smallest value to the largest one are kept, at most 14 336 (112 KiB).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Histogram {
    /// Which bucket the first count belongs to.
    first: usize,
    /// The first and the last one are not 0.
    counts: VecDeque<u64>,
    count: u64,
    extremes: Option<(i64, i64)>,
}

impl Histogram {
    /// A histogram of no values.
    pub fn new() -> Histogram {
        Histogram::default()
    }

    /// Counts one value.
    ///
    /// # Panics
    /// If the value is negative.
    #[inline]
    pub fn record(&mut self, value: i64) {
        assert!(value >= 0, "a histogram counts no negative value");
        let index = bucket(value);
        if index.wrapping_sub(self.first) >= self.counts.len() {
            self.reach(index);
        }
        self.counts[index - self.first] += 1;
        self.count += 1;
        self.extremes = Some(match self.extremes {
            None => (value, value),
            Some((least, most)) => (least.min(value), most.max(value)),
        });
    }

    /// Counts all values of another histogram; the order of merging does not matter.
    pub fn merge(&mut self, other: &Histogram) {
        if other.counts.is_empty() {
            return;
        }
        self.reach(other.first);
        self.reach(other.first + other.counts.len() - 1);
        // Slices are added several counts at a time.
        let own = &mut self.counts.make_contiguous()[other.first - self.first..];
        let (front, back) = other.counts.as_slices();
        let (own_front, own_back) = own.split_at_mut(front.len());
        for (own, others) in [(own_front, front), (own_back, back)] {
            own.iter_mut()
                .zip(others)
                .for_each(|(own, other)| *own += other);
        }
        self.count += other.count;
        self.extremes = match (self.extremes, other.extremes) {
            (Some(own), Some(others)) => Some((own.0.min(others.0), own.1.max(others.1))),
            (own, others) => own.or(others),
        };
    }

    /// How many values were counted.
    pub fn count(&self) -> u64 {
        self.count
    }

    /// The smallest value, exactly.
    pub fn minimum(&self) -> Option<i64> {
        self.extremes.map(|(least, _)| least)
    }

    /// The largest value, exactly.
    pub fn maximum(&self) -> Option<i64> {
        self.extremes.map(|(_, most)| most)
    }

    /// The `p` quantile, for `p` from 0 to 1, or nothing if no value was counted.
    ///
    /// It is the smallest value that at least the share `p` of all values does not exceed: the one
    /// of rank `⌈p n⌉`, at least 1 (definition 1 of Hyndman and Fan, The American Statistician 50
    /// (1996) 361-365). The first and the last rank are exact. Others are placed within their bucket as if its values
    /// were spread evenly, so that a quantile moves with its rank and not in steps; it is within 0.4 %.
    pub fn quantile(&self, p: f64) -> Option<i64> {
        let (least, most) = self.extremes?;
        let rank = rank(p, self.count);
        if rank == 1 {
            return Some(least);
        }
        if rank == self.count {
            return Some(most);
        }
        let mut up_to = 0;
        let index = self.counts.iter().position(|count| {
            up_to += count;
            up_to >= rank
        })?;
        let inside = self.counts[index];
        let place = rank - (up_to - inside);
        Some(within(self.first + index, place, inside).clamp(least, most))
    }

    /// Keeps the buckets up to this one too, upwards or downwards.
    #[cold]
    fn reach(&mut self, index: usize) {
        if self.counts.is_empty() {
            self.first = index;
        }
        if index < self.first {
            let more = self.first - index;
            self.counts.resize(self.counts.len() + more, 0);
            self.counts.rotate_right(more);
            self.first = index;
        }
        if index >= self.first + self.counts.len() {
            self.counts.resize(index - self.first + 1, 0);
        }
    }
}

/// The rank `⌈p n⌉` of a quantile, from 1 to `count`.
///
/// A product that is off a whole number only by rounding (0.07 × 100 = 7.000000000000001) is that
/// number.
fn rank(p: f64, count: u64) -> u64 {
    let exact = p * count as f64;
    ((exact * (1.0 - 4.0 * f64::EPSILON)).ceil() as u64).clamp(1, count)
}

/// The bucket of a value: the number of bits that are cut off, and the bits that are left.
#[inline]
fn bucket(value: i64) -> usize {
    let bits = value as u64;
    let cut = (u64::BITS - (bits >> (DIVISION_BITS + 1)).leading_zeros()) as usize;
    (cut << DIVISION_BITS) + (bits >> cut) as usize
}

/// Where value number `place` of `count` evenly spread ones lies in a bucket, rounded down.
fn within(index: usize, place: u64, count: u64) -> i64 {
    let cut = (index >> DIVISION_BITS).saturating_sub(1);
    let left = (index - (cut << DIVISION_BITS)) as u64;
    let low = left << cut;
    let width = u128::from((1u64 << cut) - 1);
    let into = width * u128::from(2 * place - 1) / u128::from(2 * count);
    (low + into as u64) as i64
}
