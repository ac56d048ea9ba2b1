//! How long walks may be that somebody asks for.

use super::super::tolerance::{SURELY_LONGER_M, SURELY_LONGER_SHARE};

/// What somebody who asks for walks wants of each, and when it is enough.
pub(super) trait WalkBudget {
    /// Only a walk that is shorter than this, in metres, is of use.
    fn longest(&self, pair: [usize; 2]) -> f64;

    /// Hears of the length of a walk, or that there is none that is short enough; whether the next one is wanted.
    fn hears(&mut self, pair: [usize; 2], length: Option<f64>) -> bool;
}

/// All walks, whatever they take.
pub(super) struct AllWalks;

impl WalkBudget for AllWalks {
    fn longest(&self, _: [usize; 2]) -> f64 {
        f64::INFINITY
    }

    fn hears(&mut self, _: [usize; 2], _: Option<f64>) -> bool {
        true
    }
}

/// A pair of places between which trips lead whose walks are looked for.
pub(super) struct AskedWalk {
    pub pair: [usize; 2],
    /// Of all its trips.
    pub weight: f64,
    /// The sum of the bounds of its trips times their weights.
    pub bound: f64,
    /// It is certain not to be longer, in metres.
    pub most: f64,
}

/// What the trips may still come to while one walk after the other is found.
pub(super) struct MoveBudget {
    asked: Vec<AskedWalk>,
    /// All trips are at least so long together, in metres.
    pub least: f64,
    /// Longer is too long.
    enough: f64,
    /// A pair that nothing connects.
    pub cut_off: Option<[usize; 2]>,
}

/// A pair of places, whichever comes first.
pub(super) fn ends([from, to]: [usize; 2]) -> [usize; 2] {
    [from.min(to), from.max(to)]
}

impl MoveBudget {
    pub fn new(mut asked: Vec<AskedWalk>, least: f64, enough: f64) -> MoveBudget {
        asked.sort_by_key(|asked| asked.pair);
        asked.dedup_by(|next, first| {
            let is_same = next.pair == first.pair;
            if is_same {
                first.weight += next.weight;
                first.bound += next.bound;
                first.most = first.most.min(next.most);
            }
            is_same
        });
        MoveBudget {
            asked,
            least,
            enough,
            cut_off: None,
        }
    }

    fn of(&self, pair: [usize; 2]) -> Option<&AskedWalk> {
        let at = (self.asked).binary_search_by_key(&ends(pair), |asked| asked.pair);
        at.ok().map(|at| &self.asked[at])
    }

    /// Longer than this, in metres, the walk of a pair makes all trips together too long.
    fn affordable(&self, asked: &AskedWalk) -> f64 {
        match asked.weight > 0.0 {
            true => (self.enough - self.least + asked.bound) / asked.weight,
            false => f64::INFINITY,
        }
    }
}

impl WalkBudget for MoveBudget {
    fn longest(&self, pair: [usize; 2]) -> f64 {
        let Some(asked) = self.of(pair) else {
            return f64::INFINITY;
        };
        let most = asked.most * (1.0 + SURELY_LONGER_SHARE) + SURELY_LONGER_M;
        most.min(self.affordable(asked))
    }

    fn hears(&mut self, pair: [usize; 2], length: Option<f64>) -> bool {
        let Some(asked) = self.of(pair) else {
            return true;
        };
        match (length, self.affordable(asked)) {
            (Some(length), _) => self.least += asked.weight * length - asked.bound,
            (None, f64::INFINITY) => {
                self.cut_off = Some(ends(pair));
                return false;
            }
            // Whether there is none or a long one, it is too long.
            (None, _) => self.least = self.least.max(self.enough).next_up(),
        }
        self.least <= self.enough
    }
}
