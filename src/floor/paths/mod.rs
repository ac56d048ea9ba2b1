//! The shortest walk of a body among walls and obstacles.
//!
//! A body is a disc: its centre keeps at least the radius from everything. A shortest walk then consists of straight
//! lines and of arcs of that radius around corners, and each line touches the arcs at its ends. So the walk is the
//! shortest way through a finite graph of touching places, without a grid and without rounding corners off.

mod all_pairs;
mod bounds;
mod clearance;
mod connected;
mod constriction;
mod corner;
mod detour;
mod graph;
mod grid;
mod lines;
mod nearest;
mod path;
mod search;
mod solids;
mod tangent;
mod trips;
mod walked_line;

use std::sync::OnceLock;

use petgraph::unionfind::UnionFind;

pub use all_pairs::AllPairs;
pub use clearance::{Narrowest, Passages};
pub use path::{Path, Piece};
pub use solids::Obstruction;
pub use trips::{Move, Moved, Outcome, Trip, Trips};

use super::{Point, Polygon};
use all_pairs::Bend;
use bounds::Bounds;
use corner::{Arc, GONE};
use graph::Graph;
use lines::{ArcChange, Lines};
use search::{Overlay, Search, Turn, Wanted};
use solids::{Outlines, Solids};
use tangent::{Stance, Tangent};

/// A body passes where it is too wide by this much, so that what fits exactly fits whatever the roundings: ten times
/// the nanometres in which lengths are counted.
pub const FITS_M: f64 = 1e-8;

/// The same for plans so large that numbers have fewer digits left: in units of the largest coordinate.
const FITS_SHARE: f64 = 2e-14;

/// Share of the tolerance that allows for roundings.
const ROUNDING: f64 = 1e-3;

/// Directions that differ by a smaller angle are one.
const ANGLE: f64 = 1e-9;

/// The rounding of a coordinate, with some to spare, as a share of it.
const DIGITS: f64 = 4.0 * f64::EPSILON;

/// Bodies of a smaller radius than this many tolerances are points.
const POINT: f64 = 10.0;

/// How far a point that touches something may be moved to be clear of it, in its own radii: into a sharp niche.
const MOVED: f64 = 1e3;

/// What a body is taken for, and how exactly.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Measure {
    /// The radius of all arcs in metres.
    reach: f64,
    tolerance: f64,
    /// Directions that differ by a smaller angle are one.
    slack: f64,
    /// Whether arcs count; a point is treated as a tiny disc, but walks straight from corner to corner.
    round: bool,
}

/// Why a body does not fit at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blocked {
    /// What is in the way most.
    pub by: Obstruction,
    /// How far it is too near, in metres.
    pub lacks: f64,
}

/// The ground on which a body of one size walks. All coordinates must be finite.
#[derive(Debug)]
pub struct FreeSpace {
    /// Of the body, in metres.
    radius: f64,
    measure: Measure,
    solids: Solids,
    arcs: Vec<Arc>,
    /// Only walks need them.
    lines: OnceLock<Lines>,
    graph: OnceLock<Graph>,
    /// The sets of arcs between which a body gets.
    connected: OnceLock<UnionFind<u32>>,
    /// Arcs that end where something is too near by no more than a rounding: where a body should stand, not where it
    /// just may.
    strict: OnceLock<Vec<Arc>>,
}

impl Measure {
    /// For a body of this radius among outlines with these corners, all in metres.
    fn new(radius: f64, corners: &[Point]) -> Measure {
        let largest = (corners.iter())
            .map(|corner| corner.x.abs().max(corner.y.abs()))
            .fold(radius, f64::max);
        let tolerance = FITS_M.max(FITS_SHARE * largest);
        let reach = radius.max(POINT * tolerance);
        Measure {
            reach,
            tolerance,
            slack: ANGLE.max(DIGITS * largest / reach),
            round: radius >= POINT * tolerance,
        }
    }

    /// Nothing solid may come nearer than this to a line that is walked.
    fn keep(&self) -> f64 {
        self.reach - self.tolerance
    }

    /// The radius of arcs, and how much too near something may come to them.
    fn of_arcs(&self) -> (f64, f64) {
        (self.reach, self.tolerance / 2.0)
    }
}

impl FreeSpace {
    /// A room, if there is one, obstacles in it, which may touch, overlap and stick out, and the radius of the body in
    /// metres. A body of radius 0 may touch everything, but it does not pass between things that touch each other.
    pub fn new(room: Option<&Polygon>, obstacles: &[Polygon], radius: f64) -> FreeSpace {
        FreeSpace::among(Outlines::new(room, obstacles), radius)
    }

