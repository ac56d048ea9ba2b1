//! The tables of the terminal.

mod flow;
mod grid;
mod layouts;
mod people;
mod stations;

pub use flow::flow;
pub(super) use grid::{note, table, text};
pub use layouts::layouts;
pub(super) use layouts::{briefly_against, briefly_busiest};
pub use people::{crew, person_time};
pub use stations::{queues, stations, stations_in_short};

use comfy_table::CellAlignment;

use people::called;

use crate::experiment::{
    ActiveShares, CandidateFindings, Findings, ProjectFindings, ResourceKind, StationFindings,
};
use crate::metrics::LeadTimeComponents;
use crate::report::difference::{is_none, is_shown};
use crate::report::figure::{Shown, length_unit, number, percent, time_unit};
use crate::report::lead_time_parts::{as_told, for_whom};
use crate::report::overload::{GROWING, is_growing};
use crate::report::sentence::counted;
use crate::statistics::Paired;

/// Of how many runs figures are that are not of all.
pub(super) fn of_first_runs(findings: &Findings, runs: u64) -> Option<String> {
    (u64::from(findings.replications) > runs)
        .then(|| format!("Of the first {}.", counted(runs as usize, "run")))
}

/// One row for each candidate: walking and lead time with their differences from the base below, and the busiest
/// resource. Orders of several projects have no lead time in common: `projects::comparison` has each.
pub fn candidates(findings: &Findings, width: u16) -> String {
    // The sentence above gives the walking of one order, the table that of the whole run.
    let is_one_order = |found: &CandidateFindings| found.orders_done == 1.0;
    let walking = match findings.candidates.iter().all(is_one_order) {
        true => "walking",
        false => "walking,\nall orders",
    };
    let several = findings.has_several_projects();
    let mut header = vec!["layout", walking];
    if !several {
        header.push("lead time");
    }
    header.push("busiest");
    let mut table = table(&header, 1, width);
    if let Some(column) = table.column_mut(header.len() - 1) {
        column.set_cell_alignment(CellAlignment::Left);
    }
    let length = length_unit(findings.units);
    let longest = findings
        .candidates
        .iter()
        .filter_map(|c| c.lead_time)
        .map(|e| e.mean)
        .fold(0.0, f64::max);
    let time = time_unit(longest);
    for (index, found) in findings.candidates.iter().enumerate() {
        let compared = findings
            .comparisons
            .iter()
            .find(|compared| compared.other == index);
        let grows = compared.is_some_and(|compared| is_growing(findings, compared));
        let walking = compared.map(|compared| against(&compared.walking, length));
        let lead_time = compared
            .and_then(|compared| compared.lead_time)
            .filter(|_| !grows)
            .map(|paired| against(&paired, time_unit(paired.difference.mean)));
        let mut row = vec![
            found.name.clone(),
            above(length.estimate(&found.walking), walking),
        ];
        if !several {
            let own = match (&found.lead_time, &found.overload) {
                (None, _) => "no order finished".to_owned(),
                (Some(_), Some(_)) => GROWING.to_owned(),
                (Some(estimate), None) => time.estimate(estimate),
            };
            row.push(above(own, lead_time));
        }
        row.push(busiest(found));
        table.add_row(row);
    }
    text(table)
}

/// A candidate's own figure above its difference from the base.
pub(super) fn above(own: String, difference: Option<String>) -> String {
    match difference {
        Some(difference) => format!("{own}\n{difference}"),
        None => own,
    }
}

/// A difference from the base.
pub(super) fn against(paired: &Paired, unit: Shown) -> String {
    if is_none(paired) {
        return "none".to_owned();
    }
    let difference = &paired.difference;
    let shown = unit.estimate(difference);
    let is_zero = shown.starts_with("0 ");
    let sign = if difference.mean > 0.0 && !is_zero {
        "+"
    } else {
        ""
    };
    let shown = format!("{sign}{shown}");
    if is_shown(difference) || difference.half_width.is_none() {
        shown
    } else if is_zero && !shown.contains(['±', '(']) {
        "no difference shown".to_owned()
    } else {
        format!("{shown} (none shown)")
    }
}

fn busiest(found: &CandidateFindings) -> String {
    found
        .bottleneck
        .as_ref()
        .map_or_else(String::new, |resource| {
            let what = match resource.kind {
                ResourceKind::Gear => "in use",
                ResourceKind::Station | ResourceKind::Person => "busy",
            };
            let name = match resource.kind {
                ResourceKind::Person => called(found, &resource.name),
                ResourceKind::Station | ResourceKind::Gear => resource.name.clone(),
            };
            format!("{name} {} {what}", percent(resource.utilisation))
        })
}

