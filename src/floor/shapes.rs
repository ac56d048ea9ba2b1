//! How deep outlines reach into each other.

use super::{Point, Polygon, SAME_POINT_M};

/// The least and the greatest coordinates of something.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxisBox {
    pub low: Point,
    pub high: Point,
}

impl AxisBox {
    /// Around points; nothing if there are none.
    pub fn around(points: impl IntoIterator<Item = Point>) -> Option<AxisBox> {
        let least = |a: Point, b: Point| Point::new(a.x.min(b.x), a.y.min(b.y));
        let most = |a: Point, b: Point| Point::new(a.x.max(b.x), a.y.max(b.y));
        let points = points.into_iter().map(|point| AxisBox {
            low: point,
            high: point,
        });
        points.reduce(|a, b| AxisBox {
            low: least(a.low, b.low),
            high: most(a.high, b.high),
        })
    }

    pub fn grown(self, by: f64) -> AxisBox {
        let by = Point::new(by, by);
        AxisBox {
            low: self.low - by,
            high: self.high + by,
        }
    }

    pub fn holds(&self, point: Point) -> bool {
        self.meets(&AxisBox {
            low: point,
            high: point,
        })
    }

    /// Whether all of it is farther from a point than so many metres by more than roundings come to.
    pub fn is_surely_farther(&self, point: Point, than: f64) -> bool {
        let nearest = Point::new(
            point.x.max(self.low.x).min(self.high.x),
            point.y.max(self.low.y).min(self.high.y),
        );
        point.is_surely_farther(nearest, than.max(0.0))
    }

    /// Whether the two have a point in common.
    pub fn meets(&self, other: &AxisBox) -> bool {
        self.low.x <= other.high.x
            && other.low.x <= self.high.x
            && self.low.y <= other.high.y
            && other.low.y <= self.high.y
    }
}

/// An area, ready to be held against others again and again.
#[derive(Debug, Clone, PartialEq)]
pub struct FloorArea {
    pub outline: Polygon,
    pub bounds: AxisBox,
    /// Nothing where the outline itself is convex.
    parts: Vec<Vec<Point>>,
}

impl FloorArea {
    pub fn new(outline: Polygon) -> FloorArea {
        FloorArea {
            bounds: {
                let (low, high) = outline.bounds();
                AxisBox { low, high }
            },
            parts: convex_parts(&outline),
            outline,
        }
    }

    fn parts(&self) -> impl Iterator<Item = &[Point]> {
        let whole = self.parts.is_empty().then_some(self.outline.corners());
        whole
            .into_iter()
            .chain(self.parts.iter().map(Vec::as_slice))
    }

    /// The same elsewhere.
    pub fn shifted(&self, by: Point) -> FloorArea {
        let shifted = |corners: &Vec<Point>| corners.iter().map(|&corner| corner + by).collect();
        FloorArea {
            outline: self.outline.shifted(by),
            bounds: AxisBox {
                low: self.bounds.low + by,
                high: self.bounds.high + by,
            },
            parts: self.parts.iter().map(shifted).collect(),
        }
    }

    /// Distance from a place to the outline in metres, negative for a place in it.
    pub fn clear_of(&self, place: Point) -> f64 {
        signed_distance(&self.outline, self.outline.contains(place), place)
    }

    /// The middle of the bounds.
    pub fn middle(&self) -> Point {
        (self.bounds.low + self.bounds.high) * 0.5
    }
}

/// Distance to an outline in metres, negative for a place that is in what is solid.
pub fn signed_distance(outline: &Polygon, solid: bool, place: Point) -> f64 {
    let away = outline.distance_to_outline(place);
    if solid && away > SAME_POINT_M {
        -away
    } else {
        away
    }
}

