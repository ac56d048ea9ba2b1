//! The places and turns of a rectangle in cells: free, blocked, or not known yet and divided where it matters.

use std::sync::Arc;

use super::grid::{CellGrid, DEEPEST, SIDE};
use super::solids::{ConvexSolids, Lie, NearPart, Placed};
use crate::floor::Point;

/// A way through a cell of which all lies are free costs nothing.
const FREE: u32 = 0;
/// A way through a cell that cannot be divided further costs so much, one through another that is not known 1: the
/// latter are looked into first.
pub const AS_SMALL_AS_CAN_BE: u32 = 10_000;
/// And one through a cell in whose middle the piece overlaps something, so much: less may be free there.
const OVERLAPPED: u32 = 2;
/// No way leads through a cell of which no lie is free.
const BLOCKED: u32 = u32::MAX;

/// No cell.
const NONE: u32 = u32::MAX;

#[derive(Debug, Clone, Copy)]
struct Cell {
    /// How far the rectangle is from everything if it lies as the middle of the cell says.
    gap: f64,
    /// Its least corner in smallest cells: x, y and turn.
    corner: [u32; 3],
    level: u32,
    /// What a way through it costs.
    cost: u32,
    /// The first of its eight parts, if it is divided.
    parts: u32,
    /// Beyond its faces, down and up along x, y and the turn: the cell of its level, or a larger one that was not divided
    /// when this one was made.
    beyond: [u32; 6],
}

/// What may be nearest to the rectangle where it is in a largest cell, by the index along x and y.
struct NearParts {
    /// Where those of each place begin.
    first: Vec<u32>,
    all: Vec<NearPart>,
}

impl NearParts {
    fn at(&self, place: usize) -> &[NearPart] {
        &self.all[self.first[place] as usize..self.first[place + 1] as usize]
    }
}

/// All cells of a rectangle on a floor.
pub struct Cells<'a, T> {
    solids: &'a ConvexSolids<T>,
    grid: CellGrid,
    near: Arc<NearParts>,
    cells: Vec<Cell>,
}

impl<T> Clone for Cells<'_, T> {
    fn clone(&self) -> Self {
        // With room for those that are divided.
        let mut cells = Vec::with_capacity(self.cells.len() + self.cells.len() / 2);
        cells.extend_from_slice(&self.cells);
        Cells {
            near: Arc::clone(&self.near),
            cells,
            ..*self
        }
    }
}

