//! The shortest ways between places, through the graph of touching places.
//!
//! The lines from places to arcs are laid over the graph, which stays as it is: who walks along an arc leaves it by a
//! line of the graph, or by one to a place. No place changes the ways between others.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::super::Point;
use super::graph::{Graph, arc_of, is_onward, left_by, list_of};
use super::solids::Solids;
use super::tangent::Tangent;

/// A line from a place, seen from the arc on which it arrives.
#[derive(Debug, Clone, Copy)]
struct Start {
    angle: f64,
    length: f64,
    /// The list by which the arc is left.
    list: u32,
    /// The first node of the graph and the first line to a place at which who arrives may leave.
    first: u32,
    first_last: u32,
    /// Among arrivals of the same length, in the order of all ends of lines.
    rank: u32,
    /// The ends of the line.
    between: [Point; 2],
}

/// A line to a place, seen from the arc that it leaves.
#[derive(Debug, Clone, Copy)]
struct Last {
    angle: f64,
    length: f64,
    place: u32,
    /// The start of the same line.
    start: u32,
}

/// One step of a walk along the graph: an arc between the ends of two lines.
#[derive(Debug, Clone, Copy)]
pub(super) struct Turn {
    pub arc: u32,
    pub arrives: f64,
    pub leaves: f64,
}

/// Places and their lines, laid over a graph.
pub(super) struct Overlay<'a> {
    graph: &'a Graph,
    starts: Vec<Start>,
    /// The starts of place `p` are `starts[of_place[p]..of_place[p + 1]]`.
    of_place: Vec<u32>,
    /// List by list, in the order of walking.
    lasts: Vec<Last>,
    /// The last lines that leave by list `l` are `lasts[of_list[l]..of_list[l + 1]]`.
    of_list: Vec<u32>,
}

impl<'a> Overlay<'a> {
    /// The lines of each place that is to be laid over the graph.
    pub fn new(graph: &'a Graph, tangents: &[Vec<Tangent>]) -> Overlay<'a> {
        let mut of_place = vec![0_u32];
        let mut of_list = vec![0_u32; graph.lists() + 1];
        for lines in tangents {
            of_place.push(of_place[of_place.len() - 1] + lines.len() as u32);
            for line in lines {
                of_list[list_of(&line.touch) as usize + 1] += 1;
            }
        }
        for list in 1..of_list.len() {
            of_list[list] += of_list[list - 1];
        }
        let nowhere = Last {
            angle: 0.0,
            length: 0.0,
            place: 0,
            start: 0,
        };
        let mut lasts = vec![nowhere; of_list[graph.lists()] as usize];
        let mut next = of_list.clone();
        let mut start = 0;
        for (place, lines) in tangents.iter().enumerate() {
            for line in lines {
                let at = &mut next[list_of(&line.touch) as usize];
                lasts[*at as usize] = Last {
                    angle: line.touch.angle,
                    length: line.length,
                    place: place as u32,
                    start,
                };
                *at += 1;
                start += 1;
            }
        }
        for (list, range) in of_list.windows(2).enumerate() {
            let lasts = &mut lasts[range[0] as usize..range[1] as usize];
            match is_onward(list as u32) {
                true => lasts.sort_by(|a, b| a.angle.total_cmp(&b.angle)),
                false => lasts.sort_by(|a, b| b.angle.total_cmp(&a.angle)),
            }
        }
        let mut overlay = Overlay {
            graph,
            starts: Vec::new(),
            of_place,
            lasts,
            of_list,
        };
        let lines = tangents.iter().flatten();
        overlay.starts = lines.map(|line| overlay.start(line)).collect();
        overlay
    }

    fn start(&self, line: &Tangent) -> Start {
        let (at, angle) = (list_of(&line.touch), line.touch.angle);
        let list = left_by(at);
        Start {
            angle,
            length: line.length,
            list,
            first: self.graph.first_left(list, angle),
            first_last: self.first_last(list, angle),
            rank: self.graph.rank(at, angle),
            between: line.between,
        }
    }

    fn first_last(&self, list: u32, angle: f64) -> u32 {
        let lasts = self.lasts(list);
        let passed = |last: &Last| self.graph.is_passed(list, last.angle, angle);
        self.of_list[list as usize] + lasts.partition_point(passed) as u32
    }

    fn lasts(&self, list: u32) -> &[Last] {
        let list = list as usize;
        &self.lasts[self.of_list[list] as usize..self.of_list[list + 1] as usize]
    }

    fn places(&self) -> usize {
        self.of_place.len() - 1
    }
}

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

/// Which ways a search is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    All,
    Nearest,
}

