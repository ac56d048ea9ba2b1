//! The mean of a level over time, such as the length of a queue.

/// A whole-number level that changes at whole instants.
///
/// The area under the level is summed exactly in 128 bits. Only the time from the start of
/// measuring on counts; the level may have changed before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TimeWeighted {
    from: i64,
    level: i64,
    since: i64,
    area: i128,
    maximum: Option<i64>,
}

impl TimeWeighted {
    /// A level of 0 that is measured from the instant `from` (µs) on.
    pub fn measured_from(from: i64) -> TimeWeighted {
        TimeWeighted {
            from,
            level: 0,
            since: from,
            area: 0,
            maximum: None,
        }
    }

    /// The present level.
    #[inline]
    pub fn level(&self) -> i64 {
        self.level
    }

    /// Sets the level at the instant `now` (µs). Instants do not go back; one before the start of
    /// measuring counts as the start.
    #[inline]
    pub fn set(&mut self, now: i64, level: i64) {
        self.pass(now);
        self.level = level;
    }

    /// Changes the level by `by` at the instant `now` (µs).
    #[inline]
    pub fn change(&mut self, now: i64, by: i64) {
        self.set(now, self.level + by);
    }

    /// The area under the level until the instant `until` (µs), in level times µs.
    pub fn area(&self, until: i64) -> i128 {
        let mut closed = *self;
        closed.pass(until);
        closed.area
    }

    /// The time-weighted mean until the instant `until` (µs), or nothing if no time was measured.
    pub fn mean(&self, until: i64) -> Option<f64> {
        let time = i128::from(until) - i128::from(self.from);
        (time > 0).then(|| self.area(until) as f64 / time as f64)
    }

    /// The highest level until the instant `until` (µs), or nothing if no time was measured.
    ///
    /// A level that was left at the instant at which it was reached lasted no time and does not
    /// count: what an instant looks like halfway depends on the order of its events.
    pub fn maximum(&self, until: i64) -> Option<i64> {
        let mut closed = *self;
        closed.pass(until);
        closed.maximum
    }

    #[inline]
    fn pass(&mut self, now: i64) {
        if now > self.since {
            let time = i128::from(now) - i128::from(self.since);
            self.area += i128::from(self.level) * time;
            self.maximum = Some(self.maximum.map_or(self.level, |most| most.max(self.level)));
            self.since = now;
        }
    }
}
