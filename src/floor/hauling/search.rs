//! The search that divides cells where a way may lie, until one is found or there is none.

use std::borrow::Cow;
use std::sync::OnceLock;

use super::cells::{AS_SMALL_AS_CAN_BE, Cells};
use super::solids::Lie;
use super::widest::{WidestFront, WidestWays};
use super::{Destination, Haul};
use crate::floor::tolerance::ROUNDED_SHARE;

/// Cells that are divided before the ways are looked at again, the largest on the cheapest ways: enough that looking
/// does not take longer than dividing.
const AT_ONCE: usize = 3_000;
/// Cells at most: so many take some tenths of a second, and more hardly ever tell more.
const MOST_CELLS: usize = 40_000;
/// Looks at all cells for one destination at most: as for the cells.
const MOST_LOOKS: u32 = 100;

/// Of a cell that no way leads to, or none that is cheap enough.
const UNREACHED: u32 = u32::MAX;
/// Of a cell of which no lie is a goal.
const NO_END: u32 = u32::MAX;
/// More than a way through a cell and an end there cost together, where neither is as small as can be.
const LISTS: usize = 4;

/// What the searches for all destinations have in common: the largest cells, none of them divided.
pub struct FirstLook<'a, T> {
    cells: Cells<'a, T>,
    from: Vec<Lie>,
    /// Of the cheapest ways from the first lies to each cell.
    there: Vec<u32>,
    /// The widest ways from there to all free cells, from when they are first asked for.
    widest: OnceLock<WidestWays>,
}

impl<'a, T: Copy> FirstLook<'a, T> {
    pub fn new(cells: Cells<'a, T>, from: Vec<Lie>) -> FirstLook<'a, T> {
        let starts = starts(&cells, &from);
        let there = costs(&cells, &starts, UNREACHED, |_| true, |_, _| UNREACHED);
        FirstLook {
            cells,
            from,
            there,
            widest: OnceLock::new(),
        }
    }

    /// Whether the rectangle gets to a destination.
    pub fn to(&self, goal: Destination<'_>) -> Haul {
        let mut search = CellSearch {
            cells: Cow::Borrowed(&self.cells),
            from: &self.from,
            goal,
            end_costs: Vec::with_capacity(self.cells.len()),
            ends: Vec::new(),
        };
        search.find_ends();
        let best = search
            .ends()
            .map(|(end, cost)| self.there[end as usize].saturating_add(cost));
        let best = best.min().unwrap_or(UNREACHED);
        if best == 0
            && let Some(found) = self.passes(&search)
        {
            return found;
        }
        search.run(self.there.clone(), best)
    }

    /// The widest way to the destination of a search of which no cell is divided yet: what
    /// [`CellSearch::passes`] finds, without going through the cells again.
    fn passes(&self, search: &CellSearch<'_, '_, T>) -> Option<Haul> {
        let cells = &self.cells;
        let ways = self.widest.get_or_init(|| {
            let mut front = begun(cells, &self.from);
            let mut order = Vec::new();
            while let Some(cell) = front.advance() {
                order.push(cell);
                go_on(cells, &mut front, cell);
            }
            WidestWays::new(front, &order)
        });
        let sure = search.ends.iter().copied();
        let sure = sure.filter(|&end| search.end_costs[end as usize] == 0);
        ways.to_first(sure, |cell| cells.lie(cell), |cell| cells.gap(cell))
    }
}

/// A search for a way to one destination.
struct CellSearch<'a, 'g, T> {
    /// Its own from when the first of them is divided.
    cells: Cow<'g, Cells<'a, T>>,
    from: &'g [Lie],
    goal: Destination<'g>,
    /// What it costs to end in each cell: nothing where the lie in its middle surely is a goal; where that is not sure, as
    /// much as to pass where it is not sure that anything may lie there.
    end_costs: Vec<u32>,
    /// All cells in which a way may end, divided or not.
    ends: Vec<u32>,
}

impl<T: Copy> CellSearch<'_, '_, T> {
    /// Whether the rectangle gets there, with what the cheapest ways cost to each cell and to the destination before
    /// anything is divided.
    fn run(&mut self, mut there: Vec<u32>, mut best: u32) -> Haul {
        let mut looks = 0;
        loop {
            looks += 1;
            if best == UNREACHED {
                return match self.may_pass() {
                    true => self.not_shown(&[]),
                    false => Haul::DoesNotPass,
                };
            }
            if best == 0
                && let Some(found) = self.passes()
            {
                return found;
            }
            let divided = self.on_cheapest(&there, best);
            let full = self.cells.len() + 8 * divided.len() > MOST_CELLS || looks >= MOST_LOOKS;
            if divided.is_empty() || full {
                return self.not_shown(&divided);
            }
            let cells = self.cells.to_mut();
            divided.into_iter().for_each(|cell| cells.divide(cell));
            self.find_ends();
            best = UNREACHED;
            let end_costs = &self.end_costs;
            let starts = starts(&self.cells, self.from);
            there = costs(
                &self.cells,
                &starts,
                UNREACHED,
                |_| true,
                |cell, cost| {
                    let end = end_costs[cell as usize];
                    if end < AS_SMALL_AS_CAN_BE {
                        best = best.min(cost + end);
                    }
                    best
                },
            );
        }
    }

