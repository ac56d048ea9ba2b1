//! Shop time on the calendar.

use crate::services::together::OnTime;
use crate::shop::Calendar;
use crate::units::Time;

/// A stretch of shop time on the calendar, in as many parts as the shop is open in.
pub fn while_open(calendar: &Calendar, from: Time, until: Time) -> impl Iterator<Item = OnTime> {
    let (mut at, until) = (calendar.beginning_at(from), calendar.end_at(until));
    std::iter::from_fn(move || {
        if at >= until {
            return None;
        }
        let closes = calendar.session_at(at).closes;
        let part = OnTime {
            from: at,
            until: closes.min(until),
        };
        at = match closes < until {
            true => calendar.session_at(closes).opens,
            false => until,
        };
        Some(part)
    })
}
