//! What is said where orders come faster than they are built, or just as fast.

use super::about::share;
use super::figure::number;
use super::sentence::{capital, is_plural, listed};
use crate::experiment::{CandidateFindings, Comparison, Findings, Resource, ResourceKind};

/// What stands in place of a lead time that only says how long the measured time is.
pub(super) const GROWING: &str = "growing";

/// Whether either candidate's lead time grows with the measured time.
pub(super) fn is_growing(findings: &Findings, compared: &Comparison) -> bool {
    let of = |index: usize| findings.candidates[index].overload.is_some();
    of(compared.base) || of(compared.other)
}

/// What is in use all the time in a candidate in which orders pile up; None in any other.
type Saturated = fn(&CandidateFindings) -> Option<&[Resource]>;

/// That orders come faster than they are built, and what is in use all the time; of each candidate where it is so.
pub fn overload(findings: &Findings) -> Option<String> {
    let (names, growth) = piles_up(findings, |found| found.overload.as_deref())?;
    Some(format!(
        "In {names} orders come faster than they are built: {growth} How long an order takes there only says how long the \
         measured time is.",
    ))
}

/// That orders come as fast as they can be built, likewise.
pub fn at_capacity(findings: &Findings) -> Option<String> {
    let (names, growth) = piles_up(findings, |found| found.at_capacity.as_deref())?;
    Some(format!(
        "In {names} orders come about as fast as they can be built, so that the queue does not settle: {growth} How long an \
         order takes there grows with the measured time."
    ))
}

/// Both, where they are so.
pub fn piled_up(findings: &Findings) -> Vec<String> {
    let all = [overload(findings), at_capacity(findings)];
    all.into_iter().flatten().collect()
}

/// The candidates in which orders pile up in some way, and what shows it.
fn piles_up(findings: &Findings, saturated: Saturated) -> Option<(String, String)> {
    let all = &findings.candidates;
    let piled: Vec<&CandidateFindings> = (all.iter())
        .filter(|found| saturated(found).is_some())
        .collect();
    let first = piled.first()?;
    let names: Vec<String> = (piled.iter())
        .map(|found| format!("\"{}\"", found.name))
        .collect();
    let names = match piled.len() == all.len() && all.len() > 2 {
        true => "every layout".to_owned(),
        false => listed(&names, "and"),
    };
    let in_use: Vec<String> = (piled.iter())
        .filter_map(|found| in_use(found, saturated(found)?, piled.len() > 1))
        .collect();
    let [_, middle, last] = first.in_process_by_third.unwrap_or_default();
    let of_which = match piled.len() {
        1 => String::new(),
        _ => format!(" in \"{}\"", first.name),
    };
    let growth = format!(
        "{} orders are open in the last third of the measured time{of_which}, {} in the one before",
        number(last),
        number(middle)
    );
    let in_use = match in_use.is_empty() {
        true => String::new(),
        false => format!(" {}.", capital(&in_use.join("; "))),
    };
    Some((names, format!("{growth}.{in_use}")))
}

/// "saw (99 %) is in use all the time"; nothing if nothing is.
fn in_use(
    found: &CandidateFindings,
    saturated: &[Resource],
    is_one_of_several: bool,
) -> Option<String> {
    let are = match saturated {
        [] => return None,
        [only] if only.kind == ResourceKind::Person && found.crew.len() == 1 => "are",
        [only] if !is_plural(&only.name) => "is",
        _ => "are",
    };
    let saturated: Vec<String> = (saturated.iter())
        .map(|resource| {
            let name = match (resource.kind, found.crew.len()) {
                (ResourceKind::Person, 1) => "you",
                _ => &resource.name,
            };
            format!("{name} ({})", share(resource.utilisation))
        })
        .collect();
    let of_which = match is_one_of_several {
        true => format!(" in \"{}\"", found.name),
        false => String::new(),
    };
    let names = listed(&saturated, "and");
    Some(format!("{names} {are} in use all the time{of_which}"))
}
