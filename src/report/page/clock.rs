//! The one clock of all replays of a page: how days are called, and which times are passed over quickly.

use serde::Serialize;

use super::replay::Replay;
use crate::experiment::{Candidate, Settings};
use crate::report::days::Days;
use crate::units::Moment;

/// Microseconds in a day.
const DAY: i64 = 86_400_000_000;
/// So many days have names at most: on longer runs the others are counted.
const MOST_DAYS: i64 = 1_000;

#[derive(Debug, Serialize)]
pub struct Clock {
    pub begins: i64,
    pub ends: i64,
    /// Whether the shop keeps hours: then moments have a day and a time of day, and otherwise they are counted from the
    /// beginning.
    pub keeps_hours: bool,
    /// When every shop is shut.
    pub shut: Vec<(i64, i64)>,
    /// The names of the days from their 0:00 on.
    pub days: Vec<(i64, String)>,
}

impl Clock {
    pub fn of(replays: &[Replay], candidate: &Candidate, settings: &Settings) -> Clock {
        let begins = replays.iter().map(|replay| replay.begins).min();
        let ends = replays.iter().map(|replay| replay.ends).max();
        let (begins, ends) = (begins.unwrap_or(0), ends.unwrap_or(0));
        let keeps_hours = replays.iter().any(|replay| !replay.sessions.is_empty());
        Clock {
            begins,
            ends,
            keeps_hours,
            shut: shut(replays, (begins, ends)),
            days: match keeps_hours {
                true => days(candidate, settings, (begins, ends)),
                false => Vec::new(),
            },
        }
    }
}

/// When no shop is open between two moments.
fn shut(replays: &[Replay], (begins, ends): (i64, i64)) -> Vec<(i64, i64)> {
    if replays.iter().any(|replay| replay.sessions.is_empty()) {
        return Vec::new();
    }
    let mut open: Vec<(i64, i64)> = (replays.iter())
        .flat_map(|replay| &replay.sessions)
        .map(|&(opens, closes, _)| (opens, closes))
        .collect();
    open.sort_unstable();
    let mut shut = Vec::new();
    let mut at = begins;
    for (opens, closes) in open.into_iter().chain([(ends, ends)]) {
        if opens > at {
            shut.push((at, opens));
        }
        at = at.max(closes);
    }
    shut
}

fn days(
    candidate: &Candidate,
    settings: &Settings,
    (begins, ends): (i64, i64),
) -> Vec<(i64, String)> {
    let calendar = &candidate.shop.calendar;
    let days = Days::new(calendar, settings.starts);
    let (first, last) = (begins / DAY, ends / DAY);
    let numbers = first..=last.min(first + MOST_DAYS);
    numbers
        .map(|number| {
            let from = number * DAY;
            let name = days.short_date(Moment::from_micros(from));
            match settings.starts {
                Some(_) => (from, name),
                None => (from, format!("{name}, week {}", number / 7 + 1)),
            }
        })
        .collect()
}
