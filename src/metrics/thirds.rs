//! The level of something in each third of the measured time.

use super::level::TimeWeightedLevel;
use crate::units::{Moment, Span};

/// Where the measured time is at one and two thirds, and the area under the work in process up to there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Thirds {
    /// Later than any event if there is no horizon.
    ends: [Moment; 2],
    areas: [i128; 2],
    passed: usize,
}

impl Thirds {
    pub fn new(from: Moment, until: Option<Moment>) -> Thirds {
        let end = |thirds: i64| {
            let measured = until.filter(|&until| until > from)? - from;
            Some(
                from + Span::from_micros(
                    (i128::from(measured.micros()) * i128::from(thirds) / 3) as i64,
                ),
            )
        };
        Thirds {
            ends: [1, 2].map(|thirds| end(thirds).unwrap_or(Moment::NEVER)),
            areas: [0; 2],
            passed: 0,
        }
    }

    /// To be told before the level changes at this instant.
    #[inline(always)]
    pub fn pass(&mut self, now: Moment, level: &mut TimeWeightedLevel<Moment>) {
        while self.passed < 2 && now >= self.ends[self.passed] {
            level.settle(self.ends[self.passed]);
            self.areas[self.passed] = level.area();
            self.passed += 1;
        }
    }

    pub fn of(&self, all: i128) -> Option<[i128; 3]> {
        let [first, second] = self.areas;
        (self.passed == 2).then(|| [first, second - first, all - second])
    }
}