    /// None was found, and these cells have not been divided.
    fn not_shown(&self, left: &[u32]) -> Haul {
        let spreads = left.iter().map(|&cell| self.cells.spread(cell));
        Haul::NotShown {
            resolution: spreads.fold(self.cells.least_spread(), f64::max),
        }
    }

    /// Reckons for new cells what it costs to end there.
    fn find_ends(&mut self) {
        let Destination { point, reach, .. } = self.goal;
        while self.end_costs.len() < self.cells.len() {
            let cell = self.end_costs.len() as u32;
            let alike = self.cells.at_one_place(cell);
            let from_point = self.cells.middle(cell) - point;
            let far = reach + self.cells.reach() + self.cells.spread(cell);
            let is_far = from_point.dot(from_point) > far * far * (1.0 + ROUNDED_SHARE);
            if is_far {
                self.end_costs.resize((cell + alike) as usize, NO_END);
                continue;
            }
            for cell in cell..cell + alike {
                let cost = self.end_cost(cell);
                self.end_costs.push(cost);
                if cost != NO_END {
                    self.ends.push(cell);
                }
            }
        }
    }

    /// What it costs to end in a cell that is near enough.
    fn end_cost(&self, cell: u32) -> u32 {
        if !self.cells.is_open(cell) {
            return NO_END;
        }
        let spread = self.cells.spread(cell);
        match self.goal.beyond(&self.cells.placed(cell), spread) {
            beyond if beyond <= 0.0 => 0,
            beyond if beyond > spread => NO_END,
            _ if self.cells.is_smallest(cell) => AS_SMALL_AS_CAN_BE,
            _ => 1,
        }
    }

    /// The open cells in which a way may end without all being as small as can be, with what that costs.
    fn ends(&self) -> impl Iterator<Item = (u32, u32)> + '_ {
        let ends = self
            .ends
            .iter()
            .map(|&end| (end, self.end_costs[end as usize]));
        ends.filter(|&(end, cost)| cost < AS_SMALL_AS_CAN_BE && self.cells.is_open(end))
    }

    /// The cells on ways that cost no more than the best of which it is not sure that all lies are free, or that they
    /// are goals; the largest first, and no more than are divided at once.
    fn on_cheapest(&self, there: &[u32], best: u32) -> Vec<u32> {
        let ends: Vec<(u32, u32)> = self.ends().collect();
        // No cell is on such a way to which the way alone costs more.
        let is_cheap = |cell: u32| there[cell as usize] <= best;
        let back = costs(&self.cells, &ends, best, is_cheap, |_, _| UNREACHED);
        let is_good = |&cell: &u32| {
            let (there, back) = (there[cell as usize], back[cell as usize]);
            // Both count the cell itself.
            there <= best && back <= best && there + back <= best + self.cells.cost(cell)
        };
        let unknown = (0..self.cells.len() as u32).filter(is_good);
        let unknown = unknown.filter(|&cell| self.cells.is_open(cell) && !self.cells.is_free(cell));
        // What is free, but of which it is not sure that it reaches the goal.
        let unsure = (ends.iter()).filter(|&&(end, cost)| {
            let is_best = there[end as usize].saturating_add(cost) == best;
            cost > 0 && self.cells.is_free(end) && is_best
        });
        let all = unknown.chain(unsure.map(|&(end, _)| end));
        let mut divided: Vec<u32> = all.filter(|&cell| !self.cells.is_smallest(cell)).collect();
        divided.sort_by(|&a, &b| self.cells.spread(b).total_cmp(&self.cells.spread(a)));
        divided.truncate(AT_ONCE);
        divided
    }

