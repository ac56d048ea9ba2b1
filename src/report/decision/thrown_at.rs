//! Who works where a machine may throw a piece: that is heard of before any time that is saved.

use super::Grounds;
use crate::floor::FindingLevel;
use crate::report::check::Told;
use crate::report::sentence::with_the;

/// The first place of a candidate at which somebody works where a machine may throw a piece.
fn first<'a>(grounds: &Grounds<'a>, candidate: usize) -> Option<&'a Told> {
    let findings = &grounds.fits[candidate].as_ref()?.findings;
    let mut serious = (findings.iter()).filter(|told| told.level != FindingLevel::Note);
    serious.find(|told| told.is_in_throw)
}

/// "the bench out of where the table saw may throw a piece"
fn out_of_it(told: &Told) -> String {
    let place = told.other.as_deref().unwrap_or("whoever works there");
    format!(
        "{} out of where {} may throw a piece",
        with_the(place),
        with_the(&told.subject)
    )
}

/// How to take a candidate in which somebody works there, or one that gets the base's workplace out of it; None where
/// neither is so.
pub fn verdict(
    grounds: &Grounds<'_>,
    (base, other): (usize, usize),
    is_sooner: bool,
) -> Option<String> {
    let (before, after) = (first(grounds, base), first(grounds, other));
    let name = grounds.quoted(base);
    match (before, after) {
        (None, None) => None,
        (Some(before), None) if is_sooner => Some(format!(
            "Yes, to get {} and for the time:",
            out_of_it(before)
        )),
        (Some(before), None) => Some(format!(
            "Move to get {}, not for the time:",
            out_of_it(before)
        )),
        (before, Some(after)) => {
            let than = match before {
                Some(_) => format!(" (in {name} somebody works there too)"),
                None => format!(" (in {name} nobody works there)"),
            };
            Some(format!("Not before you get {}{than}:", out_of_it(after)))
        }
    }
}

/// What comes first where nothing is better than the base.
pub fn in_base(grounds: &Grounds<'_>, base: usize) -> Option<String> {
    let told = first(grounds, base)?;
    Some(format!("First get {}.", out_of_it(told)))
}
