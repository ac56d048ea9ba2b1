//! Everything a body must keep clear of: walls and obstacles as edges with their solid side to the left.

use super::super::tolerance::SURELY_LONGER_SHARE;
use super::super::{Point, Polygon, nearest_on_segment};
use super::bounds::Bounds;
use super::grid::Grid;

/// More edges than these are tested piece by piece, so that a long wall costs only where it is near.
const EDGES_IN_A_CHUNK: usize = 8;

/// What stands where a body should be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Obstruction {
    /// The edge of the room's outline, counted from 0; edge `i` runs from corner `i` to the next one.
    Wall(usize),
    /// The obstacle, in the order in which they were given.
    Obstacle(usize),
}

/// One outline, closed: the first corner stands at the end again.
#[derive(Debug, Clone)]
pub(super) struct Ring {
    /// Nothing for the room.
    obstacle: Option<usize>,
    pub first: usize,
    pub last: usize,
    pub bounds: Bounds,
    /// Its runs of edges.
    chunks: (usize, usize),
}

/// A run of edges of one ring.
#[derive(Debug, Clone)]
struct Chunk {
    ring: u32,
    first: usize,
    last: usize,
    bounds: Bounds,
}

#[derive(Debug, Clone)]
pub(super) struct Solids {
    corners: Vec<Point>,
    rings: Vec<Ring>,
    chunks: Vec<Chunk>,
    grid: Grid,
    /// Nothing solid may come nearer than this to a line that is walked.
    keep: f64,
}

/// Outlines of what is solid, each closed.
#[derive(Debug, Clone, Default)]
pub(super) struct Outlines {
    corners: Vec<Point>,
    /// What each is of, nothing for the room, and where its corners begin and end.
    rings: Vec<(Option<usize>, usize, usize)>,
}

impl Outlines {
    /// A room, if there is one, and obstacles.
    pub fn new(room: Option<&Polygon>, obstacles: &[Polygon]) -> Outlines {
        let mut outlines = Outlines::default();
        if let Some(room) = room {
            // Backwards, because a wall is solid on its other side.
            outlines.add(None, room.corners().iter().rev().copied());
        }
        for (index, obstacle) in obstacles.iter().enumerate() {
            outlines.add(Some(index), obstacle.corners().iter().copied());
        }
        outlines
    }

    fn add(&mut self, of: Option<usize>, corners: impl Iterator<Item = Point>) {
        let first = self.corners.len();
        self.corners.extend(corners);
        self.corners.push(self.corners[first]);
        self.rings.push((of, first, self.corners.len() - 1));
    }

    pub fn corners(&self) -> &[Point] {
        &self.corners
    }
}

impl Solids {
    pub fn new(outlines: Outlines, keep: f64) -> Solids {
        let corners = outlines.corners;
        let mut rings = Vec::with_capacity(outlines.rings.len());
        let mut chunks = Vec::new();
        for (index, (obstacle, first, last)) in outlines.rings.into_iter().enumerate() {
            let first_chunk = chunks.len();
            for start in (first..last).step_by(EDGES_IN_A_CHUNK) {
                let end = (start + EDGES_IN_A_CHUNK).min(last);
                chunks.push(Chunk {
                    ring: index as u32,
                    first: start,
                    last: end,
                    bounds: Bounds::of(&corners[start..=end]),
                });
            }
            rings.push(Ring {
                obstacle,
                first,
                last,
                bounds: Bounds::of(&corners[first..last]),
                chunks: (first_chunk, chunks.len()),
            });
        }
        let boxes: Vec<Bounds> = chunks.iter().map(|c| c.bounds.grown(keep)).collect();
        Solids {
            corners,
            rings,
            chunks,
            grid: Grid::new(&boxes),
            keep,
        }
    }

    /// The outlines, with other ones for some obstacles.
    pub fn outlines_with(&self, changes: &[(usize, Polygon)]) -> Outlines {
        let mut outlines = Outlines {
            corners: Vec::with_capacity(self.corners.len()),
            rings: Vec::with_capacity(self.rings.len()),
        };
        for ring in &self.rings {
            let change = (changes.iter()).find(|&&(obstacle, _)| ring.obstacle == Some(obstacle));
            match change {
                Some((_, outline)) => {
                    outlines.add(ring.obstacle, outline.corners().iter().copied());
                }
                None => outlines.add(
                    ring.obstacle,
                    self.corners[ring.first..ring.last].iter().copied(),
                ),
            }
        }
        outlines
    }

    /// The ring of an obstacle.
    pub fn ring_of(&self, obstacle: usize) -> Option<usize> {
        (self.rings.iter()).position(|ring| ring.obstacle == Some(obstacle))
    }

    pub fn rings(&self) -> &[Ring] {
        &self.rings
    }

    /// How many corners a ring has.
    pub fn corners_of(&self, ring: usize) -> usize {
        let ring = &self.rings[ring];
        ring.last - ring.first
    }

    /// The edge that starts at a corner of a ring; the last corner of a ring, which is its first again, starts none.
    pub fn edge(&self, index: usize) -> (Point, Point) {
        (self.corners[index], self.corners[index + 1])
    }

    /// Calls with each edge whose surroundings reach within a distance of a point.
    pub fn edges_near(&self, point: Point, distance: f64, mut call: impl FnMut(usize)) {
        let square = distance * distance;
        for chunk in &self.chunks {
            if chunk.bounds.square_distance(point) <= square {
                (chunk.first..chunk.last).for_each(&mut call);
            }
        }
    }

