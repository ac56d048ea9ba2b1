//! Walks on a floor, and what can be reached.

use super::super::Point;
use super::super::tolerance::{SURELY_LONGER_M, SURELY_LONGER_SHARE};
use super::all_pairs::{self, AllPairs, Bend};
use super::budget::{AllWalks, WalkBudget};
use super::corner::Arc;
use super::horizon::{Horizon, Wanted, roughly_between};
use super::overlay::Overlay;
use super::path::Path;
use super::search::{Access, Search, Turn};
use super::tangent::{self, Stance, Tangent};
use super::{FreeSpace, connected};

/// Where more walks than this are asked for at each place, all lines from places to arcs are looked at beforehand.
const PAIRS_OF_A_PLACE: usize = 4;

/// The lengths of the walks that are known between some places, in metres.
struct KnownLengths {
    places: usize,
    /// Row by row; infinite where none is known.
    lengths: Vec<f64>,
}

impl KnownLengths {
    fn new(found: &AllPairs) -> KnownLengths {
        let lengths = found.lengths();
        KnownLengths {
            places: found.places().len(),
            lengths: lengths
                .map(|length| length.unwrap_or(f64::INFINITY))
                .collect(),
        }
    }

    fn set(&mut self, [from, to]: [usize; 2], length: f64) {
        self.lengths[from * self.places + to] = length;
        self.lengths[to * self.places + from] = length;
    }

    /// The walk of a pair is shorter than this: no longer than two that lead there by a third place, but for roundings.
    fn bound(&self, pair: [usize; 2]) -> f64 {
        let [from, to] = pair.map(|place| &self.lengths[place * self.places..][..self.places]);
        let by_third = from.iter().zip(to).map(|(there, on)| there + on);
        let shortest = by_third.fold(f64::INFINITY, f64::min);
        shortest * (1.0 + SURELY_LONGER_SHARE) + SURELY_LONGER_M
    }
}

impl FreeSpace {
    /// Lengths in metres of the shortest walks between all places, row by row; nothing where there is no way, or where
    /// a body does not fit at one of the two. The table is symmetric to the last bit.
    pub fn table(&self, places: &[Point]) -> Vec<Option<f64>> {
        self.all_pairs(places).lengths().collect()
    }

