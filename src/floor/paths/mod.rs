//! The shortest walk of a body among walls and obstacles.
//!
//! A body is a disc: its centre keeps at least the radius from everything. A shortest walk then consists of straight
//! lines and of arcs of that radius around corners, and each line touches the arcs at its ends. So the walk is the
//! shortest way through a finite graph of touching places, without a grid and without rounding corners off.

mod all_pairs;
mod arrivals;
mod bounds;
mod budget;
mod clearance;
mod connected;
mod constriction;
mod corner;
mod detour;
#[cfg(test)]
mod explicit;
mod graph;
mod grid;
mod horizon;
mod lines;
mod nearest;
mod overlay;
mod path;
mod search;
mod solids;
mod tangent;
mod trips;
mod walked_line;
mod walks;

use std::sync::OnceLock;

use petgraph::unionfind::UnionFind;

pub use all_pairs::AllPairs;
pub(super) use clearance::GapSpan;
pub use clearance::{Narrowest, Passages};
pub use path::{Path, Piece};
pub use solids::Obstruction;
pub use trips::{Move, Moved, Outcome, Trip, Trips};

use super::tolerance::{DIGITS_SHARE, FITS_M, FITS_SHARE, ROUNDED_SLACK_SHARE, SAME_DIRECTION_RAD};
use super::{Point, Polygon};
use bounds::Bounds;
use corner::{Arc, GONE};
use graph::Graph;
use lines::{ArcChange, Lines};
use solids::{Outlines, Solids};
use tangent::Stance;

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
            slack: SAME_DIRECTION_RAD.max(DIGITS_SHARE * largest / reach),
            round: radius >= POINT * tolerance,
        }
    }

    /// Nothing solid may come nearer than this to a line that is walked.
    fn keep(&self) -> f64 {
        self.reach - self.tolerance
    }

    /// The radius in metres of the turns of a walk.
    fn radius_of_turns(&self) -> f64 {
        if self.round { self.reach } else { 0.0 }
    }

    /// The radius of arcs, and how much too near something may come to them.
    fn of_arcs(&self) -> (f64, f64) {
        (self.reach, self.tolerance / 2.0)
    }

    /// The same where a body should stand, not where it just may.
    fn of_strict_arcs(&self) -> (f64, f64) {
        (self.reach, self.tolerance * ROUNDED_SLACK_SHARE)
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
        let around = 2.0 * measure.reach * (1.0 + ROUNDED_SLACK_SHARE);
        let boxes: Vec<Bounds> = (rings.iter())
            .flat_map(|&ring| [&self.solids, &solids].map(|of| of.rings()[ring as usize].bounds))
            .map(|bounds| bounds.grown(around))
            .collect();
        let near = |corner: Point| boxes.iter().any(|bounds| bounds.holds(corner));
        let changed = |arcs: &[Arc], of_arcs: (f64, f64)| {
            corner::changed(arcs, &solids, of_arcs, &rings, near)
        };
        let (arcs, after) = changed(&self.arcs, measure.of_arcs());
        let strict = (self.strict.get()).map(|strict| changed(strict, measure.of_strict_arcs()).0);
        let moved = FreeSpace::with(self.radius, measure, solids, arcs);
        if let Some(strict) = strict {
            moved.strict.get_or_init(|| strict);
        }
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
        let (reach, slack) = self.measure.of_strict_arcs();
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
        let rounding = DIGITS_SHARE * reach.max(place.x.abs()).max(place.y.abs());
        let (fits, lacks) = match self.solids.nearest(place, reach) {
            None => (place, rounding),
            Some((_, away)) if reach - away <= tolerance => (place, rounding.max(reach - away)),
            Some(_) if self.measure.round => return None,
            Some((_, away)) if away < -tolerance => return None,
            Some(_) => {
                let beside = self.on_border(place)?;
                (place.distance(beside) <= MOVED * reach).then_some(beside)?;
                (beside, rounding.max(tolerance * ROUNDED_SLACK_SHARE))
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
