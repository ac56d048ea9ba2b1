//! What a walk may pass between: shortest lines between things that face each other, and edges that run beside each other.

use super::super::Point;
use super::super::polygon::{Polygon, place_on_edge};
use super::super::tolerance::{STRAIGHT_ON_RAD, TOUCHING_M};
use super::bounds::Bounds;
use super::solids::Obstruction;

/// Wider ways are not looked at, in metres: no rule asks for more.
pub(super) const WIDE_M: f64 = 10.0;

/// Edges run beside each other if they turn away from each other by no more than 20 degrees; this is the cosine.
const BESIDE: f64 = 0.939_692_620_785_908_4;

/// With the solid side to the left.
#[derive(Debug, Clone, Copy)]
pub(super) struct SolidEdge {
    pub from: Point,
    pub to: Point,
    /// Of length 1.
    pub along: Point,
    pub of: Obstruction,
    /// An opening in the wall, with nothing behind it.
    pub open: bool,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct SolidCorner {
    pub at: Point,
    /// Directions of the edges that end and begin here.
    pub arrives: Point,
    pub leaves: Point,
    pub of: Obstruction,
    /// Between two openings, where all that is left is a post.
    pub is_post: bool,
}

impl SolidCorner {
    pub fn new(before: &SolidEdge, after: &SolidEdge) -> SolidCorner {
        // The jamb of an opening runs straight through the wall.
        let jamb = |edge: &SolidEdge| edge.along.left();
        SolidCorner {
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

    pub fn sticks_out(&self) -> bool {
        self.is_post || self.arrives.cross(self.leaves) > STRAIGHT_ON_RAD
    }

    /// Whether this is the nearest place of its thing for what lies in a direction.
    pub fn faces(&self, direction: Point) -> bool {
        let around = direction.dot(self.arrives) >= -STRAIGHT_ON_RAD
            && direction.dot(self.leaves) <= STRAIGHT_ON_RAD;
        self.is_post || around
    }
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Constriction {
    /// In metres; of two edges the least.
    pub width: f64,
    pub sides: [Obstruction; 2],
    pub shape: Across,
}

impl Constriction {
    /// Around everywhere that it may be crossed.
    pub fn bounds(&self, edges: &[SolidEdge]) -> Bounds {
        match self.shape {
            Across::Line(ends) => Bounds::of(&ends),
            Across::Edges(facing) => {
                let [one, other] = facing.edges.map(|index| &edges[index]);
                Bounds::of(&[one.from, one.to, other.from, other.to])
            }
        }
    }
}

#[derive(Debug, Clone, Copy)]
pub(super) enum Across {
    Line([Point; 2]),
    Edges(FacingEdges),
}

/// The room between two edges that run beside each other.
#[derive(Debug, Clone, Copy)]
pub(super) struct FacingEdges {
    pub edges: [usize; 2],
    /// Along both, in the middle between their directions, of length 1.
    pub axis: Point,
    /// Where both edges are, along the axis.
    pub low: f64,
    pub high: f64,
}

impl SolidEdge {
    /// How far a point is from the line of the edge, positive on the free side.
    pub fn away(&self, point: Point) -> f64 {
        -self.along.cross(point - self.from)
    }

    /// The place of the edge's line that lies so far along an axis.
    pub fn at(&self, axis: Point, along: f64) -> Point {
        let far = along - axis.dot(self.from);
        self.from + self.along * (far / axis.dot(self.along))
    }
}

pub(super) fn edge(from: Point, to: Point, of: Obstruction, open: bool) -> Option<SolidEdge> {
    let length = from.distance(to);
    (length > TOUCHING_M).then(|| SolidEdge {
        from,
        to,
        along: (to - from) * (1.0 / length),
        of,
        open,
    })
}

/// The walls of a room, the openings in them as edges of their own.
pub(super) fn walls(room: &Polygon, openings: &[(Point, Point)]) -> Vec<SolidEdge> {
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

/// Those of one thing that follow each other: their indices, and the box around them.
struct Cluster {
    first: usize,
    stop: usize,
    bounds: Bounds,
}

impl Cluster {
    /// Those of each thing.
    fn all<T>(
        all: &[T],
        of: impl Fn(&T) -> Obstruction,
        ends: impl Fn(&T) -> [Point; 2],
    ) -> Vec<Cluster> {
        let mut first = 0;
        let groups = all.chunk_by(|one, other| of(one) == of(other));
        let groups = groups.map(|group| {
            let corners: Vec<Point> = group.iter().flat_map(&ends).collect();
            let begins = first;
            first += group.len();
            Cluster {
                first: begins,
                stop: first,
                bounds: Bounds::of(&corners),
            }
        });
        groups.collect()
    }

    /// Of those groups that come near to a box, the indices that are not before the first.
    fn near<'g>(
        groups: &'g [Cluster],
        around: Bounds,
        first: usize,
    ) -> impl Iterator<Item = usize> + 'g {
        let near = groups
            .iter()
            .filter(move |group| !around.misses(&group.bounds));
        near.flat_map(move |group| group.first.max(first)..group.stop)
    }
}

/// Shortest lines between corners, and between corners and edges, no longer than so many metres.
pub(super) fn lines(corners: &[SolidCorner], edges: &[SolidEdge], wide: f64) -> Vec<Constriction> {
    let of_corners = Cluster::all(corners, |corner| corner.of, |corner| [corner.at; 2]);
    let of_edges = Cluster::all(edges, |edge| edge.of, |edge| [edge.from, edge.to]);
    let mut gaps = Vec::new();
    let mut offer = |from: (Point, Obstruction), to: (Point, Obstruction), width: f64| {
        gaps.push(Constriction {
            width,
            sides: [from.1, to.1],
            shape: Across::Line([from.0, to.0]),
        });
    };
    for (index, corner) in corners.iter().enumerate() {
        let around = Bounds::of(&[corner.at]).grown(wide);
        for other in Cluster::near(&of_corners, around, index + 1) {
            let other = &corners[other];
            let apart = other.at - corner.at;
            if apart.x.abs() > wide || apart.y.abs() > wide {
                continue;
            }
            let width = apart.length();
            if width <= TOUCHING_M || width > wide {
                continue;
            }
            let across = apart * (1.0 / width);
            if corner.faces(across) && other.faces(across * -1.0) {
                offer((corner.at, corner.of), (other.at, other.of), width);
            }
        }
        for edge in Cluster::near(&of_edges, around.grown(TOUCHING_M), 0) {
            let edge = &edges[edge];
            let width = edge.away(corner.at);
            let far = edge.along.dot(corner.at - edge.from);
            if width <= TOUCHING_M
                || width > wide
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

pub(super) fn facing(edges: &[SolidEdge], wide: f64) -> Vec<Constriction> {
    let of_edges = Cluster::all(edges, |edge| edge.of, |edge| [edge.from, edge.to]);
    let mut gaps = Vec::new();
    for (index, one) in edges.iter().enumerate() {
        let around = Bounds::of(&[one.from, one.to]).grown(wide + TOUCHING_M);
        for other_index in Cluster::near(&of_edges, around, index + 1) {
            let other = &edges[other_index];
            if one.along.dot(other.along) > -BESIDE {
                continue;
            }
            // Two walls that meet in a corner of the room have no room between them that leads anywhere.
            if one.from == other.to || one.to == other.from {
                continue;
            }
            let axis = one.along - other.along;
            let axis = axis * (1.0 / axis.length());
            let low = axis.dot(one.from).max(axis.dot(other.to));
            let high = axis.dot(one.to).min(axis.dot(other.from));
            if high - low <= TOUCHING_M {
                continue;
            }
            let width = |at: f64| {
                let across = other.at(axis, at) - one.at(axis, at);
                -axis.cross(across)
            };
            let least = width(low).min(width(high));
            // Those that face away from each other have no free room between them.
            if least <= TOUCHING_M || least > wide {
                continue;
            }
            gaps.push(Constriction {
                width: least,
                sides: [one.of, other.of],
                shape: Across::Edges(FacingEdges {
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
