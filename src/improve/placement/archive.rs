//! The best placements that a search has met, by how many stations they move.

use std::cmp::Ordering;

use crate::floor::{Plan, Score};

/// A placement without a fault that can be mended by placing.
#[derive(Debug, Clone)]
pub struct PlacedBest {
    pub plan: Plan,
    pub score: Score,
    /// So many stations stand elsewhere than now.
    pub moved: usize,
}

impl PlacedBest {
    /// The tidier one is less: fewest warnings, then least walking, then fewest stations moved.
    pub(super) fn tidier(&self, other: &PlacedBest) -> Ordering {
        let warnings = self.score.missing.warnings;
        let by_warnings = warnings.cmp(&other.score.missing.warnings);
        by_warnings.then(self.shorter(other))
    }

    /// The one in which less is walked is less, then the one that moves fewer stations.
    pub(super) fn shorter(&self, other: &PlacedBest) -> Ordering {
        let by_metres = self.score.metres.total_cmp(&other.score.metres);
        by_metres.then(self.moved.cmp(&other.moved))
    }
}

/// What is no better than what is there now is not kept.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct ArchiveBounds {
    /// More warnings than these are not allowed where few stations are moved.
    pub warnings: u32,
    /// Nor is more walking than this anywhere, in metres.
    pub metres: f64,
    /// What a warning counts beside walking, in metres.
    pub warning_m: f64,
    /// What a station counts that is moved, in metres.
    pub moved_m: f64,
}

/// What is kept of all placements that were met.
#[derive(Debug, Clone, Default)]
pub(super) struct Archive {
    /// The shortest ways with exactly so many stations moved and no more warnings than are allowed, from one on.
    few: Vec<Option<PlacedBest>>,
    tidiest: Option<PlacedBest>,
    /// The least walking where each warning counts as some.
    balanced: Option<PlacedBest>,
    bounds: ArchiveBounds,
    /// Placements that were looked at.
    pub tried: u64,
}

impl Archive {
    /// For so many stations.
    pub fn new(stations: usize, bounds: ArchiveBounds) -> Archive {
        Archive {
            few: vec![None; stations],
            bounds,
            ..Archive::default()
        }
    }

    /// Walking, warnings and moves together, in metres.
    fn weighed(&self, score: &Score, moved: usize) -> f64 {
        let warnings = self.bounds.warning_m * f64::from(score.missing.warnings);
        score.metres + warnings + self.bounds.moved_m * moved as f64
    }

    fn is_balanced(&self, score: &Score, moved: usize) -> bool {
        let known = self.balanced.as_ref();
        known.is_none_or(|known| {
            self.weighed(score, moved) < self.weighed(&known.score, known.moved)
        })
    }

    /// Keeps what is better than all before; of equals the first one stays.
    pub fn admit(&mut self, found: &PlacedBest) {
        if found.score.metres > self.bounds.metres {
            return;
        }
        let is_better = |kept: &Option<PlacedBest>,
                         order: fn(&PlacedBest, &PlacedBest) -> Ordering| {
            kept.as_ref().is_none_or(|kept| order(found, kept).is_lt())
        };
        if let Some(place) = found.moved.checked_sub(1)
            && found.score.missing.warnings <= self.bounds.warnings
            && is_better(&self.few[place], PlacedBest::shorter)
        {
            self.few[place] = Some(found.clone());
        }
        if self.is_balanced(&found.score, found.moved) {
            self.balanced = Some(found.clone());
        }
        if is_better(&self.tidiest, PlacedBest::tidier) {
            self.tidiest = Some(found.clone());
        }
    }

    /// Whether a placement would be kept, which costs less to ask than to keep it.
    pub fn wants(&self, score: &Score, moved: usize) -> bool {
        let (warnings, metres) = (score.missing.warnings, score.metres);
        let kept = moved.checked_sub(1).map(|place| self.few[place].as_ref());
        let is_short = warnings <= self.bounds.warnings
            && kept.is_some_and(|kept| kept.is_none_or(|kept| metres < kept.score.metres));
        let is_tidy = self.tidiest.as_ref().is_none_or(|kept| {
            let known = kept.score.missing.warnings;
            warnings < known || (warnings == known && metres < kept.score.metres)
        });
        metres <= self.bounds.metres && (is_short || is_tidy || self.is_balanced(score, moved))
    }

    pub fn merge(&mut self, other: &Archive) {
        self.tried += other.tried;
        other.all().for_each(|found| self.admit(found));
    }

    pub fn all(&self) -> impl Iterator<Item = &PlacedBest> {
        let few = self.few.iter().flatten();
        few.chain(&self.tidiest).chain(&self.balanced)
    }

    /// The shortest ways with at most so many stations moved.
    pub fn within(&self, most: usize) -> Option<&PlacedBest> {
        let few = self.few.iter().take(most).flatten();
        few.min_by(|one, other| one.shorter(other))
    }

    /// The fewest warnings, then the shortest ways, however many are moved.
    pub fn tidiest(&self) -> Option<&PlacedBest> {
        self.tidiest.as_ref()
    }

    /// The least walking and warnings together, however many are moved.
    pub fn balanced(&self) -> Option<&PlacedBest> {
        self.balanced.as_ref()
    }

    /// The same with no placement.
    pub fn emptied(&self) -> Archive {
        Archive {
            tried: self.tried,
            ..Archive::new(self.few.len(), self.bounds)
        }
    }

    /// The same placements by what they come to now, as after the trips have been counted again.
    pub fn judged_again(&self, judge: impl Fn(&Plan) -> Option<Score>) -> Archive {
        let mut again = self.emptied();
        for found in self.all() {
            if let Some(score) = judge(&found.plan) {
                again.admit(&PlacedBest {
                    score,
                    ..found.clone()
                });
            }
        }
        again
    }
}
