//! A second way to the length of a shortest walk: solid things are grown by convex pieces with many corners, drawn
//! within or around the true shape, and a point walks from corner to corner of them. It shares nothing with the
//! program but the types of points and outlines.

use std::f64::consts::PI;

use shopstride::floor::Point;

use super::scenes::Scene;

/// Lines for a half circle.
const LINES: usize = 12;

/// A body without width does not pass between things that touch: edges are solid, if only just.
const THIN_M: f64 = 1e-8;

/// Something solid and convex, counter-clockwise.
type Piece = Vec<Point>;

/// Pieces that together cover what the body's centre must not enter, or a little less, or a little more.
fn pieces(scene: &Scene, around: bool) -> Vec<Piece> {
    let outlines = scene.room.iter().chain(&scene.obstacles);
    let mut pieces: Vec<Piece> = outlines
        .flat_map(|outline| outline.edges())
        .map(|edge| capsule(edge, scene.radius.max(THIN_M), around))
        .collect();
    for obstacle in &scene.obstacles {
        match obstacle.corners() {
            [a, b, c, d, e, f] => {
                // The angle bench of the scenes; its inner corner is the fourth.
                pieces.push(vec![*a, *b, *c, *d]);
                pieces.push(vec![*a, *d, *e, *f]);
            }
            corners => pieces.push(corners.to_vec()),
        }
    }
    pieces
}

fn capsule((a, b): (Point, Point), radius: f64, around: bool) -> Piece {
    let along = (b - a) * (1.0 / a.distance(b));
    let step = PI / LINES as f64;
    let mut corners = Vec::new();
    for (end, ahead) in [(b, along), (a, along * -1.0)] {
        // From the right of the direction to its left.
        for line in 0..=LINES {
            let (angle, far) = match around {
                false => (step * line as f64, radius),
                true if line == LINES => break,
                true => (step * (line as f64 + 0.5), radius / (step / 2.0).cos()),
            };
            let right = ahead.left() * -1.0;
            corners.push(end + right * (far * angle.cos()) + ahead * (far * angle.sin()));
        }
    }
    corners
}

/// Whether a line enters the inside of a convex piece by more than roundings.
fn enters(from: Point, to: Point, piece: &Piece) -> bool {
    const ROUNDING: f64 = 1e-9;
    let (mut start, mut end) = (0.0_f64, 1.0_f64);
    let along = to - from;
    for index in 0..piece.len() {
        let (a, b) = (piece[index], piece[(index + 1) % piece.len()]);
        let edge = b - a;
        let length = edge.length();
        if length < 1e-12 {
            continue;
        }
        let edge = edge * (1.0 / length);
        // Inside is where the height above the edge is more than the rounding.
        let height = edge.cross(from - a) - ROUNDING;
        let rise = edge.cross(along);
        if rise == 0.0 {
            if height <= 0.0 {
                return false;
            }
        } else if rise > 0.0 {
            start = start.max(-height / rise);
        } else {
            end = end.min(-height / rise);
        }
        if start >= end {
            return false;
        }
    }
    true
}

/// Length of the shortest walk of a point among the pieces.
fn walk(from: Point, to: Point, pieces: &[Piece]) -> Option<f64> {
    let clear = |a: Point, b: Point| !pieces.iter().any(|piece| enters(a, b, piece));
    let mut nodes = vec![from, to];
    let corners = pieces.iter().flatten().copied();
    nodes.extend(corners.filter(|&corner| clear(corner, corner)));
    // The nearest node is always next; lines are tried when they could help.
    let mut lengths = vec![f64::INFINITY; nodes.len()];
    let mut done = vec![false; nodes.len()];
    lengths[0] = 0.0;
    loop {
        let open = (0..nodes.len()).filter(|&n| !done[n] && lengths[n].is_finite());
        let next = open.min_by(|&a, &b| {
            let guess = |n: usize| lengths[n] + nodes[n].distance(to);
            guess(a).total_cmp(&guess(b))
        })?;
        if next == 1 {
            return Some(lengths[1]);
        }
        done[next] = true;
        for other in 1..nodes.len() {
            let length = lengths[next] + nodes[next].distance(nodes[other]);
            if !done[other] && length < lengths[other] && clear(nodes[next], nodes[other]) {
                lengths[other] = length;
            }
        }
    }
}

/// A lower and an upper bound of the length; a bound that is nothing means that there is no way.
pub fn bounds(scene: &Scene, from: Point, to: Point) -> (Option<f64>, Option<f64>) {
    let bound = |around| walk(from, to, &pieces(scene, around));
    (bound(false), bound(true))
}
