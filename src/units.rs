//! Quantities as the engine sees them: the unit is in the type and in the name.
//!
//! Instants and durations are whole microseconds and distances whole nanometres, so that sums are exact and
//! the same on every machine, in every order of addition. A nanometre divides 1/64 inch (396 875 nm) exactly.

pub mod customary;

use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Sub, SubAssign};

/// Microseconds in a second.
const MICROS: f64 = 1e6;
/// Nanometres in a metre.
const NANOS: f64 = 1e9;

/// A duration in whole microseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span(i64);

impl Span {
    pub const WEEK: Span = Span(7 * 86_400_000_000);

    pub const ZERO: Span = Span(0);

    #[inline]
    pub const fn from_micros(micros: i64) -> Span {
        Span(micros)
    }

    /// Rounds to the nearest microsecond, halves away from zero. Saturates far outside any accepted input.
    #[inline]
    pub fn from_seconds(seconds: f64) -> Span {
        // Durations are never negative, so adding a half and cutting off rounds; `f64::round` is a library call.
        if seconds >= 0.0 {
            Span((seconds * MICROS + 0.5) as i64)
        } else {
            Span((seconds * MICROS).round() as i64)
        }
    }

    #[inline]
    pub const fn micros(self) -> i64 {
        self.0
    }

    pub fn seconds(self) -> f64 {
        self.0 as f64 / MICROS
    }

    #[inline]
    pub const fn is_zero(self) -> bool {
        self.0 == 0
    }
}

/// An instant of shop time: microseconds in which work could be done since the start of the run. Where the shop is
/// always open, the calendar says the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Time(i64);

impl Time {
    pub const START: Time = Time(0);
    /// Later than any instant that a run can reach.
    pub const NEVER: Time = Time(i64::MAX);

    #[inline]
    pub const fn from_micros(micros: i64) -> Time {
        Time(micros)
    }

    #[inline]
    pub const fn micros(self) -> i64 {
        self.0
    }

    pub fn seconds(self) -> f64 {
        self.0 as f64 / MICROS
    }
}

impl Add<Span> for Time {
    type Output = Time;
    #[inline]
    fn add(self, span: Span) -> Time {
        Time(self.0 + span.0)
    }
}

impl AddAssign<Span> for Time {
    #[inline]
    fn add_assign(&mut self, span: Span) {
        self.0 += span.0;
    }
}

impl Sub for Time {
    type Output = Span;
    #[inline]
    fn sub(self, earlier: Time) -> Span {
        Span(self.0 - earlier.0)
    }
}

/// An instant of the calendar: microseconds since the start of the run, which is 0:00 of some day. It goes on while the
/// shop is shut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Moment(i64);

impl Moment {
    pub const START: Moment = Moment(0);
    /// Later than any moment that a run can reach.
    pub const NEVER: Moment = Moment(i64::MAX);

    #[inline]
    pub const fn from_micros(micros: i64) -> Moment {
        Moment(micros)
    }

    #[inline]
    pub const fn micros(self) -> i64 {
        self.0
    }

    pub fn seconds(self) -> f64 {
        self.0 as f64 / MICROS
    }
}

impl Add<Span> for Moment {
    type Output = Moment;
    #[inline]
    fn add(self, span: Span) -> Moment {
        Moment(self.0 + span.0)
    }
}

impl Sub for Moment {
    type Output = Span;
    #[inline]
    fn sub(self, earlier: Moment) -> Span {
        Span(self.0 - earlier.0)
    }
}

/// A distance in whole nanometres.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(i64);

impl Length {
    pub const ZERO: Length = Length(0);

    #[inline]
    pub const fn from_nanometres(nanometres: i64) -> Length {
        Length(nanometres)
    }

    /// Rounds to the nearest nanometre.
    pub fn from_metres(metres: f64) -> Length {
        Length((metres * NANOS).round() as i64)
    }

    #[inline]
    pub const fn nanometres(self) -> i64 {
        self.0
    }

    pub fn metres(self) -> f64 {
        self.0 as f64 / NANOS
    }

    #[inline]
    pub const fn is_zero(self) -> bool {
        self.0 == 0
    }
}

macro_rules! additive {
    ($type:ty) => {
        impl Add for $type {
            type Output = $type;
            #[inline]
            fn add(self, other: $type) -> $type {
                Self(self.0 + other.0)
            }
        }
        impl Sub for $type {
            type Output = $type;
            #[inline]
            fn sub(self, other: $type) -> $type {
                Self(self.0 - other.0)
            }
        }
        impl AddAssign for $type {
            #[inline]
            fn add_assign(&mut self, other: $type) {
                self.0 += other.0;
            }
        }
        impl SubAssign for $type {
            #[inline]
            fn sub_assign(&mut self, other: $type) {
                self.0 -= other.0;
            }
        }
        impl Mul<i64> for $type {
            type Output = $type;
            #[inline]
            fn mul(self, factor: i64) -> $type {
                Self(self.0 * factor)
            }
        }
        impl Sum for $type {
            fn sum<I: Iterator<Item = $type>>(items: I) -> $type {
                items.fold(Self(0), Add::add)
            }
        }
    };
}
additive!(Span);
additive!(Length);

/// A speed in metres per second; never zero, negative or infinite.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Speed(f64);

impl Speed {
    pub const fn from_metres_per_second(speed: f64) -> Speed {
        Speed(speed)
    }

    pub const fn metres_per_second(self) -> f64 {
        self.0
    }

    /// The time that `distance` takes at this speed, rounded to the microsecond.
    pub fn time_for(self, distance: Length) -> Span {
        Span::from_seconds(distance.metres() / self.0)
    }
}

/// A loose volume of chips in whole picolitres, so that sums are exact and what sizes and bulks in decimals come to is hit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Chips(i64);

impl Chips {
    pub const NONE: Chips = Chips(0);

    pub const fn from_picolitres(picolitres: i64) -> Chips {
        Chips(picolitres)
    }

    pub fn from_cubic_metres(volume: f64) -> Chips {
        Chips((volume * 1e15).round() as i64)
    }

    pub const fn picolitres(self) -> i64 {
        self.0
    }
}

/// A mass in kilograms.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Mass(f64);

impl Mass {
    pub const fn from_kilograms(kilograms: f64) -> Mass {
        Mass(kilograms)
    }

    pub const fn kilograms(self) -> f64 {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sixty_fourth_of_an_inch_is_exact() {
        assert_eq!(Length::from_metres(0.0254 / 64.0).nanometres(), 396_875);
    }

    #[test]
    fn walking_time_is_rounded_once() {
        let speed = Speed::from_metres_per_second(1.2);
        assert_eq!(speed.time_for(Length::from_metres(1.0)).micros(), 833_333);
        assert_eq!(Span::from_seconds(0.000_000_5).micros(), 1);
    }
}
