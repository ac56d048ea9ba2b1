//! What boxes alone tell of a placement, in less than a microsecond: things that stand in each other, and what is put
//! where people stand.

use crate::floor::{HeightRange, Placement, Plan, Point, Pose};
use crate::improve::spots::half_of;
use crate::shop::StationId;

/// How deep the floor before a station is kept free, in metres: 24 in, common practice for room to stand.
pub(super) const FRONT_M: f64 = 24.0 * 0.0254;

/// What overlaps by less stands beside, in metres.
const BESIDE_M: f64 = 1e-3;

/// What a station covers, and the floor before it, as boxes along the axes.
#[derive(Debug, Clone, Copy)]
pub(super) struct StationBoxes {
    body: (Point, Point),
    /// Before the side at which one stands; nothing where one stands at none, as within a folded thing.
    front: Option<(Point, Point)>,
    heights: HeightRange,
}

impl StationBoxes {
    /// Nothing for what covers no floor, or stands askew: only the rules can say where that is.
    pub fn of(placed: &Placement) -> Option<StationBoxes> {
        let quarter = (placed.turn / 90.0).round();
        let is_square = (placed.turn - quarter * 90.0).abs() < 1e-9;
        if !is_square || placed.size.0 <= 0.0 || placed.size.1 <= 0.0 {
            return None;
        }
        let half = half_of(placed.size, placed.turn);
        Some(StationBoxes {
            body: (placed.at - half, placed.at + half),
            front: front_of(placed),
            heights: placed.heights,
        })
    }

    /// Whether one stands in the other.
    pub fn overlaps(&self, other: &StationBoxes) -> bool {
        overlap(self.body, other.body) && self.heights.meets(&other.heights)
    }

    /// Whether one stands on the floor before the other.
    pub fn closes_front_of(&self, other: &StationBoxes) -> bool {
        !self.heights.hangs() && other.front.is_some_and(|front| overlap(self.body, front))
    }
}

/// A side of a station, before it is turned.
#[derive(Debug, Clone, Copy)]
pub(super) struct StoodSide {
    /// Outward, of length 1.
    pub out: Point,
    /// From the middle to the side, and half of its length, in metres.
    deep: f64,
    wide: f64,
}

/// The side at which one stands: that beyond which one stands farthest. Nothing where one stands at none.
pub(super) fn side_stood_at(placed: &Placement) -> Option<StoodSide> {
    let half = Point::new(placed.size.0 / 2.0, placed.size.1 / 2.0);
    let sides = [
        (Point::new(1.0, 0.0), half.x, half.y),
        (Point::new(-1.0, 0.0), half.x, half.y),
        (Point::new(0.0, 1.0), half.y, half.x),
        (Point::new(0.0, -1.0), half.y, half.x),
    ];
    let sides = sides
        .map(|(out, deep, wide)| (placed.stand.dot(out) - deep, StoodSide { out, deep, wide }));
    let farthest = sides
        .into_iter()
        .max_by(|one, other| one.0.total_cmp(&other.0))?;
    (farthest.0 > 0.0).then_some(farthest.1)
}

/// The floor before the side at which one stands.
fn front_of(placed: &Placement) -> Option<(Point, Point)> {
    let side = side_stood_at(placed)?;
    let middle = placed.on_floor(side.out * (side.deep + FRONT_M / 2.0));
    let (out, aside) = (placed.turned(side.out), placed.turned(side.out.left()));
    let reach = Point::new(
        (out.x * FRONT_M / 2.0).abs() + (aside.x * side.wide).abs(),
        (out.y * FRONT_M / 2.0).abs() + (aside.y * side.wide).abs(),
    );
    Some((middle - reach, middle + reach))
}

fn overlap(one: (Point, Point), other: (Point, Point)) -> bool {
    let shared = |a: (f64, f64), b: (f64, f64)| a.1.min(b.1) - a.0.max(b.0);
    shared((one.0.x, one.1.x), (other.0.x, other.1.x)) > BESIDE_M
        && shared((one.0.y, one.1.y), (other.0.y, other.1.y)) > BESIDE_M
}

/// Whether two things cover some of the same floor, however high they are.
pub(super) fn overlaps_on_floor(one: &Placement, other: &Placement) -> bool {
    let around = |placed: &Placement| {
        let half = half_of(placed.size, placed.turn);
        (placed.at - half, placed.at + half)
    };
    overlap(around(one), around(other))
}

