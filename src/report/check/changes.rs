//! What one layout has found against it and another has not.

use super::{Told, in_short};
use crate::experiment::Units;
use crate::floor::FindingLevel;

/// Findings that are there on one of two layouts only.
pub struct FoundChanges<'t> {
    pub gone: Vec<&'t Told>,
    pub new: Vec<&'t Told>,
}

impl<'t> FoundChanges<'t> {
    /// Faults and warnings of two layouts; what is the same rule about the same things, or says the same, is the same
    /// finding.
    pub fn between(before: &'t [Told], after: &'t [Told], units: Units) -> FoundChanges<'t> {
        let counts = |told: &&Told| told.level != FindingLevel::Note;
        let is_same = |one: &Told, other: &Told| {
            let about = |told: &Told| {
                (
                    told.level,
                    told.rule,
                    told.subject.clone(),
                    told.other.clone(),
                )
            };
            about(one) == about(other) || in_short(one, units) == in_short(other, units)
        };
        let only = |these: &'t [Told], those: &'t [Told]| -> Vec<&'t Told> {
            let these = these.iter().filter(counts);
            these
                .filter(|told| !those.iter().any(|other| is_same(told, other)))
                .collect()
        };
        FoundChanges {
            gone: only(before, after),
            new: only(after, before),
        }
    }
}
