//! Rounds of chains, and what is known after them.

use rayon::prelude::*;

use super::archive::{Archive, ArchiveBounds, PlacedBest};
use super::boxes::FrontPairs;
use super::chain::{ChainAim, ChainEnd, ChainTask, RoundJudge, WARNING, cooled};
use super::problem::PlacementProblem;
use super::worth::worth_their_moves;
use crate::floor::{Flow, Plan, Score};
use crate::random::Key;
use crate::shop::StationId;

/// When to stop, and who hears how it goes.
pub struct PlacementLimits<'l> {
    /// Rounds that are made at most.
    pub rounds: u64,
    /// Asked before each round whether there is to be one more.
    pub keep_on: &'l dyn Fn() -> bool,
    /// Asked all the time whether to end at once: what the round has found is left out then, unless it is the first.
    pub give_up: &'l (dyn Fn() -> bool + Sync),
    /// Told after each round how many there have been, and the best so far.
    pub told: &'l dyn Fn(u64, Option<&PlacedBest>),
}

/// What a search has found.
#[derive(Debug, Clone)]
pub struct FoundPlacements {
    /// What the placement comes to that is there now.
    pub now: Score,
    /// The shortest ways with at most one station moved, with at most two and so on to all of them; nothing where so few
    /// moves mend not all faults.
    pub few: Vec<Option<PlacedBest>>,
    /// The least walking where a warning counts as [`FoundPlacements::warning_m`] of it.
    pub best: Option<PlacedBest>,
    pub warning_m: f64,
    /// What each station that is moved has to save, in metres.
    pub worth_m: f64,
    /// The fewest warnings, then the shortest ways.
    pub tidiest: Option<PlacedBest>,
    /// Hardly longer ways than in the best one with most of the stations elsewhere, if any such was met.
    pub different: Option<PlacedBest>,
    /// Faults that are there wherever anything stands.
    pub faults_wherever: u32,
    /// Placements that were looked at.
    pub tried: u64,
    pub rounds: u64,
    /// Whether it ended within the first round, so that no number of rounds finds the same again.
    pub is_cut: bool,
}

impl FoundPlacements {
    /// The same with every plan as this makes of it.
    pub fn with_plans(mut self, changed: impl Fn(&Plan) -> Plan) -> FoundPlacements {
        let others = [&mut self.best, &mut self.tidiest, &mut self.different];
        for found in self.few.iter_mut().chain(others).flatten() {
            found.plan = changed(&found.plan);
        }
        self
    }

    /// Whether a placement mends faults or warnings of the present one, or walks so much less that its moves are worth it.
    pub fn is_worth(&self, best: &PlacedBest) -> bool {
        let findings = |score: &Score| (score.missing.faults, score.missing.warnings);
        let saved = self.now.metres - best.score.metres;
        findings(&best.score) < findings(&self.now)
            || (saved > 0.0 && saved >= self.worth_m * best.moved as f64)
    }
}

/// Moves in a chain that may move everything, and in one that moves few, for each station that may be moved.
const FREE_MOVES: u32 = 300;
const FEW_MOVES: u32 = 120;

/// A chain is no shorter than this, however few stations there are.
const LEAST_MOVES: u32 = 1500;

/// Chains of a round that may move everything.
const FREE_CHAINS: u64 = 4;

/// As many stations as are looked for with chains of their own.
const FEW: usize = 5;

/// How hot chains begin and end, as shares of what is walked: from anywhere, from where it is good already, and now and then
/// so that little of where they begin is left.
const HOT: (f64, f64) = (0.03, 0.0005);
const WARM: (f64, f64) = (0.01, 0.0005);
const HOTTEST: (f64, f64) = (0.15, 0.0005);

/// What is called hardly longer, as a share, and different: such a share of the trips goes to and from stations that stand
/// so far elsewhere, in metres.
const HARDLY_LONGER: f64 = 1.1;
const MOSTLY: f64 = 0.5;
const ELSEWHERE_M: f64 = 1.5;

