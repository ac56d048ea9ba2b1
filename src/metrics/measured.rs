//! The part of a run that is measured, and what lies within it.

use std::ops::Sub;

use crate::shop::Calendar;
use crate::units::{Moment, Span, Time};

/// What part of a run is measured.
pub trait Measured {
    /// Whether there is a warm-up or a horizon at which phases are cut.
    const CUTS: bool;
}

/// From the end of the warm-up to the horizon.
#[derive(Debug)]
pub struct Cut;

/// From the start to the last order: nothing has to be compared with either end.
#[derive(Debug)]
pub struct Whole;

impl Measured for Cut {
    const CUTS: bool = true;
}

impl Measured for Whole {
    const CUTS: bool = false;
}

/// From the end of the warm-up to the horizon, or to the end of the run, in shop time or on the calendar. Whatever lies
/// beyond is cut off, here and nowhere else.
#[derive(Debug, Clone, Copy)]
pub(super) struct MeasuredTime<T = Time> {
    from: T,
    /// Later than any phase if the run ends with its last order.
    until: T,
}

impl MeasuredTime<Moment> {
    /// Warm-up and horizon are on the calendar, and nothing is there to be measured before the run begins.
    pub fn on_calendar(
        begins: Moment,
        warm_up: Span,
        until: Option<Moment>,
    ) -> MeasuredTime<Moment> {
        MeasuredTime {
            from: begins.max(Moment::START + warm_up),
            until: until.unwrap_or(Moment::NEVER),
        }
    }
}

impl MeasuredTime {
    /// The shop time of what is measured on the calendar.
    pub fn new(calendar: &Calendar, warm_up: Span, until: Option<Moment>) -> MeasuredTime {
        MeasuredTime {
            from: calendar.time(Moment::START + warm_up),
            until: until.map_or(Time::NEVER, |until| calendar.time(until)),
        }
    }

    /// From an instant to the end of the run.
    pub fn after(from: Time) -> MeasuredTime {
        MeasuredTime {
            from,
            until: Time::NEVER,
        }
    }
}

impl<T: Copy + Ord + Sub<Output = Span>> MeasuredTime<T> {
    #[inline]
    pub fn from(&self) -> T {
        self.from
    }

    /// The run has turned out to end at an instant.
    pub fn ending(self, at: T) -> MeasuredTime<T> {
        MeasuredTime {
            until: self.until.min(at),
            ..self
        }
    }

    /// Whether nothing has to be cut off a time.
    #[inline]
    pub fn contains(&self, start: T, end: T) -> bool {
        start >= self.from && end <= self.until
    }

    /// An instant outside the measured time is cut to its beginning or end.
    #[inline]
    pub fn cut(&self, at: T) -> T {
        at.max(self.from).min(self.until)
    }

    /// How much of a time is measured.
    #[inline]
    pub fn part_of(&self, start: T, end: T) -> Span {
        self.cut(end) - self.cut(start)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_outside_is_cut_off() {
        let at = Time::from_micros;
        let warm_up = Span::from_micros(10);
        let until = Some(Moment::from_micros(30));
        let measured = MeasuredTime::new(&Calendar::AlwaysOpen, warm_up, until);
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
