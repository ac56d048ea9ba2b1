//! Plays a study: candidates times replications, in parallel, with the same result for any number of threads.

use std::sync::Arc;

use rayon::prelude::*;

use super::aggregate::Aggregate;
use super::{Candidate, Comparison, Findings, Replications, Settings, Study};
use crate::engine::{Prepared, Run, Stuck, Workspace, simulate, simulate_in};
use crate::metrics::{
    Active, Bottlenecks, Counted, Measured, Record, Totals, Trace, Waited, Waits,
};
use crate::statistics::{Paired, Selection};

/// Replications are played in batches of so many, so that memory does not grow with their number.
pub(super) const BATCH: u32 = 64;

/// With a wanted precision: at least so many replications, and at most so many.
pub(super) const FIRST: u32 = 20;
pub(super) const MOST: u32 = 10_000;

/// Of so many replications, the first ones, it is found out as well what held them up: in a plain shop that takes four
/// times as long as playing them. Where more are played, what the first ones say is scaled to the times of all.
pub const LOOKED_INTO: u32 = 100;

/// A replication that came to its end.
pub(super) struct Played {
    pub record: Record,
    /// What held it up, if it was looked into.
    pub held: Option<Counted<Active>>,
    /// What was waited for, likewise.
    pub waited: Option<Waited>,
}

/// What looks into a replication.
type Looks = (Bottlenecks, Waits);

/// A replication that could not come to its end.
#[derive(Debug, Clone, PartialEq)]
pub struct Failure {
    pub candidate: String,
    pub replication: u32,
    pub stuck: Stuck,
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
    let prepared = prepare(&study.candidates);
    let mut aggregates: Vec<Aggregate> = study.candidates.iter().map(Aggregate::new).collect();
    let (wanted, precision) = match study.settings.replications {
        _ if !varies => (1, None),
        Replications::Fixed(count) => (count, None),
        Replications::Precision(share) => (MOST, Some(share)),
    };
    let mut played = 0;
    let mut precise = false;
    while played < wanted && !precise {
        let batch = match precision {
            None => BATCH.min(wanted - played),
            Some(_) => FIRST.min(wanted - played),
        };
        let candidates = study.candidates.len();
        let jobs: Vec<(usize, u32)> = (played..played + batch)
            .flat_map(|r| (0..candidates).map(move |c| (c, r)))
            .collect();
        let records: Vec<Result<Played, Failure>> = jobs
            .into_par_iter()
            .map_init(Workspace::default, |workspace, (index, replication)| {
                let candidate = &study.candidates[index];
                let (settings, prepared) = (&study.settings, &prepared[index]);
                let played = replicate(workspace, settings, candidate, prepared, replication, true);
                progress(1);
                played
            })
            .collect();
        // Replications count one after the other, so that where they end does not depend on the batches.
        for (at, record) in records.into_iter().enumerate() {
            let candidate = at % candidates;
            aggregates[candidate].add(record?);
            if candidate + 1 < candidates {
                continue;
            }
            played += 1;
            precise = precision.is_some_and(|share| {
                played >= FIRST && (aggregates.iter()).all(|a| a.is_precise(share, &study.settings))
            });
            if precise {
                break;
            }
        }
    }
    let comparisons = (0..study.candidates.len()).filter(|&other| other != base);
    let level = study.settings.confidence;
    Ok(Findings {
        title: study.title.clone(),
        units: study.units,
        seed: study.settings.seed,
        replications: played,
        confidence: level,
        varies,
        horizon: study.settings.until.is_some(),
        precision_reached: precision.map(|_| precise),
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

/// Makes candidates ready to be played; those that share a shop share what is prepared of it.
pub(super) fn prepare(candidates: &[Candidate]) -> Vec<Prepared<'_>> {
    let mut prepared: Vec<Prepared> = Vec::new();
    for candidate in candidates {
        let mut before = candidates.iter().zip(&prepared);
        let alike = before.find(|(other, _)| Arc::ptr_eq(&other.shop, &candidate.shop));
        prepared.push(match alike {
            Some((_, other)) => Prepared::on(other.shop().clone(), &candidate.walks),
            None => Prepared::new(&candidate.shop, &candidate.walks),
        });
    }
    prepared
}

/// Plays one replication of a candidate; looks into it, if wanted and if it is one of the first.
pub(super) fn replicate(
    workspace: &mut Workspace,
    settings: &Settings,
    candidate: &Candidate,
    prepared: &Prepared,
    replication: u32,
    looks: bool,
) -> Result<Played, Failure> {
    let (shop, places) = (&candidate.shop, candidate.walks.places());
    let run = Run {
        seed: settings.seed,
        replication,
        until: settings.until,
    };
    let looks = (looks && replication < LOOKED_INTO).then(|| {
        let waits = Waits::new(shop, settings.warm_up, settings.until);
        (Bottlenecks::new(shop, settings.warm_up), waits)
    });
    let played = match settings.until {
        None if settings.warm_up.is_zero() => {
            let totals = Totals::of_whole_run(shop, places);
            play(workspace, prepared, &run, totals, looks)
        }
        until => {
            let totals = Totals::new(shop, places, settings.warm_up, until);
            play(workspace, prepared, &run, totals, looks)
        }
    };
    played.map_err(|stuck| Failure {
        candidate: candidate.name.clone(),
        replication,
        stuck,
    })
}

fn play<M: Measured>(
    workspace: &mut Workspace,
    prepared: &Prepared,
    run: &Run,
    mut totals: Totals<M>,
    looks: Option<Looks>,
) -> Result<Played, Stuck> {
    let (mut held, mut waited) = (None, None);
    match looks {
        None => {
            simulate_in(workspace, prepared, run, &mut totals)?;
        }
        Some(looks) => {
            let mut all = (totals, looks);
            simulate_in(workspace, prepared, run, &mut all)?;
            totals = all.0;
            let (bottlenecks, waits) = all.1;
            held = Some(bottlenecks.found());
            waited = Some(waits.into_waited());
        }
    }
    Ok(Played {
        record: totals.into_record(),
        held,
        waited,
    })
}

/// Plays one replication of a candidate and keeps everything that happened.
///
/// # Errors
/// If the replication gets stuck.
pub fn trace(study: &Study, candidate: usize, replication: u32) -> Result<Trace, Failure> {
    let candidate = &study.candidates[candidate];
    let mut trace = Trace::new();
    let run = Run {
        seed: study.settings.seed,
        replication,
        until: study.settings.until,
    };
    match simulate(
        &Prepared::new(&candidate.shop, &candidate.walks),
        &run,
        &mut trace,
    ) {
        Ok(_) => Ok(trace),
        Err(stuck) => Err(Failure {
            candidate: candidate.name.clone(),
            replication,
            stuck,
        }),
    }
}
