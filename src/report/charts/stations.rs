//! What the open time of each station goes into.

use super::shares::DividedBars;
use super::style::{BLOCKED, CURING, IDLE, RESERVED, RUNNING, SERVICED, SETTING_UP};
use super::{Chart, Picture, is_bottleneck};
use crate::experiment::{Findings, ResourceKind, StationFindings};
use crate::report::figure::percent;

const STATIONS: DividedBars<StationFindings> = DividedBars {
    of: |candidate| &candidate.stations,
    whole: "open time",
    name: |station| &station.name,
    parts: &[
        (RUNNING, "running", |station| station.running),
        (SETTING_UP, "setup", |station| station.setup),
        (CURING, "curing", |station| station.curing),
        (RESERVED, "reserved", |station| station.reserved),
        (BLOCKED, "blocked", |station| station.blocked),
        (SERVICED, "serviced", |station| station.serviced),
        (IDLE, "idle", |station| station.idle),
    ],
    beside: |station| percent(station.utilisation),
    diagnosed: false,
    explained: "The figure beside a bar is the station's utilisation. ◆\u{202F}marks the bottleneck.",
    is_bottleneck: |candidate, station| {
        is_bottleneck(candidate, ResourceKind::Station, &station.name)
    },
    spelled_out: false,
};

pub fn draw(chart: &Chart, findings: &Findings, scale: f64) -> Vec<Picture> {
    STATIONS.draw(chart, findings, scale)
}