    fn among(outlines: Outlines, radius: f64) -> FreeSpace {
        let measure = Measure::new(radius, outlines.corners());
        let solids = Solids::new(outlines, measure.keep());
        let (reach, tolerance) = measure.of_arcs();
        let arcs = corner::arcs(&solids, reach, tolerance);
        FreeSpace::with(radius, measure, solids, arcs)
    }

    fn with(radius: f64, measure: Measure, solids: Solids, arcs: Vec<Arc>) -> FreeSpace {
        FreeSpace {
            radius,
            measure,
            solids,
            arcs,
            lines: OnceLock::new(),
            graph: OnceLock::new(),
            connected: OnceLock::new(),
            strict: OnceLock::new(),
        }
    }

    /// The same with other outlines for some obstacles, by their indices: all answers are those of [`FreeSpace::new`],
    /// but if the lines of this one are known, most of those are kept.
    pub fn moved(&self, changes: &[(usize, Polygon)]) -> FreeSpace {
        let outlines = self.solids.outlines_with(changes);
        let measure = Measure::new(self.radius, outlines.corners());
        if measure != self.measure {
            return FreeSpace::among(outlines, self.radius);
        }
        let solids = Solids::new(outlines, measure.keep());
        let rings: Vec<u32> = (changes.iter())
            .filter_map(|&(obstacle, _)| Some(solids.ring_of(obstacle)? as u32))
            .collect();
        // What is nearer to an arc than its radius is nearer to its corner than twice the radius.
        let around = 2.0 * measure.reach * (1.0 + ROUNDING);
        let boxes: Vec<Bounds> = (rings.iter())
            .flat_map(|&ring| [&self.solids, &solids].map(|of| of.rings()[ring as usize].bounds))
            .map(|bounds| bounds.grown(around))
            .collect();
        let near = |corner: Point| boxes.iter().any(|bounds| bounds.holds(corner));
        let (arcs, after) = corner::changed(&self.arcs, &solids, measure.of_arcs(), &rings, near);
        let moved = FreeSpace::with(self.radius, measure, solids, arcs);
        if let Some(lines) = self.lines.get() {
            let mut is_fresh = vec![true; moved.arcs.len()];
            for &arc in after.iter().filter(|&&arc| arc != GONE) {
                is_fresh[arc as usize] = false;
            }
            let fresh: Vec<u32> = (0..moved.arcs.len() as u32)
                .filter(|&arc| is_fresh[arc as usize])
                .collect();
            let change = ArcChange {
                after: &after,
                fresh: &fresh,
                rings: &rings,
            };
            let lines = lines.changed(&change, &moved.arcs, &moved.solids, &measure);
            moved.lines.get_or_init(|| lines);
        }
        moved
    }

