//! The walls of a room as what there is to stand and hang things on: how much of each is taken, at which heights.

use super::access::INCH_M;
use super::strips::Strip;
use super::{HeightRange, Limits, Plan, Point, Polygon, SAME_POINT_M, outward};

/// Where bands of height end, in metres: benches and what stands at walls; what is over benches; cabinets; and what is
/// up to the ceiling. Planning practice of home shops.
const BANDS_END_M: [f64; 3] = [34.0 * INCH_M, 54.0 * INCH_M, 84.0 * INCH_M];

/// A band is taken by what has this share of its height.
const SHARE: f64 = 0.25;

/// Under a ceiling that nobody has measured, the uppermost band is so high.
const UPPERMOST_M: f64 = 12.0 * INCH_M;

/// What is no farther from a wall stands at it: nobody works or hangs anything behind it.
const AT_THE_WALL_M: f64 = 12.0 * INCH_M;

/// Shorter pieces of wall are for nothing.
const SHORTEST_M: f64 = 24.0 * INCH_M;

/// A wall of the room.
#[derive(Debug, Clone, PartialEq)]
pub struct WallUse {
    /// As one walks along it with the room on the left.
    pub from: Point,
    pub to: Point,
    /// From the floor up.
    pub bands: Vec<BandUse>,
}

/// A band of height along a wall, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandUse {
    pub bottom: f64,
    /// Nothing under a ceiling that nobody has measured.
    pub top: Option<f64>,
    pub used: f64,
    pub free: f64,
    /// The longest stretch that is free.
    pub longest: f64,
}

impl WallUse {
    pub fn length(&self) -> f64 {
        self.from.distance(self.to)
    }

    /// Out of the room, of length 1.
    pub fn outward(&self) -> Point {
        outward((self.from, self.to))
    }
}

/// How the walls of the room are used, in the order of its outline; nothing without a room.
pub fn wall_uses(plan: &Plan, limits: &Limits) -> Vec<WallUse> {
    let Some(room) = &plan.room else {
        return Vec::new();
    };
    let bodies = bodies(plan);
    let edges = room.outline.edges();
    let walls = edges.filter(|(from, to)| from.distance(*to) >= SHORTEST_M);
    let uses = walls.map(|(from, to)| {
        let taken = taken(plan, limits, &bodies, (from, to));
        let length = from.distance(to);
        let bands = bands(room.ceiling).map(|band| {
            let here = taken.iter().filter(|(_, heights)| takes(heights, &band));
            let here = here.map(|&(span, _)| span).collect();
            let (used, longest) = along(length, here);
            BandUse {
                bottom: band.bottom,
                top: band.top.is_finite().then_some(band.top),
                used,
                free: length - used,
                longest,
            }
        });
        WallUse {
            from,
            to,
            bands: bands.collect(),
        }
    });
    uses.collect()
}

/// Everything that may stand at a wall.
fn bodies(plan: &Plan) -> Vec<(Polygon, HeightRange)> {
    let stations = plan.placements.iter().flatten();
    let stations =
        stations.filter_map(|placement| Some((placement.footprint()?, placement.heights)));
    let things = plan.room.iter().flat_map(|room| &room.blocked);
    let things = things.map(|thing| (thing.outline.clone(), thing.heights));
    stations.chain(things).collect()
}

/// From where to where along a wall something takes it, and between which heights.
fn taken(
    plan: &Plan,
    limits: &Limits,
    bodies: &[(Polygon, HeightRange)],
    (from, to): (Point, Point),
) -> Vec<((f64, f64), HeightRange)> {
    let length = from.distance(to);
    let along = (to - from) * (1.0 / length);
    let before = Strip {
        from: from + along.left() * (AT_THE_WALL_M / 2.0),
        toward: along,
        width: AT_THE_WALL_M,
    };
    let spans = bodies
        .iter()
        .filter_map(|(outline, heights)| Some((before.span_of(outline)?, *heights)));
    let room = plan.room.iter();
    let place = |point: Point| (point - from).dot(along);
    let is_on = |point: Point| along.cross(point - from).abs() <= SAME_POINT_M;
    let from_floor = |top: f64| HeightRange { bottom: 0.0, top };
    let doors = room.clone().flat_map(|room| &room.doors);
    let doors = doors.filter(|door| is_on(door.between.0) && is_on(door.between.1));
    let doors = doors.map(|door| {
        let (a, b) = (place(door.between.0), place(door.between.1));
        let height = door.height.unwrap_or(plan.head_room);
        ((a.min(b), a.max(b)), from_floor(height))
    });
    let panels = room.flat_map(|room| &room.panels);
    let panels = panels.filter(|panel| is_on(panel.at));
    let panels = panels.map(|panel| {
        let half = panel.width.max(limits.panel_width) / 2.0;
        let at = place(panel.at);
        ((at - half, at + half), from_floor(limits.panel_height))
    });
    spans.chain(doors).chain(panels).collect()
}

fn bands(ceiling: Option<f64>) -> impl Iterator<Item = HeightRange> {
    let top = ceiling.unwrap_or(f64::INFINITY);
    let ends = [0.0].into_iter().chain(BANDS_END_M);
    let bands = ends.zip(BANDS_END_M.into_iter().chain([top]));
    let bands = bands.map(move |(bottom, end)| HeightRange {
        bottom,
        top: end.min(top),
    });
    bands.filter(|band| band.top > band.bottom + SAME_POINT_M)
}

fn takes(heights: &HeightRange, band: &HeightRange) -> bool {
    let high = match band.top.is_finite() {
        true => band.top - band.bottom,
        false => UPPERMOST_M,
    };
    heights
        .overlap(band)
        .is_some_and(|shared| shared >= SHARE * high - SAME_POINT_M)
}

/// How much of a wall is taken by these spans, and the longest stretch that is not.
fn along(length: f64, mut spans: Vec<(f64, f64)>) -> (f64, f64) {
    spans.sort_by(|one, other| one.0.total_cmp(&other.0));
    let (mut used, mut longest, mut end) = (0.0, 0.0_f64, 0.0_f64);
    for (begin, until) in spans {
        let (begin, until) = (begin.clamp(end, length), until.clamp(0.0, length));
        longest = longest.max(begin - end);
        if until > begin {
            used += until - begin;
        }
        end = end.max(until);
    }
    (used, longest.max(length - end))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_that_overlap_count_once() {
        let (used, longest) = along(10.0, vec![(5.0, 7.0), (-1.0, 2.0), (1.0, 3.0), (6.0, 6.5)]);
        assert_eq!((used, longest), (5.0, 3.0));
        assert_eq!(along(10.0, Vec::new()), (0.0, 10.0));
        assert_eq!(along(10.0, vec![(-5.0, 20.0)]), (10.0, 0.0));
    }

    #[test]
    fn bands_end_at_the_ceiling() {
        assert_eq!(bands(Some(96.0 * INCH_M)).count(), 4);
        assert_eq!(bands(Some(84.0 * INCH_M)).count(), 3);
        assert_eq!(bands(None).last().map(|band| band.top), Some(f64::INFINITY));
    }
}
