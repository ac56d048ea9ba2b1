//! Corners that a body passes on an arc: the places where its centre is exactly the radius away, and fits.

use super::super::{Point, nearest_on_segment};
use super::solids::Solids;

/// An arc that is gone.
pub(super) const GONE: u32 = u32::MAX;

/// A part of the circle around a convex corner on which a body fits everywhere. Angles are counted from `from`,
/// counter-clockwise, in radians.
#[derive(Debug, Clone, Copy)]
pub(super) struct Arc {
    /// The ring, and which of its corners.
    at: (u32, u32),
    pub centre: Point,
    /// Directions from the corner, of length 1.
    from: Point,
    to: Point,
    middle: Point,
    pub sweep: f64,
}

impl Arc {
    fn new(at: (u32, u32), centre: Point, from: Point, to: Point, sweep: f64) -> Arc {
        Arc {
            at,
            centre,
            from,
            to,
            middle: turned(from, sweep / 2.0),
            sweep,
        }
    }

    fn part(&self, (start, end): (f64, f64)) -> Arc {
        let at = |angle: f64, exact: f64, direction: Point| match angle == exact {
            true => direction,
            false => turned(self.from, angle),
        };
        let from = at(start, 0.0, self.from);
        let to = at(end, self.sweep, self.to);
        Arc::new(self.at, self.centre, from, to, end - start)
    }

    fn is_same(&self, other: &Arc) -> bool {
        (self.centre, self.from, self.to, self.sweep)
            == (other.centre, other.from, other.to, other.sweep)
    }

    /// Whether the arc has a place in this direction from the corner, or ends no more than a small angle before it.
    #[inline]
    pub fn faces(&self, direction: Point, slack: f64) -> bool {
        self.from.cross(direction) >= -slack
            && direction.cross(self.to) >= -slack
            && direction.dot(self.middle) >= -slack
    }

    /// The angle of a direction that the arc faces.
    pub fn angle(&self, direction: Point) -> f64 {
        let angle = libm::atan2(self.from.cross(direction), self.from.dot(direction));
        // A direction opposite to the start may come out on either side.
        let angle = if angle < -1.0 { self.sweep } else { angle };
        angle.clamp(0.0, self.sweep)
    }

    pub fn direction(&self, angle: f64) -> Point {
        turned(self.from, angle)
    }

    /// The angle of the arc's place nearest to a point.
    pub fn nearest(&self, point: Point) -> f64 {
        let toward = point - self.centre;
        let angle = libm::atan2(self.middle.cross(toward), self.middle.dot(toward));
        (angle + self.sweep / 2.0).clamp(0.0, self.sweep)
    }
}

fn turned(direction: Point, angle: f64) -> Point {
    let (sin, cos) = libm::sincos(angle);
    Point::new(
        direction.x * cos - direction.y * sin,
        direction.x * sin + direction.y * cos,
    )
}

/// The direction away from what is solid, for an edge with the solid to its left. `polygon::outward` points the same way
/// and may differ in the last digit, on which the lengths of all walks would hang.
pub(super) fn outward((a, b): (Point, Point)) -> Point {
    let along = b - a;
    let length = along.length();
    Point::new(along.y / length, -along.x / length)
}

/// All arcs of the given radius on which a body fits that may come `tolerance` too near, corner by corner.
pub(super) fn arcs(solids: &Solids, radius: f64, tolerance: f64) -> Vec<Arc> {
    let mut found = Vec::new();
    let mut blocked = Vec::new();
    for ring in 0..solids.rings().len() {
        for corner in 0..solids.corners_of(ring) {
            let at = (ring as u32, corner as u32);
            arcs_at(at, solids, (radius, tolerance), &mut blocked, &mut found);
        }
    }
    found
}

/// The arcs around one corner of a ring; `blocked` is room for what is cut off.
fn arcs_at(
    at: (u32, u32),
    solids: &Solids,
    (radius, tolerance): (f64, f64),
    blocked: &mut Vec<(f64, f64)>,
    found: &mut Vec<Arc>,
) {
    let ring = &solids.rings()[at.0 as usize];
    let edge = ring.first + at.1 as usize;
    let before = if edge == ring.first { ring.last } else { edge } - 1;
    let (into, out) = (solids.edge(before), solids.edge(edge));
    let (from, to) = (outward(into), outward(out));
    let turn = from.cross(to);
    if turn.is_nan() || turn <= 0.0 {
        return;
    }
    let sweep = libm::atan2(turn, from.dot(to));
    let whole = Arc::new(at, out.0, from, to, sweep);
    let keep = radius - tolerance;
    blocked.clear();
    cut(solids, &whole, radius, keep, (before, edge), blocked);
    for span in free_spans(sweep, blocked) {
        let arc = whole.part(span);
        if !solids.contain(arc.centre + arc.middle * radius) {
            found.push(arc);
        }
    }
}

