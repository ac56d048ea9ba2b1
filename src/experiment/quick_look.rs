//! A quick look at what would help: the likeliest changes, played a few times.

use std::ops::{ControlFlow, Range};

use super::changes::Changes;
use super::draws::LITTLE;
use super::edit::{BOLD_CUT, Edit, ReliefKind, Trial};
use super::findings::{ActiveShares, CandidateFindings, Findings};
use super::relief::{Base, Reliefs};
use super::relief_sums::{Figures, Goal, Relief, Sums, goal};
use super::replications::{Player, Replication};
use super::{Candidate, Replications, Settings, Study};
use crate::shop::CureRule;
use crate::statistics::Estimate;

/// So many changes are tried at most, beside no walking at all. A comparison is to stay quick.
const TRIED: usize = 8;

/// So often each is played at first, and so often those that may then still be what is told: what helps most is told from
/// most of the rest by far more than chance moves either.
const FIRST: u32 = 20;
const SECOND: u32 = 50;

/// What is told is played further, until chance moves it by about this share or it has been played so often: what is
/// said of it is rounded to what chance leaves, so that more would only cost time.
const EXACT: f64 = 0.05;
const MOST: u32 = 200;

/// Tries the changes of the stations, people and gear that hold a candidate up for the largest share of its time: one
/// more of them, or half their times; cures last in a session; and no walking at all and one more session,
/// against which those are held. None if there is nothing to try, or if a change gets the shop stuck.
///
/// `relieve` tries everything; this says which way to look. What is told of a change is of the first replications, those
/// of `findings`.
pub fn quick_look(study: &Study, index: usize, findings: &Findings) -> Option<Reliefs> {
    let candidate = &study.candidates[index];
    let found = &findings.candidates[index];
    let trials = likeliest(candidate, found);
    if trials.is_empty() || found.orders_done == 0.0 {
        return None;
    }
    let most = match study.settings.replications {
        _ if !candidate.shop.varies() => 1,
        Replications::Fixed(count) => count.min(MOST),
        Replications::Precision(_) | Replications::Sufficient => MOST,
    };
    let mut look = QuickLook::first(&study.settings, candidate, trials, found, most.min(FIRST))?;
    let goal = look.base.goal;
    look.keep(|found| may_be_told(found, goal));
    look.play_on(most.min(SECOND))?;
    let enough = enough(&told(&look.found, goal), goal).min(most);
    if enough > look.played() {
        look.keep(|found| told(found, goal));
        look.play_on(enough)?;
    }
    Some(Reliefs {
        findings: findings.of_one(index),
        goal,
        list: look.found.into_iter().map(|(relief, _)| relief).collect(),
        untried: Vec::new(),
        orders_a_year: candidate.shop.prices.orders_a_year,
        has_prices: candidate.shop.prices.is_any(),
        in_question: Vec::new(),
    })
}

/// Changes that have been played so far, with what was found of them.
struct QuickLook<'a> {
    base: Base<'a>,
    found: Vec<(Relief, Sums)>,
}

impl<'a> QuickLook<'a> {
    /// Plays the first replications; None if that gets stuck.
    fn first(
        settings: &'a Settings,
        candidate: &'a Candidate,
        trials: Vec<Trial>,
        found: &CandidateFindings,
        count: u32,
    ) -> Option<QuickLook<'a>> {
        let figures = play_as_it_is(settings, candidate, 0..count)?;
        let is_growing = found.overload.is_some();
        let base = Base {
            goal: goal(candidate, settings, &figures, is_growing),
            settings,
            candidate,
            figures,
        };
        let mut tried = base.untouched(trials);
        base.play(&mut tried, 0..count, &|_| ()).ok()?;
        let found = base.rank(tried);
        Some(QuickLook { base, found })
    }

    /// How often the base and the changes that are left have been played.
    fn played(&self) -> u32 {
        self.base.figures.len() as u32
    }

    /// Leaves only those changes of what has been found so far.
    fn keep(&mut self, which: impl FnOnce(&[(Relief, Sums)]) -> Vec<&Relief>) {
        let kept = which(&self.found).into_iter();
        let kept: Vec<Trial> = kept.map(|relief| relief.trial.clone()).collect();
        (self.found).retain(|(relief, _)| kept.contains(&relief.trial));
    }

    /// Plays on to so many replications in all; None if that gets stuck.
    fn play_on(&mut self, count: u32) -> Option<()> {
        let more = self.played()..count;
        if more.is_empty() {
            return Some(());
        }
        let Base {
            settings,
            candidate,
            ..
        } = self.base;
        let figures = play_as_it_is(settings, candidate, more.clone())?;
        self.base.figures.extend(figures);
        let found = std::mem::take(&mut self.found).into_iter();
        let mut tried: Vec<(Trial, Sums)> =
            found.map(|(relief, sums)| (relief.trial, sums)).collect();
        self.base.play(&mut tried, more, &|_| ()).ok()?;
        self.found = self.base.rank(tried);
        Some(())
    }
}

