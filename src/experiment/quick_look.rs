//! A quick look at what would help: the likeliest changes, played a few times.

use super::changes::Changes;
use super::draws::LITTLE;
use super::edit::{BOLD_CUT, Edit, ReliefKind, Trial};
use super::findings::{ActiveShares, CandidateFindings};
use super::relief::{Goal, Relief, Reliefs, relieve};
use super::{Candidate, LOOKS, Replications, Study};
use crate::statistics::Estimate;

/// So many changes are tried at most, beside no walking at all. A comparison is to stay quick.
const TRIED: usize = 8;

/// So often each is played at most: what helps most is told from the rest by far more than chance moves either.
const PLAYED: u32 = 50;

/// What is told is played again, until chance moves it by about this share or it has been played so often: then it agrees
/// with what trying everything says of it.
const EXACT: f64 = 0.025;
const MOST_PLAYED: u32 = LOOKS[0];

/// Tries the changes of the stations, people and gear that hold a candidate up for the largest share of its time: one
/// more of them, or half their times; and no walking at all. None if there is nothing to try, or if a change gets the shop stuck.
///
/// `relieve` tries everything; this says which way to look.
pub fn quick_look(study: &Study, index: usize, found: &CandidateFindings) -> Option<Reliefs> {
    let candidate = &study.candidates[index];
    let mut changes = Changes::of(candidate);
    changes.untried.clear();
    changes.tried.retain(|trial| {
        let is_bold = !matches!(trial.edit, Edit::Times(_, percent) if percent != BOLD_CUT);
        is_bold && trial.edit.kind() != ReliefKind::Rule
    });
    // Whether shorter ways can help is asked in any case.
    let is_layout = |trial: &Trial| trial.edit.kind() == ReliefKind::Layout;
    let no_walking = changes.tried.iter().position(is_layout);
    let no_walking = no_walking.map(|index| changes.tried.remove(index));
    // The order of the file decides between equals.
    let weight = |trial: &Trial| weight(trial, candidate, found);
    changes
        .tried
        .sort_by(|a, b| weight(b).total_cmp(&weight(a)));
    changes.tried.truncate(TRIED);
    changes.tried.extend(no_walking);
    if changes.tried.is_empty() || found.orders_done == 0.0 {
        return None;
    }
    let given = match study.settings.replications {
        Replications::Fixed(count) => count,
        Replications::Precision(_) | Replications::Sufficient => MOST_PLAYED,
    };
    let look = |changes: Changes, count: u32| {
        let mut settings = study.settings.clone();
        settings.replications = Replications::Fixed(count);
        let looked_at = Study {
            title: study.title.clone(),
            about: None,
            units: study.units,
            settings,
            candidates: vec![candidate.clone()],
            left_out: Vec::new(),
        };
        relieve(&looked_at, 0, changes, &|_| ()).ok()
    };
    let first = look(changes, given.min(PLAYED))?;
    let told = told(&first);
    let is_layout = |relief: &&&Relief| relief.trial.edit.kind() == ReliefKind::Layout;
    let is_off =
        (told.iter().filter(|relief| !is_layout(relief))).map(|relief| off(relief, first.goal));
    let times = is_off.fold(0.0, f64::max) / EXACT;
    // An interval shrinks with the root of the number of runs.
    let needed = f64::from(PLAYED) * times * times;
    let count = (needed.min(f64::from(u32::MAX)) as u32).min(given.min(MOST_PLAYED));
    if count <= PLAYED || !first.findings.varies {
        return Some(first);
    }
    let tried = told.into_iter().map(|relief| relief.trial.clone());
    look(
        Changes {
            tried: tried.collect(),
            untried: Vec::new(),
        },
        count,
    )
}

/// What an answer tells of: the best change, the best that is more than quicker work, and no walking at all.
fn told(reliefs: &Reliefs) -> Vec<&Relief> {
    let is_layout = |relief: &&Relief| relief.trial.edit.kind() == ReliefKind::Layout;
    let list = || reliefs.list.iter();
    let helps = |relief: &&Relief| {
        let towards = relief.towards(reliefs.goal);
        let is_better =
            |towards: Estimate| towards.mean < 0.0 && towards.covers_zero() != Some(true);
        towards.is_some_and(is_better) && !relief.is_at_a_cost()
    };
    let others = || list().filter(|relief| !is_layout(relief)).filter(helps);
    let best = others().next();
    let doable = others().find(|relief| !relief.trial.edit.saves_times());
    let doable = doable.filter(|doable| best.is_some_and(|best| best.trial != doable.trial));
    let all = best.into_iter().chain(doable);
    all.chain(list().find(is_layout)).collect()
}

/// How far chance may have moved what a change brings, as a share of it. A change of next to nothing is not told.
fn off(relief: &Relief, goal: Goal) -> f64 {
    let (paired, off) = match (goal, relief.lead_time) {
        (Goal::LeadTime, Some(paired)) => (paired, paired.difference.half_width),
        _ => (relief.throughput, relief.throughput.difference.half_width),
    };
    let by = paired.difference.mean.abs();
    match by >= LITTLE * paired.base_mean.abs() {
        true => off.unwrap_or(0.0) / by,
        false => 0.0,
    }
}

/// For how much of the time what is changed holds the work up; between those that never do, how busy it is.
fn weight(trial: &Trial, candidate: &Candidate, found: &CandidateFindings) -> f64 {
    let held = |shares: &ActiveShares| shares.sole + shares.shifting;
    match trial.edit {
        Edit::OneMoreUnit(id)
        | Edit::OneMoreManned(id, _)
        | Edit::Times(id, _)
        | Edit::NoSetup(id) => {
            let station = &found.stations[id.index()];
            held(&station.held) + station.utilisation
        }
        Edit::OneMorePerson(id) => {
            let group = &candidate.shop.crew[id].group;
            let members = found.crew.iter().filter(|person| person.group == *group);
            members
                .map(|person| held(&person.held) + person.utilisation)
                .fold(0.0, f64::max)
        }
        Edit::HalfMoreGear(id) | Edit::OneMoreSet(id, _) => {
            let gear = &found.gear[id.index()];
            held(&gear.held) + gear.utilisation
        }
        _ => 0.0,
    }
}