/// How far one of two areas has to move so that they no longer overlap, in metres; nothing if they only touch.
///
/// Exact for convex outlines (separating axes); for others the depth of their deepest pair of convex parts, which is
/// the least that has to be moved.
pub fn overlap(a: &FloorArea, b: &FloorArea) -> Option<f64> {
    if !a.bounds.meets(&b.bounds) {
        return None;
    }
    let pairs = a.parts().flat_map(|a| b.parts().map(move |b| depth(a, b)));
    let deepest = pairs.fold(0.0, f64::max);
    (deepest > SAME_POINT_M).then_some(deepest)
}

/// Whether two areas overlap, and do not only touch: what [`overlap`] says, without how far.
pub fn do_overlap(a: &FloorArea, b: &FloorArea) -> bool {
    a.bounds.meets(&b.bounds) && (a.parts()).any(|a| b.parts().any(|b| depth(a, b) > SAME_POINT_M))
}

/// The least shift that parts two convex areas, in metres; where that is no more than [`SAME_POINT_M`], any number that
/// is not: they are apart or only touch, however it goes on.
fn depth(a: &[Point], b: &[Point]) -> f64 {
    let least = |part: &[Point], axis: Point| {
        let along = part.iter().map(|corner| corner.dot(axis));
        along.fold(f64::INFINITY, f64::min)
    };
    let most = |part: &[Point], axis: Point| -least(part, axis * -1.0);
    let mut shortest = f64::INFINITY;
    for (part, other) in [(a, b), (b, a)] {
        let mut from = part[part.len() - 1];
        for &to in part {
            let along = to - from;
            from = to;
            let length = along.length();
            if length > 0.0 {
                // Outward, since the outline runs counter-clockwise.
                let axis = along.left() * (-1.0 / length);
                shortest = shortest.min(most(part, axis) - least(other, axis));
                if shortest <= SAME_POINT_M {
                    return shortest;
                }
            }
        }
    }
    shortest
}

/// An area that is not convex as triangles.
fn convex_parts(outline: &Polygon) -> Vec<Vec<Point>> {
    let corners = outline.corners();
    let count = corners.len();
    let turns_left =
        |before: Point, here: Point, after: Point| (here - before).cross(after - here) >= 0.0;
    let convex = (0..count).all(|i| {
        turns_left(
            corners[i],
            corners[(i + 1) % count],
            corners[(i + 2) % count],
        )
    });
    if convex {
        return Vec::new();
    }
    triangles(corners.to_vec())
}

/// Cuts ears off until a triangle is left.
fn triangles(mut corners: Vec<Point>) -> Vec<Vec<Point>> {
    let mut parts = Vec::with_capacity(corners.len());
    while corners.len() > 3 {
        let count = corners.len();
        let at = |i: usize| corners[i % count];
        let ear = (0..count).find(|&i| {
            let (a, b, c) = (at(i), at(i + 1), at(i + 2));
            let inside = |p: Point| {
                (b - a).cross(p - a) >= 0.0
                    && (c - b).cross(p - b) >= 0.0
                    && (a - c).cross(p - c) >= 0.0
            };
            let others = (3..count).map(|k| at(i + k));
            (b - a).cross(c - b) > 0.0 && !others.into_iter().any(inside)
        });
        // A simple outline always has an ear; if rounding hides it, the flattest corner goes, which loses no area.
        let first = ear.unwrap_or_else(|| {
            let bend = |i: usize| (at(i + 1) - at(i)).cross(at(i + 2) - at(i + 1)).abs();
            let flattest = (0..count).min_by(|&i, &j| bend(i).total_cmp(&bend(j)));
            flattest.unwrap_or(0)
        });
        parts.push(vec![at(first), at(first + 1), at(first + 2)]);
        let tip = (first + 1) % count;
        corners.remove(tip);
    }
    parts.push(corners);
    parts.retain(|part| (part[1] - part[0]).cross(part[2] - part[0]) > 0.0);
    parts
}

