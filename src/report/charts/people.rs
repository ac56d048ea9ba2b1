//! What the time of each person goes into.

use super::canvas::Canvas;
use super::frame::{heading, legend, played};
use super::shares::{self, Bar, Column};
use super::style::{EMPTY, Fill, HANDLING, IDLE, RUNNING};
use super::{Chart, Picture, bottleneck, is_bottleneck, one};
use crate::experiment::{Findings, PersonFindings, ResourceKind};

/// What somebody does: its filling, its name, its seconds.
type Doing = (Fill, &'static str, fn(&PersonFindings) -> f64);

/// In the order of a bar.
const DOINGS: [Doing; 4] = [
    (RUNNING, "working", |person| person.working),
    (HANDLING, "handling", |person| person.handling),
    (EMPTY, "walking", |person| person.walking),
    (IDLE, "waiting", |person| person.waiting),
];

pub fn draw(chart: &Chart, findings: &Findings, scale: f64) -> Vec<Picture> {
    one(chart, scale, |canvas| body(chart, findings, canvas))
}

fn body(chart: &Chart, findings: &Findings, canvas: &mut Canvas) -> f64 {
    let notes = format!(
        "Share of the time at work, {}. The figure beside a bar is the person's utilisation. ◆ marks the bottleneck.",
        played(findings)
    );
    let y = heading(canvas, chart.title, findings, &notes);
    let y = legend(canvas, y, &DOINGS.map(|(fill, name, _)| (fill, name)));
    let columns: Vec<Column> = findings
        .candidates
        .iter()
        .map(|candidate| Column {
            name: &candidate.name,
            bottleneck: bottleneck(candidate),
            bars: candidate
                .crew
                .iter()
                .map(|person| Bar {
                    name: &person.name,
                    parts: DOINGS
                        .map(|(fill, _, seconds)| (seconds(person), fill))
                        .into(),
                    busy: person.utilisation,
                    bottleneck: [&person.name, &person.group]
                        .iter()
                        .any(|name| is_bottleneck(candidate, ResourceKind::Person, name)),
                })
                .collect(),
        })
        .collect();
    shares::draw(canvas, y, &columns)
}
