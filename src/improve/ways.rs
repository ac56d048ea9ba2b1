//! Whether people get from a door to where they stand, on a coarse grid: what is blocked for somebody as wide as a way out
//! is so in the end by the rules; this only keeps a search from closing ways.

use super::dislike::Likes;
use super::spots::StationSpot;
use crate::floor::{AxisBox, Point};
use crate::shop::StationId;

/// The side of a cell, in metres.
const CELL_M: f64 = 0.1;

/// The last step to a standing place goes where it is narrower, in metres.
const LAST_STEP_M: f64 = 0.5;

/// A room in cells.
#[derive(Debug)]
pub(super) struct WayGrid {
    low: Point,
    columns: usize,
    rows: usize,
    radius: f64,
    /// Of the empty room, with what stands in it anyway.
    empty: Vec<bool>,
    /// Before the doors.
    starts: Vec<Point>,
    free: Vec<bool>,
    reached: Vec<bool>,
    open: Vec<usize>,
}

impl WayGrid {
    pub fn new(likes: &Likes<'_>) -> WayGrid {
        let site = likes.search.site;
        let room = likes.ground.room;
        let size = room.high - room.low;
        let cells = |length: f64| (length / CELL_M).ceil().max(1.0) as usize;
        let (columns, rows) = (cells(size.x), cells(size.y));
        let radius = site.way_out() / 2.0;
        let doors = site.premises.doors().iter().zip(&site.doors);
        let starts = doors.map(|(door, floor)| door.middle() + floor.inward * (radius + CELL_M));
        let mut grid = WayGrid {
            low: room.low,
            columns,
            rows,
            radius,
            empty: vec![false; columns * rows],
            starts: starts.collect(),
            free: Vec::new(),
            reached: Vec::new(),
            open: Vec::new(),
        };
        let inside = room.grown(-radius);
        for cell in 0..columns * rows {
            grid.empty[cell] = inside.grown(CELL_M / 2.0).holds(grid.middle(cell));
        }
        let mut empty = std::mem::take(&mut grid.empty);
        for thing in likes.ground.things.iter().filter(|thing| thing.stands()) {
            grid.block(&mut empty, &thing.area);
        }
        grid.empty = empty;
        grid
    }

    fn middle(&self, cell: usize) -> Point {
        let (column, row) = (cell % self.columns, cell / self.columns);
        let at = |index: usize| (index as f64 + 0.5) * CELL_M;
        self.low + Point::new(at(column), at(row))
    }

    /// From the first to the last cell whose middles lie between two coordinates.
    fn span(low: f64, high: f64, cells: usize) -> std::ops::Range<usize> {
        let first = (low / CELL_M - 0.5).ceil().max(0.0) as usize;
        let last = (high / CELL_M - 0.5).floor();
        match last < 0.0 {
            true => 0..0,
            false => first.min(cells)..(last as usize + 1).min(cells),
        }
    }

    fn block(&self, cells: &mut [bool], area: &AxisBox) {
        // Cells are coarse: what is only just wide enough is not closed by them.
        let by = self.radius - 0.3 * CELL_M;
        let (low, high) = (area.low - self.low, area.high - self.low);
        let columns = WayGrid::span(low.x - by, high.x + by, self.columns);
        for row in WayGrid::span(low.y - by, high.y + by, self.rows) {
            cells[row * self.columns..][columns.clone()].fill(false);
        }
    }

    fn cell(&self, place: Point) -> Option<usize> {
        let off = place - self.low;
        let (column, row) = ((off.x / CELL_M).floor(), (off.y / CELL_M).floor());
        let is_in = column >= 0.0
            && row >= 0.0
            && (column as usize) < self.columns
            && (row as usize) < self.rows;
        is_in.then(|| row as usize * self.columns + column as usize)
    }

    /// How many standing places nobody gets to from any door, and how many doors are closed.
    pub fn unreached(&mut self, spots: &[(StationId, StationSpot)]) -> usize {
        let mut free = std::mem::take(&mut self.free);
        free.clone_from(&self.empty);
        for body in spots.iter().filter_map(|(_, spot)| spot.standing_body()) {
            self.block(&mut free, &body.area);
        }
        self.free = free;
        self.reached.clear();
        self.reached.resize(self.empty.len(), false);
        self.open.clear();
        for start in &self.starts {
            if let Some(first) = self.cell(*start).filter(|&cell| self.free[cell]) {
                self.reached[first] = true;
                self.open.push(first);
            }
        }
        while let Some(cell) = self.open.pop() {
            let (column, row) = (cell % self.columns, cell / self.columns);
            let next = [
                (column > 0).then(|| cell - 1),
                (column + 1 < self.columns).then(|| cell + 1),
                (row > 0).then(|| cell - self.columns),
                (row + 1 < self.rows).then(|| cell + self.columns),
            ];
            for next in next.into_iter().flatten() {
                if self.free[next] && !self.reached[next] {
                    self.reached[next] = true;
                    self.open.push(next);
                }
            }
        }
        let stands = spots.iter().map(|(_, spot)| spot.stands);
        let places = stands.chain(self.starts.iter().copied());
        places.filter(|&place| !self.is_reached(place)).count()
    }

    fn is_reached(&self, place: Point) -> bool {
        let off = place - self.low;
        let by = LAST_STEP_M;
        let columns = WayGrid::span(off.x - by, off.x + by, self.columns);
        let mut rows = WayGrid::span(off.y - by, off.y + by, self.rows);
        rows.any(|row| self.reached[row * self.columns..][columns.clone()].contains(&true))
    }
}
