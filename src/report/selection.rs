//! Which candidate is selected, and how often each had to be played for it.

use serde_json::{Value, json};

use super::about;
use super::figure::{Shown, length_unit, percent, time_unit};
use super::sentence::{counted, listed};
use super::tables::{table, text};
use crate::experiment::{Findings, Indifference, Race};
use crate::statistics::Estimate;

/// So many layouts are called by their names in one sentence, at most.
const NAMED: usize = 4;

/// What is selected by, the difference that does not matter, and the unit in which means are shown.
struct Criterion {
    least: &'static str,
    what: &'static str,
    /// As in "A has 46 s more".
    more: &'static str,
    matters: String,
    unit: Shown,
}

impl Criterion {
    fn of(findings: &Findings, race: &Race) -> Criterion {
        match race.indifference {
            Indifference::Walking(metres) => Criterion {
                least: "the least walking, all orders together",
                what: "walking, all orders together",
                more: "more",
                matters: about::length(findings.units, metres),
                unit: length_unit(findings.units),
            },
            Indifference::LeadTime(seconds) => {
                let longest = race.means.iter().copied().fold(0.0, f64::max);
                Criterion {
                    least: "the shortest lead time",
                    what: "lead time",
                    more: "longer",
                    matters: about::time(seconds),
                    unit: time_unit(longest),
                }
            }
        }
    }
}

/// What the race says, in a sentence or two.
pub fn answer(findings: &Findings, race: &Race) -> String {
    let quoted = |index: usize| format!("\"{}\"", findings.candidates[index].name);
    let all_quoted = |indices: &[usize], word: &str| {
        let names: Vec<String> = indices.iter().map(|&index| quoted(index)).collect();
        listed(&names, word)
    };
    let Criterion { least, matters, .. } = Criterion::of(findings, race);
    let (leader, as_good) = (race.leader(), race.as_good());
    if as_good.len() + 1 == race.means.len() {
        return no_difference(findings, race, &as_good);
    }
    let most = race.played.iter().copied().max().unwrap_or(0);
    let mut said = match (race.choice(), race.level) {
        (Some(choice), Some(level)) => format!(
            "Selected for {least}, after {most} runs: {}. If one layout is better than all others by {matters} or more, it \
             is this one with a probability of at least {}.",
            quoted(choice),
            percent(level),
        ),
        (None, Some(_)) => format!(
            "After {most} runs {} are still too close to select one for {least}: ask for a difference larger than \
             {matters}.",
            all_quoted(&race.left, "and"),
        ),
        (Some(choice), None) => format!(
            "{} has {least}: no time varies, so one run is exact.",
            quoted(choice)
        ),
        (None, None) => format!("{} all have {least}.", all_quoted(&race.left, "and")),
    };
    // Those that are alike to the last digit have been named already.
    let differ: Vec<usize> = (as_good.iter().copied())
        .filter(|index| race.level.is_some() || !race.left.contains(index))
        .collect();
    if !differ.is_empty() {
        said.push_str(&format!(
            " But between {} and {} there is no difference of {matters}{}: choose by something else.",
            quoted(leader),
            all_quoted(&differ, "or"),
            amounts(findings, race, &differ).map_or_else(String::new, |by| format!(" ({by})")),
        ));
    }
    said
}

/// No candidate is better than another by what matters.
fn no_difference(findings: &Findings, race: &Race, as_good: &[usize]) -> String {
    let Criterion { what, matters, .. } = Criterion::of(findings, race);
    let leader = &findings.candidates[race.leader()].name;
    let between = match as_good {
        [only] => format!("\"{leader}\" and \"{}\"", findings.candidates[*only].name),
        _ => format!("the {} layouts", race.means.len()),
    };
    let certain = match race.level {
        None => "no time varies, so one run is exact".to_owned(),
        Some(level) => format!("{} sure", percent(level)),
    };
    let facts: Vec<String> = (amounts(findings, race, as_good).into_iter())
        .chain([certain])
        .collect();
    format!(
        "No difference of {matters} in {what} between {between} ({}): choose by something else.",
        facts.join("; "),
    )
}

