//! In how many runs what somebody wants by some day is done by then.

use serde_json::{Value, json};

use super::days::{by, last_day, of_runs};
use super::figure::percent;
use super::sentence::{all_orders, capital, listed, with_article, without_article};
use crate::experiment::{CandidateFindings, Findings, InTime};

/// The heading of what is said of it.
pub const IN_TIME: &str = "In time";

/// "in 83 of 100 runs", or that it always is or never.
fn in_runs(wanted: &InTime) -> String {
    match (wanted.met, wanted.interval) {
        (0, None) => "never".to_owned(),
        (_, None) => "always".to_owned(),
        (0, _) => format!("in none of {} runs", wanted.runs),
        (met, _) if met == wanted.runs => format!("in all {met} runs"),
        _ => format!("in {}", of_runs(wanted.share())),
    }
}

/// "a box is", "all 3 orders of a box are"
fn what(wanted: &InTime) -> (String, &'static str) {
    let one = with_article(without_article(&wanted.project));
    match wanted.orders {
        Some(1) => (capital(&one), "is"),
        Some(orders) => (format!("{} of {one}", all_orders(orders)), "are"),
        None => (format!("Every order of {one}"), "is"),
    }
}

/// "A box is done by Thu 24 Dec in 83 of 100 runs.", of one layout or of two, the first of which is the base.
pub fn line(candidates: &[&CandidateFindings]) -> Option<String> {
    let last = candidates.last()?;
    let sentence = |wanted: &InTime| {
        let of_all = candidates.iter().filter_map(|found| {
            let mut same = found
                .in_time
                .iter()
                .filter(|other| other.line == wanted.line);
            let same =
                same.find(|other| other.by == wanted.by && other.project == wanted.project)?;
            Some((&found.name, in_runs(same)))
        });
        let of_all: Vec<(&String, String)> = of_all.collect();
        let is_same = of_all.windows(2).all(|two| two[0].1 == two[1].1);
        let day = by(wanted.by, wanted.starts);
        let (what, is) = what(wanted);
        if is_same && wanted.interval.is_none() {
            return format!("{what} {is} {} done {day}.", in_runs(wanted));
        }
        let shares = match is_same {
            true => in_runs(wanted),
            false => {
                let each = of_all.iter().map(|(name, runs)| match wanted.interval {
                    None => format!("{runs} in \"{name}\""),
                    Some(_) => format!("{runs} of \"{name}\""),
                });
                listed(&each.collect::<Vec<_>>(), "and")
            }
        };
        format!("{what} {is} done {day} {shares}.")
    };
    let all: Vec<String> = last.in_time.iter().map(sentence).collect();
    (!all.is_empty()).then(|| all.join(" "))
}

/// The same with all digits and intervals, of every layout.
pub fn in_full(findings: &Findings) -> Option<String> {
    let level = percent(findings.confidence);
    let of = |found: &CandidateFindings| {
        let several = findings.candidates.len() > 1;
        let place = if several {
            format!(" in \"{}\"", found.name)
        } else {
            String::new()
        };
        let each = found.in_time.iter().map(|wanted| {
            let day = by(wanted.by, wanted.starts);
            let share = percent(wanted.share());
            let interval = wanted.interval.map_or_else(String::new, |(low, high)| {
                let [low, high] = [low, high].map(percent);
                format!(" ({level} interval {low} to {high} by Wilson's method)")
            });
            let ((what, is), met, runs) = (what(wanted), wanted.met, wanted.runs);
            format!("{what} {is} done {day}{place} in {met} of {runs} runs, {share}{interval}.")
        });
        each.collect::<Vec<String>>()
    };
    let all: Vec<String> = findings.candidates.iter().flat_map(of).collect();
    (!all.is_empty()).then(|| all.join(" "))
}

/// The shares of one layout as a table has them, one for each line that is wanted by some day.
pub fn briefly(found: &CandidateFindings) -> String {
    let each = found.in_time.iter().map(|wanted| percent(wanted.share()));
    each.collect::<Vec<_>>().join(", ")
}

pub fn json(wanted: &InTime) -> Value {
    let mut value = json!({
        "project": wanted.project,
        "line": wanted.line,
        "orders": wanted.orders,
        "by_s": wanted.by.seconds(),
        "met": wanted.met,
        "runs": wanted.runs,
        "share": wanted.share(),
        "low": wanted.interval.map(|(low, _)| low),
        "high": wanted.interval.map(|(_, high)| high),
    });
    if let (Some(starts), Some(day)) = (wanted.starts, last_day(wanted.by)) {
        value["by_date"] = json!(starts.after(day).to_string());
    }
    value
}
