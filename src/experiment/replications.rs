//! Plays replications: in parallel, with the same result for any number of threads.

use std::ops::ControlFlow;
use std::sync::Arc;

use rayon::prelude::*;

use super::{Candidate, Settings};
use crate::engine::{Prepared, Run, Stuck, Workspace, simulate_in};
use crate::metrics::{Active, Bottlenecks, Counted, Measured, Record, Totals, Waited, Waits};

/// Of so many replications, the first ones, it is found out as well what held them up, which takes longer than
/// playing them.
pub const DIAGNOSED: u32 = 200;

/// A replication that came to its end.
pub(super) struct Replication {
    pub record: Record,
    pub diagnosis: Option<Diagnosis>,
}

/// What held a replication up, and what was waited for.
pub(super) struct Diagnosis {
    pub bottlenecks: Counted<Active>,
    pub waited: Waited,
}

/// The witnesses of a replication that is diagnosed.
type Witnesses = (Bottlenecks, Waits);

/// A replication that could not come to its end.
#[derive(Debug, Clone, PartialEq)]
pub struct Failure {
    pub candidate: String,
    pub replication: u32,
    pub stuck: Stuck,
}

/// Plays replications of some candidates.
pub(super) struct Player<'a> {
    settings: &'a Settings,
    candidates: &'a [Candidate],
    prepared: Vec<Prepared<'a>>,
    /// Those that each candidate's first replications begin with, if these are diagnosed.
    witnesses: Vec<Witnesses>,
    progress: &'a (dyn Fn(u64) + Sync),
}

impl<'a> Player<'a> {
    /// `progress` is told how many replications have been played since the last call, by any thread.
    pub fn new(
        settings: &'a Settings,
        candidates: &'a [Candidate],
        progress: &'a (dyn Fn(u64) + Sync),
    ) -> Player<'a> {
        Player {
            settings,
            candidates,
            prepared: prepare(candidates),
            witnesses: Vec::new(),
            progress,
        }
    }

    /// Diagnoses the first replications of each candidate.
    pub fn diagnosing(self) -> Player<'a> {
        let settings = self.settings;
        let witnesses = self.candidates.iter().map(|candidate| {
            let shop = &candidate.shop;
            let waits = Waits::new(shop, settings.warm_up, settings.until);
            (Bottlenecks::new(shop, settings.warm_up), waits)
        });
        Player {
            witnesses: witnesses.collect(),
            ..self
        }
    }

    /// Plays jobs, each a candidate and the number of a replication, `at_once` of them before any is looked at. `of`
    /// takes from each replication what is wanted; `add` is given that in the order of the jobs, and says when it has
    /// had enough. So what comes of it depends neither on threads nor on `at_once`, and no more is kept than
    /// `at_once` of what is wanted.
    ///
    /// # Errors
    /// The first replication, in the order of the jobs, that gets stuck, with its candidate.
    pub fn play<T: Send>(
        &self,
        jobs: impl IntoIterator<Item = (usize, u32)>,
        at_once: usize,
        of: impl Fn(Replication) -> T + Sync,
        mut add: impl FnMut((usize, u32), T) -> ControlFlow<()>,
    ) -> Result<(), (usize, Failure)> {
        let mut jobs = jobs.into_iter();
        loop {
            let batch: Vec<(usize, u32)> = jobs.by_ref().take(at_once.max(1)).collect();
            if batch.is_empty() {
                return Ok(());
            }
            let played: Vec<Result<T, Failure>> = (batch.par_iter())
                .map_init(Workspace::default, |workspace, &(candidate, nth)| {
                    let played = self.replicate(workspace, candidate, nth);
                    (self.progress)(1);
                    played.map(&of)
                })
                .collect();
            for (job, played) in batch.into_iter().zip(played) {
                let played = played.map_err(|failure| (job.0, failure))?;
                if add(job, played).is_break() {
                    return Ok(());
                }
            }
        }
    }

    fn replicate(
        &self,
        workspace: &mut Workspace,
        candidate: usize,
        nth: u32,
    ) -> Result<Replication, Failure> {
        let prepared = &self.prepared[candidate];
        let witnesses = (self.witnesses.get(candidate)).filter(|_| nth < DIAGNOSED);
        let (settings, candidate) = (self.settings, &self.candidates[candidate]);
        let (shop, places) = (&candidate.shop, candidate.walks.places());
        let run = Run {
            seed: settings.seed,
            replication: nth,
            until: settings.until,
        };
        let witnesses = witnesses.cloned();
        let played = match settings.until {
            None if settings.warm_up.is_zero() => {
                let totals = Totals::of_whole_run(shop, places);
                play(workspace, prepared, &run, totals, witnesses)
            }
            until => {
                let totals = Totals::new(shop, places, settings.warm_up, until);
                play(workspace, prepared, &run, totals, witnesses)
            }
        };
        played.map_err(|stuck| Failure {
            candidate: candidate.name.clone(),
            replication: nth,
            stuck,
        })
    }
}

/// Makes candidates ready to be played; those that share a shop share what is prepared of it.
fn prepare(candidates: &[Candidate]) -> Vec<Prepared<'_>> {
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

fn play<M: Measured>(
    workspace: &mut Workspace,
    prepared: &Prepared,
    run: &Run,
    mut totals: Totals<M>,
    witnesses: Option<Witnesses>,
) -> Result<Replication, Stuck> {
    let mut diagnosis = None;
    match witnesses {
        None => {
            simulate_in(workspace, prepared, run, &mut totals)?;
        }
        Some(witnesses) => {
            let mut all = (totals, witnesses);
            simulate_in(workspace, prepared, run, &mut all)?;
            totals = all.0;
            let (bottlenecks, waits) = all.1;
            diagnosis = Some(Diagnosis {
                bottlenecks: bottlenecks.found(),
                waited: waits.waited(),
            });
        }
    }
    Ok(Replication {
        record: totals.into_record(),
        diagnosis,
    })
}
