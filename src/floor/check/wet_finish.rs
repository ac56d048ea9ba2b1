//! The rule about dust on finish that is still wet.

use super::Scene;
use crate::floor::finding::{Fact, Finding, FindingLevel, FindingSubject, RuleId};
use crate::shop::{StationId, Work};

/// What leaves something wet, by words in the name of the operation.
const FINISHES: [&str; 9] = [
    "finish", "varnish", "lacquer", "oil", "paint", "stain", "shellac", "coat", "spray",
];

/// What fills the air of a shop with fine dust.
const SANDS: [&str; 3] = ["sand", "sanding", "sander"];

/// Stations at which something is finished while somebody may sand in the same room, and nothing in the file keeps the two
/// apart: that the first is tacky for so long, and the other dusty.
pub fn wet_finish_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let found = scene.placed().filter_map(|(station, placement)| {
        let (finish, sanding) = dust_on(scene, station)?;
        let (at, sands) = sanding;
        let fact = Fact::WetFinish {
            finish: finish.operation,
            sanding: sands.operation,
        };
        let subject = FindingSubject::Place(station.into());
        let note = Finding::new(FindingLevel::Note, RuleId::WetFinish, subject, fact);
        Some(
            note.other(FindingSubject::Place(at.into()))
                .at(placement.at),
        )
    });
    found.collect()
}

/// What is finished at a station, and the nearest place where something is sanded that nothing keeps apart from it.
fn dust_on<'a>(scene: &Scene<'a>, station: StationId) -> Option<(&'a Work, (StationId, &'a Work))> {
    let here = scene.plan.placements[station].as_ref()?.at;
    let called = |work: &Work, words: &[&str]| {
        let name = scene.shop().operations[work.operation].to_lowercase();
        let mut said = name.split(|letter: char| !letter.is_alphabetic());
        said.any(|word| words.contains(&word))
    };
    let finishing = |work: &&Work| work.tacky.is_some() || called(work, &FINISHES);
    let sanding = |work: &&Work| work.dusty || called(work, &SANDS);
    let finish = scene.site.work_at(station).find(finishing)?;
    let sands = scene.placed().filter_map(|(other, placement)| {
        let are_apart = |work: &Work| finish.tacky.is_some() && work.dusty;
        let mut work = scene.site.work_at(other).filter(sanding);
        let work = work.find(|work| !are_apart(work))?;
        Some((placement.at.distance(here), (other, work)))
    });
    let nearest = sands.min_by(|(one, _), (other, _)| one.total_cmp(other))?;
    Some((finish, nearest.1))
}
