//! What each change brings, as data.

use serde_json::{Value, json};

use super::edits::{change, resource, why_not};
use super::effects::fewer;
use crate::experiment::{Goal, Reliefs};
use crate::report::data;
use crate::statistics::Paired;

/// The data of the run of the shop as it is, and those of every change, best first.
pub fn json(reliefs: &Reliefs) -> Value {
    let mut document = data::json(&reliefs.findings);
    document["relief_ranked_by"] = json!(match reliefs.goal {
        Goal::LeadTime => "lead_time",
        Goal::Throughput => "throughput_per_h",
    });
    let rows = reliefs.list.iter().enumerate();
    let rows = rows.map(|(index, relief)| {
        json!({
            "resource": resource(&relief.trial),
            "kind": relief.trial.edit.kind().name(),
            "change": change(relief.trial.edit),
            "lead_time": difference(relief.lead_time.as_ref(), "_s"),
            "throughput_per_h": difference(Some(&relief.throughput), ""),
            "walking": difference(Some(&relief.walking), "_m"),
            "hands_on": difference(Some(&relief.hands_on), "_s"),
            "fewer": fewer(reliefs, relief),
            "may_be_best": reliefs.in_question.contains(&index),
        })
    });
    document["relief"] = rows.collect();
    let untried = reliefs.untried.iter().map(|untried| {
        json!({
            "resource": resource(&untried.trial),
            "kind": untried.trial.edit.kind().name(),
            "change": change(untried.trial.edit),
            "why": why_not(untried.why),
        })
    });
    document["relief_not_tried"] = untried.collect();
    document
}

fn difference(paired: Option<&Paired>, unit: &str) -> Value {
    let estimate = paired.map(|paired| paired.difference);
    let mut value = json!({});
    value[format!("difference{unit}")] = json!(estimate.map(|e| e.mean));
    value[format!("low{unit}")] = json!(estimate.and_then(|e| e.low()));
    value[format!("high{unit}")] = json!(estimate.and_then(|e| e.high()));
    value
}
