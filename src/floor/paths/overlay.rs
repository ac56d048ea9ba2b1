//! Places and the lines from them to arcs, laid over a graph that stays as it is.

use super::super::Point;
use super::graph::{Graph, is_onward, left_by, list_of};
use super::tangent::Tangent;

/// A line from a place, seen from the arc on which it arrives.
#[derive(Debug, Clone, Copy)]
pub(super) struct Start {
    pub angle: f64,
    pub length: f64,
    /// The list by which the arc is left.
    pub list: u32,
    /// The first node of the graph and the first line to a place at which who arrives may leave.
    pub first: u32,
    pub first_last: u32,
    /// Among arrivals of the same length, in the order of all ends of lines.
    pub rank: u32,
    /// The ends of the line.
    pub between: [Point; 2],
}

/// A line to a place, seen from the arc that it leaves.
#[derive(Debug, Clone, Copy)]
pub(super) struct Last {
    pub angle: f64,
    pub length: f64,
    pub place: u32,
    /// The start of the same line.
    pub start: u32,
}

/// Places and their lines, laid over a graph.
pub(super) struct Overlay<'a> {
    pub graph: &'a Graph,
    pub starts: Vec<Start>,
    /// The starts of place `p` are `starts[of_place[p]..of_place[p + 1]]`.
    pub of_place: Vec<u32>,
    /// List by list, in the order of walking.
    pub lasts: Vec<Last>,
    /// The last lines that leave by list `l` are `lasts[of_list[l]..of_list[l + 1]]`.
    pub of_list: Vec<u32>,
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

    pub fn first_last(&self, list: u32, angle: f64) -> u32 {
        let lasts = self.lasts(list);
        let passed = |last: &Last| self.graph.is_passed(list, last.angle, angle);
        self.of_list[list as usize] + lasts.partition_point(passed) as u32
    }

    fn lasts(&self, list: u32) -> &[Last] {
        let list = list as usize;
        &self.lasts[self.of_list[list] as usize..self.of_list[list + 1] as usize]
    }

    pub fn places(&self) -> usize {
        self.of_place.len() - 1
    }
}
