//! The rule that what counts as several has room for all of them.

use super::{Missing, Scene};
use crate::floor::finding::{Fact, Finding, FindingLevel, FindingSubject, RuleId};

/// Stations that count as several and are drawn as one thing: with the usual size of their kind, which is that of one, it
/// is a warning; with another size it is for the reader to say whether that is all of them.
pub fn units_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let several = scene.placed().filter_map(|(id, placement)| {
        placement.footprint()?;
        let station = &scene.shop().stations[id];
        let level = match station.is_size_usual {
            true => FindingLevel::Warning,
            false => FindingLevel::Note,
        };
        let fact = Fact::Units {
            count: station.count,
        };
        let subject = FindingSubject::Place(id.into());
        (station.count > 1)
            .then(|| Finding::new(level, RuleId::Units, subject, fact).at(placement.at))
    });
    several.collect()
}

pub fn units_judge(scene: &Scene<'_>) -> Missing {
    Missing::of(&units_tell(scene))
}