/// Searches for so many rounds, or until it is told to stop. Nothing where what stands there now cannot be played, and no
/// other start either.
pub fn search_placements(
    problem: &PlacementProblem<'_>,
    seed: u64,
    limits: &PlacementLimits<'_>,
) -> Option<FoundPlacements> {
    let mut starts = [problem.now].into_iter().chain(&problem.starts);
    let flow = starts.find_map(|plan| (problem.flow_on)(plan))?;
    let mut judge = judge(problem, flow);
    let now = problem.site.evaluate(problem.now, &judge.flow);
    let mended = now.missing.faults.saturating_sub(judge.wherever);
    judge.bounds = ArchiveBounds {
        warnings: now.missing.warnings + mended,
        metres: match mended {
            0 => now.metres,
            // Faults are mended whatever it costs.
            _ => f64::INFINITY,
        },
        warning_m: WARNING * judge.walked,
        moved_m: problem.terms.worth * judge.walked,
    };
    let key = Key::from_seed(seed).with_name("placements");
    let mut archive = Archive::new(problem.movable.len(), judge.bounds);
    let mut ends: Vec<PlacedBest> = Vec::new();
    let mut rounds = 0;
    let mut is_cut = false;
    while rounds < limits.rounds
        && !is_cut
        && !(limits.give_up)()
        && (limits.keep_on)()
        && !problem.movable.is_empty()
    {
        let tasks = tasks(problem, &archive, key, rounds);
        let found: Vec<ChainEnd> = (tasks.par_iter())
            .map(|task| cooled(problem, &judge, task, limits.give_up))
            .collect();
        is_cut = (limits.give_up)();
        if is_cut && rounds > 0 {
            break;
        }
        for (task, end) in tasks.iter().zip(found) {
            archive.merge(&end.archive);
            ends.extend(end.best.filter(|_| task.aim.is_free()));
        }
        rounds += 1;
        refresh(problem, &mut judge, &mut archive, &mut ends);
        (limits.told)(rounds, archive.balanced());
    }
    // What is met by chance moves more than it needs.
    let needed: Vec<PlacedBest> = (archive.all())
        .map(|found| worth_their_moves(problem, &judge, found))
        .collect();
    let mut archive = archive.emptied();
    needed.iter().for_each(|found| archive.admit(found));
    let few = (1..=problem.movable.len()).map(|most| archive.within(most).cloned());
    let best = archive.balanced().cloned();
    let different = best.as_ref().and_then(|best| {
        let is_other = |end: &&PlacedBest| {
            end.score.missing.warnings <= judge.bounds.warnings
                && end.score.metres <= best.score.metres * HARDLY_LONGER
                && differs(problem, &judge.flow, &best.plan, &end.plan)
        };
        let others = ends.iter().filter(is_other);
        others.min_by(|one, other| one.tidier(other)).cloned()
    });
    Some(FoundPlacements {
        now: problem.site.evaluate(problem.now, &judge.flow),
        few: few.collect(),
        best,
        warning_m: judge.bounds.warning_m,
        tidiest: archive.tidiest().cloned(),
        different: different.map(|found| worth_their_moves(problem, &judge, &found)),
        worth_m: judge.bounds.moved_m,
        faults_wherever: judge.wherever,
        tried: archive.tried,
        rounds,
        is_cut: is_cut && rounds == 1,
    })
}

fn judge(problem: &PlacementProblem<'_>, flow: Flow) -> RoundJudge {
    let now = problem.site.evaluate(problem.now, &flow);
    let walked = match now.metres.is_finite() && now.metres > 0.0 {
        true => now.metres,
        false => straight(&flow, problem.now).max(1.0),
    };
    RoundJudge {
        flow,
        wherever: problem.faults_wherever(),
        bounds: ArchiveBounds::default(),
        hazards: problem.hazards(problem.now),
        walked,
    }
}

/// What would be walked if nothing stood in the way.
fn straight(flow: &Flow, plan: &Plan) -> f64 {
    let legs = flow.legs.iter().filter_map(|leg| {
        let [from, to] = [leg.from, leg.to].map(|place| plan.standing(place));
        Some(leg.trips * from?.distance(to?))
    });
    legs.sum()
}

