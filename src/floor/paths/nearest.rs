//! Where a body fits: whether it does at a place, and the nearest place where it does.

use super::super::{Point, nearest_on_segment};
use super::corner::{Arc, Marks, free_spans, outward};
use super::horizon::roughly_between;
use super::solids::Solids;

/// The nearest place on the border of the ground where a body's centre may be.
pub(super) fn on_border(
    point: Point,
    solids: &Solids,
    arcs: &[Arc],
    radius: f64,
    tolerance: f64,
) -> Option<Point> {
    let mut best: Option<(f64, Point)> = None;
    let mut offer = |place: Point| {
        let away = point.distance(place);
        if best.is_none_or(|(least, _)| away < least) {
            best = Some((away, place));
        }
        best.map_or(f64::INFINITY, |(least, _)| least)
    };
    let mut least = f64::INFINITY;
    for arc in arcs {
        // No place of the circle is nearer than this, but for roundings.
        if (roughly_between(point, arc.centre) - radius).abs() > least + tolerance {
            continue;
        }
        least = offer(arc.centre + arc.direction(arc.nearest(point)) * radius);
    }
    for ring in solids.rings() {
        // Nor is a place beside one of its edges, which is the radius away from it.
        let away = ring.bounds.square_distance(point).sqrt() - radius;
        if away > least + tolerance {
            continue;
        }
        for index in ring.first..ring.last {
            let edge = solids.edge(index);
            let aside = outward(edge) * radius;
            let border = (edge.0 + aside, edge.1 + aside);
            let nearest = nearest_on_segment(point, border);
            if roughly_between(point, nearest) > least + tolerance
                || point.distance(nearest) >= least
            {
                continue;
            }
            let length = border.0.distance(border.1);
            let along = (border.1 - border.0) * (1.0 / length);
            let wanted = (point - border.0).dot(along);
            for (from, to) in free_parts(solids, index, border, radius - tolerance) {
                let middle = border.0 + along * ((from + to) / 2.0);
                if !solids.contain(middle) {
                    least = offer(border.0 + along * wanted.clamp(from, to));
                }
            }
        }
    }
    best.map(|(_, place)| place)
}

/// The spans of a line beside an edge at which no other edge is nearer than `keep`, in metres from its start.
fn free_parts(solids: &Solids, own: usize, line: (Point, Point), keep: f64) -> Vec<(f64, f64)> {
    let length = line.0.distance(line.1);
    let along = (line.1 - line.0) * (1.0 / length);
    let middle = (line.0 + line.1) * 0.5;
    let mut blocked = Vec::new();
    solids.edges_near(middle, keep + length / 2.0, |index| {
        if index == own {
            return;
        }
        let edge = solids.edge(index);
        let mut marks = Marks::new(length);
        for end in [edge.0, edge.1] {
            // Where the line enters and leaves the circle around the edge's end.
            let to_end = end - line.0;
            let half = keep * keep - along.cross(to_end) * along.cross(to_end);
            if half > 0.0 {
                marks.add(along.dot(to_end) - half.sqrt());
                marks.add(along.dot(to_end) + half.sqrt());
            }
        }
        let normal = outward(edge);
        let (height, rise) = (normal.dot(line.0 - edge.0), normal.dot(along));
        if rise != 0.0 {
            marks.add((keep - height) / rise);
            marks.add((-keep - height) / rise);
        }
        let near = |at: f64| {
            let place = line.0 + along * at;
            place.distance(nearest_on_segment(place, edge)) < keep
        };
        marks.spans(near, &mut blocked);
    });
    free_spans(length, &mut blocked)
}
