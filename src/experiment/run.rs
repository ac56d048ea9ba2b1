//! Plays a study: candidates times replications, in parallel, with the same result for any number of threads.

use rayon::prelude::*;

use super::aggregate::Aggregate;
use super::{Candidate, Comparison, Findings, Replications, Study};
use crate::engine::{Prepared, Run, Stuck, simulate};
use crate::metrics::{Measured, Record, Totals, Trace};
use crate::statistics::Paired;

/// Replications are played in batches of so many, so that memory does not grow with their number.
const BATCH: u32 = 64;

/// With a wanted precision: at least so many replications, and at most so many.
const FIRST: u32 = 20;
const MOST: u32 = 10_000;

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
/// The first replication, by candidate and number, that gets stuck.
pub fn run(
    study: &Study,
    base: usize,
    progress: &(dyn Fn(u64) + Sync),
) -> Result<Findings, Failure> {
    let varies = study
        .candidates
        .iter()
        .any(|candidate| candidate.shop.varies());
    let prepared: Vec<Prepared> = study
        .candidates
        .iter()
        .map(|candidate| Prepared::new(&candidate.shop, &candidate.walks))
        .collect();
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
        let jobs: Vec<(usize, u32)> = (0..study.candidates.len())
            .flat_map(|c| (played..played + batch).map(move |r| (c, r)))
            .collect();
        let records: Vec<Result<Record, Failure>> = jobs
            .into_par_iter()
            .map(|(index, replication)| {
                let record = replicate(
                    study,
                    &study.candidates[index],
                    &prepared[index],
                    replication,
                );
                progress(1);
                record
            })
            .collect();
        for (at, record) in records.into_iter().enumerate() {
            aggregates[at / batch as usize].add(record?);
        }
        played += batch;
        precise = precision.is_some_and(|share| {
            aggregates
                .iter()
                .all(|a| a.is_precise(share, &study.settings))
        });
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
        candidates: study
            .candidates
            .iter()
            .zip(&aggregates)
            .map(|(candidate, aggregate)| aggregate.findings(candidate, &study.settings))
            .collect(),
    })
}

fn replicate(
    study: &Study,
    candidate: &Candidate,
    prepared: &Prepared,
    replication: u32,
) -> Result<Record, Failure> {
    let settings = &study.settings;
    let (shop, places) = (&candidate.shop, candidate.walks.places());
    let run = Run {
        seed: settings.seed,
        replication,
        until: settings.until,
    };
    let record = match settings.until {
        None if settings.warm_up.is_zero() => {
            record(prepared, &run, Totals::of_whole_run(shop, places))
        }
        until => {
            let totals = Totals::new(shop, places, settings.warm_up, until);
            record(prepared, &run, totals)
        }
    };
    record.map_err(|stuck| Failure {
        candidate: candidate.name.clone(),
        replication,
        stuck,
    })
}

fn record<M: Measured>(
    prepared: &Prepared,
    run: &Run,
    mut totals: Totals<M>,
) -> Result<Record, Stuck> {
    simulate(prepared, run, &mut totals)?;
    Ok(totals.into_record())
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