impl<'a, T: Copy> Cells<'a, T> {
    /// The largest cells.
    pub fn new(solids: &'a ConvexSolids<T>, grid: CellGrid) -> Cells<'a, T> {
        let [along_x, along_y, turns] = grid.count();
        let places = (0..along_x).flat_map(|x| (0..along_y).map(move |y| (x, y)));
        let (mut first, mut all) = (vec![0], Vec::new());
        for (x, y) in places.clone() {
            let (middle, off) = grid.place(x, y);
            solids.near(middle, grid.rectangle.reach() + off, off, &mut all);
            first.push(all.len() as u32);
        }
        let mut cells = Cells {
            solids,
            grid,
            near: Arc::new(NearParts { first, all }),
            cells: Vec::with_capacity((along_x * along_y * turns) as usize),
        };
        let directions: Vec<Point> = (0..turns)
            .map(|turn| direction(grid.turn([0, 0, turn * SIDE], 0)))
            .collect();
        for (x, y) in places {
            let middle = grid.place(x, y).0;
            for (turn, &along) in (0..).zip(&directions) {
                let other = |x: u32, y: u32| grid.number([x, y, turn]);
                let turned = |turn: u32| grid.number([x, y, turn % turns]);
                let beyond = [
                    x.checked_sub(1).map_or(NONE, |x| other(x, y)),
                    if x + 1 < along_x {
                        other(x + 1, y)
                    } else {
                        NONE
                    },
                    y.checked_sub(1).map_or(NONE, |y| other(x, y)),
                    if y + 1 < along_y {
                        other(x, y + 1)
                    } else {
                        NONE
                    },
                    turned(turn + turns - 1),
                    turned(turn + 1),
                ];
                let corner = [x, y, turn].map(|at| at * SIDE);
                cells.push(corner, 0, (middle, along), beyond);
            }
        }
        cells
    }

    pub fn len(&self) -> usize {
        self.cells.len()
    }

    /// From a cell on, so many have the same middle and differ in their turns: all of a place among the largest, which stand
    /// first. Of others nothing is said.
    pub fn at_one_place(&self, cell: u32) -> u32 {
        let [along_x, along_y, turns] = self.grid.count();
        match cell < along_x * along_y * turns {
            true => turns - cell % turns,
            false => 1,
        }
    }

    /// Whether the rectangle may lie in all ways of a cell.
    pub fn is_free(&self, cell: u32) -> bool {
        self.cells[cell as usize].cost == FREE
    }

    /// An undivided cell in which something may lie.
    pub fn is_open(&self, cell: u32) -> bool {
        let cell = &self.cells[cell as usize];
        cell.parts == NONE && cell.cost != BLOCKED
    }

    /// What a way through a cell costs that is not blocked.
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

    /// The place of the rectangle in the middle of a cell.
    pub fn middle(&self, cell: u32) -> Point {
        let Cell { corner, level, .. } = self.cells[cell as usize];
        self.grid.middle(corner, level)
    }

    /// The lie in the middle of a cell.
    pub fn lie(&self, cell: u32) -> Lie {
        let Cell { corner, level, .. } = self.cells[cell as usize];
        Lie {
            at: self.grid.middle(corner, level),
            turn: self.grid.turn(corner, level),
        }
    }

    pub fn placed(&self, cell: u32) -> Placed {
        Placed::new(self.grid.rectangle, self.lie(cell))
    }

    /// From the middle of the rectangle to a corner, in metres.
    pub fn reach(&self) -> f64 {
        self.grid.rectangle.reach()
    }

    /// How far a point of the rectangle moves at most, in metres, from the middle of a cell to any other lie of it.
    pub fn spread(&self, cell: u32) -> f64 {
        self.grid.spread(self.cells[cell as usize].level)
    }

    /// The same for the smallest cells.
    pub fn least_spread(&self) -> f64 {
        self.grid.spread(DEEPEST)
    }

    /// The undivided cell of a lie; nothing outside of all cells.
    pub fn of(&self, lie: Lie) -> Option<u32> {
        let place = self.grid.smallest(lie)?;
        let mut cell = self.grid.number(place.map(|at| at / SIDE));
        while self.cells[cell as usize].parts != NONE {
            cell = self.part_at(cell, place);
        }
        Some(cell)
    }

    /// The part of a divided cell that holds a smallest cell.
    fn part_at(&self, cell: u32, place: [u32; 3]) -> u32 {
        let Cell { level, parts, .. } = self.cells[cell as usize];
        let half = SIDE >> (level + 1);
        let [x, y, turn] = place.map(|at| u32::from(at & half != 0));
        parts + (x << 2 | y << 1 | turn)
    }

    /// Calls with every open cell that has a face in common with this one, once for each of these faces.
    pub fn neighbours(&self, cell: u32, mut call: impl FnMut(u32)) {
        let Cell {
            corner,
            level,
            beyond,
            ..
        } = self.cells[cell as usize];
        for (face, mut other) in beyond.into_iter().enumerate() {
            if other == NONE {
                continue;
            }
            let axis = face / 2;
            // Of the parts of a cell beyond, those are near whose bit of this axis is not set, or set.
            let near = if face % 2 == 0 { bit(axis) } else { 0 };
            while self.cells[other as usize].parts != NONE
                && self.cells[other as usize].level < level
            {
                let part = self.part_at(other, corner) - self.cells[other as usize].parts;
                other = self.cells[other as usize].parts + (part & !bit(axis) | near);
            }
            let Cell { parts, cost, .. } = self.cells[other as usize];
            match (parts, cost) {
                (NONE, BLOCKED) => {}
                (NONE, _) => call(other),
                _ => self.undivided_at(other, axis, near, &mut call),
            }
        }
    }

    /// Calls with every open part of a cell that touches one of its faces, or with the cell if it is not divided.
    fn undivided_at(&self, cell: u32, axis: usize, near: u32, call: &mut impl FnMut(u32)) {
        let Cell { parts, cost, .. } = self.cells[cell as usize];
        if parts == NONE {
            if cost != BLOCKED {
                call(cell);
            }
            return;
        }
        for part in (0..8).filter(|part| part & bit(axis) == near) {
            self.undivided_at(parts + part, axis, near, call);
        }
    }

    /// Divides a cell into eight.
    pub fn divide(&mut self, cell: u32) {
        let Cell {
            corner,
            level,
            parts,
            beyond,
            ..
        } = self.cells[cell as usize];
        if parts != NONE || level == DEEPEST {
            return;
        }
        let half = SIDE >> (level + 1);
        let first = self.cells.len() as u32;
        self.cells[cell as usize].parts = first;
        let turned = [0, half].map(|more| {
            let corner = [corner[0], corner[1], corner[2] + more];
            direction(self.grid.turn(corner, level + 1))
        });
        for part in 0..8 {
            let [x, y, turn] = corner;
            let corner = [
                x + (part >> 2 & 1) * half,
                y + (part >> 1 & 1) * half,
                turn + (part & 1) * half,
            ];
            let mut around = [NONE; 6];
            for (face, other) in around.iter_mut().enumerate() {
                let across = part ^ bit(face / 2);
                let is_outside = (part & bit(face / 2) != 0) == (face % 2 == 1);
                *other = match (is_outside, beyond[face]) {
                    (false, _) => first + across,
                    (true, NONE) => NONE,
                    (true, other) => {
                        let cell = &self.cells[other as usize];
                        match cell.parts {
                            parts if parts != NONE && cell.level == level => parts + across,
                            _ => other,
                        }
                    }
                };
            }
            let middle = self.grid.middle(corner, level + 1);
            let along = turned[(part & 1) as usize];
            self.push(corner, level + 1, (middle, along), around);
        }
    }

    fn push(
        &mut self,
        corner: [u32; 3],
        level: u32,
        (middle, along): (Point, Point),
        beyond: [u32; 6],
    ) {
        let placed = Placed::toward(self.grid.rectangle, middle, along);
        let place = (corner[0] / SIDE) * self.grid.count()[1] + corner[1] / SIDE;
        let gap = self.solids.gap_among(&placed, self.near.at(place as usize));
        // No point of the rectangle moves farther within the cell: what is farther apart stays so, and what overlaps
        // by more does so everywhere.
        let spread = self.grid.spread(level);
        let cost = match gap {
            gap if gap >= spread => FREE,
            gap if gap < -spread => BLOCKED,
            _ if level == DEEPEST => AS_SMALL_AS_CAN_BE,
            gap if gap >= 0.0 => 1,
            _ => OVERLAPPED,
        };
        self.cells.push(Cell {
            gap,
            corner,
            level,
            cost,
            parts: NONE,
            beyond,
        });
    }
}

/// Of the number of a part: whether it is the upper one along an axis.
fn bit(axis: usize) -> u32 {
    4 >> axis
}

fn direction(turn: f64) -> Point {
    Point::new(libm::cos(turn), libm::sin(turn))
}
