//! The places and turns of a rectangle on a floor, as a grid of cells that may be divided.

use super::solids::{Lie, Rectangle};
use crate::floor::Point;

/// A cell is divided so often at most.
pub const DEEPEST: u32 = 7;
/// Smallest cells in the side of a largest one.
pub const SIDE: u32 = 1 << DEEPEST;

/// Side of the largest cells in metres.
const LARGEST: f64 = 0.6;
/// Largest cells at most: in a large room, or for a long piece, they are larger.
const MOST_LARGEST: f64 = 30_000.0;

/// The largest cells, numbered by x, then by y, then by the turn. Turns repeat after half a turn.
#[derive(Debug, Clone, Copy)]
pub struct CellGrid {
    pub rectangle: Rectangle,
    origin: Point,
    /// Side of a largest cell in metres, and in radians.
    side: (f64, f64),
    /// Largest cells along x, y and the turn.
    count: [u32; 3],
    /// By level: see [`CellGrid::spread`].
    spreads: [f64; DEEPEST as usize + 1],
}

impl CellGrid {
    /// For middles of the rectangle between two corners.
    pub fn new(rectangle: Rectangle, (least, most): (Point, Point)) -> CellGrid {
        let along = |length: f64, side: f64| (length / side).ceil().max(1.0);
        let count = |side: f64| {
            [
                along(most.x - least.x, side),
                along(most.y - least.y, side),
                // A turn by one cell moves the ends of the rectangle about as far as a move by one.
                along(std::f64::consts::PI * rectangle.reach(), side).max(4.0),
            ]
        };
        let mut side = LARGEST;
        while count(side).into_iter().product::<f64>() > MOST_LARGEST {
            side *= 1.25;
        }
        let count = count(side).map(|count| count as u32);
        let side = (side, std::f64::consts::PI / f64::from(count[2]));
        let mut spreads = [0.0; DEEPEST as usize + 1];
        for (level, spread) in (0..).zip(&mut spreads) {
            let share = 0.5 / f64::from(1 << level);
            let moved = side.0 * share * std::f64::consts::SQRT_2;
            *spread = moved + rectangle.reach() * side.1 * share;
        }
        CellGrid {
            rectangle,
            origin: least,
            side,
            count,
            spreads,
        }
    }

    /// How many largest cells there are along x, y and the turn.
    pub fn count(&self) -> [u32; 3] {
        self.count
    }

    /// The number of the largest cell at an index along x, y and the turn.
    pub fn number(&self, [x, y, turn]: [u32; 3]) -> u32 {
        (x * self.count[1] + y) * self.count[2] + turn
    }

    /// How far a point of the rectangle moves at most, in metres, from the middle of a cell of a level to any other lie
    /// of it.
    pub fn spread(&self, level: u32) -> f64 {
        self.spreads[level as usize]
    }

    /// The middle of a cell of a level, by its least corner in smallest cells.
    pub fn middle(&self, corner: [u32; 3], level: u32) -> Point {
        let [x, y] = [corner[0], corner[1]].map(|at| in_largest(at, level) * self.side.0);
        self.origin + Point::new(x, y)
    }

    /// How the rectangle is turned in the middle of a cell, in radians.
    pub fn turn(&self, corner: [u32; 3], level: u32) -> f64 {
        in_largest(corner[2], level) * self.side.1
    }

    /// The middle of the largest cells at an index along x and y, and the farthest that a lie within them is from there,
    /// in metres.
    pub fn place(&self, x: u32, y: u32) -> (Point, f64) {
        let middle = self.middle([x * SIDE, y * SIDE, 0], 0);
        (middle, self.side.0 * std::f64::consts::FRAC_1_SQRT_2)
    }

    /// The smallest cell of a lie; nothing outside of all cells.
    pub fn smallest(&self, lie: Lie) -> Option<[u32; 3]> {
        let from = lie.at - self.origin;
        let unit = |length: f64, side: f64, count: u32| {
            let at = (length / side * f64::from(SIDE)).floor();
            (at >= 0.0 && at < f64::from(count * SIDE)).then_some(at as u32)
        };
        let turn = lie.turn.rem_euclid(std::f64::consts::PI);
        let turn = (turn / self.side.1 * f64::from(SIDE)).floor() as u32;
        Some([
            unit(from.x, self.side.0, self.count[0])?,
            unit(from.y, self.side.0, self.count[1])?,
            turn.min(self.count[2] * SIDE - 1),
        ])
    }
}

/// The middle of a cell along one axis, in largest cells.
fn in_largest(corner: u32, level: u32) -> f64 {
    let half = f64::from(SIDE >> level) / 2.0;
    (f64::from(corner) + half) / f64::from(SIDE)
}
