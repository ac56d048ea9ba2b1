//! How wide a walk is at its narrowest.
//!
//! A gap is a shortest line between two things that face each other: moved at either end, it would become longer. Such
//! lines join corners, or a corner and an edge across which it lies, and there are few of them on a plan; between
//! edges that run beside each other there is one at every place. A walk passes a gap where it crosses the line and goes
//! on on both sides of it. What lies to the left and to the right where a walk just ends, as in a corner of the room,
//! is no gap: there are shorter and shorter lines across it, and none is the shortest.

use super::super::Point;
use super::super::polygon::{Polygon, segments_meet};
use super::super::tolerance::{LED_ON_M, TOUCHING_M};
use super::bounds::Bounds;
use super::constriction::{
    Across, Constriction, FacingEdges, SolidCorner, SolidEdge, WIDE_M, edge, facing, lines, walls,
};
use super::corner::free_spans;
use super::grid::Grid;
use super::path::Path;
use super::solids::Obstruction;
use super::walked_line::WalkedLine;

/// A gap between two things that somebody walks through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Narrowest {
    /// In metres, from one side to the other.
    pub width: f64,
    /// On the walk, to a millimetre.
    pub at: Point,
    /// What stands to the left of the walk, and what to the right.
    pub between: [Obstruction; 2],
}

/// A gap, wherever along it somebody crosses it.
#[derive(Debug, Clone, Copy)]
pub(in crate::floor) struct GapSpan {
    around: Bounds,
}

impl GapSpan {
    /// No walk through the gap from one point to another is shorter, in metres.
    pub fn least_way(&self, from: Point, to: Point) -> f64 {
        let away = |point: Point| self.around.square_distance(point).sqrt();
        away(from) + away(to)
    }
}

/// All gaps of a plan, for how wide walks are.
#[derive(Debug, Clone)]
pub struct Passages {
    edges: Vec<SolidEdge>,
    grid: Grid,
    /// The narrowest first.
    gaps: Vec<Constriction>,
}

impl Passages {
    /// A room, if there is one, the openings in its walls, and obstacles in it. All coordinates must be finite.
    pub fn new(
        room: Option<&Polygon>,
        openings: &[(Point, Point)],
        obstacles: &[Polygon],
    ) -> Passages {
        Passages::among(WIDE_M, None, room, openings, obstacles)
    }

    /// The same for ways that are no wider than so many metres: of all others, nothing is found that is narrower.
    pub(in crate::floor) fn no_wider(
        wide: f64,
        room: Option<&Polygon>,
        openings: &[(Point, Point)],
        obstacles: &[Polygon],
    ) -> Passages {
        Passages::among(wide, None, room, openings, obstacles)
    }

    /// Gaps of at least and of less than these widths in metres.
    pub(in crate::floor) fn between(&self, least: f64, most: f64) -> impl Iterator<Item = GapSpan> {
        let all = self.gaps.iter();
        let within = all.filter(move |gap| gap.width >= least && gap.width < most);
        within.map(|gap| GapSpan {
            around: gap.bounds(&self.edges),
        })
    }

    /// The same for some walks alone, and for ways that are no wider than so many metres: of all others, nothing is
    /// found that is narrower. The walks may be led on by up to a centimetre.
    pub fn of_walks(
        walks: &[&Path],
        wide: f64,
        room: Option<&Polygon>,
        openings: &[(Point, Point)],
        obstacles: &[Polygon],
    ) -> Passages {
        let around = walks.iter().map(|walk| walk.bounds().grown(LED_ON_M));
        let around: Vec<Bounds> = around.collect();
        Passages::among(wide, Some(&around), room, openings, obstacles)
    }

    /// With the gaps that somebody can cross `within` one of these boxes, or with all.
    fn among(
        wide: f64,
        within: Option<&[Bounds]>,
        room: Option<&Polygon>,
        openings: &[(Point, Point)],
        obstacles: &[Polygon],
    ) -> Passages {
        let wide = wide.min(WIDE_M);
        let mut edges = Vec::new();
        let mut corners = Vec::new();
        let mut add = |ring: Vec<SolidEdge>| {
            let before = ring.iter().cycle().skip(ring.len().saturating_sub(1));
            let around = before.zip(&ring);
            corners.extend(around.map(|(before, after)| SolidCorner::new(before, after)));
            edges.extend(ring);
        };
        if let Some(room) = room {
            add(walls(room, openings));
        }
        for (index, obstacle) in obstacles.iter().enumerate() {
            let of = Obstruction::Obstacle(index);
            let edges = obstacle.edges().filter_map(|(a, b)| edge(a, b, of, false));
            add(edges.collect());
        }
        edges.retain(|edge| !edge.open);
        corners.retain(SolidCorner::sticks_out);
        if let Some(within) = within {
            // A gap that is crossed there ends no farther away than it is wide.
            let reach = |corner: &SolidCorner| Bounds::of(&[corner.at]).grown(wide);
            corners.retain(|corner| within.iter().any(|around| !around.misses(&reach(corner))));
        }
        let boxes: Vec<Bounds> = (edges.iter())
            .map(|edge| Bounds::of(&[edge.from, edge.to]).grown(TOUCHING_M))
            .collect();
        let mut gaps = lines(&corners, &edges, wide);
        gaps.extend(facing(&edges, wide));
        if let Some(within) = within {
            gaps.retain(|gap| {
                let gap = gap.bounds(&edges);
                within.iter().any(|around| !around.misses(&gap))
            });
        }
        // Lines that are as long stay in order whatever the roundings, and before the edges that they join.
        gaps.sort_by(|a, b| {
            (a.width / TOUCHING_M)
                .round()
                .total_cmp(&(b.width / TOUCHING_M).round())
        });
        Passages {
            grid: Grid::new(&boxes),
            edges,
            gaps,
        }
    }

