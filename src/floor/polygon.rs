//! Outlines of rooms, stations and things in the way.

use super::Point;
use super::tolerance::{ON_EDGE_M, ROUNDED_M, SAME_POINT_M};

/// The outline of an area: simple, counter-clockwise, without repeated corners, with at least three of them.
///
/// Its edges are as long as they can be: a corner in the middle of a straight edge may be given, but is none.
#[derive(Debug, Clone, PartialEq)]
pub struct Polygon {
    corners: Vec<Point>,
}

/// Why corners are no outline.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NotAnOutline {
    #[error("an outline needs at least three corners that do not lie on one line")]
    NoArea,
    /// Edges are counted from 0; edge `i` runs from corner `i` to the next one.
    #[error("the edge after corner {} meets the edge after corner {}", .0 + 1, .1 + 1)]
    Crosses(usize, usize),
    #[error("corner {} is not a place: its coordinates must be finite", .0 + 1)]
    NotFinite(usize),
}

impl Polygon {
    /// From corners in either direction; corners that are repeated or lie on a straight edge are
    /// dropped.
    ///
    /// # Errors
    /// If the corners span no area, or if edges cross or touch each other.
    pub fn new(corners: &[Point]) -> Result<Polygon, NotAnOutline> {
        if let Some(bad) = corners
            .iter()
            .position(|c| !(c.x.is_finite() && c.y.is_finite()))
        {
            return Err(NotAnOutline::NotFinite(bad));
        }
        let mut kept: Vec<(usize, Point)> = Vec::with_capacity(corners.len());
        for (index, &corner) in corners.iter().enumerate() {
            if kept
                .last()
                .is_none_or(|&(_, last)| last.distance(corner) > SAME_POINT_M)
            {
                kept.push((index, corner));
            }
        }
        while kept.len() > 1 && kept[0].1.distance(kept[kept.len() - 1].1) <= SAME_POINT_M {
            kept.pop();
        }
        let count = kept.len();
        let edge = |i: usize| (kept[i].1, kept[(i + 1) % count].1);
        if count < 3 {
            return Err(NotAnOutline::NoArea);
        }
        // Corners on one line run back along each other, which is no crossing to be told of.
        let (first, far) = (
            kept[0].1,
            (kept.iter())
                .map(|k| k.1.distance(kept[0].1))
                .fold(0.0, f64::max),
        );
        let is_flat = edges_from(&kept, first).all(|cross| cross.abs() < SAME_POINT_M * far);
        if is_flat {
            return Err(NotAnOutline::NoArea);
        }
        for i in 0..count {
            let (before, here, after) = (kept[(i + count - 1) % count].1, kept[i].1, edge(i).1);
            // An edge that runs straight back along the one before it.
            let (arrives, leaves) = (here - before, after - here);
            if arrives.cross(leaves) == 0.0 && arrives.dot(leaves) < 0.0 {
                return Err(NotAnOutline::Crosses(
                    kept[(i + count - 1) % count].0,
                    kept[i].0,
                ));
            }
            for j in i + 1..count {
                let neighbours = j == i + 1 || (i == 0 && j == count - 1);
                if !neighbours && segments_meet(edge(i), edge(j)) {
                    return Err(NotAnOutline::Crosses(kept[i].0, kept[j].0));
                }
            }
        }
        let area = (0..count).map(|i| edge(i).0.cross(edge(i).1)).sum::<f64>() / 2.0;
        if area.abs() < SAME_POINT_M * SAME_POINT_M {
            return Err(NotAnOutline::NoArea);
        }
        let corners: Vec<Point> = kept.into_iter().map(|(_, corner)| corner).collect();
        let mut corners = without_straight_corners(&corners);
        if area < 0.0 {
            corners.reverse();
        }
        Ok(Polygon { corners })
    }

