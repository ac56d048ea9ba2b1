//! Shops that keep hours, reckoned by hand to the microsecond, as the second reading plays them, and the engine as far as
//! it knows them.
//!
//! The arithmetic stands beside each figure. A run begins on Monday at 0:00 unless it says otherwise.

mod fitting;
mod glue;
mod people;
mod quiet;
mod rolling;
mod room;
mod two_clocks;
mod upkeep;

use crate::engine::both;
use crate::second_reading::play_hours;
use crate::second_reading::result::{Hours, Outcome};

const S: i64 = 1_000_000;
const MIN: i64 = 60 * S;
const H: i64 = 60 * MIN;

const MON: i64 = 0;
const TUE: i64 = 24 * H;
const WED: i64 = 48 * H;
const THU: i64 = 72 * H;
const SAT: i64 = 120 * H;
const WEEK: i64 = 168 * H;

/// Walks and handling take no time unless a shop says so itself.
const AT_ONCE: &str = "handling: {pick up: 0, put down: 0}\nlayouts: {x: {distances: 0}}\n";

/// One evening of two hours on each day of the week.
const EVENINGS: &str =
    "sessions: [{days: [mon, tue, wed, thu, fri, sat, sun], open: \"19:00\", close: \"21:00\"}]\n";

fn shop(rest: &str) -> (Outcome, Hours) {
    let yaml = format!("title: By hand\n{rest}");
    if let Some(found) = both::simulated(&with_every(&yaml), "x") {
        assert_eq!(found, both::read(&yaml, "x"), "{yaml}");
    }
    play_hours(&yaml, "x")
}

/// The same, as the engine's files say that orders come later: with the time from one to the next.
fn with_every(yaml: &str) -> String {
    let mut written = String::new();
    for (nth, part) in yaml.split('{').enumerate() {
        if nth > 0 {
            written.push('{');
        }
        match part.split_once('}') {
            Some((keys, rest)) if keys.contains("first: ") && !keys.contains("every: ") => {
                let count = if keys.contains("count: ") {
                    ""
                } else {
                    ", count: 1"
                };
                written.push_str(&format!("{keys}, every: 0{count}}}{rest}"));
            }
            _ => written.push_str(part),
        }
    }
    written
}

/// When each order was done.
fn done(outcome: &Outcome) -> Vec<i64> {
    let orders = outcome.orders.iter();
    orders.map(|o| o.done_us.expect("it is done")).collect()
}