/// What is tried: the changes of what holds the candidate up longest, and what those are held against.
fn likeliest(candidate: &Candidate, found: &CandidateFindings) -> Vec<Trial> {
    let mut tried = Changes::of(candidate).tried;
    tried.retain(|trial| {
        let is_bold = !matches!(trial.edit, Edit::Times(_, percent) if percent != BOLD_CUT);
        is_bold && (trial.edit.kind() != ReliefKind::Rule || leaves_cures(trial))
    });
    // Whether shorter ways or more time can help is asked in any case, and what dries overnight.
    let always = |trial: &mut Trial| is_scale(trial) || leaves_cures(trial);
    let always: Vec<Trial> = tried.extract_if(.., always).collect();
    // The order of the file decides between equals.
    let weight = |trial: &Trial| weight(trial, candidate, found);
    tried.sort_by(|a, b| weight(b).total_cmp(&weight(a)));
    tried.truncate(TRIED);
    tried.extend(always);
    tried
}

fn is_scale(trial: &Trial) -> bool {
    trial.edit.is_scale()
}

/// Whether it leaves what cures for the end of a session, which costs nothing and may bring much.
fn leaves_cures(trial: &Trial) -> bool {
    trial.edit == Edit::Cures(CureRule::LastInASession)
}

/// The figures of some replications of a candidate as it is; None if it gets stuck.
pub(super) fn play_as_it_is(
    settings: &Settings,
    candidate: &Candidate,
    replications: Range<u32>,
) -> Option<Vec<Figures>> {
    let mut figures = Vec::with_capacity(replications.len());
    let add = |_, of: Figures| {
        figures.push(of);
        ControlFlow::Continue(())
    };
    let player = Player::new(settings, std::slice::from_ref(candidate), &|_| ());
    let jobs = replications.map(|nth| (0, nth));
    let of = |played: Replication| Figures::of(&played.record);
    player.play(jobs, MOST as usize, of, add).ok()?;
    Some(figures)
}

/// What an answer tells of: the best change, the best that is more than quicker work, and what those are held against.
fn told(found: &[(Relief, Sums)], goal: Goal) -> Vec<&Relief> {
    let list = || found.iter().map(|(relief, _)| relief);
    let helps = |relief: &&Relief| {
        let towards = relief.towards(goal);
        let is_better =
            |towards: Estimate| towards.mean < 0.0 && towards.covers_zero() != Some(true);
        towards.is_some_and(is_better) && !relief.is_at_a_cost()
    };
    let others = || {
        list()
            .filter(|relief| !is_scale(&relief.trial))
            .filter(helps)
    };
    let best = others().next();
    let doable = others().find(|relief| !relief.trial.edit.saves_times());
    let doable = doable.filter(|doable| best.is_some_and(|best| best.trial != doable.trial));
    let all = best.into_iter().chain(doable);
    all.chain(list().filter(|relief| is_scale(&relief.trial)))
        .collect()
}

/// Changes that may yet be what an answer tells of: no other is shown to bring more, neither of all nor of those that are
/// more than quicker work; and what those are held against.
fn may_be_told(found: &[(Relief, Sums)], goal: Goal) -> Vec<&Relief> {
    let end = |relief: &Relief, of: fn(&Estimate) -> Option<f64>| {
        let towards = relief.towards(goal);
        towards.map_or(0.0, |towards| of(&towards).unwrap_or(towards.mean))
    };
    let list = || found.iter().map(|(relief, _)| relief);
    let is_doable = |relief: &&Relief| !relief.trial.edit.saves_times();
    let others = || list().filter(|relief| !is_scale(&relief.trial) && !relief.is_at_a_cost());
    let highs = |relief: &Relief| end(relief, Estimate::high);
    let least = others().map(highs).fold(f64::INFINITY, f64::min);
    let least_doable = others().filter(is_doable).map(highs);
    let least_doable = least_doable.fold(f64::INFINITY, f64::min);
    let stays = |relief: &&Relief| {
        let low = end(relief, Estimate::low);
        is_scale(&relief.trial) || low <= least || is_doable(relief) && low <= least_doable
    };
    list().filter(stays).collect()
}

/// So many replications would be enough to tell of these changes.
fn enough(told: &[&Relief], goal: Goal) -> u32 {
    let changes = told.iter().filter(|relief| !is_scale(&relief.trial));
    let needed = changes.map(|relief| {
        // An interval shrinks with the root of the number of runs.
        let times = off(relief, goal) / EXACT;
        relief.throughput.difference.n as f64 * times * times
    });
    needed.fold(0.0, f64::max).ceil() as u32
}

/// How far chance may have moved what a change brings, as a share of it. A change of next to nothing is not told.
fn off(relief: &Relief, goal: Goal) -> f64 {
    let paired = match (goal, relief.lead_time) {
        (Goal::LeadTime, Some(paired)) => paired,
        _ => relief.throughput,
    };
    let by = paired.difference.mean.abs();
    match by >= LITTLE * paired.base_mean.abs() {
        true => paired.difference.reach() / by,
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
        | Edit::NoSetup(id)
        | Edit::LastsLonger(id, _)
        | Edit::SpareAtHand(id, _)
        | Edit::MoreRoom(id) => {
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
