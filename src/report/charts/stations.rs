//! How stations spend their time.

use super::frame::played;
use super::meaning::{BLOCKED, DRYING, IDLE, LEFT_STANDING, RESERVED, SERVICED, SETUP, WORKING};
use super::shares::{Column, DividedBar, DividedBars};
use super::{Chart, ChartSize, Picture, bottleneck, is_bottleneck};
use crate::experiment::{CandidateFindings, Findings, ResourceKind, StationFindings};
use crate::report::figure::percent;

pub fn draw(chart: &Chart, findings: &Findings, size: ChartSize) -> Vec<Picture> {
    let stations = |name: &str| {
        let candidates = findings.candidates.iter();
        let all = candidates.flat_map(|found| &found.stations);
        let of_name: Vec<&StationFindings> = all.filter(|station| station.name == name).collect();
        of_name
    };
    let left_out =
        |station: &&StationFindings| !stations(&station.name).into_iter().any(does_something);
    let first = findings.candidates.iter().flat_map(|found| &found.stations);
    let mut idle: Vec<&str> = first
        .filter(left_out)
        .map(|station| station.name.as_str())
        .collect();
    idle.sort_unstable();
    idle.dedup();
    let all_idle = idle.is_empty() || stations_of(findings).all(|name| idle.contains(&name));
    let idle: Vec<&str> = if all_idle { Vec::new() } else { idle };
    let mut notes = format!(
        "Share of the open time, {}. The figure beside a bar is how much of it the station is in use: running, set up, \
         serviced, or with work that dries or sets on it. ◆\u{202F}marks the busiest.",
        played(findings)
    );
    if !idle.is_empty() {
        notes += " Places where no operation is done are left out.";
    }
    let bars = |found: &CandidateFindings| -> Vec<DividedBar> {
        let shown =
            (found.stations.iter()).filter(|station| !idle.contains(&station.name.as_str()));
        shown
            .map(|station| {
                let alike = stations(&station.name);
                let same = alike.iter().all(|other| other.count == station.count);
                bar(found, station, same)
            })
            .collect()
    };
    let columns = findings.candidates.iter().map(|found| Column {
        name: &found.name,
        bottleneck: bottleneck(found),
        bars: bars(found),
    });
    let bars = DividedBars {
        notes: &notes,
        columns: columns.collect(),
        spelled_out: false,
    };
    bars.draw(chart, findings, size)
}

fn stations_of(findings: &Findings) -> impl Iterator<Item = &str> {
    let stations = findings.candidates.iter().flat_map(|found| &found.stations);
    stations.map(|station| station.name.as_str())
}

/// Whether anything ever happens there.
fn does_something(station: &StationFindings) -> bool {
    let StationFindings {
        running,
        setup,
        curing,
        reserved,
        serviced,
        blocked,
        ..
    } = station;
    [running, setup, curing, reserved, serviced, blocked]
        .into_iter()
        .any(|seconds| *seconds > 0.0)
}

/// How many units there are stands with the name, or with the figure where that is not the same in every layout.
fn bar(found: &CandidateFindings, station: &StationFindings, same_count: bool) -> DividedBar {
    let units = match station.count {
        1 => String::new(),
        many => format!(" ×{many}"),
    };
    let used = percent(station.utilisation);
    let (name, beside) = match same_count {
        true => (format!("{}{units}", station.name), used),
        false if station.count > 1 => {
            (station.name.clone(), format!("{used} of {}", station.count))
        }
        false => (station.name.clone(), used),
    };
    DividedBar {
        name,
        parts: vec![
            (station.running, WORKING.called("running")),
            (station.setup, SETUP),
            (station.curing, DRYING),
            (station.serviced, SERVICED),
            (station.reserved, RESERVED),
            (station.blocked, BLOCKED),
            (station.left_standing, LEFT_STANDING),
            (station.idle, IDLE.called("idle")),
        ],
        figures: Vec::new(),
        beside,
        bottleneck: is_bottleneck(found, ResourceKind::Station, &station.name),
    }
}
