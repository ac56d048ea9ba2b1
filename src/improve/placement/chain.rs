//! One chain of simulated annealing: it begins somewhere, cools down, and keeps the best of what it meets.

use super::archive::{Archive, ArchiveBounds, PlacedBest};
use super::boxes::FrontPairs;
use super::draws::{MoveDraws, PoseChange};
use super::poses::is_same;
use super::problem::{Hazard, PlacementProblem};
use crate::floor::{Evaluation, Flow, Plan, Pose, Prices, Score};
use crate::random::Key;
use crate::shop::StationId;

/// By what placements are judged in one round of the search.
#[derive(Debug, Clone)]
pub(super) struct RoundJudge {
    pub flow: Flow,
    /// Faults that are there wherever anything stands.
    pub wherever: u32,
    pub bounds: ArchiveBounds,
    /// Others than these are not put where a saw may throw a piece, whatever is walked less.
    pub hazards: Vec<Hazard>,
    /// What is walked now, in metres, by which everything else is measured.
    pub walked: f64,
}

impl RoundJudge {
    /// Whether nobody is in the throw of a saw who is not now: no walking is worth that.
    pub fn has_no_new_hazard(&self, problem: &PlacementProblem<'_>, plan: &Plan) -> bool {
        let hazards = problem.hazards(plan);
        hazards.iter().all(|hazard| self.hazards.contains(hazard))
    }
}

/// What a fault costs as a share of what is walked, and each metre that it lacks.
const FAULT: f64 = 0.2;

/// Nobody gets to some place: more than any walking.
const NO_WAY: f64 = 2.0;

/// What each warning costs beyond those allowed, as a share of what is walked.
const WARNING_TOO_MANY: f64 = 0.05;

/// What warnings cost, as shares of what is walked: from which part of a chain on, and how much. Things find their places
/// first.
const BALANCED: [(f64, f64); 3] = [(0.0, 0.01), (0.5, 0.03), (0.8, WARNING)];
const TIDY: [(f64, f64); 3] = [(0.0, 0.02), (0.5, 0.08), (0.8, 0.5)];
const FEW: [(f64, f64); 1] = [(0.0, 0.003)];

/// What a warning counts beside walking, as a share of what is walked.
pub(super) const WARNING: f64 = 0.05;

/// What a chain looks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ChainAim {
    /// Least walking with at most so many stations moved.
    Few(usize),
    /// Least walking and few warnings together.
    Balanced,
    /// Fewest warnings first.
    Tidy,
}

impl ChainAim {
    /// What warnings cost, from which part of the chain on.
    fn warnings(self) -> &'static [(f64, f64)] {
        match self {
            ChainAim::Few(_) => &FEW,
            ChainAim::Balanced => &BALANCED,
            ChainAim::Tidy => &TIDY,
        }
    }

    pub fn is_free(self) -> bool {
        !matches!(self, ChainAim::Few(_))
    }
}

/// A step of the grid that saves less than this share of what is walked is not worth making.
const WORTH_A_STEP: f64 = 1e-5;

/// Every so many places of the grid a station is tried where it is tried everywhere.
const SWEEP: usize = 4;

/// A chain that is to be played.
#[derive(Debug, Clone)]
pub(super) struct ChainTask {
    pub start: Plan,
    pub aim: ChainAim,
    /// Whether each station is tried everywhere, with all others where they stand at the start; nothing is drawn then.
    pub is_sweep: bool,
    /// Moves that are tried.
    pub moves: u32,
    /// From what is taken rather freely to what is hardly ever, as shares of what is walked.
    pub heat: (f64, f64),
    pub key: Key,
}

/// What a chain leaves behind.
pub(super) struct ChainEnd {
    pub archive: Archive,
    /// Its best placement by its own measure.
    pub best: Option<PlacedBest>,
}

/// A chain on its way.
struct Chain<'c> {
    problem: &'c PlacementProblem<'c>,
    judge: &'c RoundJudge,
    fronts: FrontPairs,
    draws: MoveDraws<'c>,
    aim: ChainAim,
    give_up: &'c dyn Fn() -> bool,
    archive: Archive,
}

/// Where a chain is.
struct ChainState<'c> {
    evaluation: Evaluation<'c>,
    prices: Prices,
    found: JudgedChange,
}

/// What a placement comes to.
struct JudgedChange {
    score: Score,
    /// Stations that stand elsewhere than now.
    moved: Vec<StationId>,
    /// What is wrong that no rule knows of.
    closed: usize,
    /// In metres of walking.
    cost: f64,
}

