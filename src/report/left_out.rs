//! Candidates that cannot be simulated as they are drawn, and why.

use serde_json::{Value, json};

use super::check::{Told, in_short, numbered, told, written};
use super::lines::Line;
use super::sentence::listed;
use crate::experiment::{Candidate, LayoutFindings, Study, Units};
use crate::floor::{FindingLevel, RuleId};

/// The rules that tell of places where nobody can stand, or to which no way leads.
const REASONS: [RuleId; 2] = [RuleId::Standing, RuleId::Reachable];

/// The first fault for which nobody can walk in a candidate, or the first of all.
fn reason(candidate: &Candidate) -> Option<Told> {
    // Nothing is walked in it, so that no aisle is judged.
    let found = LayoutFindings::checked(candidate, &[])?;
    let findings = told(&found.shop, found.plan.room.as_ref(), &found.findings);
    let faults: Vec<&Told> = numbered(&findings)
        .map(|(_, index)| &findings[index])
        .filter(|finding| finding.level == FindingLevel::Fault)
        .collect();
    let mut reasons = faults.iter().copied();
    let reason = reasons.find(|finding| REASONS.contains(&finding.rule));
    reason.or(faults.first().copied()).cloned()
}

/// Each candidate that is left out, and its reason in some words.
fn all(
    study: &Study,
    words: impl Fn(&Told, Units) -> String,
) -> impl Iterator<Item = (&Candidate, String)> {
    study.left_out.iter().map(move |candidate| {
        let reason = reason(candidate).map_or_else(
            || "nobody can walk in it".to_owned(),
            |finding| words(&finding, study.units),
        );
        (candidate, reason)
    })
}

/// Which candidates were not simulated, in short; nothing where all were.
pub fn line(study: &Study) -> Option<Line> {
    let said: Vec<String> = all(study, in_short)
        .map(|(candidate, reason)| format!("\"{}\" ({reason})", candidate.name))
        .collect();
    (!said.is_empty()).then(|| Line {
        heading: "Left out",
        says: format!("{}: see `shopstride check`.", listed(&said, "and")),
        is_fault: true,
    })
}

/// Likewise as data.
pub fn json(study: &Study) -> Option<Value> {
    let said: Vec<Value> = all(study, written)
        .map(|(candidate, reason)| json!({"name": candidate.name, "because": reason}))
        .collect();
    (!said.is_empty()).then(|| Value::from(said))
}
