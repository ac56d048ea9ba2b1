//! The shortest ways between places, through the graph of touching places.
//!
//! The lines from places to arcs are laid over the graph, which stays as it is: who walks along an arc leaves it by a
//! line of the graph, or by one to a place. No place changes the ways between others: of two ways that differ by no more
//! than roundings both are followed to the end, and the one whose length comes out smaller is taken; of equal lengths the
//! one found first, and no place changes the order in which arrivals are looked at.

use super::super::tolerance::{SURELY_LONGER_M, SURELY_LONGER_SHARE};
use super::arrivals::ArrivalQueue;
use super::graph::{arc_of, left_by};
use super::horizon::{Horizon, Wanted};
use super::overlay::{Overlay, Start};
use super::solids::Solids;

/// One step of a walk along the graph: an arc between the ends of two lines.
#[derive(Debug, Clone, Copy)]
pub(super) struct Turn {
    pub arc: u32,
    pub arrives: f64,
    pub leaves: f64,
}

/// What has not been asked.
const UNASKED: u32 = u32::MAX;

/// Nothing has been arrived at.
const NOTHING: u32 = u32::MAX;

/// What is found about one node of the graph.
#[derive(Debug, Clone, Copy)]
struct Reached {
    /// Least length from the start when arriving by its line.
    arrives: f64,
    /// Least length from the start when leaving by its line.
    leaves: f64,
    /// Where who leaves by its line has arrived on the arc: a node, or after all nodes a start.
    arrived: u32,
}

const UNREACHED: Reached = Reached {
    arrives: f64::INFINITY,
    leaves: f64::INFINITY,
    arrived: NOTHING,
};

/// What is known of the lines between places and arcs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Access {
    /// A body fits along all of them.
    Clear,
    Unknown,
}

/// One search after the other over the same places.
pub(super) struct Search<'a> {
    overlay: &'a Overlay<'a>,
    reached: Vec<Reached>,
    /// The same for the last lines.
    lasts: Vec<(f64, u32)>,
    open: ArrivalQueue,
    /// The first last line at which who arrives at a node may leave, as far as that has been asked.
    first_lasts: Vec<u32>,
    /// Whether a body fits along the line of each start, as far as that is known: often only the nearest matter.
    clear: Vec<Option<bool>>,
    solids: &'a Solids,
    hint: usize,
    /// To each place that was wanted, with the last line; nothing where there is no way.
    found: Vec<Option<(f64, u32)>>,
    horizon: Horizon<'a>,
}

/// An arrival on an arc.
#[derive(Clone, Copy)]
struct Arrival {
    angle: f64,
    /// The list by which the arc is left, its first node and its first last line that are not passed.
    list: u32,
    first: u32,
    first_last: u32,
}

