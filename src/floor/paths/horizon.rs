//! How far a search for walks has to look: no farther than a walk that is known already, or that is long enough.

use super::super::Point;
use super::super::tolerance::{SURELY_LONGER_M, SURELY_LONGER_SHARE};
use super::corner::Arc;
use super::graph::arc_of;

/// Which ways a search is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    All,
    Nearest,
}

/// With more places than this to look for, what is found of one hardly limits how far the others have to be looked for.
const FEW_PLACES: usize = 8;

/// A distance in metres to all digits but the last.
pub(super) fn roughly_between(one: Point, other: Point) -> f64 {
    let apart = other - one;
    apart.dot(apart).sqrt()
}

/// The places that a search looks for, and for each arc how long a walk may be that arrives there and still goes on to
/// one of them by a walk that is wanted. At the least, that goes on straight.
pub(super) struct Horizon<'a> {
    places: &'a [Point],
    arcs: &'a [Arc],
    /// Of the arcs, in metres.
    radius: f64,
    kind: Wanted,
    /// The places that are wanted, by their indices in rising order.
    wanted: Vec<u32>,
    /// Walks to each of them must be shorter than this, in metres.
    limits: Vec<f64>,
    /// The greatest of the limits.
    longest: f64,
    /// By place: from each arc straight to it, in metres, but for the arc's radius. Empty until it is asked for.
    ahead: Vec<Vec<f64>>,
    /// Whoever has walked farther to an arc than this comes too late everywhere.
    budgets: Vec<f64>,
}

impl<'a> Horizon<'a> {
    /// Among arcs of a radius in metres.
    pub fn new(places: &'a [Point], arcs: &'a [Arc], radius: f64) -> Horizon<'a> {
        Horizon {
            places,
            arcs,
            radius,
            kind: Wanted::All,
            wanted: Vec::new(),
            limits: Vec::new(),
            longest: 0.0,
            ahead: vec![Vec::new(); places.len()],
            budgets: vec![0.0; arcs.len()],
        }
    }

    /// Begins a search for places, each with the length in metres that a way to it must be shorter than.
    pub fn aim(&mut self, wanted: &[(u32, f64)], kind: Wanted) {
        self.kind = kind;
        (self.wanted, self.limits) = wanted.iter().copied().unzip();
        self.longest = self.greatest_limit();
        self.limit();
    }

    fn greatest_limit(&self) -> f64 {
        self.limits.iter().copied().fold(0.0, f64::max)
    }

    /// Reckons for each arc with the limits as they are now.
    fn limit(&mut self) {
        if self.longest.is_infinite() {
            self.budgets.fill(f64::INFINITY);
            return;
        }
        self.budgets.fill(0.0);
        for (&place, limit) in self.wanted.iter().zip(&self.limits) {
            let ahead = &mut self.ahead[place as usize];
            if ahead.is_empty() {
                let place = self.places[place as usize];
                let straight = |arc: &Arc| roughly_between(place, arc.centre) - self.radius;
                ahead.extend(self.arcs.iter().map(straight));
            }
            let most = limit * (1.0 + SURELY_LONGER_SHARE) + SURELY_LONGER_M;
            for (budget, ahead) in self.budgets.iter_mut().zip(ahead) {
                *budget = budget.max(most - *ahead);
            }
        }
    }

    /// No walk that is wanted is as long as this, in metres.
    #[inline]
    pub fn longest(&self) -> f64 {
        self.longest
    }

    /// Whether a walk that is already this long at the arc of a list is too long to be any of the wanted ones.
    #[inline]
    pub fn is_beyond(&self, list: u32, length: f64) -> bool {
        length >= self.budgets[arc_of(list) as usize].min(self.longest)
    }

    /// The number of a place among those that are wanted.
    #[inline]
    pub fn wanted(&self, place: u32) -> Option<usize> {
        self.wanted.binary_search(&place).ok()
    }

    /// Whether a way of this length is shorter than what is known.
    #[inline]
    pub fn still_shorter(&self, wanted: usize, length: f64) -> bool {
        length < self.limits[wanted]
    }

    /// A way has been found to a place.
    pub fn found(&mut self, wanted: usize, length: f64) {
        match self.kind {
            Wanted::All => self.limits[wanted] = length,
            Wanted::Nearest => self.limits.fill(length),
        }
        self.longest = self.greatest_limit();
        if self.wanted.len() <= FEW_PLACES {
            self.limit();
        }
    }
}
