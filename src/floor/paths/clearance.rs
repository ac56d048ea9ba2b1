//! How wide a walk is at its narrowest.
//!
//! A gap is a shortest line between two things that face each other: moved at either end, it would become longer. Such
//! lines join corners, or a corner and an edge across which it lies, and there are few of them on a plan; between
//! edges that run beside each other there is one at every place. A walk passes a gap where it crosses the line and goes
//! on on both sides of it. What lies to the left and to the right where a walk just ends, as in a corner of the room,
//! is no gap: there are shorter and shorter lines across it, and none is the shortest.

use super::super::Point;
use super::super::polygon::{Polygon, place_on_edge, segments_meet};
use super::bounds::Bounds;
use super::corner::free_spans;
use super::grid::Grid;
use super::path::Path;
use super::solids::Obstruction;

/// Wider ways are not looked at, in metres: no rule asks for more.
const WIDE_M: f64 = 10.0;

/// Metres: the widths of gaps that differ by less are one, and what is nearer touches.
const HAIR_M: f64 = 1e-7;

/// Directions that differ by a smaller angle are one.
const ANGLE: f64 = 1e-6;

/// Edges run beside each other if they turn away from each other by no more than 20 degrees; this is the cosine.
const BESIDE: f64 = 0.939_692_620_785_908_4;

/// Arcs of a walk are cut short by no more than this, in metres. A gap is as wide wherever it is crossed.
const FLAT_M: f64 = 1e-3;

/// A gap between two things that somebody walks through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Narrowest {
    /// In metres, from one side to the other.
    pub width: f64,
    /// On the walk, to a millimetre.
    pub at: Point,
    /// What stands to the left of the walk, and what to the right.
    pub between: [Obstruction; 2],
}

/// All gaps of a plan, for how wide walks are.
#[derive(Debug, Clone)]
pub struct Passages {
    edges: Vec<Edge>,
    grid: Grid,
    /// The narrowest first.
    gaps: Vec<Gap>,
}

/// With the solid side to the left.
#[derive(Debug, Clone, Copy)]
struct Edge {
    from: Point,
    to: Point,
    /// Of length 1.
    along: Point,
    of: Obstruction,
    /// An opening in the wall, with nothing behind it.
    open: bool,
}

#[derive(Debug, Clone, Copy)]
struct Corner {
    at: Point,
    /// Directions of the edges that end and begin here.
    arrives: Point,
    leaves: Point,
    of: Obstruction,
    /// Between two openings, where all that is left is a post.
    is_post: bool,
}

impl Corner {
    fn new(before: &Edge, after: &Edge) -> Corner {
        // The jamb of an opening runs straight through the wall.
        let jamb = |edge: &Edge| edge.along.left();
        Corner {
            at: after.from,
            arrives: match before.open {
                true => jamb(before) * -1.0,
                false => before.along,
            },
            leaves: match after.open {
                true => jamb(after),
                false => after.along,
            },
            of: if after.open { before.of } else { after.of },
            is_post: before.open && after.open,
        }
    }

    fn sticks_out(&self) -> bool {
        self.is_post || self.arrives.cross(self.leaves) > ANGLE
    }

    /// Whether this is the nearest place of its thing for what lies in a direction.
    fn faces(&self, direction: Point) -> bool {
        let around = direction.dot(self.arrives) >= -ANGLE && direction.dot(self.leaves) <= ANGLE;
        self.is_post || around
    }
}

#[derive(Debug, Clone, Copy)]
struct Gap {
    /// In metres; of a lane the least.
    width: f64,
    sides: [Obstruction; 2],
    shape: Shape,
}

#[derive(Debug, Clone, Copy)]
enum Shape {
    Line([Point; 2]),
    Lane(Lane),
}

/// The room between two edges that run beside each other.
#[derive(Debug, Clone, Copy)]
struct Lane {
    edges: [usize; 2],
    /// Along both, in the middle between their directions, of length 1.
    axis: Point,
    /// Where both edges are, along the axis.
    low: f64,
    high: f64,
}