/// One search after the other over the same places.
pub(super) struct Search<'a> {
    overlay: &'a Overlay<'a>,
    reached: Vec<Reached>,
    /// The same for the last lines.
    lasts: Vec<(f64, u32)>,
    heap: BinaryHeap<Reverse<(u64, u32, u32)>>,
    /// Whether a body fits along the line of each start, as far as that is known: often only the nearest matter.
    clear: Vec<Option<bool>>,
    solids: &'a Solids,
    hint: usize,
    /// To each place that was wanted, with the last line; nothing where there is no way.
    found: Vec<Option<(f64, u32)>>,
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
    pub fn new(overlay: &'a Overlay<'a>, solids: &'a Solids, access: Access) -> Search<'a> {
        Search {
            reached: vec![UNREACHED; overlay.graph.nodes().len()],
            lasts: vec![(f64::INFINITY, NOTHING); overlay.lasts.len()],
            heap: BinaryHeap::new(),
            clear: vec![(access == Access::Clear).then_some(true); overlay.starts.len()],
            solids,
            hint: 0,
            found: vec![None; overlay.places()],
            overlay,
        }
    }

    /// Looks for the shortest ways along arcs that are shorter than the limit in metres, from the nearest of some places
    /// to the places that are wanted, in rising order.
    pub fn run(&mut self, from: &[u32], wanted: &[u32], kind: Wanted, longest: f64) {
        let Overlay { graph, starts, .. } = self.overlay;
        self.reached.fill(UNREACHED);
        self.lasts.fill((f64::INFINITY, NOTHING));
        self.heap.clear();
        self.found.fill(None);
        let mut limit = longest;
        let of_place = &self.overlay.of_place;
        let nodes = graph.nodes().len() as u32;
        for &from in from {
            for start in of_place[from as usize]..of_place[from as usize + 1] {
                let Start { length, rank, .. } = starts[start as usize];
                self.heap
                    .push(Reverse((order(length), 2 * rank, nodes + start)));
            }
        }
        while let Some(Reverse((bits, _, id))) = self.heap.pop() {
            let length = f64::from_bits(bits);
            if length >= limit {
                break;
            }
            let arrival = match id.checked_sub(nodes) {
                Some(start) => {
                    if !self.is_clear(start) {
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
                    Arrival {
                        angle: node.angle,
                        list,
                        first: node.first,
                        first_last: self.overlay.first_last(list, node.angle),
                    }
                }
            };
            self.leave_by_lines(arrival, id, length, limit);
            if self.leave_for_places(arrival, id, length, wanted, limit) {
                limit = longest.min(self.limit(wanted, kind));
            }
        }
    }

    /// Walks on from an arrival by all lines of the graph.
    #[inline]
    fn leave_by_lines(&mut self, from: Arrival, id: u32, length: f64, limit: f64) {
        let graph = self.overlay.graph;
        for leave in from.first..graph.stop(from.list) {
            let exit = &graph.nodes()[leave as usize];
            let walked = length + graph.radius * (exit.angle - from.angle).abs();
            let reached = &mut self.reached[leave as usize];
            if walked >= reached.leaves {
                // An earlier arrival has already relaxed all later exits.
                break;
            }
            reached.leaves = walked;
            reached.arrived = id;
            let there = walked + exit.length;
            if there >= limit {
                continue;
            }
            if there < self.reached[exit.far as usize].arrives && self.helps(exit.far, there) {
                self.reached[exit.far as usize].arrives = there;
                self.heap
                    .push(Reverse((order(there), 2 * exit.far + 1, exit.far)));
            }
        }
    }

    /// Walks on from an arrival to all places; whether a wanted way became one of those that set the limit.
    #[inline]
    fn leave_for_places(
        &mut self,
        from: Arrival,
        id: u32,
        length: f64,
        wanted: &[u32],
        limit: f64,
    ) -> bool {
        let graph = self.overlay.graph;
        let mut lowers = false;
        for leave in from.first_last..self.overlay.of_list[from.list as usize + 1] {
            let last = &self.overlay.lasts[leave as usize];
            let walked = length + graph.radius * (last.angle - from.angle).abs();
            let left = &mut self.lasts[leave as usize];
            if walked >= left.0 {
                break;
            }
            *left = (walked, id);
            let there = walked + last.length;
            let best = self.length(last.place);
            if there >= limit
                || best.is_some_and(|best| there >= best)
                || wanted.binary_search(&last.place).is_err()
                || !self.is_clear(last.start)
            {
                continue;
            }
            lowers |= best.is_none_or(|best| best >= limit);
            self.found[last.place as usize] = Some((there, leave));
        }
        lowers
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

    /// Nothing that is longer than this can shorten the ways that are wanted.
    fn limit(&self, wanted: &[u32], kind: Wanted) -> f64 {
        let lengths = wanted
            .iter()
            .map(|&place| self.length(place).unwrap_or(f64::INFINITY));
        match kind {
            Wanted::All => lengths.fold(0.0, f64::max),
            Wanted::Nearest => lengths.fold(f64::INFINITY, f64::min),
        }
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

    /// Whether arriving somewhere after this length may still be sooner for the next line that leaves there.
    #[inline]
    fn helps(&self, node: u32, length: f64) -> bool {
        let graph = self.overlay.graph;
        let node = &graph.nodes()[node as usize];
        let list = left_by(node.list);
        let sooner =
            |angle: f64, leaves: f64| length + graph.radius * (angle - node.angle).abs() < leaves;
        if node.first < graph.stop(list) {
            let exit = &graph.nodes()[node.first as usize];
            if sooner(exit.angle, self.reached[node.first as usize].leaves) {
                return true;
            }
        }
        let last = self.overlay.first_last(list, node.angle);
        last < self.overlay.of_list[list as usize + 1]
            && sooner(
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

/// Lengths are never negative, so their bits are ordered as they are.
fn order(length: f64) -> u64 {
    length.to_bits()
}
