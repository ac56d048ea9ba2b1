//! What the data of a shop that keeps hours have besides.

use serde_json::{Value, json};

use crate::experiment::{
    CandidateFindings, CandidateHours, Completion, CompletionChange, OrderSessions,
};
use crate::report::days::Days;

/// Sessions, shop time and dates of a candidate, beside its figures of the calendar.
pub(super) fn add(value: &mut Value, found: &CandidateFindings, hours: &CandidateHours) {
    let days = Days::of(hours);
    value["measured_on_calendar_s"] = json!(hours.measured_on_calendar);
    value["forced_tasks"] = json!(hours.forced);
    add_sessions(&mut value["lead_time"], "", hours.per_order.as_ref());
    if let Some(done) = &hours.all_done {
        value["done_at"] = completion(days, done);
    }
    let projects = value["projects"].as_array_mut().into_iter().flatten();
    for (value, project) in projects.zip(&found.projects) {
        let of = project.hours.as_ref();
        add_sessions(value, "lead_time_", of.map(|of| &of.per_order));
        if let Some(done) = of.and_then(|of| of.all_done) {
            value["done_at"] = completion(days, &done);
        }
    }
}

fn add_sessions(value: &mut Value, before: &str, orders: Option<&OrderSessions>) {
    let mean = orders.map(|orders| orders.mean);
    let figures = [
        ("in_shop_time_s", json!(mean.map(|mean| mean.in_shop_time))),
        ("sessions", json!(mean.map(|mean| mean.sessions))),
        (
            "sessions_p50",
            json!(orders.map(|orders| orders.sessions_p50)),
        ),
        (
            "sessions_p90",
            json!(orders.map(|orders| orders.sessions_p90)),
        ),
    ];
    for (name, figure) in figures {
        value[format!("{before}{name}")] = figure;
    }
}

/// Moments in seconds after the run begins, in which session of the run they are or after which one, and their dates.
fn completion(days: Days<'_>, done: &Completion) -> Value {
    let mut value = json!({ "sessions": done.sessions });
    let quantiles = [
        ("p05", done.p05),
        ("p50", done.p50),
        ("p90", done.p90),
        ("p95", done.p95),
    ];
    for (name, moment) in quantiles {
        value[format!("{name}_s")] = json!(moment.seconds());
        value[format!("{name}_session")] = json!(days.number(moment));
        if let Some(date) = days.iso_date(moment) {
            value[format!("{name}_date")] = json!(date);
        }
    }
    value
}

/// How all is done on another day than in the base.
pub(super) fn change(change: &CompletionChange) -> Value {
    let unit = if change.same_sessions {
        "sessions"
    } else {
        "days"
    };
    let mut value = json!({
        "sooner_share": change.sooner,
        "later_share": change.later,
    });
    value[format!("difference_{unit}")] = json!(change.mean);
    value
}