impl Passages {
    /// A room, if there is one, the openings in its walls, and obstacles in it. All coordinates must be finite.
    pub fn new(
        room: Option<&Polygon>,
        openings: &[(Point, Point)],
        obstacles: &[Polygon],
    ) -> Passages {
        let mut edges = Vec::new();
        let mut corners = Vec::new();
        let mut add = |ring: Vec<Edge>| {
            let before = ring.iter().cycle().skip(ring.len().saturating_sub(1));
            let around = before.zip(&ring);
            corners.extend(around.map(|(before, after)| Corner::new(before, after)));
            edges.extend(ring);
        };
        if let Some(room) = room {
            add(walls(room, openings));
        }
        for (index, obstacle) in obstacles.iter().enumerate() {
            let of = Obstruction::Obstacle(index);
            let edges = obstacle.edges().filter_map(|(a, b)| edge(a, b, of, false));
            add(edges.collect());
        }
        edges.retain(|edge| !edge.open);
        corners.retain(Corner::sticks_out);
        let boxes: Vec<Bounds> = (edges.iter())
            .map(|edge| Bounds::of(&[edge.from, edge.to]).grown(HAIR_M))
            .collect();
        let mut gaps = lines(&corners, &edges);
        gaps.extend(lanes(&edges));
        // Lines that are as long stay in order whatever the roundings, and before the lanes between them.
        gaps.sort_by(|a, b| {
            (a.width / HAIR_M)
                .round()
                .total_cmp(&(b.width / HAIR_M).round())
        });
        Passages {
            grid: Grid::new(&boxes),
            edges,
            gaps,
        }
    }

    /// The narrowest gap that a walk passes; nothing if there is none of less than 10 m.
    ///
    /// It counts only if the walk begins and ends farther from it than the two lengths in metres say: whoever stops
    /// there has not passed it.
    pub fn narrowest(&self, path: &Path, beyond: [f64; 2]) -> Option<Narrowest> {
        let walk = Walk::new(path, beyond);
        let mut best: Option<Narrowest> = None;
        for gap in &self.gaps {
            if best.is_some_and(|best| best.width <= gap.width) {
                break;
            }
            let found = match gap.shape {
                Shape::Line(line) => self.across(gap, line, &walk),
                Shape::Lane(lane) => self.along(gap, &lane, &walk),
            };
            if let Some(found) = found
                && best.is_none_or(|best| found.width < best.width)
            {
                best = Some(found);
            }
        }
        best
    }

    /// Whether nothing stands on a line between its ends.
    fn free(&self, from: Point, to: Point) -> bool {
        let length = from.distance(to);
        // What the line ends at is not in its way.
        let inset = (to - from) * (10.0 * HAIR_M / length).min(0.25);
        let (from, to) = (from + inset, to - inset);
        let meets = |index: usize| {
            let edge = &self.edges[index];
            segments_meet((from, to), (edge.from, edge.to))
        };
        !self.grid.any_along(from, to, meets)
    }

    fn across(&self, gap: &Gap, [from, to]: [Point; 2], walk: &Walk) -> Option<Narrowest> {
        let (at, to_left) = walk.crossing(from, to)?;
        let [one, other] = gap.sides;
        self.free(from, to).then_some(Narrowest {
            width: gap.width,
            at,
            between: if to_left { [one, other] } else { [other, one] },
        })
    }

    fn along(&self, gap: &Gap, lane: &Lane, walk: &Walk) -> Option<Narrowest> {
        let [one, other] = lane.edges.map(|index| &self.edges[index]);
        let mut blocked: Option<Vec<(f64, f64)>> = None;
        let mut best: Option<Narrowest> = None;
        for stay in walk.stays(lane, one, other) {
            // Only now, for most lanes are not walked along.
            let blocked = blocked.get_or_insert_with(|| self.blocked(lane));
            let extent = stay.high - stay.low;
            let place = |at: f64| (at - stay.low).clamp(0.0, extent);
            let mut within: Vec<(f64, f64)> = (blocked.iter())
                .map(|&(from, to)| (place(from), place(to)))
                .collect();
            for (from, to) in free_spans(extent, &mut within) {
                if to - from < HAIR_M {
                    continue;
                }
                let (from, to) = (stay.low + from, stay.low + to);
                let width = |at: f64| one.at(lane.axis, at).distance(other.at(lane.axis, at));
                let (narrow, at) = if (width(from) - width(to)).abs() < HAIR_M {
                    (gap.width.max(width(from)), (from + to) / 2.0)
                } else if width(from) < width(to) {
                    (width(from), from)
                } else {
                    (width(to), to)
                };
                if best.is_none_or(|best| narrow < best.width) {
                    let [one, other] = gap.sides;
                    best = Some(Narrowest {
                        width: narrow,
                        at: stay.at(at),
                        // Solid is to the left of the first edge, and that runs along the axis.
                        between: if stay.onward {
                            [one, other]
                        } else {
                            [other, one]
                        },
                    });
                }
            }
        }
        best
    }

    /// Where along a lane something stands in it.
    fn blocked(&self, lane: &Lane) -> Vec<(f64, f64)> {
        let mut spans = Vec::new();
        let [one, other] = lane.edges.map(|index| &self.edges[index]);
        for (index, edge) in self.edges.iter().enumerate() {
            if lane.edges.contains(&index) {
                continue;
            }
            // The part of the edge that lies between the two.
            let (mut from, mut to) = (0.0_f64, 1.0_f64);
            for side in [one, other] {
                let (a, b) = (side.away(edge.from) - HAIR_M, side.away(edge.to) - HAIR_M);
                if a <= 0.0 && b <= 0.0 {
                    to = -1.0;
                } else if a < 0.0 {
                    from = from.max(a / (a - b));
                } else if b < 0.0 {
                    to = to.min(a / (a - b));
                }
            }
            if from <= to {
                let place = |share: f64| lane.axis.dot(edge.from + (edge.to - edge.from) * share);
                let (a, b) = (place(from), place(to));
                spans.push((a.min(b), a.max(b)));
            }
        }
        spans
    }
}

