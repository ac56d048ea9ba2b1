//! When all units of a pool are active at once.

use std::collections::VecDeque;

use crate::units::Time;

/// Several machines or people of whom any can do the next piece of work.
///
/// Times are told unit by unit and may lie in the future; what all units have in common is passed on when it is known.
#[derive(Debug)]
pub(super) struct Pool {
    /// The active times of each unit behind the settled time, apart from each other and in order.
    units: Vec<VecDeque<(Time, Time)>>,
    settled: Time,
}

impl Pool {
    pub fn new(units: usize) -> Pool {
        Pool {
            units: vec![VecDeque::new(); units],
            settled: Time::START,
        }
    }

    pub fn is_single(&self) -> bool {
        self.units.len() == 1
    }

    /// A unit is active from `start` to `end`. For one unit, times come in the order of their beginnings.
    pub fn active(&mut self, unit: usize, start: Time, end: Time) {
        if end <= start {
            return;
        }
        let times = &mut self.units[unit];
        match times.back_mut() {
            Some(last) if start <= last.1 => last.1 = last.1.max(end),
            _ => times.push_back((start, end)),
        }
    }

    /// Tells the times up to `now` in which all units are active, and forgets all that lies before. Nothing that is
    /// told later may begin before `now`. A time that goes on is told in parts that touch.
    pub fn settle(&mut self, now: Time, mut tell: impl FnMut(Time, Time)) {
        while self.settled < now {
            let (mut start, mut end) = (self.settled, now);
            for times in &mut self.units {
                while times.front().is_some_and(|time| time.1 <= self.settled) {
                    times.pop_front();
                }
                // An idle unit is the next time that it is active for no time at all.
                let (begins, ends) = times.front().copied().unwrap_or((now, now));
                start = start.max(begins);
                end = end.min(ends);
            }
            // Up to here one unit has nothing that all could share, or all share it.
            if start < end {
                tell(start, end);
            }
            self.settled = end;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(instant: i64) -> Time {
        Time::from_micros(instant)
    }

    /// A is active [0,4) [4,9) [12,20), B [2,3) [5,14) and C [1,30): all are [2,3) [5,9) [12,14).
    #[test]
    fn what_all_units_have_in_common_is_told_in_parts() {
        let mut pool = Pool::new(3);
        let mut told = Vec::new();
        let mut settle = |pool: &mut Pool, now: i64| {
            pool.settle(at(now), |start, end| {
                told.push((start.micros(), end.micros()));
            });
        };
        for (unit, start, end) in [(0, 0, 4), (1, 2, 3), (2, 1, 30), (0, 4, 9)] {
            pool.active(unit, at(start), at(end));
        }
        settle(&mut pool, 3);
        settle(&mut pool, 3);
        pool.active(1, at(5), at(14));
        settle(&mut pool, 7);
        pool.active(0, at(12), at(20));
        settle(&mut pool, 25);
        assert_eq!(told, [(2, 3), (5, 7), (7, 9), (12, 14)]);
    }

    #[test]
    fn memory_does_not_grow_with_the_run() {
        let mut pool = Pool::new(3);
        let mut shared = 0;
        for step in 0..10_000 {
            let now = 10 * step;
            pool.settle(at(now), |start, end| shared += (end - start).micros());
            let held: usize = pool.units.iter().map(VecDeque::len).sum();
            assert!(held <= 1, "{held} times are held");
            pool.active(0, at(now), at(now + 10));
            pool.active(1, at(now + 2), at(now + 4));
            pool.active(1, at(now + 5), at(now + 9));
            pool.active(2, at(now + 3), at(now + 8));
        }
        // Of each ten [3,4) and [5,8), but for the last.
        assert_eq!(shared, 4 * 9_999);
    }
}
