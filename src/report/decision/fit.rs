//! Whether the layouts fit, and what is in the way.

use super::{Grounds, Recommendation};
use crate::floor::{FindingLevel, RuleId};
use crate::report::about;
use crate::report::check::{NO_PLACES, Told, in_short, numbered};
use crate::report::per_order::per_order;
use crate::report::sentence::{counted, listed};
use crate::report::tape::{Rounding, tape};

/// Of so many layouts all are told.
const FEW: usize = 4;

/// So many findings are named.
const NAMED: usize = 3;

/// Whether the base and the chosen candidate fit, and how many others do not.
pub fn fits(grounds: &Grounds<'_>, choice: &Recommendation<'_>) -> Option<String> {
    let all = 0..grounds.fits.len();
    let drawn: Vec<usize> = all.filter(|&index| grounds.fits[index].is_some()).collect();
    if drawn.is_empty() {
        return None;
    }
    const NO_INSPECTION: &str = "Planning figures, no inspection.";
    let has_places = |index: &usize| {
        grounds.fits[*index]
            .as_ref()
            .is_some_and(|fit| fit.has_places)
    };
    let mut caveats = placeless(grounds, &drawn);
    let has_places = drawn.iter().any(has_places);
    if !has_places {
        caveats.push(NO_PLACES.to_owned());
    }
    caveats.push(NO_INSPECTION.to_owned());
    let no_inspection = caveats.join(" ");
    let is_told = |index: &usize| *index == choice.base || *index == choice.chosen;
    let told = drawn.iter().copied().filter(is_told);
    if drawn.iter().all(|&index| grounds.faults(index) == 0) {
        // So few are told like those that are spoken of.
        let told = drawn
            .iter()
            .copied()
            .filter(|index| drawn.len() <= FEW || is_told(index));
        let warnings = told.filter_map(|index| {
            let count = grounds.count(index, FindingLevel::Warning);
            (count > 0).then(|| {
                format!(
                    "{} for {}",
                    counted(count, "warning"),
                    grounds.quoted(index)
                )
            })
        });
        let warnings: Vec<String> = warnings.collect();
        let but = match warnings.is_empty() {
            true => String::new(),
            false => format!("; {}", listed(&warnings, "and")),
        };
        let yes = if has_places { "Yes, no" } else { "No" };
        return Some(format!("{yes} fault found{but}. {no_inspection}"));
    }
    let told: Vec<String> = told.map(|index| fit(grounds, index)).collect();
    let others = drawn.iter().filter(|index| !is_told(index));
    let faulty = others.clone().filter(|&&index| grounds.faults(index) > 0);
    let more = match (others.count(), faulty.clone().count()) {
        (0, _) => None,
        // So few are told like those that are spoken of.
        (_, 1..=2) => {
            let few: Vec<String> = faulty.map(|&index| fit(grounds, index)).collect();
            Some(few.join("; "))
        }
        (1, 0) => Some("the other one has no fault".to_owned()),
        (2, 0) => Some("neither of the others has a fault".to_owned()),
        (all, 0) => Some(format!("none of the {all} others has a fault")),
        (all, some) if all == some => Some(format!("all {all} others have faults")),
        (all, some) => Some(format!("{some} of the {all} others have faults")),
    };
    let all: Vec<String> = told.into_iter().chain(more).collect();
    Some(format!("{}. {no_inspection}", all.join("; ")))
}

