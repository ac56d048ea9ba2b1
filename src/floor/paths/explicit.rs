//! The search against petgraph's, on the graph with every step along an arc written out.

use petgraph::algo::dijkstra;
use petgraph::graph::{DiGraph, NodeIndex};

use super::super::{Point, Polygon};
use super::FreeSpace;
use super::graph::{Graph, left_by, list_of};
use super::horizon::{Horizon, Wanted};
use super::overlay::Overlay;
use super::search::{Access, Search};
use super::tangent::{self, Tangent};

/// A graph with a node for each way to arrive on an arc, each way to leave one, and both ends of ways.
struct Explicit {
    graph: DiGraph<(), f64>,
    /// Where ways from a place begin, and where those to it end.
    sources: Vec<NodeIndex>,
    targets: Vec<NodeIndex>,
}

impl Explicit {
    fn new(lines: &Graph, tangents: &[Vec<Tangent>]) -> Explicit {
        let mut graph = DiGraph::new();
        let nodes = lines.nodes();
        let arrives: Vec<NodeIndex> = nodes.iter().map(|_| graph.add_node(())).collect();
        let leaves: Vec<NodeIndex> = nodes.iter().map(|_| graph.add_node(())).collect();
        let sources: Vec<NodeIndex> = tangents.iter().map(|_| graph.add_node(())).collect();
        let targets: Vec<NodeIndex> = tangents.iter().map(|_| graph.add_node(())).collect();
        let along = |from: f64, to: f64| lines.radius * (to - from).abs();
        for (index, node) in nodes.iter().enumerate() {
            graph.add_edge(leaves[index], arrives[node.far as usize], node.length);
            if (index as u32) + 1 < lines.stop(node.list) {
                let next = &nodes[index + 1];
                graph.add_edge(
                    leaves[index],
                    leaves[index + 1],
                    along(node.angle, next.angle),
                );
            }
            if node.first < lines.stop(left_by(node.list)) {
                let exit = node.first as usize;
                graph.add_edge(
                    arrives[index],
                    leaves[exit],
                    along(node.angle, nodes[exit].angle),
                );
            }
        }
        let ends = || {
            tangents
                .iter()
                .enumerate()
                .flat_map(|(place, lines)| lines.iter().map(move |line| (place, line)))
        };
        for (place, line) in ends() {
            let (list, angle) = (left_by(list_of(&line.touch)), line.touch.angle);
            let start = graph.add_node(());
            graph.add_edge(sources[place], start, line.length);
            let first = lines.first_left(list, angle);
            if first < lines.stop(list) {
                graph.add_edge(
                    start,
                    leaves[first as usize],
                    along(angle, nodes[first as usize].angle),
                );
            }
            for (other, last) in ends().filter(|(_, last)| list_of(&last.touch) == list) {
                if !lines.is_passed(list, last.touch.angle, angle) {
                    graph.add_edge(
                        start,
                        targets[other],
                        along(angle, last.touch.angle) + last.length,
                    );
                }
            }
            // Who arrives by a line of the graph leaves by this one.
            for (index, node) in nodes
                .iter()
                .enumerate()
                .filter(|(_, node)| left_by(node.list) == list_of(&line.touch))
            {
                if !lines.is_passed(list_of(&line.touch), angle, node.angle) {
                    graph.add_edge(
                        arrives[index],
                        targets[place],
                        along(node.angle, angle) + line.length,
                    );
                }
            }
        }
        Explicit {
            graph,
            sources,
            targets,
        }
    }
}

/// A hall with tables in rows, each turned a little more than the one before, and places between them.
fn hall(columns: usize, rows: usize) -> (FreeSpace, Vec<Point>) {
    let at = |n: usize| Point::new((n % columns) as f64 * 2.3, (n / columns) as f64 * 2.1);
    let tables: Vec<Polygon> = (0..columns * rows)
        .filter_map(|n| Polygon::rectangle(at(n), (1.2, 0.7), n as f64 * 17.0))
        .collect();
    let places = (0..columns * rows).map(|n| at(n) + Point::new(1.15, 1.05));
    (FreeSpace::new(None, &tables, 0.25), places.collect())
}

#[test]
fn a_search_finds_what_petgraph_finds_on_the_same_graph() {
    for (columns, rows) in [(2, 2), (4, 3), (6, 5)] {
        let (space, places) = hall(columns, rows);
        let tangents: Vec<Vec<Tangent>> = (places.iter())
            .filter_map(|&place| space.stance(place))
            .map(|stance| {
                let mut lines = tangent::tangents(&stance, &space.arcs, &space.measure, |_| true);
                lines.retain(|line| space.solids.blocker(line.between, &mut 0).is_none());
                lines
            })
            .collect();
        assert_eq!(tangents.len(), places.len(), "a body fits everywhere");
        let explicit = Explicit::new(space.graph(), &tangents);
        let overlay = Overlay::new(space.graph(), &tangents);
        let horizon = Horizon::new(&places, &space.arcs, space.measure.radius_of_turns());
        let mut search = Search::new(&overlay, &space.solids, Access::Unknown, horizon);
        let all: Vec<u32> = (0..places.len() as u32).collect();
        let mut compared = 0;
        for &from in &all {
            let wanted: Vec<u32> = all.iter().copied().filter(|&to| to != from).collect();
            // All at once, and one by one, as far as what is wanted allows.
            let all_of_them = |to: &u32| (*to, f64::INFINITY);
            let aims: Vec<(u32, f64)> = wanted.iter().map(all_of_them).collect();
            let one_by_one: Vec<Option<f64>> = (aims.iter())
                .map(|&(to, longest)| {
                    search.run(&[from], &[(to, longest)], Wanted::All);
                    let length = search.length(to)?;
                    search.run(&[from], &[(to, length)], Wanted::All);
                    assert_eq!(search.length(to), None, "none is shorter");
                    search.run(&[from], &[(to, length.next_up())], Wanted::All);
                    search.length(to)
                })
                .collect();
            search.run(&[from], &aims, Wanted::All);
            let together: Vec<Option<f64>> = wanted.iter().map(|&to| search.length(to)).collect();
            assert_eq!(one_by_one, together);
            let lengths = dijkstra(
                &explicit.graph,
                explicit.sources[from as usize],
                None,
                |edge| *edge.weight(),
            );
            for &to in &wanted {
                let expected = lengths.get(&explicit.targets[to as usize]).copied();
                // Petgraph adds the steps along an arc one by one.
                match (search.length(to), expected) {
                    (Some(found), Some(expected)) => {
                        assert!((found - expected).abs() <= 1e-9, "{found} {expected}");
                        compared += 1;
                    }
                    (found, expected) => assert_eq!(found, expected),
                }
            }
        }
        assert!(compared > all.len(), "{compared}");
    }
}
