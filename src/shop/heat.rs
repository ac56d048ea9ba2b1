//! How warm the shop is, and how fast what cures goes on.

use super::Calendar;
use crate::units::{Moment, Span};

/// Given times of cures hold at this warmth, in degrees Celsius.
pub const GIVEN_AT: f64 = 21.0;
/// So many kelvins more double the pace: an adhesive makers' rule for glue that sets chemically.
const DOUBLES: f64 = 10.0;

/// How warm the shop is in degrees Celsius, while work can be done and at all other times.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heat {
    pub open: f64,
    pub shut: f64,
}

impl Heat {
    /// How fast something cures, of its given pace, while the shop is open and while it is shut. Below `least` it stands
    /// still.
    pub fn paces(&self, least: Option<f64>) -> [f64; 2] {
        [self.open, self.shut].map(|warmth| match least {
            Some(least) if warmth < least => 0.0,
            _ => libm::pow(2.0, (warmth - GIVEN_AT) / DOUBLES),
        })
    }

    /// Whether anything cures at any time, in a shop that is open at these times.
    pub fn cures(&self, least: Option<f64>, calendar: &Calendar) -> bool {
        let [open, shut] = self.paces(least);
        open > 0.0 || shut > 0.0 && calendar.has_breaks()
    }

    /// When what takes so much time at its given pace has cured that begins to at a moment. What is left at each opening
    /// and closing is exact but for the last digit of a number; the end is rounded to a microsecond once.
    pub fn cured(
        &self,
        time: Span,
        least: Option<f64>,
        begins: Moment,
        calendar: &Calendar,
    ) -> Moment {
        let [open, shut] = self.paces(least);
        let (mut left, mut at) = (time.micros() as f64, begins);
        while left > 0.0 {
            let session = calendar.session_at(at);
            let is_open = at >= session.opens;
            let pace = if is_open { open } else { shut };
            let mut until = if is_open {
                session.closes
            } else {
                session.opens
            };
            let lasts = |until: Moment| match until {
                Moment::NEVER => f64::INFINITY,
                until => (until - at).micros() as f64,
            };
            // Sessions that touch each other are one.
            while is_open && until != Moment::NEVER && lasts(until) * pace < left {
                let next = calendar.session_at(until);
                if next.opens > until {
                    break;
                }
                until = next.closes;
            }
            if lasts(until) * pace >= left {
                return at + Span::from_micros(libm::round(left / pace) as i64);
            }
            left -= lasts(until) * pace;
            at = until;
        }
        at
    }
}
