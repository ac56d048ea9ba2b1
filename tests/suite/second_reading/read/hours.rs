//! Sessions, hours of people, and the times at which stations have to be silent.

use serde_json::Value;

use super::super::clock::{DAY, Spans, Times, WEEK};
use super::super::quantity::{length_nm, micros};
use super::super::shop::Hours;
use super::text;

const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// Both forms of `sessions`; without any, the shop is always open.
pub(super) fn hours(sessions: Option<&Value>, starts: Option<&Value>) -> Hours {
    let (list, more) = match sessions {
        Some(Value::Array(_)) => (sessions, None),
        // Reading: a mapping without `when` leaves the shop always open.
        Some(keys) => (keys.get("when"), Some(keys)),
        None => (None, None),
    };
    let more = |key: &str| more.and_then(|keys| keys.get(key));
    let each_day = |from: i64, to: i64| {
        let days = (0..7).map(|day| (day * DAY + from, day * DAY + to));
        Times::of(days.collect())
    };
    let sessions = list.map_or(vec![(0, WEEK)], |list| working_times(list, starts));
    let quiet = more("quiet").map_or(Times::of(Vec::new()), |quiet| {
        let (from, to) = (o_clock(&quiet["from"]), o_clock(&quiet["to"]));
        each_day(from, if to <= from { to + DAY } else { to })
    });
    let rested = more("rested").map_or(Times::of(Vec::new()), |rested| {
        each_day(o_clock(&rested["no blades after"]), DAY)
    });
    Hours {
        open: Times::of(sessions.clone()),
        sessions,
        quiet,
        rested,
    }
}

pub(super) fn of_person(list: &Value, starts: Option<&Value>) -> Times {
    Times::of(working_times(list, starts))
}

/// From the end of setting up to the beginning of tidying up, in a week that begins with the run.
fn working_times(list: &Value, starts: Option<&Value>) -> Spans {
    let first_day = starts.map_or(0, weekday);
    let mut all = Vec::new();
    for session in list.as_array().expect("sessions are a list") {
        let time = |key: &str| session.get(key).map_or(0, micros);
        let from = o_clock(&session["open"]) + time("set up");
        let to = o_clock(&session["close"]) - time("tidy up");
        assert!(from < to, "nothing is left of {session}");
        for day in session["days"].as_array().expect("days are a list") {
            let name = text(day);
            let day = DAYS.iter().position(|d| *d == name);
            let day = day.unwrap_or_else(|| panic!("no day is called {name}")) as i64;
            let begins = (day - first_day).rem_euclid(7) * DAY;
            all.push((begins + from, begins + to));
        }
    }
    all.sort();
    assert!(
        all.windows(2).all(|pair| pair[0].1 <= pair[1].0),
        "sessions overlap"
    );
    all
}

/// `19:30` in microseconds after midnight.
fn o_clock(value: &Value) -> i64 {
    let (hours, minutes) = text(value).split_once(':').expect("hours and minutes");
    let number = |text: &str| -> i64 { text.parse().expect("a number") };
    (number(hours) * 60 + number(minutes)) * 60_000_000
}

/// The weekday of a date such as `2026-11-30`, from Monday, 0.
fn weekday(date: &Value) -> i64 {
    let parts = text(date)
        .split('-')
        .map(|part| part.parse().expect("a number"));
    let parts: Vec<i64> = parts.collect();
    let [year, month, day] = parts[..] else {
        panic!("{date} is not a date");
    };
    let leap = |year: i64| year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let february = if leap(year) { 29 } else { 28 };
    let months = [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    // The first of January 2001 was a Monday.
    assert!(year >= 2001, "{date} is too long ago");
    let years: i64 = (2001..year).map(|y| if leap(y) { 366 } else { 365 }).sum();
    let before: i64 = months[..month as usize - 1].iter().sum();
    (years + before + day - 1) % 7
}

/// The middle of the door by which people come and go, in nanometres: the one that sessions name, or the first.
pub(super) fn door(root: &Value) -> Option<(f64, f64)> {
    let sessions = root.get("sessions")?;
    let doors = root.get("room")?.get("doors")?.as_array()?;
    let door = match sessions.get("door") {
        Some(name) => doors.iter().find(|door| door.get("name") == Some(name)),
        None => doors.first(),
    };
    let ends = &door.expect("the door is there")["between"];
    let middle = |side: usize| {
        let of = |end: usize| length_nm(&ends[end][side]) as f64;
        (of(0) + of(1)) / 2.0
    };
    Some((middle(0), middle(1)))
}
