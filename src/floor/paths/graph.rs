//! The graph of touching places, and the shortest ways through it.
//!
//! A node is the end of a line on an arc. Who arrives there walks on along the arc, in the direction of the line,
//! and leaves it by a line that goes on in that direction. So the ends of lines on one arc form two lists, one for
//! each direction, and whoever arrives joins the list of the lines that leave.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::super::Point;
use super::Measure;
use super::tangent::{Between, Stance, Touch, Toward};

/// What is at the other end of a line.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Far {
    Node(u32),
    Place(u32),
}

#[derive(Debug, Clone, Copy)]
struct Node {
    arc: u32,
    onward: bool,
    angle: f64,
    /// Of the line.
    length: f64,
    far: Far,
    /// Where who arrives here may leave: `first..stop` in the order of walking.
    first: u32,
    stop: u32,
}

/// Lines between arcs and to the places asked for.
pub(super) struct Graph {
    /// The ends on each arc together: those that leave onward in rising order of the angle, then the others falling.
    nodes: Vec<Node>,
    /// Nodes at the far ends of each place's lines.
    of_place: Vec<Vec<u32>>,
    /// Straight lengths between places, row by row, where nothing stands between them.
    straight: Vec<Option<f64>>,
    /// Metres for each radian of an arc.
    radius: f64,
    /// Angles nearer than this are one: a line that only touches an arc arrives and leaves at the same place.
    slack: f64,
}

impl Graph {
    pub fn new(
        arcs: usize,
        between: &[Between],
        toward: &[Vec<Toward>],
        straight: Vec<Option<f64>>,
        measure: &Measure,
    ) -> Graph {
        let mut graph = Graph {
            nodes: Vec::with_capacity(
                2 * between.len() + toward.iter().map(Vec::len).sum::<usize>(),
            ),
            of_place: Vec::new(),
            straight,
            radius: if measure.round { measure.reach } else { 0.0 },
            slack: measure.slack,
        };
        let mut push = |touch: &Touch, length: f64, far: Far| {
            graph.nodes.push(Node {
                arc: touch.arc,
                onward: touch.onward,
                angle: touch.angle,
                length,
                far,
                first: 0,
                stop: 0,
            });
        };
        for (index, line) in between.iter().enumerate() {
            let first = 2 * index as u32;
            push(&line.ends[0], line.length, Far::Node(first + 1));
            push(&line.ends[1], line.length, Far::Node(first));
        }
        for (place, lines) in toward.iter().enumerate() {
            for line in lines {
                push(&line.touch, line.length, Far::Place(place as u32));
            }
        }
        graph.arrange(arcs, toward.len());
        graph
    }

    /// Puts the nodes in order, and finds for each where who arrives may leave.
    fn arrange(&mut self, arcs: usize, places: usize) {
        let list = |node: &Node| 2 * node.arc as usize + usize::from(!node.onward);
        let mut starts = vec![0_u32; 2 * arcs + 1];
        for node in &self.nodes {
            starts[list(node) + 1] += 1;
        }
        for index in 1..starts.len() {
            starts[index] += starts[index - 1];
        }
        let mut order = vec![0_u32; self.nodes.len()];
        let mut next = starts.clone();
        for (index, node) in self.nodes.iter().enumerate() {
            let at = &mut next[list(node)];
            order[*at as usize] = index as u32;
            *at += 1;
        }
        for (index, range) in starts.windows(2).enumerate() {
            let angle = |&node: &u32| self.nodes[node as usize].angle;
            let onward = index % 2 == 0;
            order[range[0] as usize..range[1] as usize].sort_unstable_by(|a, b| {
                let by_angle = match onward {
                    true => angle(a).total_cmp(&angle(b)),
                    false => angle(b).total_cmp(&angle(a)),
                };
                by_angle.then(a.cmp(b))
            });
        }
        let mut new_index = vec![0_u32; order.len()];
        for (new, &old) in order.iter().enumerate() {
            new_index[old as usize] = new as u32;
        }
        let mut nodes: Vec<Node> = order.iter().map(|&old| self.nodes[old as usize]).collect();
        for node in &mut nodes {
            if let Far::Node(far) = &mut node.far {
                *far = new_index[*far as usize];
            }
        }
        for index in 0..nodes.len() {
            let node = nodes[index];
            // A line that lies onward of its node arrives against that direction, and the other way round.
            let list = 2 * node.arc as usize + usize::from(node.onward);
            let (start, stop) = (starts[list], starts[list + 1]);
            let leaves = &nodes[start as usize..stop as usize];
            let passed = leaves.partition_point(|other| match other.onward {
                true => other.angle < node.angle - self.slack,
                false => other.angle > node.angle + self.slack,
            });
            nodes[index].first = start + passed as u32;
            nodes[index].stop = stop;
        }
        self.of_place = vec![Vec::new(); places];
        for (index, node) in nodes.iter().enumerate() {
            if let Far::Place(place) = node.far {
                self.of_place[place as usize].push(index as u32);
            }
        }
        self.nodes = nodes;
    }