impl Edge {
    /// How far a point is from the line of the edge, positive on the free side.
    fn away(&self, point: Point) -> f64 {
        -self.along.cross(point - self.from)
    }

    /// The place of the edge's line that lies so far along an axis.
    fn at(&self, axis: Point, along: f64) -> Point {
        let far = along - axis.dot(self.from);
        self.from + self.along * (far / axis.dot(self.along))
    }
}

fn edge(from: Point, to: Point, of: Obstruction, open: bool) -> Option<Edge> {
    let length = from.distance(to);
    (length > HAIR_M).then(|| Edge {
        from,
        to,
        along: (to - from) * (1.0 / length),
        of,
        open,
    })
}

/// The walls of a room, the openings in them as edges of their own.
fn walls(room: &Polygon, openings: &[(Point, Point)]) -> Vec<Edge> {
    let mut walls = Vec::new();
    for (index, (from, to)) in room.edges().enumerate() {
        let mut open: Vec<(f64, f64)> = (openings.iter())
            .filter_map(|&opening| place_on_edge((from, to), opening))
            .collect();
        open.sort_by(|a, b| a.0.total_cmp(&b.0));
        let along = (to - from) * (1.0 / from.distance(to));
        let mut here = from;
        // Backwards, because a wall is solid on its other side.
        let mut add = |until: Point, is_open: bool| {
            walls.extend(edge(until, here, Obstruction::Wall(index), is_open));
            here = until;
        };
        for (first, last) in open {
            add(from + along * first, false);
            add(from + along * last, true);
        }
        add(to, false);
    }
    walls.reverse();
    walls
}

/// Shortest lines between corners, and between corners and edges.
fn lines(corners: &[Corner], edges: &[Edge]) -> Vec<Gap> {
    let mut gaps = Vec::new();
    let mut offer = |from: (Point, Obstruction), to: (Point, Obstruction), width: f64| {
        gaps.push(Gap {
            width,
            sides: [from.1, to.1],
            shape: Shape::Line([from.0, to.0]),
        });
    };
    for (index, corner) in corners.iter().enumerate() {
        for other in &corners[index + 1..] {
            let apart = other.at - corner.at;
            let width = apart.length();
            if width <= HAIR_M || width > WIDE_M {
                continue;
            }
            let across = apart * (1.0 / width);
            if corner.faces(across) && other.faces(across * -1.0) {
                offer((corner.at, corner.of), (other.at, other.of), width);
            }
        }
        for edge in edges {
            let width = edge.away(corner.at);
            let far = edge.along.dot(corner.at - edge.from);
            if width <= HAIR_M
                || width > WIDE_M
                || far < 0.0
                || far > edge.from.distance(edge.to)
                || !corner.faces(edge.along.left())
            {
                continue;
            }
            let foot = edge.from + edge.along * far;
            offer((corner.at, corner.of), (foot, edge.of), width);
        }
    }
    gaps
}

fn lanes(edges: &[Edge]) -> Vec<Gap> {
    let mut gaps = Vec::new();
    for (index, one) in edges.iter().enumerate() {
        for (other_index, other) in edges.iter().enumerate().skip(index + 1) {
            if one.along.dot(other.along) > -BESIDE {
                continue;
            }
            // In a corner of the room they would be no lane.
            if one.from == other.to || one.to == other.from {
                continue;
            }
            let axis = one.along - other.along;
            let axis = axis * (1.0 / axis.length());
            let low = axis.dot(one.from).max(axis.dot(other.to));
            let high = axis.dot(one.to).min(axis.dot(other.from));
            if high - low <= HAIR_M {
                continue;
            }
            let width = |at: f64| {
                let across = other.at(axis, at) - one.at(axis, at);
                -axis.cross(across)
            };
            let least = width(low).min(width(high));
            // Those that face away from each other have no free room between them.
            if least <= HAIR_M || least > WIDE_M {
                continue;
            }
            gaps.push(Gap {
                width: least,
                sides: [one.of, other.of],
                shape: Shape::Lane(Lane {
                    edges: [index, other_index],
                    axis,
                    low,
                    high,
                }),
            });
        }
    }
    gaps
}

/// A walk as a line of many corners.
struct Walk {
    places: Vec<Point>,
    /// Metres from the start to each place.
    walked: Vec<f64>,
    beyond: [f64; 2],
    bounds: Bounds,
}