/// What a selection by time or walking leaves out: faults of the layouts, by candidate and nothing for one that is not
/// drawn. Nothing to say where none has any, or where the one that is selected is free of them.
pub fn faults(findings: &Findings, race: &Race, faults: &[Option<usize>]) -> Option<String> {
    let quoted = |index: usize| format!("\"{}\"", findings.candidates[index].name);
    let sound: Vec<String> = (0..faults.len())
        .filter(|&index| faults[index] == Some(0))
        .map(quoted)
        .collect();
    let sound = match sound.len() {
        0 => "no layout that is drawn is without".to_owned(),
        1 => format!("{} has none", sound[0]),
        2..=NAMED => format!("{} have none", listed(&sound, "and")),
        more => format!("{more} others have none"),
    };
    let none_is_better = race.as_good().len() + 1 == race.means.len();
    match race.choice().filter(|_| !none_is_better) {
        Some(choice) => {
            let count = faults[choice].filter(|&count| count > 0)?;
            let count = counted(count, "fault");
            Some(format!(
                "{} has {count} on the floor, which the selection does not look at; {sound}.",
                quoted(choice)
            ))
        }
        None => (faults.iter().flatten().any(|&count| count > 0))
            .then(|| format!("Faults on the floor are not in this: {sound}.")),
    }
}

/// By how much those that are as good as the leader are behind it.
fn amounts(findings: &Findings, race: &Race, as_good: &[usize]) -> Option<String> {
    let Criterion { unit, more, .. } = Criterion::of(findings, race);
    let behind = as_good.iter().map(|&index| &race.behind[index]);
    let most = behind.max_by(|a, b| a.mean.abs().total_cmp(&b.mean.abs()))?;
    let own = match race.indifference {
        Indifference::Walking(_) => unit,
        Indifference::LeadTime(_) => time_unit(most.mean),
    };
    let of = unit.with_unit(race.means[race.leader()]);
    let by = own.estimate(&signless(most));
    // A difference may take more runs than the race did.
    let counted = race.played.iter().copied().max().map_or(0, u64::from);
    let of = match most.n > counted {
        true => format!("{of} in {} runs", most.n),
        false => of,
    };
    match (as_good.len(), most.mean == 0.0) {
        (_, true) => None,
        (1, _) => Some(format!("{by} {}, of {of}", than(most, more))),
        (..) => Some(format!("at most {by}, of {of}")),
    }
}

/// In which direction, as the leader's mean counted fewer replications at times.
fn than(behind: &Estimate, more: &'static str) -> &'static str {
    match (behind.mean > 0.0, more) {
        (true, more) => more,
        (false, "more") => "less",
        (false, _) => "shorter",
    }
}

fn signless(estimate: &Estimate) -> Estimate {
    match estimate.mean < 0.0 {
        true => estimate.scaled(-1.0),
        false => *estimate,
    }
}

/// One row a candidate.
pub fn candidates(findings: &Findings, race: &Race, width: u16) -> String {
    let Criterion { unit, .. } = Criterion::of(findings, race);
    let as_good = race.as_good();
    let none_is_better = as_good.len() + 1 == race.means.len();
    let what = match race.indifference {
        Indifference::Walking(_) => "walking, all orders",
        Indifference::LeadTime(_) => "mean lead time",
    };
    let mut table = table(&["layout", "runs", what, "outcome"], 1, width);
    for (index, candidate) in findings.candidates.iter().enumerate() {
        let outcome = match race.choice() {
            _ if none_is_better || as_good.contains(&index) => "no difference",
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
    let as_good = race.as_good();
    let none_is_better = as_good.len() + 1 == race.means.len();
    let rows = (0..race.means.len()).map(|index| {
        json!({
            "name": name(index),
            "replications": race.played[index],
            "mean": race.means[index],
            "left": race.left.contains(&index),
            "behind": behind(race, index),
            "no_difference": none_is_better || as_good.contains(&index),
        })
    });
    json!({
        "by": by,
        "indifference": amount,
        "confidence": race.level,
        "selected": race.choice().filter(|_| !none_is_better).map(name),
        "candidates": rows.collect::<Vec<Value>>(),
    })
}

/// The difference from the leader, with its interval and the replications that it is of.
fn behind(race: &Race, index: usize) -> Value {
    let behind = &race.behind[index];
    json!({
        "mean": behind.mean,
        "low": behind.low(),
        "high": behind.high(),
        "replications": behind.n,
    })
}
