//! Figures of each project, since orders of different projects have no lead time in common.

use super::difference::{interval_in_words, is_shown};
use super::figure::{length_unit, number, time_unit};
use super::overload::{GROWING, is_growing};
use super::sentence::{listed, with_article, without_article};
use super::tables::{above, against, table, text};
use crate::experiment::{CandidateFindings, Comparison, Findings, ProjectComparison};
use crate::statistics::{Estimate, Paired};

/// The project's name as that of one order: "a bookcase".
pub(super) fn one(project: &str) -> String {
    with_article(without_article(project))
}

/// By how much orders are shown to be done sooner than in the base, to find the candidate where that is most; None where
/// they are not, and where they come faster than they are built. Seconds; of several projects the mean of their shares
/// of lead time, where none is shown to be later.
pub(super) fn shorter_by(findings: &Findings, compared: &Comparison) -> Option<f64> {
    if is_growing(findings, compared) {
        return None;
    }
    let shorter = |paired: &Paired| paired.difference.mean < 0.0 && is_shown(&paired.difference);
    if !findings.has_several_projects() {
        let paired = compared.lead_time.filter(shorter)?;
        return Some(-paired.difference.mean);
    }
    let all = compared.projects.iter();
    let all: Vec<Paired> = all.filter_map(|project| project.lead_time).collect();
    let is_later = |paired: &Paired| paired.difference.mean > 0.0 && is_shown(&paired.difference);
    if all.iter().any(is_later) || !all.iter().any(shorter) {
        return None;
    }
    let share = |paired: &Paired| match paired.base_mean > 0.0 {
        true => -paired.difference.mean / paired.base_mean,
        false => 0.0,
    };
    Some(all.iter().map(share).sum::<f64>() / all.len() as f64)
}

/// How the lead time of each project differs from the base's.
pub(super) fn lead_time_sentence(findings: &Findings, compared: &Comparison) -> Option<String> {
    let differs = |project: &ProjectComparison| {
        let difference = project.lead_time?.difference;
        if !is_shown(&difference) {
            return None;
        }
        let unit = time_unit(difference.mean);
        let than = match difference.mean < 0.0 {
            true => "shorter",
            false => "longer",
        };
        let interval = interval_in_words(&difference, unit, findings.confidence)
            .map_or_else(String::new, |interval| format!(" ({interval})"));
        let by = unit.with_unit(difference.mean.abs());
        Some(format!(
            "that of {} {by} {than}{interval}",
            one(&project.name)
        ))
    };
    let both = || (compared.projects.iter()).filter(|project| project.lead_time.is_some());
    let different: Vec<String> = both().filter_map(differs).collect();
    let (other, base) = (
        &findings.candidates[compared.other].name,
        &findings.candidates[compared.base].name,
    );
    match (different.len(), both().count()) {
        (_, 0) => None,
        (0, _) => Some(format!(
            "The runs show no difference in lead time of any project between \"{other}\" and \"{base}\"."
        )),
        (some, all) => {
            let rest = match some == all {
                true => "",
                false => "; of the other projects the runs show no difference",
            };
            Some(format!(
                "Lead time in \"{other}\" compared with \"{base}\": {}{rest}.",
                listed(&different, "and")
            ))
        }
    }
}

fn own_time(found: &CandidateFindings, estimate: Option<&Estimate>) -> String {
    match (estimate, &found.overload) {
        (None, _) => "–".to_owned(),
        (Some(_), Some(_)) => GROWING.to_owned(),
        (Some(estimate), None) => time_unit(estimate.mean).estimate(estimate),
    }
}

/// What each project took.
pub fn projects(findings: &Findings, found: &CandidateFindings, width: u16) -> String {
    let length = length_unit(findings.units);
    let header = ["project", "done", "lead time", "hands-on", "walking"];
    let mut table = table(&header, 1, width);
    let nothing = || "–".to_owned();
    for project in &found.projects {
        table.add_row([
            project.name.clone(),
            number(project.orders_done),
            own_time(found, project.lead_time.as_ref()),
            (project.hands_on_per_order).map_or_else(nothing, |s| time_unit(s).with_unit(s)),
            (project.walking_per_order).map_or_else(nothing, |e| length.estimate(&e)),
        ]);
    }
    text(table)
}

/// Every project in every candidate, compared with the base; None where there is one project alone.
pub fn comparison(findings: &Findings, width: u16) -> Option<String> {
    if !findings.has_several_projects() {
        return None;
    }
    let length = length_unit(findings.units);
    let header = [
        "project",
        "layout",
        "done",
        "lead time",
        "walking\nper order",
    ];
    let mut table = table(&header, 2, width);
    let mut names: Vec<&str> = Vec::new();
    for project in findings
        .candidates
        .iter()
        .flat_map(CandidateFindings::projects_done)
    {
        if !names.contains(&&project.name[..]) {
            names.push(&project.name);
        }
    }
    for name in names {
        let mut shown = name;
        for (index, found) in findings.candidates.iter().enumerate() {
            let Some(project) = found.projects.iter().find(|project| project.name == name) else {
                continue;
            };
            let compared = findings.comparisons.iter().find(|one| one.other == index);
            let grows = compared.is_some_and(|compared| is_growing(findings, compared));
            let compared = compared.and_then(|compared| compared.project(name));
            let lead_time = compared.and_then(|one| one.lead_time).filter(|_| !grows);
            let lead_time =
                lead_time.map(|paired| against(&paired, time_unit(paired.difference.mean)));
            let walking = compared.and_then(|one| one.walking_per_order);
            let walking = walking.map(|paired| against(&paired, length));
            let own_walking = project.walking_per_order;
            table.add_row([
                std::mem::take(&mut shown).to_owned(),
                found.name.clone(),
                number(project.orders_done),
                above(own_time(found, project.lead_time.as_ref()), lead_time),
                above(
                    own_walking.map_or_else(|| "–".to_owned(), |e| length.estimate(&e)),
                    walking,
                ),
            ]);
        }
    }
    Some(text(table))
}