    /// Whether a way may be left through cells that are as small as can be.
    fn may_pass(&self) -> bool {
        let starts = starts(&self.cells, self.from);
        let mut is_reached = vec![false; self.cells.len()];
        let mut open: Vec<u32> = starts.into_iter().map(|(cell, _)| cell).collect();
        while let Some(cell) = open.pop() {
            if std::mem::replace(&mut is_reached[cell as usize], true) {
                continue;
            }
            if self.end_costs[cell as usize] != NO_END {
                return true;
            }
            self.cells.neighbours(cell, |other| open.push(other));
        }
        false
    }

    /// The widest way of free cells to a lie that surely is a goal, if there is one.
    fn passes(&self) -> Option<Haul> {
        let cells = &*self.cells;
        let mut front = begun(cells, self.from);
        while let Some(cell) = front.advance() {
            if self.end_costs[cell as usize] == 0 {
                return Some(front.way(cell, |cell| cells.lie(cell), |cell| cells.gap(cell)));
            }
            go_on(cells, &mut front, cell);
        }
        None
    }
}

/// A search for the widest ways that begins in the free cells of the first lies.
fn begun<T: Copy>(cells: &Cells<'_, T>, from: &[Lie]) -> WidestFront {
    let mut front = WidestFront::new(cells.len());
    for (cell, _) in starts(cells, from) {
        if cells.is_free(cell) {
            front.begin(cell, cells.gap(cell));
        }
    }
    front
}

/// From a cell that is reached to the free ones around it.
fn go_on<T: Copy>(cells: &Cells<'_, T>, front: &mut WidestFront, cell: u32) {
    cells.neighbours(cell, |other| {
        if cells.is_free(other) {
            front.go_on(cell, other, cells.gap(other));
        }
    });
}

/// The cells of the first lies; it costs nothing to begin there.
fn starts<T: Copy>(cells: &Cells<'_, T>, from: &[Lie]) -> Vec<(u32, u32)> {
    let all = from.iter().filter_map(|&lie| cells.of(lie));
    all.filter(|&cell| cells.is_open(cell))
        .map(|cell| (cell, 0))
        .collect()
}

/// What the cheapest way to each cell costs, the cell itself included, through cells that are not as small as can be and
/// that may be entered; up to a limit, which each cell may lower that is reached.
fn costs<T: Copy>(
    cells: &Cells<'_, T>,
    from: &[(u32, u32)],
    mut limit: u32,
    may_enter: impl Fn(u32) -> bool,
    mut reach: impl FnMut(u32, u32) -> u32,
) -> Vec<u32> {
    let mut costs = vec![UNREACHED; cells.len()];
    // Cells wait in lists by what they cost, since costs are few and small (R. B. Dial, Algorithm 360, 1969). On 8 000
    // cells that were joined beforehand petgraph's Dijkstra, which keeps costs in a hash map, took nine times as long.
    let mut open: [Vec<u32>; LISTS] = Default::default();
    let offer = |costs: &mut [u32], open: &mut [Vec<u32>; LISTS], cell: u32, before: u32| {
        let own = cells.cost(cell);
        let known = &mut costs[cell as usize];
        if own < AS_SMALL_AS_CAN_BE && before + own < *known {
            *known = before + own;
            open[*known as usize % LISTS].push(cell);
        }
    };
    for &(cell, more) in from {
        offer(&mut costs, &mut open, cell, more);
    }
    let mut cost = 0;
    while cost <= limit && open.iter().any(|cells| !cells.is_empty()) {
        while let Some(cell) = open[cost as usize % LISTS].pop() {
            if costs[cell as usize] == cost {
                limit = limit.min(reach(cell, cost));
                cells.neighbours(cell, |other| {
                    if may_enter(other) {
                        offer(&mut costs, &mut open, other, cost);
                    }
                });
            }
        }
        cost += 1;
    }
    costs
}