/// A part of a walk along a lane; places along its axis.
struct Stay {
    low: f64,
    high: f64,
    /// Whether it leads along the axis, and not against it.
    onward: bool,
    /// The walk's places at both.
    ends: [Point; 2],
}

impl Stay {
    fn at(&self, along: f64) -> Point {
        let share = (along - self.low) / (self.high - self.low);
        self.ends[0] + (self.ends[1] - self.ends[0]) * share
    }
}

impl Walk {
    fn new(path: &Path, beyond: [f64; 2]) -> Walk {
        let places = path.polyline(FLAT_M);
        let mut walked = vec![0.0; places.len()];
        for index in 1..places.len() {
            walked[index] = walked[index - 1] + places[index - 1].distance(places[index]);
        }
        Walk {
            bounds: Bounds::of(&places),
            places,
            walked,
            beyond,
        }
    }

    /// Where the walk crosses a line between its ends, and whether it comes from its right to its left.
    fn crossing(&self, from: Point, to: Point) -> Option<(Point, bool)> {
        let line = Bounds::of(&[from, to]);
        let (low, high) = (self.bounds.low, self.bounds.high);
        let misses = line.high.x < low.x - HAIR_M
            || line.low.x > high.x + HAIR_M
            || line.high.y < low.y - HAIR_M
            || line.low.y > high.y + HAIR_M;
        if misses {
            return None;
        }
        let width = from.distance(to);
        let across = (to - from) * (1.0 / width);
        let total = self.walked[self.walked.len() - 1];
        // The last place off the line.
        let mut before: Option<(usize, f64)> = None;
        for (index, &place) in self.places.iter().enumerate() {
            let off = across.cross(place - from);
            if off.abs() < HAIR_M {
                continue;
            }
            if let Some((last, off_last)) = before
                && (off_last > 0.0) != (off > 0.0)
            {
                // Straight across, or some way along the line.
                let mut crossed = (last + 1..index).map(|on| (self.places[on], self.walked[on]));
                let share = off_last / (off_last - off);
                let straight = || {
                    let at = self.places[last] + (place - self.places[last]) * share;
                    let step = self.walked[index] - self.walked[last];
                    (at, self.walked[last] + step * share)
                };
                let on_line = |&(at, _): &(Point, f64)| {
                    let far = across.dot(at - from);
                    (-HAIR_M..=width + HAIR_M).contains(&far)
                };
                let found = match last + 1 == index {
                    true => Some(straight()).filter(on_line),
                    false => crossed.find(on_line),
                };
                if let Some((at, walked)) = found
                    && walked > self.beyond[0]
                    && total - walked > self.beyond[1]
                {
                    return Some((at, off > 0.0));
                }
            }
            before = Some((index, off));
        }
        None
    }

    /// Where the walk leads along a lane, as far from both of its ends as must be, measured along the lane: who only
    /// steps from one side of it to the other passes nothing.
    fn stays(&self, lane: &Lane, one: &Edge, other: &Edge) -> Vec<Stay> {
        let corners = [one.from, one.to, other.from, other.to];
        let around = Bounds::of(&corners);
        if around.high.x < self.bounds.low.x
            || around.low.x > self.bounds.high.x
            || around.high.y < self.bounds.low.y
            || around.low.y > self.bounds.high.y
        {
            return Vec::new();
        }
        let along: Vec<f64> = self.places.iter().map(|&p| lane.axis.dot(p)).collect();
        let mut stays = Vec::new();
        for index in 1..along.len() {
            let (a, b) = (along[index - 1], along[index]);
            let (low, high) = (a.min(b).max(lane.low), a.max(b).min(lane.high));
            if high - low < HAIR_M {
                continue;
            }
            let place = |at: f64| {
                let (from, to) = (self.places[index - 1], self.places[index]);
                from + (to - from) * ((at - a) / (b - a))
            };
            let middle = place((low + high) / 2.0);
            if one.away(middle) < 0.0 || other.away(middle) < 0.0 {
                continue;
            }
            let onward = b > a;
            let sign = if onward { 1.0 } else { -1.0 };
            let (earlier, later) = along.split_at(index);
            let start = earlier
                .iter()
                .fold(a, |s, &t| if sign * t < sign * s { t } else { s });
            let end = later
                .iter()
                .fold(b, |e, &t| if sign * t > sign * e { t } else { e });
            let (first, last) = (start + sign * self.beyond[0], end - sign * self.beyond[1]);
            let low = low.max(if onward { first } else { last });
            let high = high.min(if onward { last } else { first });
            if high - low > HAIR_M {
                stays.push(Stay {
                    low,
                    high,
                    onward,
                    ends: [place(low), place(high)],
                });
            }
        }
        stays
    }
}
