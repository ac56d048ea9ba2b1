//! The part of a run that is measured, and what lies within it.

use crate::units::{Span, Time};

/// From the end of the warm-up to the horizon, or to the end of the run. Whatever lies beyond is cut off, here and
/// nowhere else.
#[derive(Debug, Clone, Copy)]
pub(super) struct MeasuredTime {
    from: Time,
    /// Later than any phase if the run ends with its last order.
    until: Time,
}

impl MeasuredTime {
    pub fn new(warm_up: Span, until: Option<Time>) -> MeasuredTime {
        MeasuredTime {
            from: Time::START + warm_up,
            until: until.unwrap_or(Time::NEVER),
        }
    }

    #[inline]
    pub fn from(&self) -> Time {
        self.from
    }

    /// The run has turned out to end at an instant.
    pub fn ending(self, at: Time) -> MeasuredTime {
        MeasuredTime {
            until: self.until.min(at),
            ..self
        }
    }

    /// Whether nothing has to be cut off a time.
    #[inline]
    pub fn contains(&self, start: Time, end: Time) -> bool {
        start >= self.from && end <= self.until
    }

    /// An instant outside the measured time is cut to its beginning or end.
    #[inline]
    pub fn cut(&self, at: Time) -> Time {
        at.max(self.from).min(self.until)
    }

    /// How much of a time is measured.
    #[inline]
    pub fn part_of(&self, start: Time, end: Time) -> Span {
        self.cut(end) - self.cut(start)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_outside_is_cut_off() {
        let at = Time::from_micros;
        let measured = MeasuredTime::new(Span::from_micros(10), Some(at(30)));
        for (start, end, part) in [(0, 5, 0), (0, 15, 5), (12, 20, 8), (25, 90, 5), (40, 50, 0)] {
            let (start, end) = (at(start), at(end));
            assert_eq!(measured.part_of(start, end).micros(), part);
            assert_eq!(
                measured.contains(start, end),
                end - start == Span::from_micros(part)
            );
        }
        let ended = measured.ending(at(18));
        assert_eq!(ended.part_of(at(0), at(90)).micros(), 8);
    }
}