/// How far an area reaches out of a room, in metres; nothing if it lies inside or touches the walls from within.
///
/// For an area that no wall crosses and that lies outside, the distance to its farthest corner from the room.
pub fn beyond_walls(area: &FloorArea, room: &Polygon) -> Option<f64> {
    let corners = area.outline.corners();
    let outside = corners.iter().filter(|&&c| !room.contains(c));
    let farthest = outside.map(|&corner| room.distance_to_outline(corner));
    // A wall may also run through the area between its corners.
    let meets = |&(from, to): &(Point, Point)| {
        AxisBox::around([from, to]).is_some_and(|wall| wall.meets(&area.bounds))
    };
    let walls = room.edges().filter(meets);
    let inside = walls.map(|wall| deepest_on(wall, &area.outline));
    let reach = farthest.chain(inside).fold(0.0, f64::max);
    (reach > SAME_POINT_M).then_some(reach)
}

/// How deep a convex area is at the place of a segment where it is deepest, in metres; negative beside it.
///
/// The depth below each edge is linear along the segment, so the least of them rises to one peak and falls from there:
/// an end of the segment, or the place where the lowest rising depth gives way to a falling one.
fn deepest_on((from, to): (Point, Point), area: &Polygon) -> f64 {
    // Depths at both ends of the segment.
    let depth = |point: Point, (a, b): (Point, Point)| {
        let along = b - a;
        along.cross(point - a) / along.length()
    };
    let edges = area.edges();
    let lines: Vec<(f64, f64)> = edges
        .map(|edge| (depth(from, edge), depth(to, edge)))
        .collect();
    let mut share = 0.0;
    let lowest_at = |share: f64| {
        let at = |&(first, last): &(f64, f64)| first + (last - first) * share;
        let lowest = lines.iter().map(|line| (at(line), line.1 - line.0));
        // Of those that meet there, the one that is lowest farther on.
        lowest.min_by(|one, other| one.0.total_cmp(&other.0).then(one.1.total_cmp(&other.1)))
    };
    // At each step the lowest depth gives way to one that rises less, so there are no more steps than edges.
    for _ in 0..lines.len() {
        let Some((here, rise)) = lowest_at(share).filter(|&(_, rise)| rise > 0.0) else {
            break;
        };
        let crossings = lines.iter().filter_map(|&(first, last)| {
            let slower = rise - (last - first);
            let above = first + (last - first) * share - here;
            (slower > 0.0).then(|| share + (above / slower).max(0.0))
        });
        let next = crossings.fold(1.0, f64::min);
        if next <= share {
            break;
        }
        share = next;
    }
    lowest_at(share).map_or(f64::NEG_INFINITY, |(depth, _)| depth)
}