/// Plays a chain to its end.
pub(super) fn cooled(
    problem: &PlacementProblem<'_>,
    judge: &RoundJudge,
    task: &ChainTask,
    give_up: &dyn Fn() -> bool,
) -> ChainEnd {
    let mut chain = Chain {
        problem,
        judge,
        fronts: FrontPairs::of(problem.now),
        draws: MoveDraws::new(problem, &judge.flow, task.key),
        aim: task.aim,
        give_up,
        archive: Archive::new(problem.movable.len(), judge.bounds),
    };
    match task.is_sweep {
        true => chain.sweep(&task.start),
        false => chain.cool(task),
    }
    if let Some(best) = chain.best() {
        chain.settle(&best.plan);
    }
    let best = chain.best();
    ChainEnd {
        archive: chain.archive,
        best,
    }
}

impl<'c> Chain<'c> {
    fn best(&self) -> Option<PlacedBest> {
        let best = match self.aim {
            ChainAim::Few(most) => self.archive.within(most),
            ChainAim::Balanced => self.archive.balanced(),
            ChainAim::Tidy => self.archive.tidiest(),
        };
        best.cloned()
    }

    fn cool(&mut self, task: &ChainTask) {
        let stages = self.aim.warnings();
        let cooling = libm::log(task.heat.1 / task.heat.0);
        let mut plan = task.start.clone();
        for (nth, &(from, warning)) in stages.iter().enumerate() {
            let to = stages.get(nth + 1).map_or(1.0, |next| next.0);
            let [first, last] = [from, to].map(|share| (share * f64::from(task.moves)) as u32);
            let mut state = self.state(&plan, warning);
            for step in first..last {
                if (self.give_up)() {
                    return;
                }
                let done = f64::from(step) / f64::from(task.moves);
                let heat = self.judge.walked * task.heat.0 * libm::exp(cooling * done);
                self.step(&mut state, heat);
            }
            plan = state.evaluation.plan().clone();
        }
    }

    /// Tries each station everywhere on a coarser grid, with all others where they stand.
    fn sweep(&mut self, start: &Plan) {
        let warning = self.aim.warnings().last().map_or(0.0, |stage| stage.1);
        let mut state = self.state(start, warning);
        let mut least = state.found.cost;
        for &station in &self.problem.movable {
            let Some(placed) = start.placements[station] else {
                continue;
            };
            for pose in self.draws.everywhere(station, &placed, SWEEP) {
                if (self.give_up)() {
                    return;
                }
                let change = self.problem.with_groups(vec![(station, pose)]);
                let change = change.and_then(|change| self.with_few_moved(&state, change));
                let Some(change) = change else {
                    continue;
                };
                if let Some(found) = self.judged(&mut state, &change, least) {
                    self.keep(state.evaluation.plan(), &found);
                    least = found.cost;
                    state.evaluation.take_back();
                }
            }
        }
    }

    /// Moves what may be moved by single steps of the grid and by turns as long as anything is better for it.
    fn settle(&mut self, plan: &Plan) {
        const PASSES: usize = 12;
        let warning = self.aim.warnings().last().map_or(0.0, |stage| stage.1);
        let mut state = self.state(plan, warning);
        let stations = match self.aim.is_free() {
            true => self.problem.movable.clone(),
            false => state.found.moved.clone(),
        };
        for _ in 0..PASSES {
            if (self.give_up)() {
                return;
            }
            let mut is_settled = true;
            for &station in &stations {
                let placed = state.evaluation.plan().placements[station];
                let poses = placed.map(|placed| self.draws.next_to(station, &placed));
                for pose in poses.unwrap_or_default() {
                    let less = state.found.cost - WORTH_A_STEP * self.judge.walked;
                    if let Some(change) = self.problem.with_groups(vec![(station, pose)]) {
                        is_settled &= !self.attempt(&mut state, &change, less);
                    }
                }
            }
            if is_settled {
                break;
            }
        }
    }

