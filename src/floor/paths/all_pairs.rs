//! The shortest walks between all pairs of some places.

use super::super::Point;
use super::path::{self, Path, Piece};

/// An arc of a walk, from where one arrives on it to where one leaves it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bend {
    pub centre: Point,
    /// Directions from the centre to both places, of length 1.
    pub arrives: Point,
    pub leaves: Point,
    /// In radians, negative clockwise.
    pub sweep: f64,
}

/// The walk of a pair, from the place with the smaller coordinates to the other one.
#[derive(Debug, Clone, Copy, PartialEq)]
struct PairWalk {
    /// In metres.
    length: f64,
    first: u32,
    stop: u32,
}

/// The shortest walks of a body between all pairs of some places, with what is needed to draw them.
#[derive(Debug, Clone, PartialEq)]
pub struct AllPairs {
    places: Vec<Point>,
    /// Row by row; nothing where there is no way, or where a body does not fit at one of the two.
    walks: Vec<Option<PairWalk>>,
    bends: Vec<Bend>,
    /// Of the arcs in metres.
    radius: f64,
}

impl AllPairs {
    pub(super) fn new(places: &[Point], radius: f64) -> AllPairs {
        AllPairs {
            places: places.to_vec(),
            walks: vec![None; places.len() * places.len()],
            bends: Vec::new(),
            radius,
        }
    }

    /// Sets the walk of a pair, in both directions.
    pub(super) fn set(&mut self, pair: [usize; 2], length: f64, bends: impl Iterator<Item = Bend>) {
        let first = self.bends.len() as u32;
        self.bends.extend(bends);
        let walk = PairWalk {
            length,
            first,
            stop: self.bends.len() as u32,
        };
        let count = self.places.len();
        for [from, to] in [pair, [pair[1], pair[0]]] {
            self.walks[from * count + to] = Some(walk);
        }
    }

    pub fn places(&self) -> &[Point] {
        &self.places
    }

    /// In metres, between two places by their indices; nothing where there is no way, or where a body does not fit at
    /// one of the two. Both directions have the same length to the last bit.
    pub fn length(&self, from: usize, to: usize) -> Option<f64> {
        Some(self.walks[from * self.places.len() + to]?.length)
    }

    /// All lengths, row by row.
    pub fn lengths(&self) -> impl Iterator<Item = Option<f64>> + '_ {
        self.walks.iter().map(|walk| Some(walk.as_ref()?.length))
    }

    /// The walk from one place to another, by their indices.
    pub fn path(&self, from: usize, to: usize) -> Option<Path> {
        let walk = self.walks[from * self.places.len() + to]?;
        let (from, to) = (self.places[from], self.places[to]);
        match is_before(to, from) {
            true => Some(self.drawn(to, from, walk).reversed()),
            false => Some(self.drawn(from, to, walk)),
        }
    }

    fn drawn(&self, from: Point, to: Point, walk: PairWalk) -> Path {
        let mut pieces = Vec::new();
        let mut here = from;
        for bend in &self.bends[walk.first as usize..walk.stop as usize] {
            let touches = bend.centre + bend.arrives * self.radius;
            path::add_line(&mut pieces, here, touches);
            if bend.sweep != 0.0 {
                pieces.push(Piece::Arc {
                    centre: bend.centre,
                    radius: self.radius,
                    from_angle: libm::atan2(bend.arrives.y, bend.arrives.x),
                    sweep: bend.sweep,
                });
            }
            here = bend.centre + bend.leaves * self.radius;
        }
        path::add_line(&mut pieces, here, to);
        Path {
            from,
            to,
            pieces,
            length: walk.length,
        }
    }
}

/// In which direction a pair is looked for, so that both directions have the same walk.
pub(super) fn is_before(one: Point, other: Point) -> bool {
    (one.x, one.y) < (other.x, other.y)
}
