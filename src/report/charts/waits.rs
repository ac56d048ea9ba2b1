//! What the lead time of each project goes into.

use super::shares::DividedBars;
use super::style::{CARRYING, CURING, FOR_GEAR, FOR_PARTS, FOR_PERSON, FOR_STATION, RUNNING};
use super::{Chart, Picture};
use crate::experiment::{Findings, ProjectFindings};
use crate::metrics::LeadTimeComponents;
use crate::report::figure::{number, time_unit};

const LEAD_TIMES: DividedBars<ProjectFindings> = DividedBars {
    of: |candidate| &candidate.projects,
    whole: "lead time",
    name: |project| &project.name,
    parts: &[
        (RUNNING, "worked", |project| split(project).worked),
        (CARRYING, "carried", |project| split(project).carried),
        (CURING, "curing", |project| split(project).curing),
        (FOR_STATION, "waiting for a station", |project| {
            split(project).waiting_station
        }),
        (FOR_GEAR, "for gear", |project| split(project).waiting_gear),
        (FOR_PERSON, "for a person", |project| {
            split(project).waiting_person
        }),
        (FOR_PARTS, "for other parts", |project| {
            split(project).waiting_parts
        }),
    ],
    beside: |project| match project.lead_time {
        None => "–".to_owned(),
        Some(seconds) => {
            let unit = time_unit(seconds);
            format!("{}\u{202F}{}", number(seconds / unit.per_unit), unit.sign)
        }
    },
    diagnosed: true,
    explained: "The mean over the parts of an order. The figure beside a bar is the mean lead time. ◆\u{202F}names the bottleneck.",
    is_bottleneck: |_, _| false,
    spelled_out: true,
};

/// Nothing where no order was done.
fn split(project: &ProjectFindings) -> LeadTimeComponents<f64> {
    project.lead_time_split.unwrap_or_default()
}

pub fn draw(chart: &Chart, findings: &Findings, scale: f64) -> Vec<Picture> {
    let mut projects = findings.candidates.iter().flat_map(|found| &found.projects);
    match projects.any(|project| project.lead_time_split.is_some()) {
        true => LEAD_TIMES.draw(chart, findings, scale),
        false => Vec::new(),
    }
}
