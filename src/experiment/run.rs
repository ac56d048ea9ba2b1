//! Plays a study: candidates times replications, and what they come to.

use std::ops::ControlFlow;

use super::aggregate::Aggregate;
use super::heat::heat_findings;
use super::light::light_findings;
use super::replications::{DIAGNOSED, Failure, Player, Replication};
use super::service_runs::service_findings;
use super::{
    Candidate, CandidateFindings, Comparison, CompletionChange, Findings, LOOKS, ProjectComparison,
    ProjectSelection, Replications, Settings, Study,
};
use crate::engine::{Prepared, Recorder, Run, simulate};
use crate::metrics::{Chronicle, DecisionInstant, Decisions, Trace, TraceLine};
use crate::shop::{ProjectId, Shop};
use crate::statistics::{IntervalMethod, Selection};

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
    /// Whether the replications suffice for skewed figures, where nothing else was asked for.
    pub suffices: Option<bool>,
}

/// When enough has been played.
enum Enough {
    /// After so many replications.
    Fixed(u32),
    /// When all candidates are this precise.
    Precise(f64),
    /// When the replications suffice for every mean and every difference from this candidate.
    Sufficient(usize),
}

impl Enough {
    fn most(&self) -> u32 {
        match self {
            Enough::Fixed(count) => *count,
            Enough::Precise(_) => MOST,
            Enough::Sufficient(_) => LOOKS[LOOKS.len() - 1],
        }
    }

    /// Whether to stop after so many replications of each candidate; None where it is too early to ask.
    fn is_reached(
        &self,
        played: u32,
        candidates: &[Candidate],
        aggregates: &[Aggregate],
        settings: &Settings,
    ) -> Option<bool> {
        match self {
            Enough::Fixed(_) => None,
            Enough::Precise(share) => {
                (played >= FIRST).then(|| aggregates.iter().all(|a| a.is_precise(*share, settings)))
            }
            Enough::Sufficient(base) => LOOKS.contains(&played).then(|| {
                let (base_shop, base) = (&candidates[*base].shop, &aggregates[*base]);
                let mut others = candidates.iter().zip(aggregates);
                others.all(|(candidate, a)| {
                    let of_projects = same_projects(base_shop, &candidate.shop)
                        .all(|(own, other)| base.project(own).suffices_against(a.project(other)));
                    a.suffices() && base.suffices_against(a) && of_projects
                })
            }),
        }
    }
}