/// Arcs after a change of some rings, and for each of those before what it is then, [`GONE`] if it is gone.
pub(super) fn changed(
    before: &[Arc],
    solids: &Solids,
    measure: (f64, f64),
    rings: &[u32],
    near: impl Fn(Point) -> bool,
) -> (Vec<Arc>, Vec<u32>) {
    let mut found: Vec<Arc> = Vec::with_capacity(before.len());
    let mut after = vec![GONE; before.len()];
    let mut blocked = Vec::new();
    let mut start = 0;
    for ring in 0..solids.rings().len() {
        let first = solids.rings()[ring].first;
        let is_changed = rings.contains(&(ring as u32));
        for corner in 0..solids.corners_of(ring) {
            let at = (ring as u32, corner as u32);
            while start < before.len() && before[start].at < at {
                start += 1;
            }
            let had = before[start..]
                .iter()
                .take_while(|arc| arc.at == at)
                .count();
            let had = start..start + had;
            let now = found.len();
            if !is_changed && !near(solids.edge(first + corner).0) {
                for old in had {
                    after[old] = found.len() as u32;
                    found.push(before[old]);
                }
                continue;
            }
            arcs_at(at, solids, measure, &mut blocked, &mut found);
            for old in had {
                let same = |arc: &Arc| arc.is_same(&before[old]);
                if let Some(index) = found[now..].iter().position(same) {
                    after[old] = (now + index) as u32;
                }
            }
        }
    }
    (found, after)
}

/// The spans of the arc's angles at which an edge is nearer than `keep`.
fn cut(
    solids: &Solids,
    arc: &Arc,
    radius: f64,
    keep: f64,
    own: (usize, usize),
    blocked: &mut Vec<(f64, f64)>,
) {
    let middle = arc.centre + arc.middle * radius;
    // No place of the arc is farther than this from its middle.
    let half_chord = 2.0 * radius * libm::sin(arc.sweep / 4.0);
    let reach = keep + half_chord;
    solids.edges_near(middle, reach, |index| {
        let edge = solids.edge(index);
        if index == own.0
            || index == own.1
            || middle.distance(nearest_on_segment(middle, edge)) >= reach
        {
            return;
        }
        let mut marks = Marks::new(arc.sweep);
        let mut mark = |direction: Point| {
            let angle = libm::atan2(arc.from.cross(direction), arc.from.dot(direction));
            marks.add(angle);
        };
        for end in [edge.0, edge.1] {
            // Where the circle meets the circle of the radius `keep` around the edge's end.
            let toward = end - arc.centre;
            let away = toward.length();
            let cos = (away * away + radius * radius - keep * keep) / (2.0 * away * radius);
            if cos.abs() < 1.0 {
                let toward = toward * (1.0 / away);
                let aside = toward.left() * (1.0 - cos * cos).sqrt();
                mark(toward * cos + aside);
                mark(toward * cos - aside);
            }
        }
        let normal = outward(edge);
        let height = normal.dot(arc.centre - edge.0);
        for line in [keep, -keep] {
            // Where it meets the lines beside the edge.
            let sin = (line - height) / radius;
            if sin.abs() < 1.0 {
                let along = normal.left() * (1.0 - sin * sin).sqrt();
                mark(normal * sin + along);
                mark(normal * sin - along);
            }
        }
        let near = |angle: f64| {
            let place = arc.centre + turned(arc.from, angle) * radius;
            place.distance(nearest_on_segment(place, edge)) < keep
        };
        marks.spans(near, blocked);
    });
}

/// Places along a span of a given extent at which something may change; enough for one edge.
pub(super) struct Marks {
    at: [f64; 10],
    count: usize,
    extent: f64,
}

impl Marks {
    pub fn new(extent: f64) -> Marks {
        Marks {
            at: [0.0; 10],
            count: 1,
            extent,
        }
    }

    pub fn add(&mut self, place: f64) {
        if place > 0.0 && place < self.extent && self.count < self.at.len() - 1 {
            self.at[self.count] = place;
            self.count += 1;
        }
    }

    /// Adds the spans between marks whose middle answers yes.
    pub fn spans(mut self, test: impl Fn(f64) -> bool, found: &mut Vec<(f64, f64)>) {
        self.at[self.count] = self.extent;
        let marks = &mut self.at[..=self.count];
        marks.sort_unstable_by(f64::total_cmp);
        for pair in marks.windows(2) {
            if pair[1] > pair[0] && test((pair[0] + pair[1]) / 2.0) {
                found.push((pair[0], pair[1]));
            }
        }
    }
}

/// What is left of `0..extent` without the blocked spans.
pub(super) fn free_spans(extent: f64, blocked: &mut [(f64, f64)]) -> Vec<(f64, f64)> {
    blocked.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = Vec::new();
    let mut start = 0.0;
    for &mut (from, to) in blocked {
        if from > start {
            free.push((start, from));
        }
        start = to.max(start);
    }
    if start < extent {
        free.push((start, extent));
    }
    free
}