/// What holds the work up, by three indicators: the busiest, the longest queue, and the bottleneck of the moment.
pub fn bottlenecks(found: &CandidateFindings, width: u16) -> String {
    let queued: f64 = found
        .stations
        .iter()
        .map(|station| station.queue.mean)
        .sum();
    let queue = |station: &StationFindings| {
        percent(if queued > 0.0 {
            station.queue.mean / queued
        } else {
            0.0
        })
    };
    let mut rows: Vec<(&str, &str, f64, String, ActiveShares)> = Vec::new();
    for station in &found.stations {
        rows.push((
            &station.name,
            "station",
            station.utilisation,
            queue(station),
            station.held,
        ));
    }
    let mut groups: Vec<(&str, f64, f64, ActiveShares)> = Vec::new();
    for person in &found.crew {
        match groups.iter_mut().find(|group| group.0 == person.group) {
            Some(group) => {
                group.1 += person.utilisation;
                group.2 += 1.0;
            }
            None => groups.push((&person.group, person.utilisation, 1.0, person.held)),
        }
    }
    let alone = found.crew.len() == 1;
    for (name, busy, count, held) in groups {
        let name = if alone { "you" } else { name };
        rows.push((name, "person", busy / count, "–".to_owned(), held));
    }
    for gear in &found.gear {
        rows.push((
            &gear.name,
            "gear",
            gear.utilisation,
            "–".to_owned(),
            gear.held,
        ));
    }
    // The bottleneck of the moment first; among those that never are, the busiest.
    let weight = |held: &ActiveShares| held.sole + held.shifting;
    rows.sort_by(|a, b| {
        let by_share = weight(&b.4).total_cmp(&weight(&a.4));
        by_share.then(b.2.total_cmp(&a.2))
    });
    let header = [
        "what",
        "kind",
        "busy",
        "share of queues",
        "active at a stretch",
        "sole bottleneck",
        "shifting",
    ];
    let mut table = table(&header, 2, width);
    for (name, kind, busy, queue, held) in rows {
        table.add_row([
            name.to_owned(),
            kind.to_owned(),
            percent(busy),
            queue,
            held.average_period.map_or_else(
                || "–".to_owned(),
                |period| time_unit(period).with_unit(period),
            ),
            percent(held.sole),
            percent(held.shifting),
        ]);
    }
    let remark =
        "Busy counts a station's curing and being serviced, and a person's walking and handling.";
    format!("{}{}", text(table), note(remark, width))
}

/// What the lead time of each project goes into.
pub fn lead_times(found: &CandidateFindings, width: u16) -> String {
    let split_of = |one: &ProjectFindings| Some(as_told(found, one.lead_time_split?));
    let splits = || found.projects.iter().filter_map(split_of);
    let is_shut = splits().any(|split| split.shop_shut > 0.0);
    let is_kept_apart = splits().any(|split| split.kept_apart > 0.0);
    type Part = fn(&LeadTimeComponents<f64>) -> f64;
    let mut parts: Vec<(&str, Part)> = vec![
        ("worked", |split| split.worked),
        ("carried", |split| split.carried),
        ("curing", |split| split.curing),
        ("waits for a station", |split| split.waiting_station),
        ("kept apart", |split| split.kept_apart),
        ("for clamps\nor jigs", |split| split.waiting_gear),
        (for_whom(found), |split| split.waiting_person),
        ("for other parts", |split| split.waiting_parts),
    ];
    parts.retain(|(name, _)| is_kept_apart || *name != "kept apart");
    let names = parts.iter().map(|(name, _)| *name);
    let shut = is_shut.then_some("besides, shop shut");
    let header: Vec<&str> = std::iter::once("lead time")
        .chain(names)
        .chain(shut)
        .collect();
    let mut table = table(&header, 1, width);
    for project in &found.projects {
        let Some(split) = split_of(project) else {
            continue;
        };
        let seconds: Vec<f64> = parts.iter().map(|(_, of)| of(&split)).collect();
        let all: f64 = seconds.iter().sum();
        let share = |seconds: f64| percent(if all > 0.0 { seconds / all } else { 0.0 });
        let name = std::iter::once(project.name.clone());
        let shut = is_shut.then(|| time_unit(split.shop_shut).with_unit(split.shop_shut));
        table.add_row(name.chain(seconds.into_iter().map(share)).chain(shut));
    }
    let remarks = [
        (
            is_shut,
            "Shares are of the time in which the shop is open or something dries.",
        ),
        (
            splits().any(|split| split.waiting_station > 0.0),
            STATION_IN_USE,
        ),
        (is_kept_apart, KEPT_APART),
    ];
    let remarks = remarks.into_iter().filter(|(applies, _)| *applies);
    let remarks: Vec<&str> = remarks.map(|(_, remark)| remark).collect();
    match remarks.is_empty() {
        true => text(table),
        false => format!("{}{}", text(table), note(&remarks.join(" "), width)),
    }
}

/// What keeps lots apart.
const KEPT_APART: &str =
    "A lot is kept apart while something goes on or dries beside which its work may not begin.";

/// That a wait for a station need not be one for want of stations.
const STATION_IN_USE: &str = "A lot waits for a station while all that can do its work are in use. Whoever works there may \
                              be needed as much: `bottleneck` says whether one more would help.";

/// The legs that are walked most, longest in sum first; None where nobody walks.
pub fn legs(
    findings: &Findings,
    found: &CandidateFindings,
    most: usize,
    width: u16,
) -> Option<String> {
    let length = length_unit(findings.units);
    let mut table = table(&["from", "to", "hands", "trips", "walked"], 3, width);
    let mut legs: Vec<_> = found.legs.iter().filter(|leg| leg.metres > 0.0).collect();
    if legs.is_empty() {
        return None;
    }
    legs.sort_by(|a, b| b.metres.total_cmp(&a.metres));
    for leg in legs.iter().take(most) {
        let row = [leg.from.as_str(), &leg.to, leg.manner.name()].map(str::to_owned);
        table.add_row(
            row.into_iter()
                .chain([number(leg.trips), length.with_unit(leg.metres)]),
        );
    }
    let mut text = text(table);
    if legs.len() > most {
        let all = legs.len();
        let remark =
            format!("The {most} longest of {all} kinds of trips; --json and --csv have all.");
        text.push_str(&note(&remark, width));
    }
    Some(text)
}
