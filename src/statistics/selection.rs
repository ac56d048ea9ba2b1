//! Which of several candidates is the best: named only if the error over all comparisons stays as small as stated.
//!
//! The smallest mean is the best. All series share their luck: equal places belong to one replication.

use super::estimate::{Estimate, simultaneous_level};
use super::interval::IntervalMethod;
use super::summary::{Summary, means_of_paired};

/// What a given number of replications says of the best candidate.
#[derive(Debug, Clone, PartialEq)]
pub struct Selection {
    /// The candidate of the smallest mean; the first of several.
    pub leader: usize,
    /// Candidates that may be the best, the leader among them, in their order.
    pub in_question: Vec<usize>,
    /// The probability with which the best is among them, at least; None where nothing varies.
    pub level: Option<f64>,
}

impl Selection {
    /// The best, if only one candidate is left.
    pub fn best(&self) -> Option<usize> {
        (self.in_question.len() == 1).then_some(self.leader)
    }

    /// Where nothing varies: those of the smallest value.
    ///
    /// Nothing if there is no value.
    pub fn exact(values: &[f64]) -> Option<Selection> {
        let least = values.iter().copied().reduce(f64::min)?;
        let in_question: Vec<usize> = (0..values.len()).filter(|&i| values[i] == least).collect();
        Some(Selection {
            leader: *in_question.first()?,
            in_question,
            level: None,
        })
    }

    /// Screens candidates by paired intervals. One drops out if its difference with some other candidate leaves zero
    /// out on the wrong side, the interval taken at the level at which `candidates - 1` of them hold together.
    ///
    /// The best itself is in `candidates - 1` comparisons, so by Bonferroni's inequality it drops out with a
    /// probability of at most `1 - level` (the subset selection of Nelson, Swann, Goldsman and Song, Operations
    /// Research 49 (2001) 950-963, with paired variances). Two-sided intervals make that half of it, and make two
    /// candidates come out exactly as their interval says.
    ///
    /// Nothing if there is no candidate, a series is empty, or they are not equally long. A single replication rules
    /// nobody out.
    ///
    /// # Panics
    /// If the level does not lie between 0 and 1.
    pub fn screen(series: &[&[f64]], level: f64, method: IntervalMethod) -> Option<Selection> {
        let means = means_of_paired(series)?;
        let leader = Selection::exact(&means)?.leader;
        let each = simultaneous_level(level, series.len() - 1);
        let is_behind = |own: &[f64], other: &[f64]| {
            let differences: Summary = own
                .iter()
                .zip(other)
                .map(|(own, other)| own - other)
                .collect();
            let low = Estimate::by(&differences, each, method).and_then(|e| e.low());
            low.is_some_and(|low| low > 0.0)
        };
        // Most that drop out are behind the leader, which is asked first.
        let is_beaten = |&index: &usize| {
            let others = std::iter::once(leader).chain((0..series.len()).filter(|&i| i != leader));
            let mut others = others.filter(|&other| other != index);
            others.any(|other| is_behind(series[index], series[other]))
        };
        let in_question = (0..series.len())
            .filter(|index| !is_beaten(index))
            .collect();
        // Whoever has the smallest mean is behind nobody, so the leader is always among them.
        Some(Selection {
            leader,
            in_question,
            level: Some(level),
        })
    }
}

/// How many replications the first stage of [`KimNelson`] has at least, so that its variances mean something.
pub const LEAST_FIRST_STAGE: u64 = 5;

/// The fully sequential procedure of Kim and Nelson (ACM Transactions on Modeling and Computer Simulation 11 (2001)
/// 251-273), with their constant c = 1: candidates are played one replication after the other and leave as soon as
/// they are behind by enough.
///
/// If the best candidate is better than all others by at least the *indifference*, it is the one that stays, with a
/// probability of at least the level, for normal observations of any variances and with common random numbers. If
/// others are within the indifference of the best, one of them may stay instead: to the user they are as good.
#[derive(Debug, Clone)]
pub struct KimNelson {
    level: f64,
    indifference: f64,
    first_stage: u64,
    candidates: usize,
    /// Of candidates still in the race, in their order.
    left: Vec<usize>,
    sums: Vec<f64>,
    played: u64,
    /// By pair of candidates: differences of the first stage.
    differences: Vec<Summary>,
}

