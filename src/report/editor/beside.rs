//! Layouts beside each other, in words.

use serde_json::{Value, json};

use super::FindingCounts;
use crate::experiment::{CandidateFindings, Units};
use crate::report::figure::{length_unit, time_unit};
use crate::scenario::printable_name;

/// One row: what the rules find in a layout, and what was played of it, if anybody gets everywhere.
pub fn beside(
    name: &str,
    counts: FindingCounts,
    played: Option<&CandidateFindings>,
    units: Units,
) -> Value {
    let walking = played.map(|of| {
        json!({
            "value": of.walking.mean,
            "words": length_unit(units).with_unit(of.walking.mean),
        })
    });
    let lead_time = played.and_then(|of| of.lead_time.as_ref()).map(
        |time| json!({"value": time.mean, "words": time_unit(time.mean).with_unit(time.mean)}),
    );
    json!({
        "name": name,
        "shown": printable_name(name),
        "verdict": counts.in_words(),
        "walking": walking,
        "lead_time": lead_time,
    })
}
