//! The graph of touching places.
//!
//! A node is the end of a line on an arc. Who arrives there walks on along the arc, in the direction of the line,
//! and leaves it by a line that goes on in that direction. So the ends of lines on one arc form two lists, one for
//! each direction, and whoever arrives joins the list of the lines that leave.

use super::Measure;
use super::tangent::{Bitangent, Touch};

/// An end of a line between two arcs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Node {
    pub angle: f64,
    /// Of the line, in metres.
    pub length: f64,
    /// The node at the other end of the line.
    pub far: u32,
    /// The list in which the node stands, as a place where the arc is left.
    pub list: u32,
    /// The first node at which who arrives here may leave; the others follow up to the end of its list.
    pub first: u32,
}

/// All lines between arcs, in the order in which they are met along each arc.
#[derive(Debug, Clone)]
pub(super) struct Graph {
    /// List by list: those that leave an arc onward in rising order of the angle, then the others falling.
    nodes: Vec<Node>,
    /// The nodes of list `l` are `nodes[starts[l]..starts[l + 1]]`.
    starts: Vec<u32>,
    /// Metres for each radian of an arc.
    pub radius: f64,
    /// Angles nearer than this are one: a line that only touches an arc arrives and leaves at the same place.
    slack: f64,
}

/// The list of an arc in which the end of a line stands.
pub(super) fn list_of(touch: &Touch) -> u32 {
    2 * touch.arc + u32::from(!touch.onward)
}

/// The arc of a list.
pub(super) fn arc_of(list: u32) -> u32 {
    list / 2
}

/// The list by which who arrives at an end of a line leaves: a line that lies onward of its end arrives against that
/// direction, and the other way round.
pub(super) fn left_by(list: u32) -> u32 {
    list ^ 1
}

/// Whether one leaves in counter-clockwise direction by a list.
pub(super) fn is_onward(list: u32) -> bool {
    list.is_multiple_of(2)
}

impl Graph {
    pub fn new(arcs: usize, lines: &[Bitangent], measure: &Measure) -> Graph {
        let ends = || lines.iter().flat_map(|line| &line.ends);
        let mut starts = vec![0_u32; 2 * arcs + 1];
        for touch in ends() {
            starts[list_of(touch) as usize + 1] += 1;
        }
        for index in 1..starts.len() {
            starts[index] += starts[index - 1];
        }
        // End `e` of line `l` is counted as 2 l + e until all are in order.
        let mut order = vec![(0.0, 0_u32); 2 * lines.len()];
        let mut next = starts.clone();
        for (end, touch) in ends().enumerate() {
            let list = list_of(touch);
            let at = &mut next[list as usize];
            let angle = if is_onward(list) {
                touch.angle
            } else {
                -touch.angle
            };
            order[*at as usize] = (angle, end as u32);
            *at += 1;
        }
        for range in starts.windows(2) {
            order[range[0] as usize..range[1] as usize]
                .sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        }
        let mut new_index = vec![0_u32; order.len()];
        for (new, &(_, end)) in order.iter().enumerate() {
            new_index[end as usize] = new as u32;
        }
        let nodes = order.iter().map(|&(_, end)| {
            let line = &lines[end as usize / 2];
            let touch = &line.ends[end as usize % 2];
            Node {
                angle: touch.angle,
                length: line.length,
                far: new_index[(end ^ 1) as usize],
                list: list_of(touch),
                first: 0,
            }
        });
        let mut graph = Graph {
            nodes: nodes.collect(),
            starts,
            radius: measure.radius_of_turns(),
            slack: measure.slack,
        };
        for index in 0..graph.nodes.len() {
            let Node { angle, list, .. } = graph.nodes[index];
            graph.nodes[index].first = graph.first_left(left_by(list), angle);
        }
        graph
    }

    #[inline]
    pub fn nodes(&self) -> &[Node] {
        &self.nodes
    }

    /// Where a list ends.
    #[inline]
    pub fn stop(&self, list: u32) -> u32 {
        self.starts[list as usize + 1]
    }

    pub fn lists(&self) -> usize {
        self.starts.len() - 1
    }

    fn list(&self, list: u32) -> (u32, &[Node]) {
        let (start, stop) = (self.starts[list as usize], self.stop(list));
        (start, &self.nodes[start as usize..stop as usize])
    }

    /// The first node of a list at which one may leave after arriving at an angle.
    pub fn first_left(&self, list: u32, angle: f64) -> u32 {
        let (start, nodes) = self.list(list);
        start + nodes.partition_point(|node| self.is_passed(list, node.angle, angle)) as u32
    }

    /// Whether another angle lies behind somebody who has arrived at an angle and walks on in the direction of a list.
    #[inline]
    pub fn is_passed(&self, list: u32, other: f64, angle: f64) -> bool {
        match is_onward(list) {
            true => other < angle - self.slack,
            false => other > angle + self.slack,
        }
    }

    /// How many nodes stand before an angle, or at it, in the order of all lists.
    pub fn rank(&self, list: u32, angle: f64) -> u32 {
        let (start, nodes) = self.list(list);
        let before = nodes.partition_point(|node| match is_onward(list) {
            true => node.angle <= angle,
            false => node.angle >= angle,
        });
        start + before as u32
    }
}