/// Machines that a candidate has more of than the base, all on the floor of those that were there.
fn placeless(grounds: &Grounds<'_>, drawn: &[usize]) -> Vec<String> {
    let of = |index: usize| {
        let candidate = &grounds.study.candidates[index];
        Some((&candidate.shop, candidate.plan.as_ref()?))
    };
    let Some((before, base)) = of(grounds.choice.base) else {
        return Vec::new();
    };
    let added = |index: &usize| {
        let (shop, plan) = of(*index)?;
        let stations = before.stations.iter().zip(shop.stations.iter());
        let places = base.placements.iter().zip(plan.placements.iter());
        let added = stations
            .zip(places)
            .find_map(|((before, station), (old, new))| {
                let is_alike = old.as_ref()?.size == new.as_ref()?.size;
                let is_more = before.name == station.name && station.count > before.count;
                (is_alike && is_more).then_some(station)
            })?;
        Some(format!(
            "In {} the added {} has no place of its own.",
            grounds.quoted(*index),
            added.name
        ))
    };
    drawn.iter().filter_map(added).collect()
}

fn fit(grounds: &Grounds<'_>, index: usize) -> String {
    let name = grounds.quoted(index);
    let warnings = grounds.count(index, FindingLevel::Warning);
    match (grounds.faults(index), warnings) {
        (0, 0) => format!("{name}: no fault found"),
        (0, warnings) => format!("{name}: no fault, {}", counted(warnings, "warning")),
        (faults, _) => format!("{name}: no, {}", counted(faults, "fault")),
    }
}

/// The worst findings of the chosen candidate; of the base, if only that has faults.
pub fn in_the_way(grounds: &Grounds<'_>, choice: &Recommendation<'_>) -> Option<String> {
    let is_faulty = |index: usize| grounds.faults(index) > 0;
    let of = match is_faulty(choice.base) && !is_faulty(choice.chosen) {
        true => choice.base,
        false => choice.chosen,
    };
    let level = match is_faulty(of) {
        true => FindingLevel::Fault,
        false => FindingLevel::Warning,
    };
    let findings = &grounds.fits[of].as_ref()?.findings;
    let mut named: Vec<&Told> = Vec::new();
    for (_, index) in numbered(findings) {
        let finding = &findings[index];
        let is_named = named.iter().any(|known| known.short == finding.short);
        if finding.level == level && !is_named {
            named.push(finding);
        }
    }
    let more = named.len().saturating_sub(NAMED);
    named.truncate(NAMED);
    let units = grounds.findings.units;
    let named: Vec<String> = (named.into_iter())
        .map(|finding| in_short(finding, units))
        .collect();
    if named.is_empty() {
        return None;
    }
    let more = match more {
        0 => String::new(),
        more => format!("; and {more} more"),
    };
    Some(format!(
        "In {}: {}{more}.",
        grounds.quoted(of),
        named.join("; ")
    ))
}

/// Gaps of the base and of the chosen candidate by which a figure would change if they were no more than a tape is off
/// wider or narrower: of each the one that matters most.
pub fn by_a_hair(grounds: &Grounds<'_>, choice: &Recommendation<'_>) -> Option<String> {
    let mut told = vec![choice.base, choice.chosen];
    told.dedup();
    let said: Vec<String> = (told.into_iter())
        .filter_map(|index| hangs(grounds, index))
        .collect();
    (!said.is_empty()).then(|| said.join(" "))
}

fn hangs(grounds: &Grounds<'_>, index: usize) -> Option<String> {
    let findings = &grounds.fits[index].as_ref()?.findings;
    let gap = findings
        .iter()
        .find(|finding| finding.rule == RuleId::NearGap)?;
    let units = grounds.findings.units;
    let difference = gap.value("width_m")? - gap.value("person_m")?;
    let so_little = tape(units, difference.abs(), Rounding::Up);
    let per = per_order(&grounds.findings.candidates[index]);
    let walking = about::length(units, gap.value("walking_m")? / per.orders);
    let worth = match gap.value("only_way").is_some() {
        true => "there is no other way for some of the walks".to_owned(),
        false if difference < 0.0 => {
            format!("with it open, {walking} less walking {}", per.unit)
        }
        false => format!("with it closed, {walking} more walking {}", per.unit),
    };
    Some(format!(
        "In {}, {}, by {so_little}: {worth}.",
        grounds.quoted(index),
        gap.short
    ))
}
