//! Candidates in the order of what they take, with places that are shared where nothing is shown between them.

use super::draws::LITTLE;
use super::findings::Findings;
use super::replications::Failure;
use super::run::{findings_of, play_all};
use super::study::Study;
use crate::statistics::shared_places;

/// By what candidates are ranked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RankedBy {
    Walking,
    /// From start to finish.
    LeadTime,
}

/// What was found, and which place each candidate has.
#[derive(Debug, Clone)]
pub struct RankedStudy {
    pub findings: Findings,
    /// By candidate, from 1; nothing for those that are not ranked.
    pub places: Vec<Option<usize>>,
}

/// Plays a study and ranks those candidates for which `is_ranked` says so, when it is known what was found. One stands
/// ahead of another where it is shown to take less by at least [`LITTLE`] of it.
///
/// `progress` is told how many replications have been played since the last call, and may be called by any thread.
///
/// # Errors
/// The first replication, by number and candidate, that gets stuck.
pub fn rank(
    study: &Study,
    by: RankedBy,
    is_ranked: impl FnOnce(&Findings) -> Vec<bool>,
    progress: &(dyn Fn(u64) + Sync),
) -> Result<RankedStudy, Failure> {
    const BASE: usize = 0;
    let varies = study.varies();
    let played = play_all(
        &study.settings,
        &study.candidates,
        BASE,
        varies,
        (progress, &|| true),
        |_| {},
    )?;
    let findings = findings_of(study, BASE, &played)?;
    let ranked = is_ranked(&findings).into_iter().zip(&played.aggregates);
    let series: Vec<Option<Vec<f64>>> = ranked
        .map(|(is_ranked, sums)| match by {
            _ if !is_ranked => None,
            RankedBy::Walking => Some(sums.walking.clone()),
            RankedBy::LeadTime => sums.mean_lead_times(),
        })
        .collect();
    let known: Vec<&[f64]> = series.iter().flatten().map(Vec::as_slice).collect();
    let level = (findings.confidence, findings.intervals);
    let places = shared_places(&known, !varies, LITTLE, level).unwrap_or_default();
    let mut places = places.into_iter();
    let places = series.iter().map(|series| match series {
        Some(_) => places.next(),
        None => None,
    });
    Ok(RankedStudy {
        places: places.collect(),
        findings,
    })
}
