//! Which boxes a line may meet: a uniform grid over the floor, with the boxes that reach into each cell.

use super::super::Point;
use super::super::tolerance::ROUNDED_CELLS;
use super::bounds::Bounds;

/// Cells for each box: finer cells hold fewer boxes, but a line passes through more of them.
const CELLS_PER_BOX: f64 = 2.0;
const MOST_CELLS_ALONG_A_SIDE: f64 = 64.0;

#[derive(Debug, Clone)]
pub(super) struct Grid {
    low: Point,
    /// Cells per metre along x and y.
    scale: Point,
    columns: usize,
    rows: usize,
    /// The boxes of cell `c` are `boxes[starts[c]..starts[c + 1]]`.
    starts: Vec<u32>,
    boxes: Vec<u32>,
}

impl Grid {
    pub fn new(boxes: &[Bounds]) -> Grid {
        let corners: Vec<Point> = boxes.iter().flat_map(|b| [b.low, b.high]).collect();
        let all = match corners.is_empty() {
            true => Bounds::of(&[Point::ORIGIN]),
            false => Bounds::of(&corners),
        };
        let size = all.high - all.low;
        let wanted = CELLS_PER_BOX * boxes.len() as f64;
        let cell = (size.x * size.y / wanted.max(1.0)).sqrt();
        let count = |length: f64| match length / cell {
            cells if cells.is_finite() => cells.ceil().clamp(1.0, MOST_CELLS_ALONG_A_SIDE),
            _ => 1.0,
        };
        let (columns, rows) = (count(size.x), count(size.y));
        let scale = |cells: f64, length: f64| if length > 0.0 { cells / length } else { 0.0 };
        let mut grid = Grid {
            low: all.low,
            scale: Point::new(scale(columns, size.x), scale(rows, size.y)),
            columns: columns as usize,
            rows: rows as usize,
            starts: Vec::new(),
            boxes: Vec::new(),
        };
        grid.fill(boxes);
        grid
    }

    fn fill(&mut self, boxes: &[Bounds]) {
        let mut starts = vec![0; self.columns * self.rows + 1];
        for bounds in boxes {
            self.for_cells_of(bounds, |cell| starts[cell + 1] += 1);
        }
        for cell in 1..starts.len() {
            starts[cell] += starts[cell - 1];
        }
        let mut next = starts.clone();
        let mut filled = vec![0; starts[starts.len() - 1] as usize];
        for (index, bounds) in boxes.iter().enumerate() {
            self.for_cells_of(bounds, |cell| {
                filled[next[cell] as usize] = index as u32;
                next[cell] += 1;
            });
        }
        self.starts = starts;
        self.boxes = filled;
    }

    fn for_cells_of(&self, bounds: &Bounds, mut call: impl FnMut(usize)) {
        let (low, high) = (self.cell_units(bounds.low), self.cell_units(bounds.high));
        for row in cells(low.y, high.y, self.rows) {
            for column in cells(low.x, high.x, self.columns) {
                call(row * self.columns + column);
            }
        }
    }

    fn cell_units(&self, point: Point) -> Point {
        let from_low = point - self.low;
        Point::new(from_low.x * self.scale.x, from_low.y * self.scale.y)
    }

    /// Whether the call answers yes for a box in one of the cells that a line passes through.
    pub fn any_along(&self, from: Point, to: Point, mut call: impl FnMut(usize) -> bool) -> bool {
        let (a, b) = (self.cell_units(from), self.cell_units(to));
        let (low, high) = if a.y <= b.y { (a, b) } else { (b, a) };
        let slope = (high.x - low.x) / (high.y - low.y);
        let (left, right) = (low.x.min(high.x), low.x.max(high.x));
        for row in cells(low.y, high.y, self.rows) {
            let (mut first, mut last) = (left, right);
            if slope.is_finite() {
                let below = low.x + (row as f64 - low.y) * slope;
                let above = below + slope;
                first = first.max(below.min(above));
                last = last.min(below.max(above));
            }
            for column in cells(first, last, self.columns) {
                let cell = row * self.columns + column;
                let (start, end) = (self.starts[cell], self.starts[cell + 1]);
                for &index in &self.boxes[start as usize..end as usize] {
                    if call(index as usize) {
                        return true;
                    }
                }
            }
        }
        false
    }
}

/// The cells between two places of one axis, a little more than there are, so that roundings lose none.
fn cells(from: f64, to: f64, count: usize) -> std::ops::Range<usize> {
    let (first, last) = (from - ROUNDED_CELLS, to + ROUNDED_CELLS);
    if last < 0.0 {
        return 0..0;
    }
    // A conversion stops at the ends of the integers, and makes 0 of what is no number.
    (first.max(0.0) as usize)..(last as usize).saturating_add(1).min(count)
}
