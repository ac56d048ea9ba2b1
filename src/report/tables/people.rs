//! What people did.

use super::grid::{table, text};
use crate::experiment::{CandidateFindings, DiagnosedTime, Findings, WaitingFor};
use crate::report::figure::{length_unit, percent};

/// What each person did.
pub fn crew(findings: &Findings, found: &CandidateFindings, width: u16) -> String {
    let length = length_unit(findings.units);
    let is_away = found.crew.iter().any(|person| person.away > 0.0);
    let mut header = vec!["person", "working", "walking", "handling", "waiting"];
    header.extend(is_away.then_some("away"));
    header.push("walked");
    let mut table = table(&header, 1, width);
    for person in &found.crew {
        let all = person.working + person.walking + person.handling + person.waiting + person.away;
        let share = |seconds: f64| percent(if all > 0.0 { seconds / all } else { 0.0 });
        let mut row = vec![
            called(found, &person.name),
            share(person.working),
            share(person.walking),
            share(person.handling),
            share(person.waiting),
        ];
        row.extend(is_away.then(|| share(person.away)));
        row.push(length.with_unit(person.walked.total()));
        table.add_row(row);
    }
    text(table)
}

/// What somebody is called in a table: who is alone in the shop reads it.
pub(super) fn called(found: &CandidateFindings, name: &str) -> String {
    match &found.crew[..] {
        [_] => "you".to_owned(),
        _ => name.to_owned(),
    }
}

/// Where a person's time goes: what they do, by station where they work, and what they wait for.
pub fn person_time(found: &CandidateFindings, width: u16) -> String {
    let diagnosed = || found.crew.iter().map(|person| &person.diagnosed);
    let mut works = diagnosed().flat_map(|time| &time.at_stations);
    let is_serviced = works.any(|at| at.servicing > 0.0);
    let mut header = vec!["person", "what", "share", "setting up", "running"];
    header.extend(is_serviced.then_some("upkeep"));
    let mut table = table(&header, 2, width);
    for group in found.groups() {
        let all: f64 = group.iter().map(|person| person.diagnosed.whole()).sum();
        let share = |seconds: f64| percent(if all > 0.0 { seconds / all } else { 0.0 });
        let sum = |of: fn(&DiagnosedTime) -> f64| -> f64 {
            group.iter().map(|person| of(&person.diagnosed)).sum()
        };
        let waiting = |of: fn(&WaitingFor) -> f64| -> f64 {
            let waits = group.iter().map(|person| &person.diagnosed.waiting_for);
            waits.map(of).sum()
        };
        let mut rows: Vec<(String, f64, Option<[f64; 3]>)> = Vec::new();
        for at in group
            .iter()
            .flat_map(|person| &person.diagnosed.at_stations)
        {
            let what = format!("work at {}", at.name);
            let found = rows.iter().position(|row| row.0 == what);
            let row = found.unwrap_or_else(|| {
                rows.push((what, 0.0, Some([0.0; 3])));
                rows.len() - 1
            });
            rows[row].1 += at.whole();
            if let Some([setting_up, running, servicing]) = &mut rows[row].2 {
                *setting_up += at.setting_up;
                *running += at.running;
                *servicing += at.servicing;
            }
        }
        let others = [
            ("walking", sum(|time| time.walking)),
            ("handling", sum(|time| time.handling)),
            (
                "waiting for glue or finish",
                waiting(|waiting| waiting.cure),
            ),
            ("waiting for a station", waiting(|waiting| waiting.station)),
            (
                "kept apart from work",
                waiting(|waiting| waiting.kept_apart),
            ),
            (
                "waiting for clamps or jigs",
                waiting(|waiting| waiting.gear),
            ),
            ("nothing to do", waiting(|waiting| waiting.nothing)),
            ("away", sum(|time| time.away)),
        ];
        rows.extend(others.map(|(what, seconds)| (what.to_owned(), seconds, None)));
        rows.retain(|row| row.1 > 0.0);
        rows.sort_by(|a, b| b.1.total_cmp(&a.1));
        let mut name = match group.as_slice() {
            [person] => called(found, &person.name),
            [person, ..] => format!("{} (×{})", person.group, group.len()),
            [] => continue,
        };
        for (what, seconds, at_station) in rows {
            let at_station = match at_station {
                Some(times) => times.map(share),
                None => [String::new(), String::new(), String::new()],
            };
            let shown = if is_serviced { 3 } else { 2 };
            // The name is written in the first row only.
            let name = std::mem::take(&mut name);
            let row = [name, what, share(seconds)].into_iter();
            table.add_row(row.chain(at_station.into_iter().take(shown)));
        }
    }
    text(table)
}
