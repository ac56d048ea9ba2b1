//! Branch and bound: a better assignment is found, or it is proved that there is none.

use super::alike_places::first_alike;
use super::exact::Exact;
use super::lower_bound::{LowerBounds, Partial};
use super::problem::AssignmentProblem;

/// What came of it.
#[derive(Debug)]
pub(super) struct Proof<T> {
    pub places: Vec<usize>,
    pub cost: T,
    /// No assignment costs less than this.
    pub at_least: T,
}

/// Goes through all that could cost less than an assignment does. After so much work, or when somebody does not go on
/// waiting, it is given up: then only the first bound is certain.
pub(super) fn proved<T: Exact>(
    problem: &AssignmentProblem,
    (places, cost): (Vec<usize>, T),
    most_work: u64,
    keep_on: &dyn Fn() -> bool,
) -> Proof<T> {
    let bounds = LowerBounds::of(problem);
    let begun = bounds.begun();
    let at_least = bounds.bound(&begun).least;
    let mut branching = Branching {
        bounds,
        best: Proof {
            places,
            cost,
            at_least,
        },
        work_left: most_work,
        keep_on,
    };
    let alike = first_alike(problem.distances());
    if branching.explore(&begun, Some(&alike)).is_some() {
        branching.best.at_least = branching.best.cost;
    }
    branching.best
}

struct Branching<'k, T> {
    bounds: LowerBounds<T>,
    best: Proof<T>,
    work_left: u64,
    keep_on: &'k dyn Fn() -> bool,
}

impl<T: Exact> Branching<'_, T> {
    /// Goes through what begins like this; nothing if it is given up. As long as no station has a place, one of those
    /// that are alike is enough.
    fn explore(&mut self, partial: &Partial<T>, alike: Option<&[usize]>) -> Option<()> {
        let bound = self.bounds.bound(partial);
        if bound.least >= self.best.cost {
            return Some(());
        }
        self.work_left = self.work_left.checked_sub(bound.work())?;
        if !(self.keep_on)() {
            return None;
        }
        let Some((station, branches)) = bound.branches() else {
            self.best.cost = partial.cost;
            self.best.places = partial.places.iter().copied().flatten().collect();
            return Some(());
        };
        let mut seen = vec![false; self.bounds.places];
        for (least, place) in branches {
            let like = alike.map_or(place, |alike| alike[place]);
            if least < self.best.cost && !std::mem::replace(&mut seen[like], true) {
                self.explore(&self.bounds.placed(partial, station, place), None)?;
            }
        }
        Some(())
    }
}