    /// The shortest walks between all places. A walk is the same whichever other places are given.
    pub fn all_pairs(&self, places: &[Point]) -> AllPairs {
        // Both directions are found as one, so that they have the same length to the last bit.
        let mut order: Vec<usize> = (0..places.len()).collect();
        order.sort_by(|&a, &b| {
            let (a, b) = (places[a], places[b]);
            a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y))
        });
        let mut pairs = Vec::new();
        for (at, &from) in order.iter().enumerate() {
            pairs.extend(order[at..].iter().map(|&to| [from, to]));
        }
        self.walks(places, &pairs, &mut AllWalks)
    }

    /// The shortest walks of some pairs of places, by their indices: as [`FreeSpace::all_pairs`] finds them, and nothing
    /// for all other pairs.
    pub fn some_pairs(&self, places: &[Point], pairs: &[[usize; 2]]) -> AllPairs {
        self.pairs_within(places, pairs, &mut AllWalks)
    }

    /// The same, one after the other as far as the budget goes.
    pub(super) fn pairs_within(
        &self,
        places: &[Point],
        pairs: &[[usize; 2]],
        budget: &mut dyn WalkBudget,
    ) -> AllPairs {
        let mut pairs: Vec<[usize; 2]> = (pairs.iter())
            .map(
                |&[from, to]| match all_pairs::is_before(places[to], places[from]) {
                    true => [to, from],
                    false => [from, to],
                },
            )
            .collect();
        pairs.sort_unstable();
        pairs.dedup();
        self.walks(places, &pairs, budget)
    }

    /// Pairs with the same beginning must follow each other.
    fn walks(
        &self,
        places: &[Point],
        pairs: &[[usize; 2]],
        budget: &mut dyn WalkBudget,
    ) -> AllPairs {
        let stances: Vec<Option<Stance>> = places.iter().map(|&p| self.stance(p)).collect();
        let radius = self.measure.radius_of_turns();
        let mut found = AllPairs::new(places, radius);
        let mut hint = 0;
        let mut around: Vec<[usize; 2]> = Vec::new();
        for &[from, to] in pairs {
            let length = match (&stances[from], &stances[to]) {
                (Some(one), Some(other)) => {
                    if from != to && self.solids.block(one.fits, other.fits, &mut hint) {
                        around.push([from, to]);
                        continue;
                    }
                    Some(one.place.distance(other.place))
                }
                _ => None,
            };
            if let Some(length) = length {
                found.set([from, to], length, std::iter::empty());
            }
            if !budget.hears([from, to], length) {
                return found;
            }
        }
        if around.is_empty() {
            return found;
        }
        // Where nearly all walks are asked for, nearly all lines are needed; else only those near to the walks.
        let access = match around.len() > PAIRS_OF_A_PLACE * places.len() {
            true => Access::Clear,
            false => Access::Unknown,
        };
        let tangents = self.tangents(&stances, &around, access, budget);
        let overlay = Overlay::new(self.graph(), &tangents);
        let horizon = Horizon::new(places, &self.arcs, radius);
        let mut search = Search::new(&overlay, &self.solids, access, horizon);
        let mut turns = Vec::new();
        // Two walks that are known bound one, which pays where many are known.
        let mut known = (access == Access::Clear).then(|| KnownLengths::new(&found));
        for run in around.chunk_by(|one, other| one[0] == other[0]) {
            let mut wanted: Vec<(u32, f64)> = (run.iter())
                .map(|&pair| {
                    let bound = (known.as_ref()).map_or(f64::INFINITY, |known| known.bound(pair));
                    (pair[1] as u32, budget.longest(pair).min(bound))
                })
                .collect();
            wanted.sort_unstable_by_key(|&(to, _)| to);
            search.run(&[run[0][0] as u32], &wanted, Wanted::All);
            for &(to, _) in &wanted {
                let (pair, length) = ([run[0][0], to as usize], search.length(to));
                if let Some(length) = length {
                    turns.clear();
                    search.turns(to, &mut turns);
                    let bends = turns.iter().map(|turn| self.bend(turn));
                    found.set(pair, length, bends);
                    if let Some(known) = &mut known {
                        known.set(pair, length);
                    }
                }
                if !budget.hears(pair, length) {
                    return found;
                }
            }
        }
        found
    }

    /// The lines from places to the arcs that the walks of these pairs may touch.
    fn tangents(
        &self,
        stances: &[Option<Stance>],
        pairs: &[[usize; 2]],
        access: Access,
        budget: &dyn WalkBudget,
    ) -> Vec<Vec<Tangent>> {
        let mut tangents: Vec<Vec<Tangent>> = vec![Vec::new(); stances.len()];
        let mut hint = 0;
        for &place in pairs.iter().flatten() {
            let (Some(stance), true) = (&stances[place], tangents[place].is_empty()) else {
                continue;
            };
            // All pairs of this place: the other one, and how long a walk there may be around the middle of an arc.
            let detour = |length: f64| {
                length * (1.0 + SURELY_LONGER_SHARE) + SURELY_LONGER_M + 2.0 * self.measure.reach
            };
            let others: Vec<(Point, f64)> = (pairs.iter())
                .filter_map(|&pair| {
                    let at = pair.iter().position(|&end| end == place)?;
                    let other = stances[pair[1 - at]].as_ref()?.place;
                    Some((other, detour(budget.longest(pair))))
                })
                .collect();
            let everywhere = others.iter().any(|&(_, most)| most.is_infinite());
            let of_use = |arc: &Arc| {
                let there = roughly_between(stance.place, arc.centre);
                let mut others = others.iter();
                let detour = |other: Point| there + roughly_between(arc.centre, other);
                everywhere || others.any(|&(other, most)| detour(other) <= most)
            };
            let mut lines = tangent::tangents(stance, &self.arcs, &self.measure, of_use);
            if access == Access::Clear {
                lines.retain(|line| self.solids.blocker(line.between, &mut hint).is_none());
            }
            tangents[place] = lines;
        }
        tangents
    }

    fn bend(&self, turn: &Turn) -> Bend {
        let arc = &self.arcs[turn.arc as usize];
        if !self.measure.round {
            return Bend {
                centre: arc.centre,
                arrives: Point::ORIGIN,
                leaves: Point::ORIGIN,
                sweep: 0.0,
            };
        }
        Bend {
            centre: arc.centre,
            arrives: arc.direction(turn.arrives),
            leaves: arc.direction(turn.leaves),
            sweep: turn.leaves - turn.arrives,
        }
    }

    /// The shortest walk; nothing if there is none, or if a body does not fit at one of its ends.
    pub fn path(&self, from: Point, to: Point) -> Option<Path> {
        self.some_pairs(&[from, to], &[[0, 1]]).path(0, 1)
    }

    /// The shortest of all walks from one of some places to one of others, with the indices of its ends.
    pub fn shortest(&self, from: &[Point], to: &[Point]) -> Option<([usize; 2], Path)> {
        let places: Vec<Point> = from.iter().chain(to).copied().collect();
        let stances: Vec<Option<Stance>> = places.iter().map(|&p| self.stance(p)).collect();
        let mut best: Option<(f64, [usize; 2])> = None;
        let mut hint = 0;
        for (one, other) in (0..from.len()).flat_map(|one| (0..to.len()).map(move |to| (one, to))) {
            let (Some(a), Some(b)) = (&stances[one], &stances[from.len() + other]) else {
                continue;
            };
            let length = a.place.distance(b.place);
            if best.is_none_or(|(best, _)| length < best)
                && !self.solids.block(a.fits, b.fits, &mut hint)
            {
                best = Some((length, [one, other]));
            }
        }
        let tangents: Vec<Vec<Tangent>> = (stances.iter())
            .map(|stance| match stance {
                Some(stance) => tangent::tangents(stance, &self.arcs, &self.measure, |_| true),
                None => Vec::new(),
            })
            .collect();
        let overlay = Overlay::new(self.graph(), &tangents);
        let radius = self.measure.radius_of_turns();
        let horizon = Horizon::new(&places, &self.arcs, radius);
        let mut search = Search::new(&overlay, &self.solids, Access::Unknown, horizon);
        let sources: Vec<u32> = (0..from.len() as u32).collect();
        let limit = best.map_or(f64::INFINITY, |(length, _)| length);
        let wanted: Vec<(u32, f64)> = (from.len() as u32..places.len() as u32)
            .map(|to| (to, limit))
            .collect();
        search.run(&sources, &wanted, Wanted::Nearest);
        let found = (wanted.iter()).filter_map(|&(to, _)| Some((search.length(to)?, to)));
        if let Some((length, to)) = found.min_by(|one, other| one.0.total_cmp(&other.0))
            && best.is_none_or(|(best, _)| length < best)
            && let Some(one) = search.source(to)
        {
            best = Some((length, [one as usize, to as usize - from.len()]));
        }
        let (_, [one, other]) = best?;
        Some(([one, other], self.path(from[one], to[other])?))
    }

    /// Whether there is a walk from one place to the other.
    pub fn reachable(&self, from: Point, to: Point) -> bool {
        let (Some(one), Some(other)) = (self.stance(from), self.stance(to)) else {
            return false;
        };
        if !self.solids.block(one.fits, other.fits, &mut 0) {
            return true;
        }
        let first = self.components_of(&[Some(one), Some(other)]);
        first[0] == first[1]
    }

    /// For each place the first of those from which it can be reached, by its index; nothing where a body does not fit.
    /// Two places with the same are connected by a walk.
    pub fn components(&self, places: &[Point]) -> Vec<Option<usize>> {
        let stances: Vec<Option<Stance>> = places.iter().map(|&p| self.stance(p)).collect();
        self.components_of(&stances)
    }

    fn components_of(&self, stances: &[Option<Stance>]) -> Vec<Option<usize>> {
        let (arcs, solids, measure) = (&self.arcs, &self.solids, &self.measure);
        let sets = self.connected.get_or_init(|| match self.lines.get() {
            Some(lines) => connected::arcs_of(lines, arcs.len()),
            None => connected::arcs(arcs, solids, measure),
        });
        connected::places(stances, sets, arcs, solids, measure)
    }
}