    /// A rectangle around its centre, turned counter-clockwise by `turn` degrees; nothing if a side has no length.
    pub fn rectangle(centre: Point, size: (f64, f64), turn: f64) -> Option<Polygon> {
        if size.0 <= SAME_POINT_M || size.1 <= SAME_POINT_M {
            return None;
        }
        let (sin, cos) = sin_cos_degrees(turn);
        let (x, y) = (size.0 / 2.0, size.1 / 2.0);
        let corners = [(-x, -y), (x, -y), (x, y), (-x, y)]
            .map(|(x, y)| centre + Point::new(x * cos - y * sin, x * sin + y * cos));
        Some(Polygon {
            corners: corners.to_vec(),
        })
    }

    /// The same elsewhere.
    pub fn shifted(&self, by: Point) -> Polygon {
        Polygon {
            corners: self.corners.iter().map(|&corner| corner + by).collect(),
        }
    }

    /// Counter-clockwise.
    pub fn corners(&self) -> &[Point] {
        &self.corners
    }

    /// The edges from corner to corner, counter-clockwise: the inside lies to the left.
    pub fn edges(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        let next = self.corners.iter().cycle().skip(1);
        self.corners.iter().copied().zip(next.copied())
    }

    /// In square metres.
    pub fn area(&self) -> f64 {
        self.edges().map(|(from, to)| from.cross(to)).sum::<f64>() / 2.0
    }

    /// Whether a point lies inside; on the edge itself either answer may come out.
    pub fn contains(&self, point: Point) -> bool {
        self.edges().fold(false, |inside, (a, b)| {
            let straddles = (a.y > point.y) != (b.y > point.y);
            let crosses = straddles && point.x < a.x + (point.y - a.y) / (b.y - a.y) * (b.x - a.x);
            inside != crosses
        })
    }

    /// Distance in metres from a point to the nearest place of the outline.
    pub fn distance_to_outline(&self, point: Point) -> f64 {
        let mut least = f64::INFINITY;
        for edge in self.edges() {
            let nearest = nearest_on_segment(point, edge);
            if !point.is_surely_farther(nearest, least) {
                least = least.min(point.distance(nearest));
            }
        }
        least
    }

    /// Whether some of a line lies in the outline, farther from its edges than so many metres.
    pub fn holds_some_of(&self, line: (Point, Point), depth: f64) -> bool {
        let ((low, high), (from, to)) = (self.bounds(), line);
        let misses = from.x.max(to.x) < low.x
            || from.x.min(to.x) > high.x
            || from.y.max(to.y) < low.y
            || from.y.min(to.y) > high.y;
        if misses {
            return false;
        }
        let along = to - from;
        // Between two places that are so far from an edge, or from a corner, all of the line is deeper, or none of it.
        let mut cuts = vec![0.0, 1.0];
        for edge in self.edges() {
            cuts.extend(shares_beside(line, edge, depth));
            cuts.extend(shares_around(line, edge.0, depth));
        }
        cuts.retain(|share| (0.0..=1.0).contains(share));
        cuts.sort_by(f64::total_cmp);
        cuts.windows(2).any(|cut| {
            let middle = from + along * ((cut[0] + cut[1]) / 2.0);
            self.contains(middle) && self.distance_to_outline(middle) > depth
        })
    }

    /// The least and the greatest coordinates.
    pub fn bounds(&self) -> (Point, Point) {
        let mut least = self.corners[0];
        let mut most = self.corners[0];
        for corner in &self.corners {
            least = Point::new(least.x.min(corner.x), least.y.min(corner.y));
            most = Point::new(most.x.max(corner.x), most.y.max(corner.y));
        }
        (least, most)
    }
}

/// The corners of an outline at which it turns.
fn without_straight_corners(corners: &[Point]) -> Vec<Point> {
    let turns = |before: Point, corner: Point, after: Point| {
        corner.distance(nearest_on_segment(corner, (before, after))) > ROUNDED_M
    };
    let count = corners.len();
    // Only neighbours as given are looked at, so that many small turns do not add up to a straight line.
    let turning = (0..count).filter(|&index| {
        let before = corners[(index + count - 1) % count];
        turns(before, corners[index], corners[(index + 1) % count])
    });
    let turning: Vec<Point> = turning.map(|index| corners[index]).collect();
    if turning.len() < 3 {
        return corners.to_vec();
    }
    turning
}