    /// The shortest ways from a place to the places that are wanted.
    pub fn search(&self, from: usize, wanted: std::ops::Range<usize>) -> Found<'_> {
        let places = self.of_place.len();
        let mut found = Found {
            graph: self,
            from,
            lengths: self.straight[from * places..(from + 1) * places].to_vec(),
            last: vec![None; places],
            leaves: vec![f64::INFINITY; self.nodes.len()],
            arrived: vec![0; self.nodes.len()],
        };
        found.run(wanted);
        found
    }
}

/// What one search has found.
pub(super) struct Found<'a> {
    graph: &'a Graph,
    from: usize,
    /// To each place that was wanted.
    pub lengths: Vec<Option<f64>>,
    /// The node from which the last line to a place leaves; nothing if the way is one line.
    last: Vec<Option<u32>>,
    /// Least length from the start to each node when leaving it by its line.
    leaves: Vec<f64>,
    /// The node at which who leaves there has arrived on the arc.
    arrived: Vec<u32>,
}

/// One step of a walk along the graph: an arc between the ends of two lines.
pub(super) struct Turn {
    pub arc: u32,
    pub arrives: f64,
    pub leaves: f64,
}

impl Found<'_> {
    fn run(&mut self, wanted: std::ops::Range<usize>) {
        let graph = self.graph;
        let mut heap: BinaryHeap<Reverse<(u64, u32)>> = BinaryHeap::new();
        let mut arrives = vec![f64::INFINITY; graph.nodes.len()];
        let mut limit = self.limit(&wanted);
        for &node in &graph.of_place[self.from] {
            let length = graph.nodes[node as usize].length;
            arrives[node as usize] = length;
            heap.push(Reverse((order(length), node)));
        }
        while let Some(Reverse((bits, arrival))) = heap.pop() {
            let length = f64::from_bits(bits);
            if length >= limit {
                break;
            }
            let node = &graph.nodes[arrival as usize];
            if length > arrives[arrival as usize] {
                continue;
            }
            for leave in node.first..node.stop {
                let exit = &graph.nodes[leave as usize];
                let walked = length + graph.radius * (exit.angle - node.angle).abs();
                if walked >= self.leaves[leave as usize] {
                    // Whoever was here sooner has been at all that follows sooner.
                    break;
                }
                self.leaves[leave as usize] = walked;
                self.arrived[leave as usize] = arrival;
                let there = walked + exit.length;
                if there >= limit {
                    continue;
                }
                match exit.far {
                    Far::Node(far) => {
                        if there < arrives[far as usize] && self.helps(far, there) {
                            arrives[far as usize] = there;
                            heap.push(Reverse((order(there), far)));
                        }
                    }
                    Far::Place(place) => {
                        let place = place as usize;
                        let best = self.lengths[place];
                        if wanted.contains(&place) && best.is_none_or(|best| there < best) {
                            self.lengths[place] = Some(there);
                            self.last[place] = Some(leave);
                            if best.is_none_or(|best| best >= limit) {
                                limit = self.limit(&wanted);
                            }
                        }
                    }
                }
            }
        }
    }

    /// Nothing that is longer than this can shorten the way to a wanted place.
    fn limit(&self, wanted: &std::ops::Range<usize>) -> f64 {
        (self.lengths[wanted.clone()].iter())
            .map(|length| length.unwrap_or(f64::INFINITY))
            .fold(0.0, f64::max)
    }

    /// Whether arriving somewhere after this length may still be sooner for the next line that leaves there.
    fn helps(&self, node: u32, length: f64) -> bool {
        let node = &self.graph.nodes[node as usize];
        if node.first == node.stop {
            return false;
        }
        let exit = &self.graph.nodes[node.first as usize];
        let walked = length + self.graph.radius * (exit.angle - node.angle).abs();
        walked < self.leaves[node.first as usize]
    }

    /// The arcs of the shortest way to a place, in the order of walking; nothing if there is no way.
    pub fn turns(&self, to: usize) -> Option<Vec<Turn>> {
        self.lengths[to]?;
        let mut turns = Vec::new();
        let mut next = self.last[to];
        while let Some(leave) = next {
            let arrival = self.arrived[leave as usize];
            let node = &self.graph.nodes[arrival as usize];
            turns.push(Turn {
                arc: node.arc,
                arrives: node.angle,
                leaves: self.graph.nodes[leave as usize].angle,
            });
            next = match node.far {
                Far::Node(far) => Some(far),
                Far::Place(_) => None,
            };
        }
        turns.reverse();
        Some(turns)
    }
}

/// Lengths are never negative, so their bits are ordered as they are.
fn order(length: f64) -> u64 {
    length.to_bits()
}

/// Straight lengths between all places, as far as nothing stands between them; a place at which no body fits has none.
pub(super) fn straight(
    stances: &[Option<Stance>],
    clear: &mut dyn FnMut(Point, Point) -> bool,
) -> Vec<Option<f64>> {
    let places = stances.len();
    let mut lengths = vec![None; places * places];
    for (i, one) in stances.iter().enumerate() {
        let Some(one) = one else { continue };
        lengths[i * places + i] = Some(0.0);
        for (j, other) in stances.iter().enumerate().skip(i + 1) {
            let Some(other) = other else { continue };
            if clear(one.fits, other.fits) {
                let length = one.place.distance(other.place);
                lengths[i * places + j] = Some(length);
                lengths[j * places + i] = Some(length);
            }
        }
    }
    lengths
}
