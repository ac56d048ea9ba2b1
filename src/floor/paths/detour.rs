//! How long a way is at least because of a single thing that stands on the straight line.

use super::super::{Point, Polygon};

/// The length in metres of a taut string from one place to another around a convex outline, on its shorter side;
/// nothing if the outline is not convex, or if the straight line does not part its corners.
pub(super) fn around(from: Point, to: Point, outline: &Polygon) -> Option<f64> {
    let corners = outline.corners();
    let along = to - from;
    let off = |corner: Point| along.cross(corner - from);
    let (low, high) = (corners.iter())
        .map(|&corner| off(corner))
        .fold((0.0_f64, 0.0_f64), |(low, high), off| {
            (low.min(off), high.max(off))
        });
    if low >= 0.0 || high <= 0.0 || !crosses(from, to, corners) || !is_convex(corners) {
        return None;
    }
    Some(string(from, to, corners, 1.0).min(string(from, to, corners, -1.0)))
}

/// Whether a line crosses an edge between its ends.
fn crosses(from: Point, to: Point, corners: &[Point]) -> bool {
    let along = to - from;
    (0..corners.len()).any(|index| {
        let (a, b) = (corners[index], corners[(index + 1) % corners.len()]);
        let edge = b - a;
        along.cross(a - from) * along.cross(b - from) < 0.0
            && edge.cross(from - a) * edge.cross(to - a) < 0.0
    })
}

fn is_convex(corners: &[Point]) -> bool {
    let count = corners.len();
    (0..count).all(|index| {
        let [a, b, c] = [0, 1, 2].map(|on| corners[(index + on) % count]);
        (b - a).cross(c - b) > 0.0
    })
}

/// The string that passes the corners on one side, 1 for the left and -1 for the right.
fn string(from: Point, to: Point, corners: &[Point], side: f64) -> f64 {
    let along = to - from;
    let mut length = 0.0;
    let mut here = from;
    // Each corner is passed once at the most.
    for _ in 0..=corners.len() {
        let mut next = to;
        for &corner in corners {
            let is_beside = side * along.cross(corner - from) > 0.0;
            if is_beside && corner != here && side * (next - here).cross(corner - here) > 0.0 {
                next = corner;
            }
        }
        length += here.distance(next);
        if next == to {
            break;
        }
        here = next;
    }
    length
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_string_goes_around_the_nearer_side() {
        let table = Polygon::rectangle(Point::new(2.0, 0.5), (2.0, 3.0), 0.0).expect("a table");
        // Below it ends at -1, above at 2: along the edge of 2 m, and 1 m aside and 1 m on before and after.
        let least = around(Point::new(0.0, 0.0), Point::new(4.0, 0.0), &table);
        let expected = 2.0 + 2.0 * std::f64::consts::SQRT_2;
        assert!(
            least.is_some_and(|least| (least - expected).abs() < 1e-12),
            "{least:?}"
        );
        // Beside one corner only.
        let corner = around(Point::new(0.0, -1.0), Point::new(4.0, 1.0), &table);
        let expected = 3.0 + Point::new(1.0, 2.0).length();
        assert!(
            corner.is_some_and(|corner| (corner - expected).abs() < 1e-12),
            "{corner:?}"
        );
        assert_eq!(
            around(Point::new(0.0, 3.0), Point::new(4.0, 3.0), &table),
            None
        );
        assert_eq!(
            around(Point::new(0.0, 0.0), Point::new(0.5, 0.0), &table),
            None
        );
    }
}
