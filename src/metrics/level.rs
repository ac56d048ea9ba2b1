//! A level over time, such as the length of a queue.

use std::hint::select_unpredictable;

use crate::units::{Moment, Time};

/// An instant of shop time or of the calendar.
pub trait Instant: Copy + Ord {
    fn micros(self) -> i64;
}

impl Instant for Time {
    #[inline(always)]
    fn micros(self) -> i64 {
        Time::micros(self)
    }
}

impl Instant for Moment {
    #[inline(always)]
    fn micros(self) -> i64 {
        Moment::micros(self)
    }
}

/// A whole number that changes in time, and the area under it, which is summed exactly in 128 bits.
///
/// Only the time from the start of measuring on counts; the level may have changed before. Instants do not go back.
#[derive(Debug, Clone, Copy)]
pub struct TimeWeightedLevel<T = Time> {
    now: i64,
    /// When it last changed; not before the measured time.
    since: T,
    /// The instants of all falls less those of all rises, each by as much as the level changed, in microseconds. With
    /// the present level times the present instant this is the area under the level.
    falls_less_rises: i128,
    max: i64,
}

impl<T: Instant> TimeWeightedLevel<T> {
    /// A level of 0 that is measured from an instant on.
    pub fn measured_from(from: T) -> TimeWeightedLevel<T> {
        TimeWeightedLevel {
            now: 0,
            since: from,
            falls_less_rises: 0,
            max: 0,
        }
    }

    #[inline(always)]
    pub fn rise(&mut self, at: T) {
        let at = self.settle(at);
        self.falls_less_rises -= i128::from(at.micros());
        self.now += 1;
    }

    #[inline(always)]
    pub fn fall(&mut self, at: T) {
        let at = self.settle(at);
        self.falls_less_rises += i128::from(at.micros());
        self.now -= 1;
    }

    /// The area under the level up to the instant at which it was settled, in levels times microseconds.
    pub fn area(&self) -> i128 {
        self.falls_less_rises + i128::from(self.now) * i128::from(self.since.micros())
    }

    /// The highest level that lasted up to the instant at which it was settled; 0 if none did.
    pub fn max(&self) -> i64 {
        self.max
    }

    /// Lets the level last until an instant, and says from when on it counts further.
    ///
    /// A level that lasted no time within the measured time counts for nothing, also as a maximum: what an instant
    /// looks like halfway depends on the order of its events. Whether it lasted is not asked, since nothing foretells
    /// it.
    #[inline(always)]
    pub fn settle(&mut self, at: T) -> T {
        let lasted = at > self.since;
        self.max = self.max.max(select_unpredictable(lasted, self.now, 0));
        self.since = select_unpredictable(lasted, at, self.since);
        self.since
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use proptest::test_runner::RngSeed;

    use super::*;

    fn time(micros: i64) -> Time {
        Time::from_micros(micros)
    }

    fn measured_from(micros: i64) -> TimeWeightedLevel {
        TimeWeightedLevel::measured_from(time(micros))
    }

    /// Rises or falls by so much at once.
    fn change(level: &mut TimeWeightedLevel, at: i64, by: i64) {
        for _ in 0..by.abs() {
            if by > 0 {
                level.rise(time(at));
            } else {
                level.fall(time(at));
            }
        }
    }

    /// The area and the maximum until an instant.
    fn until(level: &TimeWeightedLevel, at: i64) -> (i128, i64) {
        let mut settled = *level;
        settled.settle(time(at));
        (settled.area(), settled.max())
    }

    /// A queue of 1 from 0 to 10, 3 to 14, 2 to 20 and 0 to 30, by hand.
    #[test]
    fn a_level_is_weighted_by_the_time_it_lasts() {
        let mut queue = measured_from(0);
        change(&mut queue, 0, 1);
        change(&mut queue, 10, 2);
        change(&mut queue, 14, -1);
        change(&mut queue, 20, -2);
        assert_eq!(until(&queue, 30), (10 + 12 + 12, 3));
        assert_eq!(until(&queue, 30).0 as f64 / 30.0, 34.0 / 30.0);
        assert_eq!(queue.now, 0);
    }

    #[test]
    fn only_the_measured_time_counts() {
        let mut queue = measured_from(12);
        change(&mut queue, 0, 1);
        change(&mut queue, 3, 6);
        change(&mut queue, 10, -4);
        assert_eq!(until(&queue, 12), (0, 0));
        change(&mut queue, 14, -1);
        assert_eq!(until(&queue, 20), (3 * 2 + 2 * 6, 3));
    }

    #[test]
    fn a_level_that_lasts_no_time_is_no_maximum() {
        let mut queue = measured_from(0);
        change(&mut queue, 5, 1);
        change(&mut queue, 5, -1);
        assert_eq!(until(&queue, 9), (0, 0));
    }

    /// The largest level over the longest time: nothing overflows.
    #[test]
    fn areas_are_exact_beyond_64_bits() {
        let level = TimeWeightedLevel {
            now: i64::MAX,
            falls_less_rises: -i128::from(i64::MAX) * i128::from(i64::MIN),
            ..measured_from(i64::MIN)
        };
        let (area, most) = until(&level, i64::MAX);
        assert_eq!(area, i128::from(i64::MAX) * i128::from(u64::MAX));
        assert_eq!(most, i64::MAX);
        assert_eq!(area as f64 / u64::MAX as f64, i64::MAX as f64);
    }

    proptest! {
        #![proptest_config(ProptestConfig {
            rng_seed: RngSeed::Fixed(1), failure_persistence: None, ..Default::default()
        })]

        #[test]
        fn levels_agree_with_a_sum_over_the_instants(
            steps in prop::collection::vec((0i64..6, -3i64..4), 1..60),
            from in 0i64..40,
        ) {
            let mut level = measured_from(from);
            let (mut now, mut at_each) = (0, vec![]);
            for &(wait, by) in &steps {
                at_each.extend((0..wait).map(|_| level.now));
                now += wait;
                change(&mut level, now, by);
            }
            let measured = at_each.get(from as usize..).unwrap_or(&[]);
            let area = measured.iter().map(|&l| i128::from(l)).sum::<i128>();
            // No queue is shorter than 0, so a lower level is no maximum.
            let most = measured.iter().copied().max().map_or(0, |most| most.max(0));
            prop_assert_eq!(until(&level, now), (area, most));
        }
    }
}