    /// Finds all lines now, so that they are known when things move.
    pub fn survey(&self) {
        self.lines();
    }

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
        self.walks(places, &pairs)
    }

    /// The shortest walks of some pairs of places, by their indices: as [`FreeSpace::all_pairs`] finds them, and nothing
    /// for all other pairs.
    pub fn some_pairs(&self, places: &[Point], pairs: &[[usize; 2]]) -> AllPairs {
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
        self.walks(places, &pairs)
    }

    /// Pairs with the same beginning must follow each other.
    fn walks(&self, places: &[Point], pairs: &[[usize; 2]]) -> AllPairs {
        let stances: Vec<Option<Stance>> = places.iter().map(|&p| self.stance(p)).collect();
        let radius = if self.measure.round {
            self.measure.reach
        } else {
            0.0
        };
        let mut found = AllPairs::new(places, radius);
        let mut hint = 0;
        let mut around: Vec<[usize; 2]> = Vec::new();
        for &[from, to] in pairs {
            let (Some(one), Some(other)) = (&stances[from], &stances[to]) else {
                continue;
            };
            if from != to && self.solids.block(one.fits, other.fits, &mut hint) {
                around.push([from, to]);
            } else {
                let length = one.place.distance(other.place);
                found.set([from, to], length, std::iter::empty());
            }
        }
        if around.is_empty() {
            return found;
        }
        let mut tangents: Vec<Vec<Tangent>> = vec![Vec::new(); places.len()];
        for &place in around.iter().flatten() {
            if let (Some(stance), true) = (&stances[place], tangents[place].is_empty()) {
                tangents[place] =
                    tangent::tangents(stance, &self.arcs, &self.solids, &self.measure);
            }
        }
        let overlay = Overlay::new(self.graph(), &tangents);
        let mut search = Search::new(&overlay);
        let mut turns = Vec::new();
        for run in around.chunk_by(|one, other| one[0] == other[0]) {
            let mut wanted: Vec<u32> = run.iter().map(|pair| pair[1] as u32).collect();
            wanted.sort_unstable();
            search.run(&[run[0][0] as u32], &wanted, Wanted::All, f64::INFINITY);
            for &to in &wanted {
                let Some(length) = search.length(to) else {
                    continue;
                };
                turns.clear();
                search.turns(to, &mut turns);
                let bends = turns.iter().map(|turn| self.bend(turn));
                found.set([run[0][0], to as usize], length, bends);
            }
        }
        found
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
                Some(stance) => tangent::tangents(stance, &self.arcs, &self.solids, &self.measure),
                None => Vec::new(),
            })
            .collect();
        let overlay = Overlay::new(self.graph(), &tangents);
        let mut search = Search::new(&overlay);
        let sources: Vec<u32> = (0..from.len() as u32).collect();
        let wanted: Vec<u32> = (from.len() as u32..places.len() as u32).collect();
        let limit = best.map_or(f64::INFINITY, |(length, _)| length);
        search.run(&sources, &wanted, Wanted::Nearest, limit);
        let found = (wanted.iter()).filter_map(|&to| Some((search.length(to)?, to)));
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
        let first = self.components(&[from, to]);
        first[0].is_some() && first[0] == first[1]
    }

    /// For each place the first of those from which it can be reached, by its index; nothing where a body does not fit.
    /// Two places with the same are connected by a walk.
    pub fn components(&self, places: &[Point]) -> Vec<Option<usize>> {
        let stances: Vec<Option<Stance>> = places.iter().map(|&p| self.stance(p)).collect();
        let (arcs, solids, measure) = (&self.arcs, &self.solids, &self.measure);
        let sets = self.connected.get_or_init(|| match self.lines.get() {
            Some(lines) => connected::arcs_of(lines, arcs.len()),
            None => connected::arcs(arcs, solids, measure),
        });
        connected::places(&stances, sets, arcs, solids, measure)
    }

    /// Whether a body fits at a place.
    ///
    /// # Errors
    /// What is too near, or what it stands in.
    pub fn is_free(&self, point: Point) -> Result<(), Blocked> {
        let wanted = if self.measure.round {
            self.measure.reach
        } else {
            0.0
        };
        match self.solids.nearest(point, self.measure.reach) {
            Some((by, away)) if self.stance(point).is_none() => Err(Blocked {
                by,
                // A point in a gap without width fits nowhere near, though it only touches what is there.
                lacks: (wanted - away).max(0.0),
            }),
            _ => Ok(()),
        }
    }

    /// The place nearest to a point at which a body fits, the point itself if it does there; nothing if it fits
    /// nowhere.
    pub fn nearest_free(&self, point: Point) -> Option<Point> {
        if self.is_free(point).is_ok() {
            return Some(point);
        }
        self.on_border(point)
    }

    fn on_border(&self, point: Point) -> Option<Point> {
        let Measure {
            reach, tolerance, ..
        } = self.measure;
        let slack = tolerance * ROUNDING;
        let arcs = (self.strict).get_or_init(|| corner::arcs(&self.solids, reach, slack));
        nearest::on_border(point, &self.solids, arcs, reach, slack)
    }

    /// Where a body stands for a place; nothing if it does not fit there.
    fn stance(&self, place: Point) -> Option<Stance> {
        if !(place.x.is_finite() && place.y.is_finite()) {
            return None;
        }
        let Measure {
            reach, tolerance, ..
        } = self.measure;
        let rounding = DIGITS * reach.max(place.x.abs()).max(place.y.abs());
        let (fits, lacks) = match self.solids.nearest(place, reach) {
            None => (place, rounding),
            Some((_, away)) if reach - away <= tolerance => (place, rounding.max(reach - away)),
            Some(_) if self.measure.round => return None,
            Some((_, away)) if away < -tolerance => return None,
            Some(_) => {
                let beside = self.on_border(place)?;
                (place.distance(beside) <= MOVED * reach).then_some(beside)?;
                (beside, rounding.max(tolerance * ROUNDING))
            }
        };
        Some(Stance { place, fits, lacks })
    }

    fn lines(&self) -> &Lines {
        (self.lines).get_or_init(|| Lines::new(&self.arcs, &self.solids, &self.measure))
    }

    fn graph(&self) -> &Graph {
        (self.graph).get_or_init(|| Graph::new(self.arcs.len(), &self.lines().clear, &self.measure))
    }
}