/// The chains of a round: of each number of few stations one, and several that may move everything. They begin with the
/// placements that are given, and with what has been found.
fn tasks(
    problem: &PlacementProblem<'_>,
    archive: &Archive,
    key: Key,
    round: u64,
) -> Vec<ChainTask> {
    let all = problem.movable.len();
    let key = key.with(round);
    let few = (1..=FEW.min(all.saturating_sub(1))).map(|most| {
        // From what is there now, from the best of so few, and from the best of one fewer.
        let known = match round % 3 {
            0 => None,
            1 => archive.within(most),
            _ => archive.within(most - 1),
        };
        ChainTask {
            start: known.map_or(problem.now, |known| &known.plan).clone(),
            aim: ChainAim::Few(most),
            is_sweep: false,
            moves: (FEW_MOVES * all as u32).max(LEAST_MOVES / 2),
            heat: WARM,
            key: key.with(most as u64),
        }
    });
    let starts: Vec<Plan> = (problem.starts.iter())
        .map(|start| problem.grouped(start))
        .collect();
    let given: Vec<&Plan> = [problem.now].into_iter().chain(&starts).collect();
    let free = (0..FREE_CHAINS).map(|nth| {
        let (aim, known) = match nth {
            0 => (ChainAim::Balanced, None),
            1 => (ChainAim::Balanced, archive.balanced()),
            2 => (ChainAim::Tidy, None),
            _ => (ChainAim::Tidy, archive.tidiest()),
        };
        let start = (round * FREE_CHAINS + nth) as usize % given.len();
        ChainTask {
            start: known.map_or(given[start], |known| &known.plan).clone(),
            aim,
            is_sweep: false,
            moves: (FREE_MOVES * all as u32).max(LEAST_MOVES),
            heat: match known {
                Some(_) => WARM,
                None if round % 3 == 2 => HOTTEST,
                None => HOT,
            },
            key: key.with(FEW as u64 + 1 + nth),
        }
    });
    // One more station than the best of so few.
    let before = (round as usize) % FEW.min(all);
    let sweep = ChainTask {
        start: archive
            .within(before)
            .map_or(problem.now, |known| &known.plan)
            .clone(),
        aim: ChainAim::Few(before + 1),
        is_sweep: true,
        moves: 0,
        heat: WARM,
        key: key.with(FEW as u64 + FREE_CHAINS + 1),
    };
    few.chain(free).chain([sweep]).collect()
}

/// Counts the trips again on the best placement so far, where they depend on it, and judges what is known by them.
fn refresh(
    problem: &PlacementProblem<'_>,
    judge: &mut RoundJudge,
    archive: &mut Archive,
    ends: &mut Vec<PlacedBest>,
) {
    let best = archive.balanced();
    let Some(flow) = best.and_then(|best| (problem.flow_on)(&best.plan)) else {
        return;
    };
    if flow == judge.flow {
        return;
    }
    judge.flow = flow;
    let fronts = FrontPairs::of(problem.now);
    let again = |plan: &Plan| {
        let score = problem.site.evaluate(plan, &judge.flow);
        let moved = problem.moved_in(plan);
        let closed = problem.broken_terms(plan, &moved, &fronts);
        let is_sound = score.missing.faults <= judge.wherever && closed == 0;
        (is_sound && score.metres.is_finite()).then_some(score)
    };
    *archive = archive.judged_again(again);
    ends.retain_mut(|end| match again(&end.plan) {
        Some(score) => {
            end.score = score;
            true
        }
        None => false,
    });
}

/// Whether most trips go to and from stations that stand elsewhere in the other plan.
fn differs(problem: &PlacementProblem<'_>, flow: &Flow, one: &Plan, other: &Plan) -> bool {
    let (mut elsewhere, mut all) = (0.0, 0.0);
    for leg in &flow.legs {
        for place in [leg.from, leg.to] {
            let is_movable = |id: &StationId| id.index() == place.index();
            if !problem.movable.iter().any(is_movable) {
                continue;
            }
            all += leg.trips;
            let apart = one.standing(place).zip(other.standing(place));
            if apart.is_some_and(|(one, other)| one.distance(other) > ELSEWHERE_M) {
                elsewhere += leg.trips;
            }
        }
    }
    elsewhere > MOSTLY * all
}
