//! Candidates that cannot be simulated as they are drawn, and why.

use serde_json::{Value, json};

use super::check::{Told, numbered, told, written};
use super::lines::Line;
use crate::experiment::{Candidate, LayoutFindings, Study};
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

/// Each candidate that is left out, and its reason.
fn all(study: &Study) -> impl Iterator<Item = (&Candidate, String)> {
    study.left_out.iter().map(|candidate| {
        let reason = reason(candidate).map_or_else(
            || "nobody can walk in it".to_owned(),
            |finding| written(&finding, study.units),
        );
        (candidate, reason)
    })
}

/// Which candidates were not simulated; nothing where all were.
pub fn line(study: &Study) -> Option<Line> {
    let said: Vec<String> = all(study)
        .map(|(candidate, reason)| format!("\"{}\": {reason}.", candidate.name))
        .collect();
    (!said.is_empty()).then(|| Line {
        heading: "Left out",
        says: format!(
            "{} `shopstride check` says what would help.",
            said.join(" ")
        ),
        is_fault: true,
    })
}

/// Likewise as data.
pub fn json(study: &Study) -> Option<Value> {
    let said: Vec<Value> = all(study)
        .map(|(candidate, reason)| json!({"name": candidate.name, "because": reason}))
        .collect();
    (!said.is_empty()).then(|| Value::from(said))
}