/// A rectangle that stands on a line: from its middle `depth` in the direction `toward` (of length 1), `width` wide.
///
/// Nothing if it has no area.
pub fn rectangle_before(middle: Point, toward: Point, width: f64, depth: f64) -> Option<Polygon> {
    let (side, far) = (toward.left() * (width / 2.0), toward * depth);
    Polygon::new(&[
        middle + side,
        middle - side,
        middle - side + far,
        middle + side + far,
    ])
    .ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use proptest::test_runner::RngSeed;

    fn polygon(corners: &[(f64, f64)]) -> Polygon {
        let corners: Vec<Point> = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
        Polygon::new(&corners).expect("an outline")
    }

    fn area(corners: &[(f64, f64)]) -> FloorArea {
        FloorArea::new(polygon(corners))
    }

    #[test]
    fn rectangles_overlap_by_the_shorter_way_out_and_may_touch() {
        let one = area(&[(0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0)]);
        let beside =
            |x: f64, y: f64| area(&[(x, y), (x + 2.0, y), (x + 2.0, y + 1.0), (x, y + 1.0)]);
        assert_eq!(overlap(&one, &beside(2.0, 0.0)), None);
        assert_eq!(
            overlap(&one, &beside(1.99995, 0.0)),
            None,
            "a tenth of a millimetre"
        );
        let depth = overlap(&one, &beside(1.9, 0.3)).expect("they overlap");
        assert!((depth - 0.1).abs() < 1e-12);
        let depth = overlap(&one, &beside(1.0, 0.8)).expect("they overlap");
        assert!((depth - 0.2).abs() < 1e-12);
    }

    #[test]
    fn what_stands_in_the_notch_of_a_thing_does_not_overlap_it() {
        let l_shape = area(&[(0., 0.), (3., 0.), (3., 1.), (1., 1.), (1., 3.), (0., 3.)]);
        let in_notch = area(&[(1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0)]);
        let too_far = area(&[(0.8, 1.2), (2.0, 1.2), (2.0, 2.0), (0.8, 2.0)]);
        assert_eq!(overlap(&l_shape, &in_notch), None);
        let depth = overlap(&l_shape, &too_far).expect("they overlap");
        assert!(depth > 0.05 && depth <= 0.2 + 1e-12, "{depth}");
    }

    #[test]
    fn a_wall_may_run_through_an_area_whose_corners_are_all_inside() {
        // A U-shaped room whose middle tongue is 0.2 m thick, and a table laid across it.
        let room = polygon(&[
            (0.0, 0.0),
            (4.0, 0.0),
            (4.0, 3.0),
            (2.1, 3.0),
            (2.1, 1.0),
            (1.9, 1.0),
            (1.9, 3.0),
            (0.0, 3.0),
        ]);
        let table = area(&[(1.0, 2.0), (3.0, 2.0), (3.0, 2.6), (1.0, 2.6)]);
        let reach = beyond_walls(&table, &room).expect("the tongue is in the way");
        assert!((reach - 0.3).abs() < 1e-9, "{reach}");
        let clear = area(&[(1.0, 0.4), (3.0, 0.4), (3.0, 1.0), (1.0, 1.0)]);
        assert_eq!(beyond_walls(&clear, &room), None);
    }

    fn rectangles() -> impl Strategy<Value = FloorArea> {
        (-3.0..3.0, -3.0..3.0, 0.2..3.0, 0.2..3.0, 0.0..360.0).prop_map(|(x, y, w, h, turn)| {
            FloorArea::new(Polygon::rectangle(Point::new(x, y), (w, h), turn).expect("an area"))
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 256, rng_seed: RngSeed::Fixed(1), failure_persistence: None, ..ProptestConfig::default() })]

        /// Against brute force: somewhere on a fine grid both contain a point, or they do not overlap by much.
        #[test]
        fn overlapping_is_having_a_point_in_common(a in rectangles(), b in rectangles()) {
            let AxisBox { low: least, high: most } = a.bounds;
            let steps = 60;
            let at = |low: f64, high: f64, i: u32| low + (high - low) * (f64::from(i) + 0.5) / f64::from(steps);
            let common = (0..steps).any(|i| (0..steps).any(|j| {
                let point = Point::new(at(least.x, most.x, i), at(least.y, most.y, j));
                a.outline.contains(point) && b.outline.contains(point)
            }));
            let depth = overlap(&a, &b);
            if common {
                prop_assert!(depth.is_some());
            }
            // What overlaps this deep has a square of the grid's size in common, hence a grid point.
            if depth.is_some_and(|depth| depth > 0.4) {
                prop_assert!(common, "{depth:?}");
            }
        }

        /// Shifting by the depth in the best direction parts them, and by less in no direction.
        #[test]
        fn the_depth_is_the_least_shift_that_parts(a in rectangles(), b in rectangles()) {
            let Some(depth) = overlap(&a, &b) else { return Ok(()) };
            let shifted = |far: f64, degrees: u32| {
                let angle = f64::from(degrees).to_radians();
                let by = Point::new(far * libm::cos(angle), far * libm::sin(angle));
                let corners: Vec<Point> = b.outline.corners().iter().map(|&c| c + by).collect();
                FloorArea::new(Polygon::new(&corners).expect("moved"))
            };
            let parted = (0..360).any(|d| overlap(&a, &shifted(depth * 1.001 + 1e-3, d)).is_none());
            let too_early = (0..360).any(|d| overlap(&a, &shifted(depth - 2e-3, d)).is_none());
            prop_assert!(parted && !too_early);
        }
    }
}
