//! The places and turns of a rectangle in cells: free, blocked, or not known yet and divided where it matters.

use super::solids::{ConvexSolids, Lie, Placed, Rectangle};
use crate::floor::Point;

/// A cell is divided so often at most.
pub const DEEPEST: u32 = 7;
/// Smallest cells in the side of a largest one.
const SIDE: u32 = 1 << DEEPEST;

/// A way through a cell that cannot be divided further costs so much, one through another that is not known 1: the
/// latter are looked into first.
pub const AS_SMALL_AS_CAN_BE: u32 = 10_000;
/// And one through a cell in whose middle the piece overlaps something, so much: less may be free there.
const OVERLAPPED: u32 = 2;

/// Whether the rectangle may lie as the lies of a cell say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CellState {
    /// In all of them.
    Free,
    /// In none of them.
    Blocked,
    /// In some of them, or not known.
    Mixed,
}

#[derive(Debug, Clone, Copy)]
struct Cell {
    /// Its least corner in smallest cells: x, y and turn.
    corner: [u32; 3],
    level: u32,
    state: CellState,
    /// The first of its eight parts, if it is divided.
    parts: Option<u32>,
    /// How far the rectangle is from everything if it lies as the middle of the cell says.
    gap: f64,
    /// What a way through it costs.
    cost: u32,
}

/// All cells of a rectangle on a floor. Turns repeat after half a turn.
#[derive(Clone)]
pub struct Cells<'a, T> {
    solids: &'a ConvexSolids<T>,
    rectangle: Rectangle,
    origin: Point,
    /// Side of a largest cell in metres, and in radians.
    side: (f64, f64),
    /// Largest cells along x, y and the turn.
    count: [u32; 3],
    cells: Vec<Cell>,
    /// The solid that was nearest to the last cell.
    near: usize,
}

