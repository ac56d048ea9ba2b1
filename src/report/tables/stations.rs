//! What stations did, and what waited for them.

use super::flow::{exactly, measured_time};
use super::grid::{note, table, text};
use crate::experiment::{CandidateFindings, StationFindings};
use crate::report::about;
use crate::report::figure::{Shown, number, percent, time_unit};

/// What each station did that did anything, in the columns that say what it is there for and what waits for it.
pub fn stations_in_short(found: &CandidateFindings, width: u16) -> String {
    let is_serviced = found.stations.iter().any(|of| of.serviced > 0.0);
    let mut header = vec!["station", "busy", "running", "setup", "curing"];
    header.extend(is_serviced.then_some("serviced"));
    header.extend(["mean queue", "wait"]);
    let mut table = table(&header, 1, width);
    let used = found.stations.iter();
    for station in used.filter(|station| station.lots > 0.0 || station.utilisation > 0.0) {
        let share = |seconds: f64| about::share(of_open(station, seconds));
        let wait = station.wait.map(|wait| about::time(wait.mean));
        let mut row = vec![
            with_count(station),
            about::share(station.utilisation),
            share(station.running),
            share(station.setup),
            share(station.curing),
        ];
        row.extend(is_serviced.then(|| share(station.serviced)));
        row.extend([
            number(station.queue.mean),
            wait.unwrap_or_else(|| "–".to_owned()),
        ]);
        table.add_row(row);
    }
    let of = measured_time(found, about::work);
    let counts = busy_counts(is_serviced);
    let remark = format!("{of} Busy counts {counts}, but not waiting for somebody on the way.");
    format!("{}{}", text(table), note(&remark, width))
}

fn with_count(station: &StationFindings) -> String {
    match station.count {
        0 | 1 => station.name.clone(),
        count => format!("{} (×{count})", station.name),
    }
}

/// A share of the time in which a station could do something.
fn of_open(station: &StationFindings, seconds: f64) -> f64 {
    let busy = station.running + station.setup + station.curing;
    let others = FURTHER.iter().map(|state| (state.of)(station));
    let open = busy + station.reserved + others.sum::<f64>() + station.idle;
    if open > 0.0 { seconds / open } else { 0.0 }
}

/// What counts as busy besides running and setup.
fn busy_counts(is_serviced: bool) -> &'static str {
    match is_serviced {
        true => "curing and being serviced",
        false => "curing",
    }
}

/// States of stations in shops that say so.
struct FurtherState {
    name: &'static str,
    of: fn(&StationFindings) -> f64,
    meaning: &'static str,
}

const FURTHER: [FurtherState; 3] = [
    FurtherState {
        name: "serviced",
        of: |station| station.serviced,
        meaning: " Serviced is while blades are changed or drums emptied.",
    },
    FurtherState {
        name: "blocked",
        of: |station| station.blocked,
        meaning: " Blocked is with a lot in it on which nobody works.",
    },
    FurtherState {
        name: "left standing",
        of: |station| station.left_standing,
        meaning: " Left standing is with a lot in it while its people are away, or it must not be run.",
    },
];

/// What each station did.
pub fn stations(found: &CandidateFindings, width: u16) -> String {
    let occurs = |state: &FurtherState| found.stations.iter().any(|of| (state.of)(of) > 0.0);
    let further: Vec<&FurtherState> = FURTHER.iter().filter(|state| occurs(state)).collect();
    let mut header = vec!["station", "busy", "running", "setup", "curing", "reserved"];
    header.extend(further.iter().map(|state| state.name));
    header.push("idle");
    let mut table = table(&header, 1, width);
    for station in &found.stations {
        let share = |seconds: f64| percent(of_open(station, seconds));
        let mut row = vec![
            with_count(station),
            percent(station.utilisation),
            share(station.running),
            share(station.setup),
            share(station.curing),
            share(station.reserved),
        ];
        row.extend(further.iter().map(|state| share((state.of)(station))));
        row.push(share(station.idle));
        table.add_row(row);
    }
    let of = measured_time(found, exactly);
    let mut remark = format!(
        "{of} Busy counts {}. Reserved is waiting for a person, parts or gear that are on the way.",
        busy_counts(further.iter().any(|state| state.name == "serviced"))
    );
    further
        .iter()
        .for_each(|state| remark.push_str(state.meaning));
    format!("{}{}", text(table), note(&remark, width))
}

/// What waited for each station, with intervals.
pub fn queues(found: &CandidateFindings, width: u16) -> String {
    const LOTS: Shown = Shown {
        per_unit: 1.0,
        sign: "",
    };
    let header = [
        "station",
        "lots taken",
        "mean queue",
        "longest",
        "mean wait",
    ];
    let mut table = table(&header, 1, width);
    for station in found.stations.iter().filter(|station| station.lots > 0.0) {
        let wait = station.wait;
        let wait = wait.map(|wait| time_unit(wait.mean).estimate(&wait));
        table.add_row([
            station.name.clone(),
            number(station.lots),
            LOTS.estimate(&station.queue).trim_end().to_owned(),
            number(station.queue_max),
            wait.unwrap_or_else(|| "–".to_owned()),
        ]);
    }
    let remark = "A queue is lots that are ready and not yet taken, on average over that time; its longest is a mean \
                  over the runs. The mean wait is of the lots that came in that time; of what still waits at its end, as \
                  long as it has.";
    format!("{}{}", text(table), note(remark, width))
}
