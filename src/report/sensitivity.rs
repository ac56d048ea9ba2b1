//! Whether the answer stands when the times are off: in how many draws each candidate is the best.

use serde_json::{Value, json};

use super::figure::percent;
use super::sentence::listed;
use super::tables::{table, text};
use crate::experiment::{Doubt, Findings};

/// So many candidates are called by their names in one sentence, at most.
const NAMED: usize = 4;

/// Who is the best in the most draws, if anybody is in any.
#[derive(Debug, PartialEq)]
struct Leaders {
    /// Several are best equally often.
    candidates: Vec<usize>,
    draws: u32,
}

fn leaders(counts: &[u32]) -> Option<Leaders> {
    let draws = counts.iter().copied().max().filter(|&most| most > 0)?;
    let candidates = (0..counts.len()).filter(|&index| counts[index] == draws);
    Some(Leaders {
        candidates: candidates.collect(),
        draws,
    })
}

/// The subject of the sentence, with its verb.
fn subject(leaders: &Leaders, findings: &Findings, draws: u32) -> String {
    let all = findings.candidates.len();
    let candidates = &leaders.candidates;
    let names: Vec<String> = (candidates.iter())
        .map(|&index| format!("\"{}\"", findings.candidates[index].name))
        .collect();
    let who = match &names[..] {
        [only] => return format!("{only} has"),
        _ if candidates.len() == all && all == 2 => "both candidates".to_owned(),
        _ if candidates.len() == all => format!("all {all} candidates"),
        _ if names.len() <= NAMED => listed(&names, "and"),
        _ => format!("{} of the {all} candidates", names.len()),
    };
    // Several that are best in every draw tie; several that are best in fewer draws may be so in different ones.
    let verb = if leaders.draws == draws {
        "tie for"
    } else {
        "each have"
    };
    format!("{who} {verb}")
}

/// What the draws say, in a sentence or two.
pub fn answer(findings: &Findings, doubt: &Doubt) -> String {
    let off = percent(doubt.share);
    let draws = doubt.draws;
    let mut sentence = format!("If every time that you gave may be off by {off}, each by itself,");
    let subject = |leaders: &Leaders| subject(leaders, findings, draws);
    let walking = leaders(&doubt.walking);
    let walkers = walking.as_ref().map(subject);
    if let (Some(Leaders { draws: count, .. }), Some(who)) = (&walking, &walkers) {
        sentence.push_str(&format!(
            " {who} the least walking in {count} of {draws} draws"
        ));
    }
    let Some(quickest) = leaders(&doubt.lead_time) else {
        sentence.push_str("; no order is done in any of them.");
        return sentence;
    };
    let (who, count) = (subject(&quickest), quickest.draws);
    sentence.push_str(&if walkers.is_some_and(|walkers| walkers == who) {
        format!(" and the shortest lead time in {count}.")
    } else {
        format!(", and {who} the shortest lead time in {count}.")
    });
    sentence
}

/// One row a candidate.
pub fn candidates(findings: &Findings, doubt: &Doubt, width: Option<u16>) -> String {
    let off = percent(doubt.share);
    let header = [
        format!("times off by {off}"),
        "least walking in".to_owned(),
        "shortest lead time in".to_owned(),
    ];
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let mut table = table(&header, 1, width);
    let of = |count: u32| format!("{count} of {}", doubt.draws);
    let rows = findings
        .candidates
        .iter()
        .zip(&doubt.walking)
        .zip(&doubt.lead_time);
    for ((candidate, &walking), &lead_time) in rows {
        table.add_row([candidate.name.clone(), of(walking), of(lead_time)]);
    }
    text(table)
}

/// The counts as data.
pub fn json(findings: &Findings, doubt: &Doubt) -> Value {
    let rows = findings
        .candidates
        .iter()
        .zip(&doubt.walking)
        .zip(&doubt.lead_time);
    let rows = rows.map(|((candidate, walking), lead_time)| {
        json!({
            "name": candidate.name,
            "least_walking": walking,
            "shortest_lead_time": lead_time,
        })
    });
    json!({
        "share": doubt.share,
        "draws": doubt.draws,
        "replications": doubt.replications,
        "candidates": rows.collect::<Vec<Value>>(),
    })
}
