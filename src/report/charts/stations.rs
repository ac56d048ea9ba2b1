//! What the open time of each station goes into.

use super::canvas::Canvas;
use super::frame::{heading, legend, played};
use super::shares::{self, Bar, Column};
use super::style::{BLOCKED, CURING, Fill, IDLE, RESERVED, RUNNING, SERVICED, SETTING_UP};
use super::{Chart, Picture, bottleneck, is_bottleneck, one};
use crate::experiment::{Findings, ResourceKind, StationFindings};

/// A state of a station: its filling, its name, its seconds.
type State = (Fill, &'static str, fn(&StationFindings) -> f64);

/// In the order of a bar.
const STATES: [State; 7] = [
    (RUNNING, "running", |station| station.running),
    (SETTING_UP, "setup", |station| station.setup),
    (CURING, "curing", |station| station.curing),
    (RESERVED, "reserved", |station| station.reserved),
    (BLOCKED, "blocked", |station| station.blocked),
    (SERVICED, "serviced", |station| station.serviced),
    (IDLE, "idle", |station| station.idle),
];

pub fn draw(chart: &Chart, findings: &Findings, scale: f64) -> Vec<Picture> {
    one(chart, scale, |canvas| body(chart, findings, canvas))
}

fn body(chart: &Chart, findings: &Findings, canvas: &mut Canvas) -> f64 {
    let notes = format!(
        "Share of the open time, {}. The figure beside a bar is the station's utilisation. ◆ marks the bottleneck.",
        played(findings)
    );
    let y = heading(canvas, chart.title, findings, &notes);
    let y = legend(canvas, y, &STATES.map(|(fill, name, _)| (fill, name)));
    let columns: Vec<Column> = findings
        .candidates
        .iter()
        .map(|candidate| Column {
            name: &candidate.name,
            bottleneck: bottleneck(candidate),
            bars: candidate
                .stations
                .iter()
                .map(|station| Bar {
                    name: &station.name,
                    parts: STATES
                        .map(|(fill, _, seconds)| (seconds(station), fill))
                        .into(),
                    busy: station.utilisation,
                    bottleneck: is_bottleneck(candidate, ResourceKind::Station, &station.name),
                })
                .collect(),
        })
        .collect();
    shares::draw(canvas, y, &columns)
}
