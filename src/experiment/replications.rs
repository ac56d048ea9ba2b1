//! Plays replications: in parallel, with the same result for any number of threads.

use std::ops::ControlFlow;
use std::sync::Arc;

use rayon::prelude::*;

use super::{Candidate, Settings};
use crate::engine::{Prepared, Run, Stuck, Workspace, simulate_in, simulate_in_turn};
use crate::metrics::{
    Active, Bottlenecks, Counted, Measured, Record, SinglePersonDiagnosis, Totals, Waited, Waits,
};
use crate::shop::Shop;

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

/// Who diagnoses replications of a candidate, one after the other.
#[derive(Clone)]
#[expect(
    clippy::large_enum_variant,
    reason = "there is one for each candidate, and it is moved into a recorder"
)]
enum Diagnosing {
    /// Of any shop.
    AnyShop((Bottlenecks, Waits)),
    /// Of one in which one person does everything in turn, which takes less.
    SinglePerson(SinglePersonDiagnosis),
}

impl Diagnosing {
    fn new(prepared: &Prepared, shop: &Shop, settings: &Settings) -> Diagnosing {
        let warm_up = settings.warm_up;
        if prepared.is_in_turn() {
            return Diagnosing::SinglePerson(SinglePersonDiagnosis::new(shop, warm_up));
        }
        let waits = Waits::new(shop, warm_up, settings.until);
        Diagnosing::AnyShop((Bottlenecks::new(shop, warm_up), waits))
    }
}

/// The memory of replications that are played one after the other: of the engine, and of who diagnoses those of each
/// candidate.
#[derive(Default)]
struct PlayerMemory {
    workspace: Workspace,
    diagnosing: Vec<Option<Diagnosing>>,
}

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
    /// What each candidate's first replications are diagnosed with, if they are.
    diagnosing: Vec<Diagnosing>,
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
            diagnosing: Vec::new(),
            progress,
        }
    }

    /// Diagnoses the first replications of each candidate.
    pub fn diagnosing(self) -> Player<'a> {
        let candidates = self.prepared.iter().zip(self.candidates);
        let diagnosing = candidates
            .map(|(prepared, of)| Diagnosing::new(prepared, &of.shop, self.settings))
            .collect();
        Player { diagnosing, ..self }
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
                .map_init(PlayerMemory::default, |memory, &(candidate, nth)| {
                    let played = self.replicate(memory, candidate, nth);
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
        memory: &mut PlayerMemory,
        candidate: usize,
        nth: u32,
    ) -> Result<Replication, Failure> {
        let prepared = &self.prepared[candidate];
        let fresh = (self.diagnosing.get(candidate)).filter(|_| nth < DIAGNOSED);
        let mut diagnosing = fresh.map(|fresh| {
            (memory.diagnosing).resize_with(self.candidates.len(), || None);
            let used = memory.diagnosing[candidate].take();
            used.unwrap_or_else(|| fresh.clone())
        });
        let (settings, of) = (self.settings, &self.candidates[candidate]);
        let (shop, places) = (&of.shop, of.walks.places());
        let workspace = &mut memory.workspace;
        let run = Run {
            seed: settings.seed,
            replication: nth,
            until: settings.until,
        };
        let played = match settings.until {
            None if settings.warm_up.is_zero() => {
                let totals = Totals::of_whole_run(shop, places);
                play(workspace, prepared, &run, totals, &mut diagnosing)
            }
            until => {
                let totals = Totals::new(shop, places, settings.warm_up, until);
                play(workspace, prepared, &run, totals, &mut diagnosing)
            }
        };
        if let Some(diagnosing) = diagnosing {
            memory.diagnosing[candidate] = Some(diagnosing);
        }
        played.map_err(|stuck| Failure {
            candidate: of.name.clone(),
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
    diagnosing: &mut Option<Diagnosing>,
) -> Result<Replication, Stuck> {
    let (record, (bottlenecks, waited)) = match diagnosing.take() {
        None => {
            simulate_in(workspace, prepared, run, &mut totals)?;
            return Ok(Replication {
                record: totals.into_record(),
                diagnosis: None,
            });
        }
        Some(Diagnosing::AnyShop(mut witnesses)) => {
            witnesses.0.begin();
            witnesses.1.begin();
            let mut all = (totals, witnesses);
            simulate_in(workspace, prepared, run, &mut all)?;
            let (totals, witnesses) = all;
            let found = (witnesses.0.found(), witnesses.1.waited());
            *diagnosing = Some(Diagnosing::AnyShop(witnesses));
            (totals.into_record(), found)
        }
        Some(Diagnosing::SinglePerson(mut diagnosis)) => {
            diagnosis.begin();
            let mut all = (totals, diagnosis);
            simulate_in_turn(workspace, prepared, run, &mut all)?;
            let (totals, diagnosis) = all;
            let record = totals.into_record();
            let found = diagnosis.found(&record);
            *diagnosing = Some(Diagnosing::SinglePerson(diagnosis));
            (record, found)
        }
    };
    Ok(Replication {
        record,
        diagnosis: Some(Diagnosis {
            bottlenecks,
            waited,
        }),
    })
}
