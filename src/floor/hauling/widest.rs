//! The ways that leave most room: cells are reached in the order of the room that the way to them leaves at its tightest
//! cell.

use std::collections::BinaryHeap;

use super::Haul;
use super::solids::Lie;

/// A search for the widest ways through cells.
pub struct WidestFront {
    /// The room in metres that the widest way known to each cell leaves.
    room: Vec<f64>,
    /// The cell before each on that way; the cell itself where the way begins.
    from: Vec<u32>,
    is_reached: Vec<bool>,
    open: BinaryHeap<OpenCell>,
}

/// A cell on the front; the one to which the way leaves most room comes first, then the one of the lowest number.
#[derive(PartialEq)]
struct OpenCell {
    room: f64,
    cell: u32,
}

impl Eq for OpenCell {}

impl Ord for OpenCell {
    fn cmp(&self, other: &OpenCell) -> std::cmp::Ordering {
        let by_room = self.room.total_cmp(&other.room);
        by_room.then_with(|| other.cell.cmp(&self.cell))
    }
}

impl PartialOrd for OpenCell {
    fn partial_cmp(&self, other: &OpenCell) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl WidestFront {
    pub fn new(cells: usize) -> WidestFront {
        WidestFront {
            room: vec![f64::NEG_INFINITY; cells],
            from: vec![0; cells],
            is_reached: vec![false; cells],
            open: BinaryHeap::new(),
        }
    }

    /// A way begins in a free cell in which so much room is left, in metres.
    pub fn begin(&mut self, cell: u32, gap: f64) {
        self.offer(cell, gap, cell);
    }

    /// The next cell that is reached.
    pub fn advance(&mut self) -> Option<u32> {
        while let Some(OpenCell { cell, .. }) = self.open.pop() {
            if !std::mem::replace(&mut self.is_reached[cell as usize], true) {
                return Some(cell);
            }
        }
        None
    }

    /// From a cell that is reached ways go on to a free one in which so much room is left, in metres.
    pub fn go_on(&mut self, from: u32, to: u32, gap: f64) {
        if !self.is_reached[to as usize] {
            self.offer(to, self.room[from as usize].min(gap), from);
        }
    }

    fn offer(&mut self, cell: u32, room: f64, from: u32) {
        let known = &mut self.room[cell as usize];
        let before = &mut self.from[cell as usize];
        if room > *known {
            (*known, *before) = (room, from);
            self.open.push(OpenCell { room, cell });
        } else if room == *known {
            // Of ways that leave as much room, the one through the cell of the lowest number, whenever it is found.
            *before = from.min(*before);
        }
    }

    /// The way to a cell that is reached.
    pub fn way(&self, end: u32, lie: impl Fn(u32) -> Lie, gap: impl Fn(u32) -> f64) -> Haul {
        let mut cells = vec![end];
        let mut last = end;
        while self.from[last as usize] != last {
            last = self.from[last as usize];
            cells.push(last);
        }
        cells.reverse();
        let tightest = (cells.iter().copied())
            .min_by(|&one, &other| gap(one).total_cmp(&gap(other)))
            .unwrap_or(end);
        Haul::Passes {
            tightest: lie(tightest),
            spare: gap(tightest),
            way: cells.into_iter().map(lie).collect(),
        }
    }
}

/// The widest ways to all cells that can be reached.
pub struct WidestWays {
    front: WidestFront,
    /// When each cell was reached; the largest number if it was not.
    reached: Vec<u32>,
}

impl WidestWays {
    /// Of a search that has come to its end, with the cells in the order in which it reached them.
    pub fn new(front: WidestFront, order: &[u32]) -> WidestWays {
        let mut reached = vec![u32::MAX; front.room.len()];
        for (nth, &cell) in (0..).zip(order) {
            reached[cell as usize] = nth;
        }
        WidestWays { front, reached }
    }

    /// The way to the one of some cells that is reached first: a search that ends there comes to the same, since nothing
    /// changes the way to a cell once it is reached.
    pub fn to_first(
        &self,
        ends: impl Iterator<Item = u32>,
        lie: impl Fn(u32) -> Lie,
        gap: impl Fn(u32) -> f64,
    ) -> Option<Haul> {
        let first = ends.min_by_key(|&end| self.reached[end as usize])?;
        let is_reached = self.reached[first as usize] != u32::MAX;
        is_reached.then(|| self.front.way(first, lie, gap))
    }
}
