//! What the rules say of layouts that were found.

use super::Refusal;
use super::scenario::stuck;
use crate::experiment::{LayoutFindings, Study, checked_legs};
use crate::report::check::{Told, told};
use crate::report::placements::PlayedLayout;
use crate::scenario::AddedLayout;

/// What the rules say of every candidate of a study, by their names.
pub struct SaidByRules {
    pub told: Vec<(String, Vec<Told>)>,
    pub floors: Vec<LayoutFindings>,
}

impl SaidByRules {
    pub fn of(study: &Study) -> Result<SaidByRules, Refusal> {
        let legs = checked_legs(study).map_err(|failure| stuck(&failure))?;
        let candidates = study.candidates.iter().zip(&legs);
        let mut floors = Vec::new();
        let all = candidates.map(|(candidate, legs)| {
            let found = LayoutFindings::checked(candidate, legs);
            let told = found.as_ref().map_or_else(Vec::new, |found| {
                told(&found.shop, found.plan.room.as_ref(), &found.findings)
            });
            floors.extend(found);
            (candidate.name.clone(), told)
        });
        Ok(SaidByRules {
            told: all.collect(),
            floors,
        })
    }

    pub fn index(&self, name: &str) -> Option<usize> {
        self.told.iter().position(|(known, _)| known == name)
    }

    pub fn told(&self, name: &str) -> Option<&Vec<Told>> {
        self.index(name).map(|index| &self.told[index].1)
    }

    pub fn played(&self, added: &AddedLayout) -> Option<PlayedLayout> {
        let moved = added.at.iter();
        Some(PlayedLayout {
            candidate: Some(self.index(&added.name)?),
            told: self.told(&added.name)?.clone(),
            moved: moved.map(|(name, _)| name.clone()).collect(),
        })
    }
}
