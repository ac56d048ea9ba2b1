//! What a carried piece must not touch: convex solids, and how far a rectangle is from them.

use crate::floor::tolerance::{ROUNDED_M, SURELY_LONGER_SHARE};
use crate::floor::{Point, Polygon};

/// A convex part of something on the floor.
#[derive(Debug, Clone)]
struct Convex<T> {
    of: T,
    /// Counter-clockwise.
    corners: Vec<Point>,
    /// For each edge its direction outward, of length 1, and how far the edge lies in that direction.
    faces: Vec<(Point, f64)>,
    /// The mean of its corners, and the farthest corner from there.
    middle: Point,
    radius: f64,
}

/// One of the convex parts, seen from a place.
#[derive(Debug, Clone, Copy)]
pub struct NearPart {
    number: u32,
    /// What is there is at least so far from it, however it is turned, in metres; overlaps count as negative.
    bound: f64,
}

/// Everything on the floor that is in the way of a piece; `T` says what it is.
#[derive(Debug, Clone)]
pub struct ConvexSolids<T> {
    parts: Vec<Convex<T>>,
}

/// A rectangle as it is moved over the floor, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rectangle {
    pub length: f64,
    pub width: f64,
}

impl Rectangle {
    /// From its middle to a corner.
    pub fn reach(self) -> f64 {
        libm::hypot(self.length, self.width) / 2.0
    }
}

/// How a rectangle lies: its middle, and the direction of its length, counter-clockwise from x in radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lie {
    pub at: Point,
    pub turn: f64,
}

/// A rectangle in its place.
#[derive(Debug, Clone, Copy)]
pub struct Placed {
    at: Point,
    along: Point,
    half: (f64, f64),
}

impl Placed {
    pub fn new(rectangle: Rectangle, lie: Lie) -> Placed {
        let along = Point::new(libm::cos(lie.turn), libm::sin(lie.turn));
        Placed::toward(rectangle, lie.at, along)
    }

    /// With its length along a direction of length 1.
    pub fn toward(rectangle: Rectangle, at: Point, along: Point) -> Placed {
        Placed {
            at,
            along,
            half: (rectangle.length / 2.0, rectangle.width / 2.0),
        }
    }

    pub fn corners(&self) -> [Point; 4] {
        let (along, across) = (self.along * self.half.0, self.along.left() * self.half.1);
        [
            self.at - along - across,
            self.at + along - across,
            self.at + along + across,
            self.at - along + across,
        ]
    }

    /// Distance in metres from a point to the rectangle, 0 inside of it.
    pub fn distance(&self, point: Point) -> f64 {
        self.beyond(point).length()
    }

    /// Whether a point is farther from it than so many metres by more than roundings come to.
    pub fn is_surely_farther(&self, point: Point, than: f64) -> bool {
        let beyond = self.beyond(point);
        beyond.dot(beyond) > than * than * (1.0 + SURELY_LONGER_SHARE)
    }

    /// How far a point is beyond its sides, along it and across.
    fn beyond(&self, point: Point) -> Point {
        let from_middle = point - self.at;
        let beyond = |along: Point, half: f64| (from_middle.dot(along).abs() - half).max(0.0);
        Point::new(
            beyond(self.along, self.half.0),
            beyond(self.along.left(), self.half.1),
        )
    }

    /// How far it reaches from its middle in a direction of length 1.
    fn half_along(&self, direction: Point) -> f64 {
        self.half.0 * self.along.dot(direction).abs()
            + self.half.1 * self.along.left().dot(direction).abs()
    }
}

impl<T> Default for ConvexSolids<T> {
    fn default() -> ConvexSolids<T> {
        ConvexSolids { parts: Vec::new() }
    }
}

impl<T: Copy> ConvexSolids<T> {
    pub fn new() -> ConvexSolids<T> {
        ConvexSolids::default()
    }

    /// Adds the inside of an outline.
    pub fn add(&mut self, of: T, outline: &Polygon) {
        let pieces = convex_parts(outline.corners());
        self.parts
            .extend(pieces.into_iter().map(|corners| Convex::new(of, corners)));
    }

    /// Adds what may be nearest to something that reaches so far from a place within another distance of this one, in
    /// metres: parts in the order of how near they may be.
    pub fn near(&self, at: Point, reach: f64, off: f64, near: &mut Vec<NearPart>) {
        // No gap between two convex shapes is more than points inside of them are apart.
        let middles = self.parts.iter().map(|part| part.middle - at);
        let nearest = (middles.map(|apart| apart.dot(apart))).fold(f64::INFINITY, f64::min);
        let most = nearest.sqrt() + off + ROUNDED_M;
        let first = near.len();
        for (number, part) in (0..).zip(&self.parts) {
            // One side of a rectangle faces the part by no less than half a right angle.
            let apart = part.middle - at;
            let aside = apart.dot(apart).sqrt() * std::f64::consts::FRAC_1_SQRT_2;
            if aside - part.radius - reach - ROUNDED_M > most {
                continue;
            }
            let beyond = part
                .faces
                .iter()
                .map(|&(outward, far)| at.dot(outward) - far);
            let bound = beyond.fold(f64::NEG_INFINITY, f64::max) - reach - ROUNDED_M;
            if bound <= most {
                near.push(NearPart { number, bound });
            }
        }
        near[first..].sort_unstable_by(|one, other| {
            (one.bound.total_cmp(&other.bound)).then(one.number.cmp(&other.number))
        });
    }