impl<'a> Search<'a> {
    pub fn new(
        overlay: &'a Overlay<'a>,
        solids: &'a Solids,
        access: Access,
        horizon: Horizon<'a>,
    ) -> Search<'a> {
        Search {
            reached: vec![UNREACHED; overlay.graph.nodes().len()],
            lasts: vec![(f64::INFINITY, NOTHING); overlay.lasts.len()],
            open: ArrivalQueue::default(),
            first_lasts: vec![UNASKED; overlay.graph.nodes().len()],
            clear: vec![(access == Access::Clear).then_some(true); overlay.starts.len()],
            solids,
            hint: 0,
            found: vec![None; overlay.places()],
            horizon,
            overlay,
        }
    }

    /// Looks for the shortest ways along arcs from the nearest of some places to the places that are wanted, in rising
    /// order; only for such as are shorter than the length in metres that is given with each.
    pub fn run(&mut self, from: &[u32], wanted: &[(u32, f64)], kind: Wanted) {
        let Overlay { graph, starts, .. } = self.overlay;
        self.reached.fill(UNREACHED);
        self.lasts.fill((f64::INFINITY, NOTHING));
        self.open.clear();
        self.found.fill(None);
        self.horizon.aim(wanted, kind);
        let of_place = &self.overlay.of_place;
        let nodes = graph.nodes().len() as u32;
        for &from in from {
            for start in of_place[from as usize]..of_place[from as usize + 1] {
                let Start {
                    length, rank, list, ..
                } = starts[start as usize];
                if !self.horizon.is_beyond(list, length) {
                    self.open.push(length, 2 * rank, nodes + start);
                }
            }
        }
        while let Some((length, id)) = self.open.pop() {
            if length >= self.horizon.longest() {
                break;
            }
            let arrival = match id.checked_sub(nodes) {
                Some(start) => {
                    let list = starts[start as usize].list;
                    if self.horizon.is_beyond(list, length) || !self.is_clear(start) {
                        continue;
                    }
                    let start = &starts[start as usize];
                    Arrival {
                        angle: start.angle,
                        list: start.list,
                        first: start.first,
                        first_last: start.first_last,
                    }
                }
                None => {
                    if length > self.reached[id as usize].arrives {
                        continue;
                    }
                    let node = &graph.nodes()[id as usize];
                    let list = left_by(node.list);
                    if self.horizon.is_beyond(list, length) {
                        continue;
                    }
                    Arrival {
                        angle: node.angle,
                        list,
                        first: node.first,
                        first_last: self.first_last(id),
                    }
                }
            };
            self.leave_by_lines(arrival, id, length);
            self.leave_for_places(arrival, id, length);
        }
    }

    /// Walks on from an arrival by all lines of the graph.
    #[inline]
    fn leave_by_lines(&mut self, from: Arrival, id: u32, length: f64) {
        let graph = self.overlay.graph;
        for leave in from.first..graph.stop(from.list) {
            let exit = &graph.nodes()[leave as usize];
            let walked = length + graph.radius * (exit.angle - from.angle).abs();
            let reached = &mut self.reached[leave as usize];
            if walked >= reached.leaves {
                // An earlier arrival has already relaxed all later exits; but if it is sooner by a rounding here, it may
                // be later by one farther on.
                if is_surely_longer(walked, reached.leaves) {
                    break;
                }
                continue;
            }
            reached.leaves = walked;
            reached.arrived = id;
            let there = walked + exit.length;
            if self
                .horizon
                .is_beyond(graph.nodes()[exit.far as usize].list, there)
            {
                continue;
            }
            if there < self.reached[exit.far as usize].arrives && self.helps(exit.far, there) {
                self.reached[exit.far as usize].arrives = there;
                self.open.push(there, 2 * exit.far + 1, exit.far);
            }
        }
    }

    /// Walks on from an arrival to all places.
    #[inline]
    fn leave_for_places(&mut self, from: Arrival, id: u32, length: f64) {
        let graph = self.overlay.graph;
        for leave in from.first_last..self.overlay.of_list[from.list as usize + 1] {
            let last = &self.overlay.lasts[leave as usize];
            let walked = length + graph.radius * (last.angle - from.angle).abs();
            let left = &mut self.lasts[leave as usize];
            if walked >= left.0 {
                if is_surely_longer(walked, left.0) {
                    break;
                }
                continue;
            }
            *left = (walked, id);
            let there = walked + last.length;
            let Some(wanted) = self.horizon.wanted(last.place) else {
                continue;
            };
            if self.horizon.still_shorter(wanted, there) && self.is_clear(last.start) {
                self.horizon.found(wanted, there);
                self.found[last.place as usize] = Some((there, leave));
            }
        }
    }

    /// The first last line at which who arrives at a node may leave.
    #[inline]
    fn first_last(&mut self, id: u32) -> u32 {
        let known = &mut self.first_lasts[id as usize];
        if *known == UNASKED {
            let node = &self.overlay.graph.nodes()[id as usize];
            *known = self.overlay.first_last(left_by(node.list), node.angle);
        }
        *known
    }

    /// Whether a body fits along the line of a start.
    #[inline]
    fn is_clear(&mut self, start: u32) -> bool {
        if let Some(known) = self.clear[start as usize] {
            return known;
        }
        let line = self.overlay.starts[start as usize].between;
        let clear = self.solids.blocker(line, &mut self.hint).is_none();
        self.clear[start as usize] = Some(clear);
        clear
    }

    /// Where the shortest way to a place begins.
    pub fn source(&self, to: u32) -> Option<u32> {
        let (_, last) = self.found[to as usize]?;
        let Overlay {
            graph, of_place, ..
        } = self.overlay;
        let nodes = graph.nodes();
        let mut arrived = self.lasts[last as usize].1;
        while let Some(node) = nodes.get(arrived as usize) {
            arrived = self.reached[node.far as usize].arrived;
        }
        let start = arrived - nodes.len() as u32;
        Some(of_place.partition_point(|&first| first <= start) as u32 - 1)
    }

    /// Whether arriving somewhere after this length may still be sooner for lines that leave there. If it is longer by
    /// more than roundings for the next one, it is so for all that follow.
    #[inline]
    fn helps(&mut self, id: u32, length: f64) -> bool {
        let graph = self.overlay.graph;
        let node = &graph.nodes()[id as usize];
        let list = left_by(node.list);
        let may_help = |angle: f64, leaves: f64| {
            !is_surely_longer(length + graph.radius * (angle - node.angle).abs(), leaves)
        };
        if node.first < graph.stop(list) {
            let exit = &graph.nodes()[node.first as usize];
            if may_help(exit.angle, self.reached[node.first as usize].leaves) {
                return true;
            }
        }
        let last = self.first_last(id);
        last < self.overlay.of_list[list as usize + 1]
            && may_help(
                self.overlay.lasts[last as usize].angle,
                self.lasts[last as usize].0,
            )
    }

    /// In metres, to a place that was wanted; nothing if there is no way.
    pub fn length(&self, to: u32) -> Option<f64> {
        self.found[to as usize].map(|(length, _)| length)
    }

    /// The arcs of the shortest way to a place, in the order of walking; none if there is no way.
    pub fn turns(&self, to: u32, turns: &mut Vec<Turn>) {
        let Overlay { graph, starts, .. } = self.overlay;
        let first = turns.len();
        let nodes = graph.nodes();
        let Some((_, last)) = self.found[to as usize] else {
            return;
        };
        let mut leaves = self.overlay.lasts[last as usize].angle;
        let mut arrived = self.lasts[last as usize].1;
        loop {
            if let Some(start) = (arrived as usize).checked_sub(nodes.len()) {
                let start = &starts[start];
                turns.push(Turn {
                    arc: arc_of(start.list),
                    arrives: start.angle,
                    leaves,
                });
                break;
            }
            let node = &nodes[arrived as usize];
            turns.push(Turn {
                arc: arc_of(node.list),
                arrives: node.angle,
                leaves,
            });
            leaves = nodes[node.far as usize].angle;
            arrived = self.reached[node.far as usize].arrived;
        }
        turns[first..].reverse();
    }
}

/// Whether a length in metres is greater than another one whatever the roundings, here and wherever both go on together.
#[inline]
fn is_surely_longer(length: f64, other: f64) -> bool {
    length > other * (1.0 + SURELY_LONGER_SHARE) + SURELY_LONGER_M
}
