//! Room behind doors: whoever stands in the middle of an opening reaches through the wall.

use super::polygon::{Polygon, place_on_edge};
use super::{Point, SAME_POINT_M};

/// Halvings of the depth of a pocket that does not fit: to less than a thousandth of it.
const HALVINGS: u32 = 12;

/// Beside a corner that sticks into the room a pocket stays this share away from the middle between both walls.
const FROM_THE_MIDDLE: f64 = 1e-3;

/// A pocket keeps at least this share of the opening's width at its back.
const LEAST_BACK: f64 = 0.1;

/// An outline with a pocket behind each opening, so deep or as deep as there is room for it.
///
/// What lies behind another wall of the same outline, or in another pocket, is in the way of a pocket. Only those that
/// collide become smaller.
pub(super) fn with_pockets(outline: &Polygon, openings: &[(Point, Point)], depth: f64) -> Polygon {
    let straight = |outline: &Polygon, index: usize| dug(outline, openings[index], depth, false);
    let all = (0..openings.len()).try_fold(outline.clone(), |open, index| straight(&open, index));
    if let Some(open) = all {
        return open;
    }
    let alone: Vec<Option<Polygon>> = (0..openings.len())
        .map(|index| straight(outline, index))
        .collect();
    let fits = |index: usize| {
        let others = (0..openings.len()).filter(|&other| other != index);
        alone[index].is_some()
            && others
                .filter_map(|other| alone[other].as_ref())
                .all(|beside| straight(beside, index).is_some())
    };
    let (fitting, colliding): (Vec<usize>, Vec<usize>) =
        (0..openings.len()).partition(|&index| fits(index));
    let mut open = outline.clone();
    for index in fitting {
        open = straight(&open, index).unwrap_or(open);
    }
    for index in colliding {
        open = deepest(&open, openings[index], depth).unwrap_or(open);
    }
    open
}

/// The deepest pocket for which there is room.
fn deepest(outline: &Polygon, opening: (Point, Point), depth: f64) -> Option<Polygon> {
    let try_depth = |depth: f64| {
        dug(outline, opening, depth, false).or_else(|| dug(outline, opening, depth, true))
    };
    if let Some(whole) = try_depth(depth) {
        return Some(whole);
    }
    let (mut fits, mut sticks, mut best) = (0.0, depth, None);
    for _ in 0..HALVINGS {
        let middle = (fits + sticks) / 2.0;
        match try_depth(middle) {
            Some(found) => (fits, best) = (middle, Some(found)),
            None => sticks = middle,
        }
    }
    best
}

/// With one pocket of this depth; nothing if it meets something. One that leans leaves a neighbour around a corner
/// that sticks into the room its half of the wall.
fn dug(outline: &Polygon, opening: (Point, Point), depth: f64, leans: bool) -> Option<Polygon> {
    if depth <= SAME_POINT_M {
        return None;
    }
    let corners = outline.corners();
    let count = corners.len();
    let corner = |index: usize| corners[index % count];
    let (edge, (first, last)) = outline
        .edges()
        .enumerate()
        .find_map(|(index, edge)| Some((index, place_on_edge(edge, opening)?)))?;
    let (from, to) = (corner(edge), corner(edge + 1));
    let length = from.distance(to);
    let along = (to - from) * (1.0 / length);
    let outward = along.left() * -depth;
    let insets = match leans {
        false => [0.0, 0.0],
        true => [
            lean(from - corner(edge + count - 1), along, first, depth),
            lean(along, corner(edge + 2) - to, length - last, depth),
        ],
    };
    if last - first - insets[0] - insets[1] < LEAST_BACK * (last - first) {
        return None;
    }
    let on_wall = |at: f64| from + along * at;
    let pocket = [
        on_wall(first),
        on_wall(first + insets[0]) + outward,
        on_wall(last - insets[1]) + outward,
        on_wall(last),
    ];
    let mut opened = corners[..=edge].to_vec();
    opened.extend(pocket);
    opened.extend(&corners[edge + 1..]);
    Polygon::new(&opened).ok()
}

/// How far the back of a pocket keeps from its side, where one wall of the room goes over into another: at a corner that
/// sticks into the room it stays on its side of the middle between the two.
fn lean(before: Point, after: Point, from_corner: f64, depth: f64) -> f64 {
    let turn = libm::atan2(before.cross(after), before.dot(after));
    if turn >= 0.0 {
        return 0.0;
    }
    let half = (std::f64::consts::PI + turn) / 2.0;
    let needed = depth / libm::tan(half) * (1.0 + FROM_THE_MIDDLE);
    (needed - from_corner).max(0.0)
}