    fn state(&mut self, plan: &Plan, warning: f64) -> ChainState<'c> {
        let walked = self.judge.walked;
        let prices = Prices {
            fault: FAULT * walked,
            fault_metre: FAULT * walked,
            warning: warning * walked,
            warning_metre: 0.1 * warning * walked,
        };
        let evaluation = Evaluation::new(self.problem.site, plan, &self.judge.flow, prices);
        let found = self.found(&prices, plan, evaluation.score());
        self.keep(plan, &found);
        ChainState {
            evaluation,
            prices,
            found,
        }
    }

    /// In metres of walking.
    fn cost(&self, prices: &Prices, score: &Score, (closed, moved): (usize, &[StationId])) -> f64 {
        let walked = self.judge.walked;
        let metres = match score.metres.is_finite() {
            true => score.metres,
            false => NO_WAY * walked,
        };
        let too_many = match self.aim.is_free() {
            true => 0,
            false => (score.missing.warnings).saturating_sub(self.judge.bounds.warnings),
        };
        let moves = match self.aim.is_free() {
            true => self.problem.terms.price_m(moved, walked),
            false => 0.0,
        };
        let beside = FAULT * closed as f64 + WARNING_TOO_MANY * f64::from(too_many);
        prices.of(&score.missing) + metres + beside * walked + moves
    }

    /// Keeps a placement without a fault if it is better than all before.
    fn keep(&mut self, plan: &Plan, found: &JudgedChange) {
        let JudgedChange {
            score,
            moved,
            closed,
            ..
        } = found;
        let is_sound = score.missing.faults <= self.judge.wherever && *closed == 0;
        if !is_sound || !score.metres.is_finite() {
            return;
        }
        let saved = self.judge.walked - score.metres;
        if self.problem.terms.kept_m(moved) > saved.max(0.0) {
            return;
        }
        let is_wanted = self.archive.wants(score, moved.len());
        if is_wanted && self.judge.has_no_new_hazard(self.problem, plan) {
            self.archive.admit(&PlacedBest {
                plan: plan.clone(),
                score: *score,
                moved: moved.len(),
            });
        }
    }

    /// One move at random, which is made if it does not cost too much for so much heat.
    fn step(&mut self, state: &mut ChainState<'_>, heat: f64) {
        let plan = state.evaluation.plan();
        let drawn = self.draws.change(plan, &self.problem.movable);
        let Some(change) = drawn.and_then(|drawn| self.problem.with_groups(drawn)) else {
            return;
        };
        let Some(change) = self.with_few_moved(state, change) else {
            return;
        };
        // What a move may cost is drawn first, so that the rules need not look to the end of what costs too much.
        let limit = state.found.cost - heat * libm::log(self.draws.uniform());
        self.attempt(state, &change, limit);
    }

    /// The change, and stations that go back to where they stand now so that no more are moved than may be; nothing where
    /// that cannot be.
    fn with_few_moved(
        &mut self,
        state: &ChainState<'_>,
        mut change: PoseChange,
    ) -> Option<PoseChange> {
        let is_changed = |station: StationId, change: &PoseChange| {
            change.iter().any(|&(other, _)| other == station)
        };
        let is_elsewhere = |&(station, pose): &(StationId, Pose)| {
            (self.problem.home(station)).is_some_and(|home| !is_same(&home, &pose))
        };
        let gone = change.iter().filter(|change| is_elsewhere(change)).count();
        let still = state.found.moved.iter().copied();
        let mut still: Vec<StationId> = still
            .filter(|&station| !is_changed(station, &change))
            .collect();
        let most = match self.aim {
            ChainAim::Few(most) => most,
            _ => usize::MAX,
        };
        while gone + still.len() > most {
            if still.is_empty() {
                return None;
            }
            let station = still.swap_remove(self.draws.one_of(still.len()));
            let home = self.problem.home(station)?;
            let back = self.problem.with_groups(vec![(station, home)])?;
            still.retain(|other| !back.iter().any(|(station, _)| station == other));
            change.extend(back);
        }
        Some(change)
    }

    /// Makes a move if it costs no more than that; says whether it did.
    fn attempt(
        &mut self,
        state: &mut ChainState<'_>,
        change: &[(StationId, Pose)],
        limit: f64,
    ) -> bool {
        let Some(found) = self.judged(state, change, limit) else {
            return false;
        };
        state.evaluation.accept();
        self.keep(state.evaluation.plan(), &found);
        state.found = found;
        true
    }

    /// What a move comes to, which then stands as tried; nothing, and nothing stands, where it changes nothing or costs more
    /// than that.
    fn judged(
        &mut self,
        state: &mut ChainState<'_>,
        change: &[(StationId, Pose)],
        limit: f64,
    ) -> Option<JudgedChange> {
        let plan = state.evaluation.plan();
        let is_there = |&(station, pose): &(StationId, Pose)| {
            let placed = plan.placements[station].as_ref();
            placed.is_some_and(|placed| is_same(&placed.pose(), &pose))
        };
        if change.iter().all(is_there) {
            return None;
        }
        self.archive.tried += 1;
        let now = &state.found;
        let is_sound = now.score.missing.faults <= self.judge.wherever && now.closed == 0;
        if is_sound && self.fronts.is_in_the_way(plan, change) {
            return None;
        }
        let judged_to = match now.score.metres.is_finite() {
            true => limit,
            // While nobody gets to some place, only what is added up here tells what is better.
            false => f64::INFINITY,
        };
        let score = state.evaluation.try_move(change, judged_to)?;
        let found = self.found(&state.prices, state.evaluation.plan(), score);
        if found.cost > limit {
            state.evaluation.take_back();
            return None;
        }
        Some(found)
    }

    /// What a placement comes to beside what the rules say.
    fn found(&self, prices: &Prices, plan: &Plan, score: Score) -> JudgedChange {
        let moved = self.problem.moved_in(plan);
        let closed = self.problem.broken_terms(plan, &moved, &self.fronts);
        JudgedChange {
            cost: self.cost(prices, &score, (closed, &moved)),
            score,
            moved,
            closed,
        }
    }
}