/// How far each two neighbouring corners, seen from a point, are from lying on one line with it, times their distance.
fn edges_from(kept: &[(usize, Point)], from: Point) -> impl Iterator<Item = f64> + '_ {
    let next = kept.iter().cycle().skip(1);
    kept.iter()
        .zip(next)
        .map(move |(a, b)| (a.1 - from).cross(b.1 - from))
}

/// The place of a segment that is nearest to a point.
pub fn nearest_on_segment(point: Point, (a, b): (Point, Point)) -> Point {
    let along = b - a;
    let square = along.dot(along);
    if square == 0.0 {
        return a;
    }
    let share = ((point - a).dot(along) / square).clamp(0.0, 1.0);
    a + along * share
}

/// At which shares of a line it is so far from the line through an edge, in metres, on either side.
fn shares_beside(
    (from, to): (Point, Point),
    edge: (Point, Point),
    away: f64,
) -> impl Iterator<Item = f64> {
    let normal = outward(edge);
    let (here, rise) = (normal.dot(from - edge.0), normal.dot(to - from));
    let shares = [-away, away].map(|at| (at - here) / rise);
    shares.into_iter().filter(move |_| rise != 0.0)
}

/// At which shares of a line it is so far from a corner, in metres.
fn shares_around(
    (from, to): (Point, Point),
    corner: Point,
    away: f64,
) -> impl Iterator<Item = f64> {
    let (along, off) = (to - from, from - corner);
    let (square, half) = (along.dot(along), off.dot(along));
    let root = half * half - square * (off.dot(off) - away * away);
    let is_met = square > 0.0 && root >= 0.0;
    let shares = [-1.0, 1.0].map(|sign| (sign * root.sqrt() - half) / square);
    shares.into_iter().filter(move |_| is_met)
}

/// Out of an outline across one of its edges, of length 1.
pub fn outward((from, to): (Point, Point)) -> Point {
    (to - from).left() * (-1.0 / from.distance(to))
}

/// Where on an edge an opening lies, in metres from its start; nothing if it lies elsewhere.
pub(super) fn place_on_edge(edge: (Point, Point), opening: (Point, Point)) -> Option<(f64, f64)> {
    let length = edge.0.distance(edge.1);
    let along = (edge.1 - edge.0) * (1.0 / length);
    let [a, b] = [opening.0, opening.1].map(|end| {
        let from_start = end - edge.0;
        let on_line = along.cross(from_start).abs() < ON_EDGE_M;
        on_line.then_some(along.dot(from_start))
    });
    let (first, last) = (a?.min(b?), a?.max(b?));
    let within = first >= -ON_EDGE_M && last <= length + ON_EDGE_M;
    within.then_some((first.max(0.0), last.min(length)))
}

/// Whether two segments have a point in common.
pub fn segments_meet((a, b): (Point, Point), (c, d): (Point, Point)) -> bool {
    let side = |from: Point, to: Point, point: Point| (to - from).cross(point - from);
    let (of_c, of_d) = (side(a, b, c), side(a, b, d));
    let (of_a, of_b) = (side(c, d, a), side(c, d, b));
    if of_c * of_d < 0.0 && of_a * of_b < 0.0 {
        return true;
    }
    let on = |from: Point, to: Point, point: Point| {
        point.x >= from.x.min(to.x)
            && point.x <= from.x.max(to.x)
            && point.y >= from.y.min(to.y)
            && point.y <= from.y.max(to.y)
    };
    (of_c == 0.0 && on(a, b, c))
        || (of_d == 0.0 && on(a, b, d))
        || (of_a == 0.0 && on(c, d, a))
        || (of_b == 0.0 && on(c, d, b))
}