    /// Whether a point lies in an obstacle or outside the room; on an edge either answer may come out.
    pub fn contain(&self, point: Point) -> bool {
        (self.rings.iter()).any(|ring| self.inside(ring, point) == ring.obstacle.is_some())
    }

    fn inside(&self, ring: &Ring, point: Point) -> bool {
        if !ring.bounds.holds(point) {
            return false;
        }
        (ring.first..ring.last).fold(false, |inside, index| {
            let (a, b) = self.edge(index);
            let straddles = (a.y > point.y) != (b.y > point.y);
            let crosses = straddles && point.x < a.x + (point.y - a.y) / (b.y - a.y) * (b.x - a.x);
            inside != crosses
        })
    }

    /// What is nearest to a point, with the distance to it, negative within; only what is nearer than `within`.
    pub fn nearest(&self, point: Point, within: f64) -> Option<(Obstruction, f64)> {
        let mut worst: Option<(Obstruction, f64)> = None;
        for ring in &self.rings {
            let of_room = ring.obstacle.is_none();
            let least = worst.map_or(within, |(_, least)| least);
            let enough = least.max(0.0);
            let most = enough * enough * (1.0 + SURELY_LONGER_SHARE);
            if !of_room && ring.bounds.square_distance(point) > most {
                continue;
            }
            let mut nearest = (ring.first, f64::INFINITY);
            for index in ring.first..ring.last {
                let on_edge = nearest_on_segment(point, self.edge(index));
                if point.is_surely_farther(on_edge, nearest.1) {
                    continue;
                }
                let away = point.distance(on_edge);
                if away < nearest.1 {
                    nearest = (index, away);
                }
            }
            let solid = self.inside(ring, point) != of_room;
            let away = if solid { -nearest.1 } else { nearest.1 };
            if away < least {
                worst = Some((self.owner(ring, nearest.0), away));
            }
        }
        worst
    }

    fn owner(&self, ring: &Ring, edge: usize) -> Obstruction {
        match ring.obstacle {
            Some(obstacle) => Obstruction::Obstacle(obstacle),
            None => {
                let count = ring.last - ring.first;
                Obstruction::Wall((2 * count - 2 - (edge - ring.first)) % count)
            }
        }
    }

    /// Whether something stands too near to a line between two places where a body fits.
    ///
    /// `hint` remembers what stood in the way last: often it does again.
    pub fn block(&self, from: Point, to: Point, hint: &mut usize) -> bool {
        self.blocker([from, to], hint).is_some()
    }

    /// The ring of something that stands too near to a line between two places where a body fits.
    pub fn blocker(&self, [from, to]: [Point; 2], hint: &mut usize) -> Option<u32> {
        let line = Segment::between(from, to)?;
        if self.chunks.is_empty() {
            return None;
        }
        let last = (*hint).min(self.chunks.len() - 1);
        if !self.chunk_blocks(last, &line) {
            let blocks = self.grid.any_along(from, to, |chunk| {
                let blocks = chunk != last && self.chunk_blocks(chunk, &line);
                if blocks {
                    *hint = chunk;
                }
                blocks
            });
            if !blocks {
                return None;
            }
        } else {
            *hint = last;
        }
        Some(self.chunks[*hint].ring)
    }

    /// Whether one ring stands too near to such a line.
    pub fn ring_blocks(&self, ring: u32, [from, to]: [Point; 2]) -> bool {
        let (first, last) = self.rings[ring as usize].chunks;
        let line = Segment::between(from, to);
        line.is_some_and(|line| (first..last).any(|chunk| self.chunk_blocks(chunk, &line)))
    }

    /// A body fits at both ends of the line. So whatever is too near to the line is a corner beside it or an edge
    /// that crosses it.
    fn chunk_blocks(&self, chunk: usize, line: &Segment) -> bool {
        let chunk = &self.chunks[chunk];
        if line.passes(&chunk.bounds, self.keep) {
            return false;
        }
        let mut before: Option<(f64, f64)> = None;
        for &corner in &self.corners[chunk.first..=chunk.last] {
            let to_corner = corner - line.from;
            let aside = line.direction.cross(to_corner);
            let ahead = line.direction.dot(to_corner);
            if aside.abs() < self.keep && ahead > 0.0 && ahead < line.length {
                return true;
            }
            if let Some((aside_before, ahead_before)) = before
                && (aside > 0.0) != (aside_before > 0.0)
            {
                let share = aside_before / (aside_before - aside);
                let crossing = ahead_before + (ahead - ahead_before) * share;
                if crossing >= 0.0 && crossing <= line.length {
                    return true;
                }
            }
            before = Some((aside, ahead));
        }
        false
    }
}

struct Segment {
    from: Point,
    direction: Point,
    length: f64,
}

impl Segment {
    /// Nothing if it has no length.
    fn between(from: Point, to: Point) -> Option<Segment> {
        let along = to - from;
        let length = along.dot(along).sqrt();
        (length != 0.0).then(|| Segment {
            from,
            direction: along * (1.0 / length),
            length,
        })
    }

    /// Whether a box lies clear of the line, seen across and along.
    fn passes(&self, bounds: &Bounds, keep: f64) -> bool {
        let half = (bounds.high - bounds.low) * 0.5;
        let centre = (bounds.low + half) - self.from;
        let (x, y) = (self.direction.x.abs(), self.direction.y.abs());
        let across = x * half.y + y * half.x + keep;
        let ahead = self.direction.dot(centre);
        let along = x * half.x + y * half.y + keep;
        self.direction.cross(centre).abs() > across || ahead < -along || ahead > self.length + along
    }
}