impl<'a, T: Copy> Cells<'a, T> {
    /// For middles of the rectangle between two corners, in largest cells of about this side in metres.
    pub fn new(
        solids: &'a ConvexSolids<T>,
        rectangle: Rectangle,
        (least, most): (Point, Point),
        side: f64,
    ) -> Cells<'a, T> {
        let count = Self::count(rectangle, (least, most), side).map(|count| count as u32);
        let half_turn = std::f64::consts::PI;
        let turns = count[2];
        let mut cells = Cells {
            solids,
            rectangle,
            origin: least,
            side: (side, half_turn / f64::from(turns)),
            count,
            cells: Vec::new(),
            near: 0,
        };
        for x in 0..count[0] {
            for y in 0..count[1] {
                for turn in 0..count[2] {
                    cells.push([x, y, turn].map(|at| at * SIDE), 0);
                }
            }
        }
        cells
    }

    /// How many largest cells of a side there are along x, y and the turn.
    fn count(rectangle: Rectangle, (least, most): (Point, Point), side: f64) -> [f64; 3] {
        let along = |length: f64| (length / side).ceil().max(1.0);
        // A turn by one cell moves the ends of the rectangle about as far as a move by one.
        let turns = (std::f64::consts::PI * rectangle.reach() / side).ceil();
        [
            along(most.x - least.x),
            along(most.y - least.y),
            turns.max(4.0),
        ]
    }

    /// How many largest cells of a side there are in all.
    pub fn largest(rectangle: Rectangle, within: (Point, Point), side: f64) -> f64 {
        Self::count(rectangle, within, side).into_iter().product()
    }

    pub fn len(&self) -> usize {
        self.cells.len()
    }

    pub fn state(&self, cell: u32) -> CellState {
        self.cells[cell as usize].state
    }

    /// An undivided cell in which something may lie.
    pub fn is_open(&self, cell: u32) -> bool {
        let cell = &self.cells[cell as usize];
        cell.parts.is_none() && cell.state != CellState::Blocked
    }

    /// What a way through a cell costs.
    pub fn cost(&self, cell: u32) -> u32 {
        self.cells[cell as usize].cost
    }

    /// How far the rectangle is from everything in the middle of a cell, in metres.
    pub fn gap(&self, cell: u32) -> f64 {
        self.cells[cell as usize].gap
    }

    pub fn is_smallest(&self, cell: u32) -> bool {
        self.cells[cell as usize].level == DEEPEST
    }

    /// The lie in the middle of a cell.
    pub fn lie(&self, cell: u32) -> Lie {
        let Cell { corner, level, .. } = self.cells[cell as usize];
        let half = f64::from(SIDE >> level) / 2.0;
        let [x, y, turn] = corner.map(|at| (f64::from(at) + half) / f64::from(SIDE));
        Lie {
            at: self.origin + Point::new(x * self.side.0, y * self.side.0),
            turn: turn * self.side.1,
        }
    }

    pub fn placed(&self, cell: u32) -> Placed {
        Placed::new(self.rectangle, self.lie(cell))
    }

    /// How far a point of the rectangle moves at most, in metres, from the middle of a cell to any other lie of it.
    pub fn spread(&self, cell: u32) -> f64 {
        self.spread_of(self.cells[cell as usize].level)
    }

    pub fn spread_of(&self, level: u32) -> f64 {
        let share = 0.5 / f64::from(1 << level);
        let moved = self.side.0 * share * std::f64::consts::SQRT_2;
        moved + self.rectangle.reach() * self.side.1 * share
    }

    /// The undivided cell of a lie; nothing outside of all cells.
    pub fn of(&self, lie: Lie) -> Option<u32> {
        let from = lie.at - self.origin;
        let unit = |length: f64, side: f64, count: u32| {
            let at = (length / side * f64::from(SIDE)).floor();
            (at >= 0.0 && at < f64::from(count * SIDE)).then_some(at as u32)
        };
        let turn = lie.turn.rem_euclid(std::f64::consts::PI);
        let turn = (turn / self.side.1 * f64::from(SIDE)).floor() as u32;
        Some(self.at([
            unit(from.x, self.side.0, self.count[0])?,
            unit(from.y, self.side.0, self.count[1])?,
            turn.min(self.count[2] * SIDE - 1),
        ]))
    }

    /// The undivided cell that holds a smallest cell.
    fn at(&self, place: [u32; 3]) -> u32 {
        let [x, y, turn] = place.map(|at| at / SIDE);
        let mut cell = (x * self.count[1] + y) * self.count[2] + turn;
        while let Some(parts) = self.cells[cell as usize].parts {
            let half = SIDE >> (self.cells[cell as usize].level + 1);
            let [x, y, turn] = place.map(|at| u32::from(at & half != 0));
            cell = parts + (x << 2 | y << 1 | turn);
        }
        cell
    }

    /// Calls with every undivided cell that has a face in common with this one and is no smaller.
    pub fn larger_neighbours(&self, cell: u32, mut call: impl FnMut(u32)) {
        let Cell { corner, level, .. } = self.cells[cell as usize];
        let side = SIDE >> level;
        for axis in 0..3 {
            let whole = self.count[axis] * SIDE;
            let turns = axis == 2;
            let before = match corner[axis] {
                0 if turns => Some(whole - 1),
                0 => None,
                at => Some(at - 1),
            };
            let after = match corner[axis] + side {
                at if at < whole => Some(at),
                _ if turns => Some(0),
                _ => None,
            };
            for beyond in [before, after].into_iter().flatten() {
                let mut place = corner;
                place[axis] = beyond;
                let other = self.at(place);
                if self.cells[other as usize].level <= level && other != cell {
                    call(other);
                }
            }
        }
    }

    /// Divides a cell into eight.
    pub fn divide(&mut self, cell: u32) {
        let Cell {
            corner,
            level,
            parts,
            ..
        } = self.cells[cell as usize];
        if parts.is_some() || level == DEEPEST {
            return;
        }
        let half = SIDE >> (level + 1);
        let first = self.cells.len() as u32;
        for part in 0..8u32 {
            let [x, y, turn] = corner;
            let corner = [
                x + (part >> 2 & 1) * half,
                y + (part >> 1 & 1) * half,
                turn + (part & 1) * half,
            ];
            self.push(corner, level + 1);
        }
        self.cells[cell as usize].parts = Some(first);
    }

    fn push(&mut self, corner: [u32; 3], level: u32) {
        let cell = self.cells.len();
        self.cells.push(Cell {
            corner,
            level,
            state: CellState::Mixed,
            parts: None,
            gap: 0.0,
            cost: 0,
        });
        let gap = (self.solids).gap(&self.placed(cell as u32), &mut self.near);
        // No point of the rectangle moves farther within the cell: what is farther apart stays so, and what overlaps
        // by more does so everywhere.
        let spread = self.spread_of(level);
        let state = match gap {
            gap if gap >= spread => CellState::Free,
            gap if gap < -spread => CellState::Blocked,
            _ => CellState::Mixed,
        };
        let cost = match state {
            CellState::Free => 0,
            _ if level == DEEPEST => AS_SMALL_AS_CAN_BE,
            _ if gap >= 0.0 => 1,
            _ => OVERLAPPED,
        };
        let pushed = &mut self.cells[cell];
        (pushed.gap, pushed.state, pushed.cost) = (gap, state, cost);
    }
}
