//! Room behind doors: whoever stands in the middle of an opening reaches through the wall.

use super::bisection::largest;
use super::polygon::{Polygon, outward, place_on_edge};
use super::tolerance::OFF_THE_MIDDLE_SHARE;
use super::{Point, SAME_POINT_M};

/// Halvings of the depth of a recess that does not fit: to less than a thousandth of it.
const HALVINGS: u32 = 12;

/// A recess keeps at least this share of the opening's width at its back.
const LEAST_BACK: f64 = 0.1;

/// An outline with a recess behind each opening, so deep or as deep as there is room for it.
///
/// What lies behind another wall of the same outline, or in another recess, is in the way of a recess. Only those that
/// collide become smaller.
pub(super) fn with_recesses(outline: &Polygon, openings: &[(Point, Point)], depth: f64) -> Polygon {
    let straight = |outline: &Polygon, index: usize| dug(outline, openings[index], depth, [0.0; 2]);
    let all = (0..openings.len()).try_fold(outline.clone(), |open, index| straight(&open, index));
    if let Some(open) = all {
        return open;
    }
    let alone: Vec<Option<Polygon>> = (0..openings.len())
        .map(|index| straight(outline, index))
        .collect();
    let fits = |index: usize| {
        let mut others = (alone.iter().enumerate())
            .filter(|&(other, _)| other != index)
            .filter_map(|(_, beside)| beside.as_ref());
        alone[index].is_some() && others.all(|beside| straight(beside, index).is_some())
    };
    let (fitting, colliding): (Vec<usize>, Vec<usize>) =
        (0..openings.len()).partition(|&index| fits(index));
    let mut open = outline.clone();
    for index in fitting {
        open = straight(&open, index).unwrap_or(open);
    }
    for index in colliding {
        open = deepest(&open, outline, openings[index], depth).unwrap_or(open);
    }
    open
}

/// The deepest recess for which there is room in what an outline has become.
fn deepest(
    open: &Polygon,
    outline: &Polygon,
    opening: (Point, Point),
    depth: f64,
) -> Option<Polygon> {
    let fitting = |depth: f64| {
        dug(open, opening, depth, [0.0; 2])
            .or_else(|| dug(open, opening, depth, insets(outline, opening, depth)?))
    };
    if let Some(whole) = fitting(depth) {
        return Some(whole);
    }
    let (_, best) = largest((0.0, depth), None, HALVINGS, |depth| {
        fitting(depth).map(Some)
    });
    best
}

/// With one recess of this depth, whose back is shorter than the opening by the insets at its two ends; nothing if it
/// meets something.
fn dug(
    outline: &Polygon,
    opening: (Point, Point),
    depth: f64,
    insets: [f64; 2],
) -> Option<Polygon> {
    let (edge, (from, to), (first, last)) = wall(outline, opening)?;
    let back = last - first - insets[0] - insets[1];
    if depth <= SAME_POINT_M || back < LEAST_BACK * (last - first) {
        return None;
    }
    let along = (to - from) * (1.0 / from.distance(to));
    let back_by = outward((from, to)) * depth;
    let corners = outline.corners();
    let mut opened = corners[..=edge].to_vec();
    opened.extend([
        from + along * first,
        from + along * (first + insets[0]) + back_by,
        from + along * (last - insets[1]) + back_by,
        from + along * last,
    ]);
    opened.extend(&corners[edge + 1..]);
    Polygon::new(&opened).ok()
}

/// An edge of an outline, and from where to where along it something lies.
type OnWall = (usize, (Point, Point), (f64, f64));

/// The edge in which an opening lies.
fn wall(outline: &Polygon, opening: (Point, Point)) -> Option<OnWall> {
    let mut walls = outline.edges().enumerate();
    walls.find_map(|(index, wall)| Some((index, wall, place_on_edge(wall, opening)?)))
}

/// By how much a recess becomes narrower at both ends, so that it leaves another one around a corner of the room that
/// sticks into it half of the wall.
fn insets(outline: &Polygon, opening: (Point, Point), depth: f64) -> Option<[f64; 2]> {
    let (edge, (from, to), (first, last)) = wall(outline, opening)?;
    let corners = outline.corners();
    let before = corners[(edge + corners.len() - 1) % corners.len()];
    let after = corners[(edge + 2) % corners.len()];
    Some([
        inset(from - before, to - from, first, depth),
        inset(to - from, after - to, from.distance(to) - last, depth),
    ])
}

/// The same at one end: as far from a corner as this, at which one wall goes over into another.
fn inset(before: Point, after: Point, from_corner: f64, depth: f64) -> f64 {
    let turn = libm::atan2(before.cross(after), before.dot(after));
    if turn >= 0.0 {
        return 0.0;
    }
    let half = (std::f64::consts::PI + turn) / 2.0;
    let needed = depth / libm::tan(half) * (1.0 + OFF_THE_MIDDLE_SHARE);
    (needed - from_corner).max(0.0)
}
