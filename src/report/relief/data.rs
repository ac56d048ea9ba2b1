//! What each change brings, as data.

use serde_json::{Value, json};

use super::edits::{change, resource, why_not};
use super::effects::fewer;
use super::money::{brings_for_one, by_price, hands_on_saved_a_year};
use crate::experiment::{Blocker, Departure, FirstDifference, Goal, Reliefs, TaskName};
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
        let mut row = json!({
            "resource": resource(&relief.trial),
            "kind": relief.trial.edit.kind().name(),
            "change": change(relief.trial.edit),
            "to_do": relief.trial.edit.is_doable(),
            "lead_time": difference(relief.lead_time.as_ref(), "_s"),
            "throughput_per_h": difference(Some(&relief.throughput), ""),
            "walking": difference(Some(&relief.walking), "_m"),
            "hands_on": difference(Some(&relief.hands_on), "_s"),
            "fewer": fewer(reliefs, relief),
            "may_be_best": reliefs.in_question.contains(&index),
            "against_expectation": relief.against_expectation.as_ref().map(first_difference),
        });
        if let Some(price) = relief.trial.price {
            row["price"] = json!(price);
            let per_price = match reliefs.goal {
                Goal::LeadTime => "lead_time_saved_s_per_price",
                Goal::Throughput => "throughput_gained_per_h_per_price",
            };
            row[per_price] = json!(brings_for_one(reliefs, relief, price));
        }
        if let Some(saved) = hands_on_saved_a_year(reliefs, relief) {
            row["hands_on_saved_a_year_s"] = json!(saved);
        }
        if let Some(part) = &relief.trial.part {
            row["part"] = json!(part);
        }
        if let Some(sessions) = &relief.sessions {
            row["sessions"] = difference(Some(sessions), "");
        }
        row
    });
    document["relief"] = rows.collect();
    if let Some(a_year) = reliefs.orders_a_year {
        document["projects_a_year"] = json!(a_year);
    }
    let priced = by_price(reliefs);
    if !priced.is_empty() {
        let all = priced.iter().map(|(relief, price)| {
            let trial = &relief.trial;
            json!({"resource": resource(trial), "change": change(trial.edit), "price": price})
        });
        document["relief_by_price"] = all.collect();
    }
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

/// Where the run departs from the one without the change: what differs in the task, and what then comes later. Times in
/// seconds; `later_s` of a task that does not come any more is null.
fn first_difference(found: &FirstDifference) -> Value {
    let mut value = json!({
        "replication": found.replication,
        "task": task(&found.task),
        "at_s": found.at_s,
    });
    match &found.how {
        Departure::Sooner(by) => value["sooner_s"] = json!(by),
        Departure::Longer(by) => value["longer_s"] = json!(by),
        Departure::InPlaceOf(other) => value["in_place_of"] = json!(other.as_ref().map(task)),
        Departure::Elsewhere { person, station } => {
            value["now_by"] = json!({"person": person, "station": station});
        }
    }
    value["then_waits"] = json!(found.delayed.as_ref().map(|delayed| {
        let mut value = json!({"task": task(&delayed.task), "later_s": delayed.by_s});
        let (by, at) = match &delayed.by_whom {
            None => return value,
            Some(Blocker::Person { name, at }) => (name, at),
            Some(Blocker::Station { name, taken_by }) => (name, taken_by),
        };
        value["because_of"] = json!({"name": by, "task": task(at)});
        value
    }));
    value
}

fn task(name: &TaskName) -> Value {
    json!({"operation": name.operation, "item": name.item, "order": name.order.unwrap_or(1)})
}

fn difference(paired: Option<&Paired>, unit: &str) -> Value {
    let estimate = paired.map(|paired| paired.difference);
    let mut value = json!({});
    value[format!("difference{unit}")] = json!(estimate.map(|e| e.mean));
    value[format!("low{unit}")] = json!(estimate.and_then(|e| e.low()));
    value[format!("high{unit}")] = json!(estimate.and_then(|e| e.high()));
    value
}
