//! Whether a piece gets from one place to another, lying flat, turned as it must be: a rectangle among solids.
//!
//! The places and turns of the rectangle are divided into cells. Where it is farther from everything than it can move
//! within a cell, all of the cell is free; where it overlaps something by more, none of it is. What is left is divided
//! where it lies on a way that may be one, until a way of free cells is found, or there is none even of those that are
//! not known, or the cells are as small as they may be. So the first two verdicts are proofs, and the third one says
//! how finely it was searched (hierarchical approximate cell decomposition; J.-C. Latombe, Robot Motion Planning, 1991,
//! chapter 6).

mod cells;
mod solids;

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use cells::{AS_SMALL_AS_CAN_BE, CellState, Cells};
pub use solids::{ConvexSolids, Lie, Placed, Rectangle};

use super::{Point, Polygon};

/// Side of the largest cells in metres.
const LARGEST: f64 = 0.6;
/// Cells that are divided before the ways are looked at again, the largest on the cheapest ways: enough that looking
/// does not take longer than dividing.
const AT_ONCE: usize = 3_000;
/// Largest cells at most: in a large room, or for a long piece, they are larger.
const MOST_LARGEST: f64 = 30_000.0;
/// Cells at most: so many take some tenths of a second, and more hardly ever tell more.
const MOST_CELLS: usize = 40_000;
/// Looks at all cells for one destination at most: as for the cells.
const MOST_LOOKS: u32 = 100;

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

/// Ways of one rectangle from its first lies: what the searches for all destinations begin with.
pub struct Hauling<'a, T> {
    start: CellSearch<'a, T>,
    /// Of the undivided largest cells.
    neighbours: Neighbours,
    costs: Vec<Option<u32>>,
}

/// A search for a way to one destination.
#[derive(Clone)]
struct CellSearch<'a, T> {
    cells: Cells<'a, T>,
    from: Vec<Lie>,
}

impl<'a, T: Copy> Hauling<'a, T> {
    /// Of a rectangle that lies in one of these ways at first, and whose middle stays between two corners.
    pub fn new(
        solids: &'a ConvexSolids<T>,
        rectangle: Rectangle,
        from: Vec<Lie>,
        within: (Point, Point),
    ) -> Hauling<'a, T> {
        let mut side = LARGEST;
        while Cells::<T>::largest(rectangle, within, side) > MOST_LARGEST {
            side *= 1.25;
        }
        let start = CellSearch {
            cells: Cells::new(solids, rectangle, within, side),
            from,
        };
        let neighbours = start.neighbours();
        Hauling {
            costs: start.costs(&neighbours, &start.starts()),
            neighbours,
            start,
        }
    }

    /// Whether it gets there.
    pub fn to(&self, goal: Destination<'_>) -> Haul {
        self.start.clone().to(goal, &self.neighbours, &self.costs)
    }
}

