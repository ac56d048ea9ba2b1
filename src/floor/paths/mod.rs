//! The shortest walk of a body among walls and obstacles.
//!
//! A body is a disc: its centre keeps at least the radius from everything. A shortest walk then consists of straight
//! lines and of arcs of that radius around corners, and each line touches the arcs at its ends. So the walk is the
//! shortest way through a finite graph of touching places, without a grid and without rounding corners off.

mod clearance;
mod corner;
mod graph;
mod grid;
mod nearest;
mod path;
mod solids;
mod tangent;

use std::sync::OnceLock;

pub use clearance::{Narrowest, Passages};
pub use path::{Path, Piece};
pub use solids::Obstruction;

use super::{Point, Polygon};
use corner::Arc;
use graph::Graph;
use solids::Solids;
use tangent::{Between, Stance, Toward};

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
#[derive(Debug, Clone, Copy)]
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
    measure: Measure,
    solids: Solids,
    arcs: Vec<Arc>,
    /// Only walks need the lines.
    lines: OnceLock<Vec<Between>>,
    /// Arcs that end where something is too near by no more than a rounding: where a body should stand, not where it
    /// just may.
    strict: OnceLock<Vec<Arc>>,
}

impl FreeSpace {
    /// A room, if there is one, obstacles in it, which may touch, overlap and stick out, and the radius of the body in
    /// metres. A body of radius 0 may touch everything, but it does not pass between things that touch each other.
    pub fn new(room: Option<&Polygon>, obstacles: &[Polygon], radius: f64) -> FreeSpace {
        let outlines = room.into_iter().chain(obstacles);
        let largest = outlines
            .flat_map(|outline| outline.corners())
            .map(|corner| corner.x.abs().max(corner.y.abs()))
            .fold(radius, f64::max);
        let tolerance = FITS_M.max(FITS_SHARE * largest);
        let reach = radius.max(POINT * tolerance);
        let measure = Measure {
            reach,
            tolerance,
            slack: ANGLE.max(DIGITS * largest / reach),
            round: radius >= POINT * tolerance,
        };
        let solids = Solids::new(room, obstacles, measure.reach - tolerance);
        let arcs = corner::arcs(&solids, measure.reach, tolerance / 2.0);
        FreeSpace {
            measure,
            solids,
            arcs,
            lines: OnceLock::new(),
            strict: OnceLock::new(),
        }
    }

    /// Lengths in metres of the shortest walks between all places, row by row; nothing where there is no way, or where
    /// a body does not fit at one of the two. The table is symmetric to the last bit.
    pub fn table(&self, places: &[Point]) -> Vec<Option<f64>> {
        let count = places.len();
        let stances: Vec<Option<Stance>> = places.iter().map(|&p| self.stance(p)).collect();
        let graph = self.graph(&stances);
        let mut table = vec![None; count * count];
        for from in 0..count {
            let found = graph.search(from, from..count);
            for to in from..count {
                table[from * count + to] = found.lengths[to];
                table[to * count + from] = found.lengths[to];
            }
        }
        table
    }

    /// The shortest walk; nothing if there is none, or if a body does not fit at one of its ends.
    pub fn path(&self, from: Point, to: Point) -> Option<Path> {
        // Both directions are found as one, so that they have the same length to the last bit.
        if (to.x, to.y) < (from.x, from.y) {
            return Some(self.one_path(to, from)?.reversed());
        }
        self.one_path(from, to)
    }

    fn one_path(&self, from: Point, to: Point) -> Option<Path> {
        let stances = [Some(self.stance(from)?), Some(self.stance(to)?)];
        let graph = self.graph(&stances);
        let found = graph.search(0, 1..2);
        let length = found.lengths[1]?;
        let mut pieces = Vec::new();
        let mut here = from;
        for turn in found.turns(1)? {
            let arc = &self.arcs[turn.arc as usize];
            if !self.measure.round {
                path::add_line(&mut pieces, here, arc.centre);
                here = arc.centre;
                continue;
            }
            let start = arc.direction(turn.arrives);
            let touches = arc.centre + start * self.measure.reach;
            path::add_line(&mut pieces, here, touches);
            if turn.leaves != turn.arrives {
                pieces.push(Piece::Arc {
                    centre: arc.centre,
                    radius: self.measure.reach,
                    from_angle: libm::atan2(start.y, start.x),
                    sweep: turn.leaves - turn.arrives,
                });
            }
            here = arc.centre + arc.direction(turn.leaves) * self.measure.reach;
        }
        path::add_line(&mut pieces, here, to);
        Some(Path {
            from,
            to,
            pieces,
            length,
        })
    }

    /// Whether there is a walk from one place to the other.
    pub fn reachable(&self, from: Point, to: Point) -> bool {
        self.path(from, to).is_some()
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

    fn graph(&self, stances: &[Option<Stance>]) -> Graph {
        let lines =
            (self.lines).get_or_init(|| tangent::between(&self.arcs, &self.solids, &self.measure));
        let toward: Vec<Vec<Toward>> = stances
            .iter()
            .map(|stance| match stance {
                Some(stance) => tangent::toward(stance, &self.arcs, &self.solids, &self.measure),
                None => Vec::new(),
            })
            .collect();
        let mut hint = 0;
        let mut clear = |from, to| !self.solids.block(from, to, &mut hint);
        let straight = graph::straight(stances, &mut clear);
        Graph::new(self.arcs.len(), lines, &toward, straight, &self.measure)
    }
}