/// Plays all candidates on the same random numbers: as often as is asked for, or until it is enough for each of them and
/// for their differences from the candidate `base`. `hear` is told of every replication that counts, by number and
/// candidate.
///
/// # Errors
/// The first replication, by number and candidate, that gets stuck.
pub(super) fn play_all(
    settings: &Settings,
    candidates: &[Candidate],
    base: usize,
    varies: bool,
    (progress, keep_on): (&(dyn Fn(u64) + Sync), &dyn Fn() -> bool),
    mut hear: impl FnMut(&Replication),
) -> Result<PlayedStudy, Failure> {
    let enough = match settings.replications {
        _ if !varies => Enough::Fixed(1),
        Replications::Fixed(count) => Enough::Fixed(count),
        Replications::Precision(share) => Enough::Precise(share),
        Replications::Sufficient => Enough::Sufficient(base),
    };
    let mut aggregates: Vec<Aggregate> = candidates.iter().map(Aggregate::new).collect();
    let all = candidates.len();
    let jobs = (0..enough.most()).flat_map(|nth| (0..all).map(move |candidate| (candidate, nth)));
    let at_once = match enough {
        Enough::Fixed(_) | Enough::Sufficient(_) => BATCH as usize,
        Enough::Precise(_) => FIRST as usize * all,
    };
    let (mut played, mut reached) = (0, None);
    let player = Player::new(settings, candidates, progress).diagnosing();
    let add = |(candidate, nth): (usize, u32), replication: Replication| {
        hear(&replication);
        aggregates[candidate].add(replication);
        if candidate + 1 < all {
            return ControlFlow::Continue(());
        }
        played = nth + 1;
        reached = enough.is_reached(played, candidates, &aggregates, settings);
        match reached {
            Some(true) => ControlFlow::Break(()),
            _ if !keep_on() => ControlFlow::Break(()),
            _ => ControlFlow::Continue(()),
        }
    };
    (player.play(jobs, at_once, |replication| replication, add)).map_err(|(_, failure)| failure)?;
    let answered = reached.unwrap_or(false);
    Ok(PlayedStudy {
        aggregates,
        replications: played,
        precision_reached: matches!(enough, Enough::Precise(_)).then_some(answered),
        suffices: matches!(enough, Enough::Sufficient(_)).then_some(answered),
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
    run_while(study, base, progress, &|| true)
}

/// The same, ended after some replications of each candidate as soon as nobody wants to go on: the findings are those of
/// what was played until then.
///
/// # Errors
/// As of [`run`].
pub fn run_while(
    study: &Study,
    base: usize,
    progress: &(dyn Fn(u64) + Sync),
    keep_on: &dyn Fn() -> bool,
) -> Result<Findings, Failure> {
    let played = play_all(
        &study.settings,
        &study.candidates,
        base,
        study.varies(),
        (progress, keep_on),
        |_| {},
    )?;
    findings_of(study, base, &played)
}

/// What candidates come to that were played side by side, each compared with the candidate `base`.
///
/// # Errors
/// A replication that gets stuck when what feeds the shop is asked for.
pub(super) fn findings_of(
    study: &Study,
    base: usize,
    played: &PlayedStudy,
) -> Result<Findings, Failure> {
    let varies = study.varies();
    let PlayedStudy {
        aggregates,
        replications: played,
        precision_reached,
        suffices,
    } = played;
    let played = *played;
    let comparisons = (0..study.candidates.len()).filter(|&other| other != base);
    let level = study.settings.confidence;
    let method = study.settings.replications.intervals();
    Ok(Findings {
        title: study.title.clone(),
        units: study.units,
        seed: study.settings.seed,
        replications: played,
        diagnosed: played.min(DIAGNOSED),
        confidence: level,
        varies,
        horizon: study.settings.until.is_some(),
        precision_reached: *precision_reached,
        suffices: *suffices,
        intervals: method,
        comparisons: comparisons
            .filter_map(|other| {
                let (a, b) = (&aggregates[base], &aggregates[other]);
                Some(Comparison {
                    base,
                    other,
                    walking: a.walking_pairs(b).paired(level, method)?,
                    lead_time: a.lead_time_pairs(b).paired(level, method),
                    projects: project_comparisons(study, (base, a), (other, b)),
                    completion: completion_change(study, (base, a), (other, b)),
                })
            })
            .collect(),
        walks_least: best_of(
            aggregates.iter().map(|a| Some(a.walking.clone())),
            varies,
            level,
            method,
        ),
        soonest: best_of(
            aggregates.iter().map(Aggregate::mean_lead_times),
            varies,
            level,
            method,
        ),
        soonest_by_project: soonest_by_project(study, base, aggregates),
        candidates: study
            .candidates
            .iter()
            .zip(aggregates)
            .map(|(candidate, aggregate)| {
                let services = service_findings(candidate, &study.settings, played)?;
                Ok(CandidateFindings {
                    power: services.power,
                    noise: services.noise,
                    light: light_findings(candidate),
                    heat: heat_findings(candidate, &services.dust),
                    dust: services.dust,
                    ..aggregate.findings(candidate, &study.settings)
                })
            })
            .collect::<Result<_, Failure>>()?,
    })
}

/// Projects that both shops build, by name.
fn same_projects<'s>(
    base: &'s Shop,
    other: &'s Shop,
) -> impl Iterator<Item = (ProjectId, ProjectId)> + 's {
    base.projects.enumerate().filter_map(|(id, project)| {
        let mut others = other.projects.enumerate();
        let (same, _) = others.find(|(_, other)| other.name == project.name)?;
        Some((id, same))
    })
}