impl<T: Copy> CellSearch<'_, T> {
    /// Whether the rectangle gets there; before anything is divided, these cells touch, and the cheapest ways to each
    /// cost so much.
    fn to(
        &mut self,
        goal: Destination<'_>,
        first_neighbours: &Neighbours,
        first_costs: &[Option<u32>],
    ) -> Haul {
        let mut looks = 0;
        let mut later: Option<(Neighbours, Vec<Option<u32>>)> = None;
        let mut beyond: Vec<f64> = Vec::new();
        loop {
            looks += 1;
            // How far each cell is from being there, which stays as it is.
            let new = beyond.len() as u32..self.cells.len() as u32;
            beyond.extend(new.map(|cell| {
                let spread = self.cells.spread(cell);
                goal.beyond(&self.cells.placed(cell), spread)
            }));
            let starts = self.starts();
            let ends = self.ends(&beyond);
            let (neighbours, there) = match &later {
                Some((neighbours, there)) => (neighbours, &there[..]),
                None => (first_neighbours, first_costs),
            };
            let best = (ends.iter())
                .filter_map(|&(end, cost)| Some(there[end as usize]? + cost))
                .min();
            let Some(best) = best else {
                return Haul::DoesNotPass;
            };
            if best == 0
                && let Some(found) = self.passes(neighbours, &starts, &beyond)
            {
                return found;
            }
            if best >= AS_SMALL_AS_CAN_BE {
                let resolution = self.cells.spread_of(cells::DEEPEST);
                return Haul::NotShown { resolution };
            }
            let back = self.costs(neighbours, &ends);
            let is_good = |cell: u32| {
                let cost = there[cell as usize].zip(back[cell as usize]);
                // Both count the cell itself.
                cost.is_some_and(|(there, back)| there + back <= best + self.cells.cost(cell))
            };
            let mixed = (0..self.cells.len() as u32)
                .filter(|&cell| {
                    self.cells.is_open(cell) && self.cells.state(cell) == CellState::Mixed
                })
                .filter(|&cell| is_good(cell));
            // What is free, but of which it is not sure that it reaches the goal.
            let unsure = (ends.iter())
                .filter(|&&(end, cost)| {
                    let ends_best = there[end as usize].is_some_and(|there| there + cost == best);
                    cost > 0 && self.cells.state(end) == CellState::Free && ends_best
                })
                .map(|&(end, _)| end);
            let mut divided: Vec<u32> = mixed
                .chain(unsure)
                .filter(|&cell| !self.cells.is_smallest(cell))
                .collect();
            // The larger ones first.
            divided.sort_by(|&a, &b| self.cells.spread(b).total_cmp(&self.cells.spread(a)));
            divided.truncate(AT_ONCE);
            let full = self.cells.len() + 8 * divided.len() > MOST_CELLS || looks >= MOST_LOOKS;
            if divided.is_empty() || full {
                let resolution = divided.iter().map(|&cell| self.cells.spread(cell));
                let finest = self.cells.spread_of(cells::DEEPEST);
                return Haul::NotShown {
                    resolution: resolution.fold(finest, f64::max),
                };
            }
            for cell in divided {
                self.cells.divide(cell);
            }
            let neighbours = self.neighbours();
            let there = self.costs(&neighbours, &self.starts());
            later = Some((neighbours, there));
        }
    }

    /// The cells of the first lies.
    fn starts(&self) -> Vec<(u32, u32)> {
        let all = self.from.iter().filter_map(|&lie| self.cells.of(lie));
        all.filter(|&cell| self.cells.is_open(cell))
            .map(|cell| (cell, 0))
            .collect()
    }

    /// The cells of which some lie may be a goal; those of which it is not sure that the lie in the middle is one cost
    /// as much as those of which it is not sure that anything may lie there.
    fn ends(&self, beyond: &[f64]) -> Vec<(u32, u32)> {
        let all = 0..self.cells.len() as u32;
        let open = all.filter(|&cell| self.cells.is_open(cell));
        let ends = open.filter_map(|cell| {
            let cost = match beyond[cell as usize] {
                beyond if beyond <= 0.0 => 0,
                beyond if beyond > self.cells.spread(cell) => return None,
                _ if self.cells.is_smallest(cell) => AS_SMALL_AS_CAN_BE,
                _ => 1,
            };
            Some((cell, cost))
        });
        ends.collect()
    }

    /// For every cell those that have a face in common with it, as ranges of one list.
    fn neighbours(&self) -> Neighbours {
        let mut pairs: Vec<(u32, u32)> = Vec::new();
        for cell in (0..self.cells.len() as u32).filter(|&cell| self.cells.is_open(cell)) {
            self.cells.larger_neighbours(cell, |other| {
                if self.cells.is_open(other) {
                    pairs.push((cell, other));
                }
            });
        }
        Neighbours::of(self.cells.len(), &pairs)
    }

    /// What the cheapest way to each cell costs, the cell itself included.
    fn costs(&self, neighbours: &Neighbours, from: &[(u32, u32)]) -> Vec<Option<u32>> {
        let mut costs: Vec<Option<u32>> = vec![None; self.cells.len()];
        let mut open: BinaryHeap<Reverse<(u32, u32)>> = BinaryHeap::new();
        // What can be reached without further cost, which is most of a floor.
        let mut alike: Vec<u32> = Vec::new();
        for &(cell, more) in from {
            let cost = self.cells.cost(cell) + more;
            if costs[cell as usize].is_none_or(|known| cost < known) {
                costs[cell as usize] = Some(cost);
                open.push(Reverse((cost, cell)));
            }
        }
        while let Some(Reverse((cost, cell))) = open.pop() {
            if costs[cell as usize] != Some(cost) {
                continue;
            }
            alike.push(cell);
            while let Some(cell) = alike.pop() {
                for &other in neighbours.of_cell(cell) {
                    let further = cost + self.cells.cost(other);
                    if costs[other as usize].is_none_or(|known| further < known) {
                        costs[other as usize] = Some(further);
                        match further == cost {
                            true => alike.push(other),
                            false => open.push(Reverse((further, other))),
                        }
                    }
                }
            }
        }
        costs
    }

    /// The widest way of free cells to a lie that surely is a goal, if there is one.
    fn passes(
        &self,
        neighbours: &Neighbours,
        starts: &[(u32, u32)],
        beyond: &[f64],
    ) -> Option<Haul> {
        let is_goal = |cell: u32| beyond[cell as usize] <= 0.0;
        let is_free = |cell: u32| self.cells.state(cell) == CellState::Free;
        // The way whose tightest cell is widest: cells in the order of the room that the way to them leaves.
        let mut from: Vec<Option<u32>> = vec![None; self.cells.len()];
        let mut done = vec![false; self.cells.len()];
        let mut open: BinaryHeap<Widest> = BinaryHeap::new();
        for cell in starts
            .iter()
            .map(|&(cell, _)| cell)
            .filter(|&cell| is_free(cell))
        {
            open.push(Widest {
                room: self.cells.gap(cell),
                cell,
                from: cell,
            });
        }
        while let Some(Widest {
            room,
            cell,
            from: before,
        }) = open.pop()
        {
            if std::mem::replace(&mut done[cell as usize], true) {
                continue;
            }
            from[cell as usize] = Some(before);
            if is_goal(cell) {
                return Some(self.way(cell, &from));
            }
            for &other in neighbours.of_cell(cell) {
                if is_free(other) && !done[other as usize] {
                    let room = room.min(self.cells.gap(other));
                    open.push(Widest {
                        room,
                        cell: other,
                        from: cell,
                    });
                }
            }
        }
        None
    }

    /// The way to a cell back along those before it.
    fn way(&self, end: u32, from: &[Option<u32>]) -> Haul {
        let mut cells = vec![end];
        let mut last = end;
        while let Some(before) = from[last as usize].filter(|&before| before != last) {
            cells.push(before);
            last = before;
        }
        cells.reverse();
        let tightest = (cells.iter().copied())
            .min_by(|&a, &b| self.cells.gap(a).total_cmp(&self.cells.gap(b)))
            .unwrap_or(end);
        Haul::Passes {
            way: cells.iter().map(|&cell| self.cells.lie(cell)).collect(),
            tightest: self.cells.lie(tightest),
            spare: self.cells.gap(tightest),
        }
    }
}