/// Sine and cosine of an angle in degrees, exact at quarter turns: so that turning a shop by quarter turns moves nothing by rounding.
pub(super) fn sin_cos_degrees(degrees: f64) -> (f64, f64) {
    let turned = degrees.rem_euclid(360.0);
    match turned {
        0.0 => (0.0, 1.0),
        90.0 => (1.0, 0.0),
        180.0 => (0.0, -1.0),
        270.0 => (-1.0, 0.0),
        _ => (
            libm::sin(turned.to_radians()),
            libm::cos(turned.to_radians()),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(corners: &[(f64, f64)]) -> Vec<Point> {
        corners.iter().map(|&(x, y)| Point::new(x, y)).collect()
    }

    #[test]
    fn an_outline_is_counter_clockwise_whichever_way_it_was_written() {
        let clockwise = points(&[(0.0, 0.0), (0.0, 2.0), (3.0, 2.0), (3.0, 0.0)]);
        let outline = Polygon::new(&clockwise).expect("a rectangle");
        assert_eq!(outline.area(), 6.0);
        assert!(outline.contains(Point::new(1.0, 1.0)));
        assert!(!outline.contains(Point::new(3.5, 1.0)));
    }

    #[test]
    fn what_is_no_outline_is_refused() {
        let bow_tie = points(&[(0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)]);
        let uneven = points(&[(0.0, 0.0), (3.0, 3.0), (3.0, 0.0), (0.0, 2.0)]);
        assert_eq!(Polygon::new(&bow_tie), Err(NotAnOutline::Crosses(0, 2)));
        assert_eq!(Polygon::new(&uneven), Err(NotAnOutline::Crosses(0, 2)));
        let line = points(&[(0.0, 0.0), (1.0, 0.0), (2.0, 0.0)]);
        assert_eq!(Polygon::new(&line), Err(NotAnOutline::NoArea));
        let spike = points(&[(0.0, 0.0), (4.0, 0.0), (2.0, 0.0), (2.0, 2.0)]);
        assert!(matches!(
            Polygon::new(&spike),
            Err(NotAnOutline::Crosses(..))
        ));
    }

    /// Across a corner of a square a line is half as deep as it cuts off of the edges; by hand, also around the inward corner
    /// of an L.
    #[test]
    fn a_line_is_in_an_outline_as_deep_as_its_deepest_place() {
        let at = Point::new;
        let square = Polygon::rectangle(at(0.5, 0.5), (1.0, 1.0), 0.0).unwrap();
        for cut in [0.001, 0.1, 0.7] {
            let line = (at(-1.0, cut + 1.0), at(cut + 1.0, -1.0));
            assert!(square.holds_some_of(line, cut / 2.0 - 1e-9));
            assert!(!square.holds_some_of(line, cut / 2.0 + 1e-9));
        }
        let bent = [
            at(0.0, 0.0),
            at(2.0, 0.0),
            at(2.0, 1.0),
            at(1.0, 1.0),
            at(1.0, 2.0),
            at(0.0, 2.0),
        ];
        let bent = Polygon::new(&bent).unwrap();
        // The middle is nearest to the inward corner. On a line across it, the deepest places are as far from that corner
        // as from an outer edge.
        let away = 0.5;
        let place = 1.0 - away / 2_f64.sqrt();
        let middle = at(place, place);
        let across = (at(2.0 * place + 0.1, -0.1), at(-0.1, 2.0 * place + 0.1));
        let deepest = 2.0 * place - (2.0 * place * place - away * away).sqrt();
        for (line, depth) in [((middle, middle), away), (across, deepest)] {
            assert!(bent.holds_some_of(line, depth - 1e-9));
            assert!(!bent.holds_some_of(line, depth + 1e-9));
        }
        let beside = (at(1.2, 1.2), at(3.0, 3.0));
        assert!(!bent.holds_some_of(beside, 0.0));
    }
}