    /// How far a rectangle is from everything, at least, in metres; where it overlaps something, minus the shortest way
    /// by which it would be clear of its most overlapped part. Only what may be nearest is looked at.
    ///
    /// The greatest gap between the shadows of two convex shapes on the normals of their edges: of shapes apart it is
    /// no more than their distance, of shapes that overlap their penetration depth (separating axis theorem; C. Ericson,
    /// Real-Time Collision Detection, 2005, section 5.2.1).
    pub fn gap_among(&self, placed: &Placed, near: &[NearPart]) -> f64 {
        let mut least = f64::INFINITY;
        for &NearPart { number, bound } in near {
            if bound >= least {
                break;
            }
            least = least.min(self.parts[number as usize].gap(placed, least));
        }
        least
    }

    /// The same, by everything.
    pub fn gap(&self, placed: &Placed) -> f64 {
        let gaps = self.parts.iter();
        gaps.fold(f64::INFINITY, |least, part| {
            least.min(part.gap(placed, least))
        })
    }
}

impl<T: Copy + PartialEq> ConvexSolids<T> {
    /// What is on the floor, the nearest to a rectangle first.
    pub fn nearest(&self, placed: &Placed) -> Vec<T> {
        let gap = |part: &Convex<T>| part.gap(placed, f64::INFINITY);
        let mut by_gap: Vec<(f64, T)> =
            self.parts.iter().map(|part| (gap(part), part.of)).collect();
        by_gap.sort_by(|one, other| one.0.total_cmp(&other.0));
        let mut nearest: Vec<T> = Vec::new();
        for (_, of) in by_gap {
            if !nearest.contains(&of) {
                nearest.push(of);
            }
        }
        nearest
    }
}

impl<T> Convex<T> {
    fn new(of: T, corners: Vec<Point>) -> Convex<T> {
        let next = corners.iter().cycle().skip(1);
        let faces = corners.iter().zip(next).map(|(&from, &to)| {
            let along = (to - from) * (1.0 / from.distance(to));
            let outward = along.left() * -1.0;
            (outward, outward.dot(from))
        });
        let faces = faces.collect();
        let sum = (corners.iter()).fold(Point::ORIGIN, |sum, &corner| sum + corner);
        let middle = sum * (1.0 / corners.len() as f64);
        let far = corners.iter().map(|corner| middle.distance(*corner));
        Convex {
            of,
            faces,
            middle,
            radius: far.fold(0.0, f64::max),
            corners,
        }
    }

    /// The gap to a rectangle, or anything that is no less than `enough`.
    fn gap(&self, placed: &Placed, enough: f64) -> f64 {
        let mut widest = f64::NEG_INFINITY;
        for &(outward, far) in &self.faces {
            let gap = placed.at.dot(outward) - placed.half_along(outward) - far;
            widest = widest.max(gap);
            if widest >= enough {
                return widest;
            }
        }
        for (along, half) in [
            (placed.along, placed.half.0),
            (placed.along.left(), placed.half.1),
        ] {
            let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
            for corner in &self.corners {
                let far = (*corner - placed.at).dot(along);
                (least, most) = (least.min(far), most.max(far));
            }
            widest = widest.max(least - half).max(-half - most);
        }
        widest
    }
}

/// The outline itself if it is convex, else triangles that make it up: ears are cut off one after another, the first
/// one in the order of the corners.
fn convex_parts(corners: &[Point]) -> Vec<Vec<Point>> {
    let turns = |a: Point, b: Point, c: Point| (b - a).cross(c - b);
    let count = corners.len();
    let at = |index: usize| corners[index % count];
    if (0..count).all(|index| turns(at(index), at(index + 1), at(index + 2)) >= 0.0) {
        return vec![corners.to_vec()];
    }
    let mut left: Vec<Point> = corners.to_vec();
    let mut parts = Vec::new();
    while left.len() > 3 {
        let count = left.len();
        let is_ear = |&index: &usize| {
            let (a, b, c) = (
                left[(index + count - 1) % count],
                left[index],
                left[(index + 1) % count],
            );
            let inside = |point: &Point| {
                turns(a, b, *point) >= 0.0
                    && turns(b, c, *point) >= 0.0
                    && turns(c, a, *point) >= 0.0
            };
            let mut others = left
                .iter()
                .filter(|&&other| other != a && other != b && other != c);
            turns(a, b, c) > 0.0 && !others.any(inside)
        };
        // Every simple outline has an ear; roundings may hide it, and then any corner that turns left will do.
        let ear = (0..count).find(is_ear).or_else(|| {
            (0..count).find(|&index| {
                turns(
                    left[(index + count - 1) % count],
                    left[index],
                    left[(index + 1) % count],
                ) > 0.0
            })
        });
        let Some(ear) = ear else { break };
        parts.push(vec![
            left[(ear + count - 1) % count],
            left[ear],
            left[(ear + 1) % count],
        ]);
        left.remove(ear);
    }
    if left.len() == 3 && turns(left[0], left[1], left[2]) > 0.0 {
        parts.push(left);
    }
    parts
}
