//! How people spend their time.

use super::frame::played;
use super::meaning::{HANDLING, IDLE, WALKING, WORKING};
use super::shares::{Column, DividedBar, DividedBars};
use super::{Chart, ChartSize, Picture, bottleneck, is_bottleneck};
use crate::experiment::{CandidateFindings, Findings, PersonFindings, ResourceKind};
use crate::report::figure::percent;

/// People who are alike share a row: which of them does more is the order of the file, and no verdict.
pub fn draw(chart: &Chart, findings: &Findings, size: ChartSize) -> Vec<Picture> {
    let columns: Vec<Column> = (findings.candidates.iter())
        .map(|found| Column {
            name: &found.name,
            bottleneck: bottleneck(found),
            bars: found
                .groups()
                .iter()
                .map(|group| bar(found, group))
                .collect(),
        })
        .collect();
    let mut notes = format!(
        "Share of the time at work, {}. The figure beside a bar is how much of it somebody is busy, walking included. \
         ◆\u{202F}marks the busiest.",
        played(findings)
    );
    if (findings.candidates.iter()).any(|found| found.groups().iter().any(|group| group.len() > 1))
    {
        notes += " People who can do the same work share a row, with the least and the most busy of them.";
    }
    let bars = DividedBars {
        notes: &notes,
        columns,
        spelled_out: true,
    };
    bars.draw(chart, findings, size)
}

fn bar(found: &CandidateFindings, group: &[&PersonFindings]) -> DividedBar {
    let sum = |of: fn(&PersonFindings) -> f64| group.iter().map(|person| of(person)).sum::<f64>();
    let mean = sum(|person| person.utilisation) / group.len() as f64;
    let uses = || group.iter().map(|person| person.utilisation);
    let (least, most) = (
        uses().fold(f64::INFINITY, f64::min),
        uses().fold(0.0, f64::max),
    );
    let first = group[0];
    let name = match group.len() {
        1 => first.name.clone(),
        many => format!("{} (×{many})", first.group),
    };
    let (least, most) = (percent(least), percent(most));
    let beside = match least == most {
        true => percent(mean),
        false => format!("{} ({least} to {most})", percent(mean)),
    };
    DividedBar {
        name,
        parts: vec![
            (sum(|person| person.working), WORKING.called("working")),
            (sum(|person| person.handling), HANDLING),
            (sum(|person| person.walking), WALKING),
            (sum(|person| person.waiting), IDLE.called("waiting")),
        ],
        figures: Vec::new(),
        beside,
        bottleneck: [&first.name, &first.group]
            .iter()
            .any(|name| is_bottleneck(found, ResourceKind::Person, name)),
    }
}
