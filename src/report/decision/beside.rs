//! What is to be known of other candidates, and of stations, beside the one that an answer speaks of.

use super::choice::finishes_fewer;
use super::{Grounds, Recommendation};
use crate::experiment::{CandidateFindings, Comparison, LITTLE, StationFindings};
use crate::report::about;
use crate::report::difference::is_shown;
use crate::report::sentence::{counted, listed, with_the};
use crate::statistics::Estimate;

/// Figures that differ by no more than this share come of adding up in another order.
pub const EQUAL: f64 = 1e-9;

fn equal(one: f64, other: f64) -> bool {
    (one - other).abs() <= EQUAL * one.abs().max(other.abs())
}

/// Other candidates with the same walking and the same times, which an answer could speak of as well.
pub fn as_good(grounds: &Grounds<'_>, choice: &Recommendation<'_>) -> Option<String> {
    let found = |index: usize| &grounds.findings.candidates[index];
    let chosen = found(choice.chosen);
    let time = |found: &CandidateFindings| found.lead_time.map_or(-1.0, |time| time.mean);
    let are_equal = |other: &CandidateFindings| {
        let mut projects = chosen.projects.iter().zip(&other.projects);
        let mean = |time: Option<Estimate>| time.map_or(-1.0, |time| time.mean);
        equal(chosen.walking.mean, other.walking.mean)
            && equal(time(chosen), time(other))
            && equal(chosen.built(), other.built())
            && projects.all(|(one, other)| equal(mean(one.lead_time), mean(other.lead_time)))
    };
    let others = grounds
        .findings
        .comparisons
        .iter()
        .map(|compared| compared.other);
    let others = others.filter(|&other| other != choice.chosen);
    let same: Vec<String> = others
        .filter(|&other| {
            are_equal(found(other)) && grounds.faults(other) == grounds.faults(choice.chosen)
        })
        .map(|other| grounds.quoted(other))
        .collect();
    let come = if same.len() == 1 { "comes" } else { "come" };
    (!same.is_empty()).then(|| format!("{} {come} to the same.", listed(&same, "and")))
}

/// A candidate that saves more walking, so many metres as `saves` says, and is passed over for its faults.
pub fn walks_less_still(
    grounds: &Grounds<'_>,
    choice: &Recommendation<'_>,
    saves: impl Fn(&Comparison) -> f64,
) -> Option<String> {
    let findings = grounds.findings;
    let walking = |index: usize| findings.candidates[index].walking.mean;
    let less = findings.comparisons.iter().filter(|compared| {
        let difference = &compared.walking.difference;
        let less = walking(choice.chosen) - walking(compared.other);
        difference.mean < 0.0
            && is_shown(difference)
            && less >= LITTLE * walking(choice.base)
            && !finishes_fewer(findings, compared)
            && grounds.faults(compared.other) > grounds.faults(choice.chosen)
    });
    let least = less.min_by(|a, b| walking(a.other).total_cmp(&walking(b.other)))?;
    Some(format!(
        "{} saves more walking ({}), but has {}.",
        grounds.quoted(least.other),
        about::length(findings.units, saves(least)),
        counted(grounds.faults(least.other), "fault")
    ))
}

/// So small a part of its work in another layout leaves a station idle.
const HARDLY: f64 = 0.05;

/// So many stations are named.
const NAMED: usize = 2;

/// Stations that stand idle in one of two layouts though they work in the other, where something else can do their work:
/// whoever goes on using them walks other ways than those that are compared.
pub fn stands_idle(grounds: &Grounds<'_>, (base, other): (usize, usize)) -> Option<String> {
    let both = [(other, base), (base, other)];
    let all = both
        .into_iter()
        .flat_map(|(idle, used)| in_one(grounds, idle, used));
    let all: Vec<String> = all.take(NAMED).collect();
    (!all.is_empty()).then(|| all.join(" "))
}

fn in_one(grounds: &Grounds<'_>, idle: usize, used: usize) -> Vec<String> {
    let found = |index: usize| &grounds.findings.candidates[index].stations;
    let lots = |index: usize, name: &str| {
        let of_name = found(index).iter().find(|station| station.name == name);
        of_name.map_or(0.0, |station| station.lots)
    };
    let shop = &grounds.study.candidates[idle].shop;
    let sentence = |station: &StationFindings| {
        let name = &station.name;
        let is_idle = station.lots <= HARDLY * lots(used, name) && lots(used, name) > 0.0;
        if !is_idle {
            return None;
        }
        let mut instead: Vec<&str> = Vec::new();
        let steps = shop.ordered_items().flat_map(|item| &item.route);
        for step in steps {
            let names = step
                .choices
                .iter()
                .map(|choice| &shop.stations[choice.station].name);
            if names.clone().all(|other| other != name) {
                continue;
            }
            for other in names.filter(|other| *other != name) {
                if lots(idle, other) > lots(used, other) && !instead.contains(&&other[..]) {
                    instead.push(other);
                }
            }
        }
        let instead: Vec<String> = instead.into_iter().map(with_the).collect();
        (!instead.is_empty()).then(|| {
            format!(
                "In {} {} stands idle: its work goes to {}.",
                grounds.quoted(idle),
                with_the(name),
                listed(&instead, "and")
            )
        })
    };
    found(idle).iter().filter_map(sentence).collect()
}
