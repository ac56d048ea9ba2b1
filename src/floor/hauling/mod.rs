//! Whether a piece gets from one place to another, lying flat, turned as it must be: a rectangle among solids.
//!
//! The places and turns of the rectangle are divided into cells. Where it is farther from everything than it can move
//! within a cell, all of the cell is free; where it overlaps something by more, none of it is. What is left is divided
//! where it lies on a way that may be one, until a way of free cells is found, or there is none even of those that are
//! not known, or the cells are as small as they may be. So the first two verdicts are proofs, and the third one says
//! how finely it was searched (hierarchical approximate cell decomposition; J.-C. Latombe, Robot Motion Planning, 1991,
//! chapter 6).

mod cells;
mod grid;
mod search;
mod solids;
mod widest;

use cells::Cells;
use grid::CellGrid;
use search::FirstLook;
pub use solids::{ConvexSolids, Lie, Placed, Rectangle};

use super::{Point, Polygon};

/// What is known of a way.
#[derive(Debug, Clone, PartialEq)]
pub enum Haul {
    /// A way, as lies one after another, each of which may move straight on to the next; and its tightest lie, with the
    /// room that is left to each side there, in metres.
    Passes {
        way: Vec<Lie>,
        tightest: Lie,
        spare: f64,
    },
    /// There is none.
    DoesNotPass,
    /// None was found; the search told ends of the piece apart by so many metres.
    NotShown { resolution: f64 },
}

/// Where a piece is to go: so that a point is within reach of its edge, in metres, and all of it in a room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Destination<'a> {
    pub point: Point,
    pub reach: f64,
    /// Nothing if it may lie anywhere.
    pub room: Option<&'a Polygon>,
}

impl Destination<'_> {
    /// How much farther than allowed a piece is that lies in the middle of a cell, in metres: less than 0 if it is
    /// there. Where it is more than `enough`, any distance that is more.
    fn beyond(&self, placed: &Placed, enough: f64) -> f64 {
        if placed.is_surely_farther(self.point, self.reach + enough) {
            return f64::INFINITY;
        }
        let from_point = placed.distance(self.point) - self.reach;
        if from_point > enough {
            return from_point;
        }
        let outside = |room: &Polygon, corner: Point| {
            let far = room.distance_to_outline(corner);
            if room.contains(corner) { -far } else { far }
        };
        let from_room = self.room.map_or(f64::NEG_INFINITY, |room| {
            let corners = placed.corners().map(|corner| outside(room, corner));
            corners.into_iter().fold(f64::NEG_INFINITY, f64::max)
        });
        from_point.max(from_room)
    }
}

/// Ways of one rectangle from its first lies. What the searches for all destinations begin with is found once.
pub struct Hauling<'a, T> {
    first_look: FirstLook<'a, T>,
}

impl<'a, T: Copy> Hauling<'a, T> {
    /// Of a rectangle that lies in one of these ways at first, and whose middle stays between two corners.
    pub fn new(
        solids: &'a ConvexSolids<T>,
        rectangle: Rectangle,
        from: Vec<Lie>,
        within: (Point, Point),
    ) -> Hauling<'a, T> {
        let cells = Cells::new(solids, CellGrid::new(rectangle, within));
        Hauling {
            first_look: FirstLook::new(cells, from),
        }
    }

    /// Whether it gets there.
    pub fn to(&self, goal: Destination<'_>) -> Haul {
        self.first_look.to(goal)
    }
}
