//! When all is done in a shop that keeps hours, as cells of a table for a spreadsheet.

use crate::experiment::{CandidateFindings, Findings, ProjectFindings};
use crate::report::days::Days;

/// In half of the runs and in nine of ten: seconds from the beginning of the run, the session of the run, and the date
/// where the file says on which day a run begins.
pub(super) const HEADER: [&str; 6] = [
    "done_p50_s",
    "done_p50_session",
    "done_p50_date",
    "done_p90_s",
    "done_p90_session",
    "done_p90_date",
];

/// Whether any candidate has an evening on which all is done.
pub(super) fn are_known(findings: &Findings) -> bool {
    let hours = findings
        .candidates
        .iter()
        .filter_map(|of| of.hours.as_ref());
    hours.into_iter().any(|hours| hours.all_done.is_some())
}

/// Of all orders of a candidate, or those of one project; empty where nobody can say.
pub(super) fn cells(found: &CandidateFindings, project: Option<&ProjectFindings>) -> [String; 6] {
    let Some(hours) = &found.hours else {
        return Default::default();
    };
    let done = match project {
        None => hours.all_done,
        Some(project) => project.hours.and_then(|of| of.all_done),
    };
    let Some(done) = done else {
        return Default::default();
    };
    let days = Days::of(hours);
    let [half, most] = [done.p50, done.p90].map(|moment| {
        [
            moment.seconds().to_string(),
            days.number(moment).to_string(),
            days.iso_date(moment).unwrap_or_default(),
        ]
    });
    let [half_s, half_session, half_date] = half;
    let [most_s, most_session, most_date] = most;
    [
        half_s,
        half_session,
        half_date,
        most_s,
        most_session,
        most_date,
    ]
}