/// Pairs of stations of which one stands on the floor before the other as everything stands now. What is so already may
/// stay so.
#[derive(Debug, Clone)]
pub(super) struct FrontPairs {
    stations: usize,
    closed: Vec<bool>,
}

impl FrontPairs {
    pub fn of(now: &Plan) -> FrontPairs {
        let boxes: Vec<Option<StationBoxes>> = now.placements.iter().map(boxes_of).collect();
        let pairs = boxes.iter().flat_map(|one| {
            boxes.iter().map(move |other| {
                let pair = one.as_ref().zip(other.as_ref());
                pair.is_some_and(|(one, other)| one.closes_front_of(other))
            })
        });
        FrontPairs {
            stations: boxes.len(),
            closed: pairs.collect(),
        }
    }

    /// Whether one of two stations stands on the floor before the other and does not now.
    fn is_new(
        &self,
        (one, of_one): (StationId, &StationBoxes),
        (other, of_other): (StationId, &StationBoxes),
    ) -> bool {
        let was = |before: StationId, behind: StationId| {
            self.closed[before.index() * self.stations + behind.index()]
        };
        (of_one.closes_front_of(of_other) && !was(one, other))
            || (of_other.closes_front_of(of_one) && !was(other, one))
    }

    /// How many pairs with a station that is moved stand so that do not now.
    pub fn newly_closed(&self, plan: &Plan, moved: &[StationId]) -> usize {
        let mut pairs = 0;
        for (nth, &one) in moved.iter().enumerate() {
            let Some(of_one) = boxes_of(&plan.placements[one]) else {
                continue;
            };
            for (other, placed) in plan.placements.enumerate() {
                if other == one || moved[..nth].contains(&other) {
                    continue;
                }
                let of_other = boxes_of(placed);
                let is_new = |of_other| self.is_new((one, &of_one), (other, of_other));
                pairs += usize::from(of_other.as_ref().is_some_and(is_new));
            }
        }
        pairs
    }

    /// Whether something would stand in something else after a change, or newly on the floor before it.
    pub fn is_in_the_way(&self, plan: &Plan, change: &[(StationId, Pose)]) -> bool {
        let after = |station: StationId| {
            let placed = plan.placements[station].as_ref()?;
            let pose = change.iter().rev().find(|(other, _)| *other == station);
            let pose = pose.map_or_else(|| placed.pose(), |&(_, pose)| pose);
            StationBoxes::of(&Placement {
                at: pose.at,
                turn: pose.turn,
                ..*placed
            })
        };
        change.iter().any(|&(one, _)| {
            let Some(of_one) = after(one) else {
                return false;
            };
            let mut others = plan.placements.ids().filter(|&other| other != one);
            others.any(|other| {
                after(other).is_some_and(|of_other| {
                    of_one.overlaps(&of_other) || self.is_new((one, &of_one), (other, &of_other))
                })
            })
        })
    }
}

fn boxes_of(placed: &Option<Placement>) -> Option<StationBoxes> {
    placed.as_ref().and_then(StationBoxes::of)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bench(at: (f64, f64), turn: f64) -> Placement {
        Placement::new(Point::new(at.0, at.1), turn, (2.0, 0.6))
    }

    #[test]
    fn the_floor_before_a_station_turns_with_it() {
        let boxes = |placed: &Placement| StationBoxes::of(placed).expect("square");
        let one = boxes(&bench((0.0, 0.0), 0.0));
        // One stands below it: 0.3 m down to its edge, and FRONT_M of floor below that.
        let below = boxes(&bench((0.0, -0.3 - FRONT_M - 0.3 + 0.01), 0.0));
        let clear = boxes(&bench((0.0, -0.3 - FRONT_M - 0.3), 0.0));
        assert!(below.closes_front_of(&one) && !clear.closes_front_of(&one));
        assert!(!one.closes_front_of(&below));
        // Turned by a quarter one stands at its right.
        let turned = boxes(&bench((0.0, 0.0), 90.0));
        let right = boxes(&bench((1.5, 0.0), 0.0));
        let left = boxes(&bench((-1.5, 0.0), 0.0));
        assert!(right.closes_front_of(&turned) && !left.closes_front_of(&turned));
        assert!(!right.overlaps(&left) && one.overlaps(&turned));
    }
}