/// A cell on the front of a search for the widest way; the one that leaves most room comes first, then the one that is
/// earlier in the list of cells.
struct Widest {
    room: f64,
    cell: u32,
    from: u32,
}

impl Ord for Widest {
    fn cmp(&self, other: &Widest) -> std::cmp::Ordering {
        let by_room = self.room.total_cmp(&other.room);
        by_room
            .then_with(|| other.cell.cmp(&self.cell))
            .then_with(|| other.from.cmp(&self.from))
    }
}

impl PartialOrd for Widest {
    fn partial_cmp(&self, other: &Widest) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Widest {
    fn eq(&self, other: &Widest) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Widest {}

/// Which cells touch, for all cells in one list.
struct Neighbours {
    /// Where each cell's begin.
    first: Vec<u32>,
    all: Vec<u32>,
}

impl Neighbours {
    fn of(cells: usize, pairs: &[(u32, u32)]) -> Neighbours {
        let mut first = vec![0u32; cells + 1];
        for &(a, b) in pairs {
            first[a as usize + 1] += 1;
            first[b as usize + 1] += 1;
        }
        for cell in 0..cells {
            first[cell + 1] += first[cell];
        }
        let mut next = first.clone();
        let mut all = vec![0u32; 2 * pairs.len()];
        for &(a, b) in pairs {
            for (cell, other) in [(a, b), (b, a)] {
                all[next[cell as usize] as usize] = other;
                next[cell as usize] += 1;
            }
        }
        Neighbours { first, all }
    }

    fn of_cell(&self, cell: u32) -> &[u32] {
        &self.all[self.first[cell as usize] as usize..self.first[cell as usize + 1] as usize]
    }
}
