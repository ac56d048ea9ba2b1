//! The narrowest passage along a walk.

use super::super::{Point, nearest_on_segment};
use super::path::Path;
use super::solids::{Obstruction, Solids};

const MOST_SAMPLES: f64 = 1e5;

/// What is nearer than this is touched, and lies on its solid side only.
const TOUCHING_M: f64 = 1e-6;

/// A gap between two things that somebody walks through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Narrowest {
    /// In metres; the gap is at most as wide.
    pub width: f64,
    /// On the walk.
    pub at: Point,
    /// What stands to the left of the walk, and what to the right.
    pub between: [Obstruction; 2],
}

/// Samples a walk about every `step` metres. At each, the nearest solid place within 45 degrees of the left and of the
/// right is taken: the two are at most the sum of their distances apart, and the walk passes between them.
pub(super) fn narrowest(path: &Path, solids: &Solids, step: f64) -> Option<Narrowest> {
    let mut best: Option<Narrowest> = None;
    for piece in &path.pieces {
        let count = (piece.length() / step).ceil();
        // A step that is no number or nothing makes the most samples.
        let count = if count <= MOST_SAMPLES {
            count.max(1.0)
        } else {
            MOST_SAMPLES
        };
        for sample in 0..count as u32 {
            let share = (f64::from(sample) + 0.5) / count;
            let Some(ahead) = piece.direction(share) else {
                continue;
            };
            let at = piece.at(share);
            let least = best.map_or(f64::INFINITY, |narrowest| narrowest.width);
            if let Some(gap) = gap(at, ahead, solids, least)
                && gap.is_open(solids)
            {
                best = Some(Narrowest {
                    width: gap.width,
                    at,
                    between: gap.edges.map(|edge| solids.of_edge(edge)),
                });
            }
        }
    }
    best
}

/// What is nearest on the left and on the right of a walk.
struct Gap {
    /// Distance to the one plus distance to the other.
    width: f64,
    edges: [usize; 2],
    /// On these edges.
    places: [Point; 2],
}

/// The line across a gap leaves both sides of it at an angle of which this is the sine, or at a larger one.
const LEAVES: f64 = 0.3;

impl Gap {
    /// Whether the two sides face each other. Who walks straight up to a wall or a corner has it on both sides, too,
    /// and passes nothing.
    fn is_open(&self, solids: &Solids) -> bool {
        let [left, right] = self.places;
        let across = right - left;
        [0.1, 0.5, 0.9].into_iter().all(|share: f64| {
            let near = share.min(1.0 - share) * across.length() * LEAVES;
            let solid = solids.nearest(left + across * share, near);
            solid.is_none_or(|(_, away)| away >= near)
        })
    }
}

/// The nearest on both sides, if their distances add up to less than `least`.
fn gap(at: Point, ahead: Point, solids: &Solids, least: f64) -> Option<Gap> {
    let mut sides = [least, least];
    let mut edges = [0, 0];
    let mut places = [at, at];
    for (bounds, run) in solids.chunks() {
        let far = sides[0].max(sides[1]);
        if bounds.square_distance(at) >= far * far {
            continue;
        }
        for index in run {
            let (a, b) = solids.edge(index);
            let place = |point: Point| {
                let away = point - at;
                Point::new(ahead.dot(away), ahead.cross(away))
            };
            let edge = (place(a), place(b));
            if nearest_on_segment(Point::ORIGIN, edge).length() < TOUCHING_M {
                let solid_is_left = (edge.1 - edge.0).left().y > 0.0;
                let side = usize::from(!solid_is_left);
                (sides[side], edges[side], places[side]) = (0.0, index, at);
                continue;
            }
            for (side, sign) in [1.0, -1.0].into_iter().enumerate() {
                let flip = |point: Point| Point::new(point.x, sign * point.y);
                let Some(nearest) = in_cone((flip(edge.0), flip(edge.1))) else {
                    continue;
                };
                if nearest.length() < sides[side] {
                    let nearest = flip(nearest);
                    sides[side] = nearest.length();
                    edges[side] = index;
                    places[side] = at + ahead * nearest.x + ahead.left() * nearest.y;
                }
            }
        }
    }
    let width = sides[0] + sides[1];
    (width < least).then_some(Gap {
        width,
        edges,
        places,
    })
}

/// The place nearest to the origin of what part of a segment lies within 45 degrees of the y axis upward.
fn in_cone((a, b): (Point, Point)) -> Option<Point> {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for sign in [1.0, -1.0] {
        let (at_a, at_b) = (a.y + sign * a.x, b.y + sign * b.x);
        if at_a < 0.0 && at_b < 0.0 {
            return None;
        }
        let crossing = at_a / (at_a - at_b);
        if at_a < 0.0 {
            from = from.max(crossing);
        } else if at_b < 0.0 {
            to = to.min(crossing);
        }
    }
    (from <= to).then(|| {
        let along = b - a;
        nearest_on_segment(Point::ORIGIN, (a + along * from, a + along * to))
    })
}