/// Of projects that all candidates build, in the base's order.
fn soonest_by_project(
    study: &Study,
    base: usize,
    aggregates: &[Aggregate],
) -> Vec<ProjectSelection> {
    let all = &study.candidates;
    let base_shop = &all[base].shop;
    if all.len() < 2 || base_shop.projects.len() < 2 {
        return Vec::new();
    }
    let of = |id: ProjectId| {
        let ids: Option<Vec<ProjectId>> = (all.iter())
            .map(|other| {
                let mut same = same_projects(base_shop, &other.shop);
                same.find(|(own, _)| *own == id).map(|(_, same)| same)
            })
            .collect();
        let series = aggregates.iter().zip(ids?);
        Some(ProjectSelection {
            name: base_shop.projects[id].name.clone(),
            soonest: best_of(
                series.map(|(sums, id)| sums.project(id).mean_lead_times()),
                study.varies(),
                study.settings.confidence,
                study.settings.replications.intervals(),
            ),
        })
    };
    let ids = base_shop.projects.enumerate();
    ids.filter_map(|(id, _)| of(id)).collect()
}

fn project_comparisons(
    study: &Study,
    (base, of_base): (usize, &Aggregate),
    (other, of_other): (usize, &Aggregate),
) -> Vec<ProjectComparison> {
    let level = study.settings.confidence;
    let method = study.settings.replications.intervals();
    let [base, other] = [base, other].map(|index| &study.candidates[index].shop);
    same_projects(base, other)
        .map(|(id, same)| {
            let (own, others) = (of_base.project(id), of_other.project(same));
            ProjectComparison {
                name: base.projects[id].name.clone(),
                lead_time: own.lead_time_pairs(others).paired(level, method),
                walking_per_order: own.walking_pairs(others).paired(level, method),
            }
        })
        .collect()
}

/// How the moment at which all is done changes, where both shops keep hours.
fn completion_change(
    study: &Study,
    (base, of_base): (usize, &Aggregate),
    (other, of_other): (usize, &Aggregate),
) -> Option<CompletionChange> {
    let [base, other] = [base, other].map(|index| &study.candidates[index].shop.calendar);
    let (own, others) = (
        of_base.calendar.completion()?,
        of_other.calendar.completion()?,
    );
    own.change(base, (others, other))
}

/// Which candidates may have the smallest mean; None if there is only one, or one of them has no figures.
fn best_of(
    series: impl Iterator<Item = Option<Vec<f64>>>,
    varies: bool,
    level: f64,
    method: IntervalMethod,
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
    Selection::screen(&series, level, method)
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
    let calendar = &study.candidates[candidate].shop.calendar;
    let trace = Trace::new(calendar, study.settings.until, tell);
    play_to(study, candidate, replication, &mut Chronicle::new(trace))
}

/// Plays one replication of a candidate and tells every decision, instant by instant.
///
/// # Errors
/// If the replication gets stuck.
pub fn decisions(
    study: &Study,
    candidate: usize,
    replication: u32,
    tell: impl FnMut(&DecisionInstant),
) -> Result<(), Failure> {
    let shop = &study.candidates[candidate].shop;
    let mut decisions = Decisions::new(shop, tell);
    play_to(study, candidate, replication, &mut decisions)
}

/// Plays one replication of a candidate to a recorder.
fn play_to(
    study: &Study,
    candidate: usize,
    replication: u32,
    recorder: &mut dyn Recorder,
) -> Result<(), Failure> {
    let candidate = &study.candidates[candidate];
    let run = Run {
        seed: study.settings.seed,
        replication,
        until: study.settings.until,
    };
    let prepared = Prepared::new(&candidate.shop, &candidate.walks);
    simulate(&prepared, &run, recorder).map_err(|stuck| Failure {
        candidate: candidate.name.clone(),
        replication,
        stuck,
    })?;
    Ok(())
}
