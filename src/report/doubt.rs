//! Whether the answer stands when the times are off: in how many draws each candidate is the best.

use serde_json::{Value, json};

use super::figure::percent;
use super::tables::{table, text};
use crate::experiment::{Doubt, Findings};

/// What the draws say, in a sentence or two.
pub fn answer(findings: &Findings, doubt: &Doubt) -> String {
    let off = percent(doubt.share);
    let draws = doubt.draws;
    let best = |counts: &[u32]| -> Option<(String, u32)> {
        // Of several the first, which the table shows anyway.
        let most = counts.iter().copied().max().filter(|&most| most > 0)?;
        let index = counts.iter().position(|&count| count == most)?;
        Some((findings.candidates[index].name.clone(), most))
    };
    let mut sentence = format!("If every time that you gave may be off by {off}, each by itself,");
    let walking = best(&doubt.walking);
    if let Some((name, count)) = &walking {
        sentence.push_str(&format!(
            " \"{name}\" has the least walking in {count} of {draws} draws"
        ));
    }
    match best(&doubt.lead_time) {
        Some((name, count)) if walking.is_some_and(|(other, _)| other == name) => {
            sentence.push_str(&format!(" and the shortest lead time in {count}."));
        }
        Some((name, count)) => {
            sentence.push_str(&format!(
                ", and \"{name}\" has the shortest lead time in {count}."
            ));
        }
        None => sentence.push_str("; no order is done in any of them."),
    }
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