impl KimNelson {
    /// # Panics
    /// If there is no candidate, the level does not lie between 0 and 1, the indifference is not above 0, or the first
    /// stage is shorter than [`LEAST_FIRST_STAGE`].
    pub fn new(candidates: usize, level: f64, indifference: f64, first_stage: u64) -> KimNelson {
        assert!(candidates > 0, "there is nothing to select from");
        assert!(level > 0.0 && level < 1.0, "{level} is no confidence level");
        assert!(
            indifference > 0.0 && indifference.is_finite(),
            "{indifference} is no difference that matters"
        );
        assert!(
            first_stage >= LEAST_FIRST_STAGE,
            "the first stage is too short"
        );
        KimNelson {
            level,
            indifference,
            first_stage,
            candidates,
            left: (0..candidates).collect(),
            sums: vec![0.0; candidates],
            played: 0,
            differences: vec![Summary::new(); candidates * candidates],
        }
    }

    /// Candidates that have to be played once more; one alone is the choice.
    pub fn left(&self) -> &[usize] {
        &self.left
    }

    /// Replications so far.
    pub fn played(&self) -> u64 {
        self.played
    }

    /// The chosen candidate, once the race is over.
    pub fn choice(&self) -> Option<usize> {
        match self.left[..] {
            [choice] => Some(choice),
            _ => None,
        }
    }

    /// Takes one replication of each candidate that is [`left`](Self::left), in that order.
    ///
    /// # Panics
    /// If there is not one value for each.
    pub fn add(&mut self, values: &[f64]) {
        assert_eq!(
            values.len(),
            self.left.len(),
            "one value for each that is left"
        );
        self.played += 1;
        for (&candidate, value) in self.left.iter().zip(values) {
            self.sums[candidate] += value;
        }
        if self.played <= self.first_stage {
            for (i, own) in values.iter().enumerate() {
                for (l, other) in values.iter().enumerate() {
                    self.differences[i * self.candidates + l].add(own - other);
                }
            }
        }
        if self.played >= self.first_stage {
            self.screen();
        }
    }

    fn screen(&mut self) {
        let r = self.played as f64;
        let h2 = h_squared(self.level, self.candidates, self.first_stage);
        let delta = self.indifference;
        let mean = |candidate: usize| self.sums[candidate] / r;
        let allowed = |i: usize, l: usize| {
            let variance = self.differences[i * self.candidates + l].variance();
            let variance = variance.unwrap_or(0.0);
            (delta / (2.0 * r) * (h2 * variance / (delta * delta) - r)).max(0.0)
        };
        let stays = |&i: &usize| (self.left.iter()).all(|&l| mean(i) <= mean(l) + allowed(i, l));
        let mut left: Vec<usize> = self.left.iter().copied().filter(stays).collect();
        // With nothing allowed any more, candidates of exactly the same mean are equally good.
        let all_alike = left
            .iter()
            .all(|&i| left.iter().all(|&l| allowed(i, l) == 0.0));
        if all_alike {
            left.truncate(1);
        }
        self.left = left;
    }
}

/// The square of Kim and Nelson's constant h for c = 1: `2 η (n0 - 1)` with
/// `η = ((2 α / (k - 1))^(-2 / (n0 - 1)) - 1) / 2`.
pub fn h_squared(level: f64, candidates: usize, first_stage: u64) -> f64 {
    if candidates < 2 {
        return 0.0;
    }
    let degrees = (first_stage - 1) as f64;
    let each = 2.0 * (1.0 - level) / (candidates - 1) as f64;
    let eta = 0.5 * (libm::pow(each, -2.0 / degrees) - 1.0);
    2.0 * eta.max(0.0) * degrees
}
