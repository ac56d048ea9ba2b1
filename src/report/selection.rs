//! Which candidate is selected, and how often each had to be played for it.

use serde_json::{Value, json};

use super::figure::{Shown, length_unit, percent, time_unit};
use super::sentence::listed;
use super::tables::{table, text};
use crate::experiment::{Findings, Indifference, Race};

/// What is selected by, the difference that does not matter, and the unit in which means are shown.
fn criterion(findings: &Findings, race: &Race) -> (&'static str, String, Shown) {
    match race.indifference {
        Indifference::Walking(metres) => {
            let unit = length_unit(findings.units);
            ("the least walking", unit.with_unit(metres), unit)
        }
        Indifference::LeadTime(seconds) => {
            let longest = race.means.iter().copied().fold(0.0, f64::max);
            let amount = time_unit(seconds).with_unit(seconds);
            ("the shortest lead time", amount, time_unit(longest))
        }
    }
}

/// What the race says, in a sentence or two.
pub fn answer(findings: &Findings, race: &Race) -> String {
    let (best, amount, _) = criterion(findings, race);
    let all = match race.indifference {
        Indifference::Walking(_) => ", all orders together,",
        Indifference::LeadTime(_) => "",
    };
    let quoted = |index: usize| format!("\"{}\"", findings.candidates[index].name);
    let named: Vec<String> = race.left.iter().map(|&index| quoted(index)).collect();
    let most = race.played.iter().copied().max().unwrap_or(0);
    match (race.choice(), race.level) {
        (Some(choice), Some(level)) => format!(
            "Selected for {best}{all} after {most} replications: {}. If one candidate is better than all others by {} or \
             more, it is this one with a probability of at least {}.",
            quoted(choice),
            amount,
            percent(level),
        ),
        (None, Some(_)) => format!(
            "After {most} replications {} are still too close to select one for {best}: ask for a difference larger \
             than {}.",
            listed(&named, "and"),
            amount,
        ),
        (Some(choice), None) => format!(
            "{} has {best}: no time varies, so one run is exact.",
            quoted(choice)
        ),
        (None, None) => format!("{} all have {best}.", listed(&named, "and")),
    }
}

/// One row a candidate.
pub fn candidates(findings: &Findings, race: &Race, width: Option<u16>) -> String {
    let (_, _, unit) = criterion(findings, race);
    let what = match race.indifference {
        Indifference::Walking(_) => "walking, all orders",
        Indifference::LeadTime(_) => "mean lead time",
    };
    let mut table = table(&["candidate", "replications", what, "outcome"], 1, width);
    for (index, candidate) in findings.candidates.iter().enumerate() {
        let outcome = match race.choice() {
            Some(choice) if choice == index => "selected",
            _ if race.left.contains(&index) => "still in",
            _ => "out",
        };
        table.add_row([
            candidate.name.clone(),
            race.played[index].to_string(),
            unit.with_unit(race.means[index]),
            outcome.to_owned(),
        ]);
    }
    text(table)
}

/// The race as data: lengths in metres, times in seconds.
pub fn json(findings: &Findings, race: &Race) -> Value {
    let name = |index: usize| &findings.candidates[index].name;
    let (by, amount) = match race.indifference {
        Indifference::Walking(metres) => ("walking_m", metres),
        Indifference::LeadTime(seconds) => ("lead_time_s", seconds),
    };
    let rows = (0..race.means.len()).map(|index| {
        json!({
            "name": name(index),
            "replications": race.played[index],
            "mean": race.means[index],
            "left": race.left.contains(&index),
        })
    });
    json!({
        "by": by,
        "indifference": amount,
        "confidence": race.level,
        "selected": race.choice().map(name),
        "candidates": rows.collect::<Vec<Value>>(),
    })
}
