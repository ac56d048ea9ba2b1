//! Plays a study: candidates times replications, and what they come to.

use std::ops::ControlFlow;

use super::aggregate::Aggregate;
use super::replications::{DIAGNOSED, Failure, Player, Replication};
use super::{Candidate, Comparison, Findings, Replications, Settings, Study};
use crate::engine::{Prepared, Run, simulate};
use crate::metrics::{Chronicle, Trace, TraceLine};
use crate::statistics::{Paired, Selection};

/// So many replications are played before any is added up, so that memory does not grow with their number.
pub(super) const BATCH: u32 = 64;

/// With a wanted precision: at least so many replications, and at most so many.
pub(super) const FIRST: u32 = 20;
pub(super) const MOST: u32 = 10_000;

/// Candidates that were played side by side as often as was asked for.
pub(super) struct PlayedStudy {
    pub aggregates: Vec<Aggregate>,
    /// Replications of each.
    pub replications: u32,
    /// Whether the wanted precision was reached, where one was asked for.
    pub precision_reached: Option<bool>,
}

/// Plays all candidates on the same random numbers: as often as is asked for, or until all are precise enough. `hear`
/// is told of every replication that counts, by number and candidate.
///
/// # Errors
/// The first replication, by number and candidate, that gets stuck.
pub(super) fn play_all(
    settings: &Settings,
    candidates: &[Candidate],
    varies: bool,
    progress: &(dyn Fn(u64) + Sync),
    mut hear: impl FnMut(&Replication),
) -> Result<PlayedStudy, Failure> {
    let (wanted, precision) = match settings.replications {
        _ if !varies => (1, None),
        Replications::Fixed(count) => (count, None),
        Replications::Precision(share) => (MOST, Some(share)),
    };
    let mut aggregates: Vec<Aggregate> = candidates.iter().map(Aggregate::new).collect();
    let all = candidates.len();
    let jobs = (0..wanted).flat_map(|nth| (0..all).map(move |candidate| (candidate, nth)));
    let at_once = match precision {
        None => BATCH as usize,
        Some(_) => FIRST as usize * all,
    };
    let (mut played, mut precise) = (0, false);
    let player = Player::new(settings, candidates, progress).diagnosing();
    let add = |(candidate, nth): (usize, u32), replication: Replication| {
        hear(&replication);
        aggregates[candidate].add(replication);
        if candidate + 1 < all {
            return ControlFlow::Continue(());
        }
        played = nth + 1;
        precise = precision.is_some_and(|share| {
            played >= FIRST && aggregates.iter().all(|a| a.is_precise(share, settings))
        });
        match precise {
            true => ControlFlow::Break(()),
            false => ControlFlow::Continue(()),
        }
    };
    (player.play(jobs, at_once, |replication| replication, add)).map_err(|(_, failure)| failure)?;
    Ok(PlayedStudy {
        aggregates,
        replications: played,
        precision_reached: precision.map(|_| precise),
    })
}

/// Plays every candidate as often as the study says and compares each with the candidate `base`.
///
/// `progress` is told how many replications have been played since the last call, and may be called by any thread.
///
/// # Errors
/// The first replication, by number and candidate, that gets stuck.
pub fn run(
    study: &Study,
    base: usize,
    progress: &(dyn Fn(u64) + Sync),
) -> Result<Findings, Failure> {
    let varies = study.varies();
    let PlayedStudy {
        aggregates,
        replications: played,
        precision_reached,
    } = play_all(&study.settings, &study.candidates, varies, progress, |_| {})?;
    let comparisons = (0..study.candidates.len()).filter(|&other| other != base);
    let level = study.settings.confidence;
    Ok(Findings {
        title: study.title.clone(),
        units: study.units,
        seed: study.settings.seed,
        replications: played,
        diagnosed: played.min(DIAGNOSED),
        confidence: level,
        varies,
        horizon: study.settings.until.is_some(),
        precision_reached,
        comparisons: comparisons
            .filter_map(|other| {
                let (a, b) = (&aggregates[base], &aggregates[other]);
                let walking = Paired::of(&a.walking, &b.walking, level)?;
                Some(Comparison {
                    base,
                    other,
                    walking,
                    lead_time: a.lead_time_paired(b, level),
                })
            })
            .collect(),
        walks_least: best_of(
            aggregates.iter().map(|a| Some(a.walking.clone())),
            varies,
            level,
        ),
        soonest: best_of(
            aggregates.iter().map(Aggregate::mean_lead_times),
            varies,
            level,
        ),
        candidates: study
            .candidates
            .iter()
            .zip(&aggregates)
            .map(|(candidate, aggregate)| aggregate.findings(candidate, &study.settings))
            .collect(),
    })
}

/// Which candidates may have the smallest mean; None if there is only one, or one of them has no figures.
fn best_of(
    series: impl Iterator<Item = Option<Vec<f64>>>,
    varies: bool,
    level: f64,
) -> Option<Selection> {
    let series: Vec<Vec<f64>> = series.collect::<Option<_>>()?;
    if series.len() < 2 {
        return None;
    }
    let series: Vec<&[f64]> = series.iter().map(Vec::as_slice).collect();
    if !varies {
        let values: Vec<f64> = series.iter().map(|values| values[0]).collect();
        return Selection::exact(&values);
    }
    Selection::screen(&series, level)
}

/// Plays one replication of a candidate and tells everything that happens, line by line.
///
/// # Errors
/// If the replication gets stuck.
pub fn trace(
    study: &Study,
    candidate: usize,
    replication: u32,
    tell: impl FnMut(&TraceLine),
) -> Result<(), Failure> {
    let candidate = &study.candidates[candidate];
    let run = Run {
        seed: study.settings.seed,
        replication,
        until: study.settings.until,
    };
    let prepared = Prepared::new(&candidate.shop, &candidate.walks);
    let mut trace = Chronicle::new(&candidate.shop, Trace::new(run.until, tell));
    simulate(&prepared, &run, &mut trace).map_err(|stuck| Failure {
        candidate: candidate.name.clone(),
        replication,
        stuck,
    })?;
    Ok(())
}