    /// The narrowest gap that a walk passes; nothing if there is none of less than 10 m.
    ///
    /// It counts only if the walk begins and ends farther from it than the two lengths in metres say: whoever stops
    /// there has not passed it.
    pub fn narrowest(&self, path: &Path, beyond: [f64; 2]) -> Option<Narrowest> {
        let walk = WalkedLine::new(path, beyond);
        let mut best: Option<Narrowest> = None;
        for gap in &self.gaps {
            if best.is_some_and(|best| best.width <= gap.width) {
                break;
            }
            let found = match gap.shape {
                Across::Line(line) => self.across(gap, line, &walk),
                Across::Edges(facing) => self.along(gap, &facing, &walk),
            };
            if let Some(found) = found
                && best.is_none_or(|best| found.width < best.width)
            {
                best = Some(found);
            }
        }
        best
    }

    /// Whether nothing stands on a line between its ends.
    fn free(&self, from: Point, to: Point) -> bool {
        let length = from.distance(to);
        // What the line ends at is not in its way.
        let inset = (to - from) * (10.0 * TOUCHING_M / length).min(0.25);
        let (from, to) = (from + inset, to - inset);
        let meets = |index: usize| {
            let edge = &self.edges[index];
            segments_meet((from, to), (edge.from, edge.to))
        };
        !self.grid.any_along(from, to, meets)
    }

    fn across(
        &self,
        gap: &Constriction,
        [from, to]: [Point; 2],
        walk: &WalkedLine,
    ) -> Option<Narrowest> {
        let (at, to_left) = walk.crossing(from, to)?;
        let [one, other] = gap.sides;
        self.free(from, to).then_some(Narrowest {
            width: gap.width,
            at,
            between: if to_left { [one, other] } else { [other, one] },
        })
    }

    fn along(
        &self,
        gap: &Constriction,
        facing: &FacingEdges,
        walk: &WalkedLine,
    ) -> Option<Narrowest> {
        let [one, other] = facing.edges.map(|index| &self.edges[index]);
        let mut blocked: Option<Vec<(f64, f64)>> = None;
        let mut best: Option<Narrowest> = None;
        for stay in walk.alongside(facing, one, other) {
            // Only now, since hardly any walk leads between these two edges.
            let blocked = blocked.get_or_insert_with(|| self.blocked(facing));
            let extent = stay.high - stay.low;
            let place = |at: f64| (at - stay.low).clamp(0.0, extent);
            let mut within: Vec<(f64, f64)> = (blocked.iter())
                .map(|&(from, to)| (place(from), place(to)))
                .collect();
            for (from, to) in free_spans(extent, &mut within) {
                if to - from < TOUCHING_M {
                    continue;
                }
                let (from, to) = (stay.low + from, stay.low + to);
                let width = |at: f64| one.at(facing.axis, at).distance(other.at(facing.axis, at));
                let (narrow, at) = if (width(from) - width(to)).abs() < TOUCHING_M {
                    (gap.width.max(width(from)), (from + to) / 2.0)
                } else if width(from) < width(to) {
                    (width(from), from)
                } else {
                    (width(to), to)
                };
                if best.is_none_or(|best| narrow < best.width) {
                    let [one, other] = gap.sides;
                    best = Some(Narrowest {
                        width: narrow,
                        at: stay.at(at),
                        // Solid is to the left of the first edge, and that runs along the axis.
                        between: if stay.onward {
                            [one, other]
                        } else {
                            [other, one]
                        },
                    });
                }
            }
        }
        best
    }

    /// Where something stands between two edges, in metres along their axis.
    fn blocked(&self, facing: &FacingEdges) -> Vec<(f64, f64)> {
        let mut spans = Vec::new();
        let [one, other] = facing.edges.map(|index| &self.edges[index]);
        for (index, edge) in self.edges.iter().enumerate() {
            if facing.edges.contains(&index) {
                continue;
            }
            // The part of the edge that lies between the two.
            let (mut from, mut to) = (0.0_f64, 1.0_f64);
            for side in [one, other] {
                let (a, b) = (
                    side.away(edge.from) - TOUCHING_M,
                    side.away(edge.to) - TOUCHING_M,
                );
                if a <= 0.0 && b <= 0.0 {
                    to = -1.0;
                } else if a < 0.0 {
                    from = from.max(a / (a - b));
                } else if b < 0.0 {
                    to = to.min(a / (a - b));
                }
            }
            if from <= to {
                let place = |share: f64| facing.axis.dot(edge.from + (edge.to - edge.from) * share);
                let (a, b) = (place(from), place(to));
                spans.push((a.min(b), a.max(b)));
            }
        }
        spans
    }
}
