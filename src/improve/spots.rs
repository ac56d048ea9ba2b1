//! Spots where a station may stand, and what each takes of the floor, as boxes.

use super::habit::Habit;
use crate::floor::check::thrown_reach;
use crate::floor::strips::{Allowances, FeedNeed, StationExtent, Strip, need};
use crate::floor::{AxisBox, HeightRange, Placement, Point, Pose, Side, Site};
use crate::shop::StationId;

/// A place for one station with what it takes of the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct StationSpot {
    pub placement: Placement,
    /// Nothing for what leaves the floor free.
    pub(super) body: Option<TakenBox>,
    pub(super) stands: Point,
    /// Floor on which nothing may stand: where work is fed and where people walk around it.
    pub(super) kept_free: Vec<KeptFloor>,
    /// Floor on which nothing should stand: before it, and where work is usually fed.
    pub(super) wished_free: Vec<KeptFloor>,
    /// Where it may throw a piece.
    pub(super) thrown: Option<ThrowBoxes>,
    /// How work is fed through it.
    pub(super) fed: Option<FedSpot>,
    /// What is not in there does not matter to it, but for what is walked there.
    near: AxisBox,
}

/// Gaps that are wider on each side of the middle do not matter, in metres.
const WIDE_M: f64 = 0.7;

/// Where a saw may throw a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ThrowBoxes {
    /// Where somebody who stands there would be hit.
    pub people: AxisBox,
    /// In which no door should open.
    pub line: AxisBox,
}

/// How work is fed through a station.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct FedSpot {
    /// Of length 1, the way the work goes.
    pub toward: Point,
    /// The width of the body, and from its middle to its ends, in metres.
    pub across: f64,
    pub reach: f64,
}

/// Something that takes room between two heights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TakenBox {
    pub area: AxisBox,
    pub heights: HeightRange,
}

impl TakenBox {
    /// Whether it takes floor: below what hangs, somebody works.
    pub fn stands(&self) -> bool {
        !self.heights.hangs()
    }
}

/// Floor that is free, or should be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct KeptFloor {
    pub area: AxisBox,
    /// How much each square metre of it matters that is not free.
    pub weight: f64,
    /// How high the work passes above it: what is low enough may stand there.
    pub work: Option<f64>,
    /// Whether work is fed along it, which may go out through a door.
    pub is_fed: bool,
}

/// What is so much lower than the table is passed over by most work, in metres: the rules say it for each piece.
const LOW_ENOUGH_M: f64 = 0.1;

/// What is level with the table carries the work; the rules say how much lower it may be.
const LEVEL_M: f64 = 0.002;

impl KeptFloor {
    fn of(area: AxisBox, weight: f64) -> KeptFloor {
        KeptFloor {
            area,
            weight,
            work: None,
            is_fed: false,
        }
    }

    /// Whether something may stand there all the same.
    pub fn lets(&self, heights: &HeightRange) -> bool {
        self.work.is_some_and(|table| is_passed(heights, table))
    }
}

/// Whether work on a table so high passes over something, or is carried by it.
pub(super) fn is_passed(heights: &HeightRange, table: f64) -> bool {
    let lower = table - heights.top;
    lower >= LOW_ENOUGH_M || (-1e-9..=LEVEL_M).contains(&lower)
}

/// Of the floor before a station, for each square metre.
const FRONT_WEIGHT: f64 = 1.0;

/// Of the floor that is taken while something is used that is folded away, for each square metre.
const SPREAD_WEIGHT: f64 = 3.0;

/// Of the floor on both sides of what stands in the open, for each square metre.
const BESIDE_WEIGHT: f64 = 2.5;

/// Of the straight floor that is usual, for each metre of its length: how far it is free counts by itself, and more.
const STRIP_WEIGHT: f64 = 0.3;

/// How wide the boards are that are usually fed, in metres.
const BOARD_M: f64 = 0.2;

impl StationSpot {
    /// Of a station on quarter turns.
    pub fn new(
        site: &Site<'_>,
        station: StationId,
        placement: Placement,
        habit: &Habit,
    ) -> StationSpot {
        let half = half_of(placement.size, placement.turn);
        let has_body = half.x > 0.0 && half.y > 0.0;
        let body = has_body.then_some(TakenBox {
            area: AxisBox {
                low: placement.at - half,
                high: placement.at + half,
            },
            heights: placement.heights,
        });
        let mut kept_free: Vec<KeptFloor> = fed_floor(site, station, &placement);
        let reached = Side::ALL.into_iter().zip(placement.reach_from);
        for (side, _) in reached.filter(|&(_, is_reached)| is_reached) {
            let area = before(&placement, side, site.body_width);
            kept_free.extend(area.map(|area| KeptFloor::of(area, 1.0)));
        }
        let mut wished_free: Vec<KeptFloor> = Vec::new();
        if !placement.heights.hangs() {
            wished_free.extend(
                front(&placement, habit.front).map(|area| KeptFloor::of(area, FRONT_WEIGHT)),
            );
        }
        if let Some(side) = placement.feed {
            let extent = StationExtent::of(&placement, side);
            let weight = STRIP_WEIGHT * habit.fed_weight / extent.across.max(BOARD_M);
            let need = need_of(site, &placement, side, (habit.fed, BOARD_M));
            let strips = strips_of(&placement, side, need).into_iter();
            wished_free.extend(strips.map(|strip| KeptFloor { weight, ..strip }));
        }
        if let Some((across, deep)) = habit.spread.filter(|_| !has_body) {
            let spread = Placement {
                size: (across, deep),
                ..placement
            };
            let half = half_of(spread.size, placement.turn);
            let area = AxisBox {
                low: placement.at - half,
                high: placement.at + half,
            };
            wished_free.push(KeptFloor::of(area, SPREAD_WEIGHT));
        }
        if habit.beside > 0.0 {
            let sides = match placement.feed {
                Some(Side::PlusX | Side::MinusX) => [Side::PlusY, Side::MinusY],
                _ => [Side::PlusX, Side::MinusX],
            };
            let beside = sides
                .into_iter()
                .filter_map(|side| before(&placement, side, habit.beside));
            wished_free.extend(beside.map(|area| KeptFloor::of(area, BESIDE_WEIGHT)));
        }
        let thrown = placement.feed.filter(|_| placement.kickback);
        let thrown = thrown.and_then(|side| thrown_floor(site, &placement, side));
        let fed = placement.feed.map(|side| {
            let extent = StationExtent::of(&placement, side);
            FedSpot {
                toward: placement.turned(side.direction()),
                across: extent.across,
                reach: extent.before,
            }
        });
        let stands = placement.standing();
        let around = |place: Point, by: f64| {
            let place = AxisBox {
                low: place,
                high: place,
            };
            place.grown(by)
        };
        let mut near = around(stands, WIDE_M);
        let all = kept_free.iter().chain(&wished_free).map(|free| free.area);
        let body_near = body.map(|body| body.area.grown(WIDE_M));
        let hit = thrown.map(|thrown| thrown.people);
        for area in all.chain(body_near).chain(hit) {
            near = AxisBox {
                low: Point::new(near.low.x.min(area.low.x), near.low.y.min(area.low.y)),
                high: Point::new(near.high.x.max(area.high.x), near.high.y.max(area.high.y)),
            };
        }
        StationSpot {
            body,
            stands,
            kept_free,
            wished_free,
            thrown,
            fed,
            near,
            placement,
        }
    }

    /// Whether two spots may be in each other's way.
    pub(super) fn is_near(&self, other: &StationSpot) -> bool {
        self.near.meets(&other.near)
    }

    pub fn pose(&self) -> Pose {
        self.placement.pose()
    }

    /// Its body where that stands on the floor.
    pub(super) fn standing_body(&self) -> Option<&TakenBox> {
        self.body.as_ref().filter(|body| body.stands())
    }
}

/// A strip on quarter turns, as far as `length` metres.
fn boxed(strip: &Strip, length: f64) -> Option<AxisBox> {
    if strip.width <= 0.0 || length <= 0.0 {
        return None;
    }
    let side = strip.toward.left() * (strip.width / 2.0);
    let far = strip.from + strip.toward * length;
    let (one, other) = (strip.from - side, far + side);
    Some(AxisBox {
        low: Point::new(one.x.min(other.x), one.y.min(other.y)),
        high: Point::new(one.x.max(other.x), one.y.max(other.y)),
    })
}

/// The floor before a station on the side where one stands.
fn front(placement: &Placement, deep: f64) -> Option<AxisBox> {
    let side = Side::ALL.into_iter().max_by(|one, other| {
        let off = |side: &Side| {
            let extent = StationExtent::of(placement, *side);
            placement.stand.dot(side.direction()) - extent.behind
        };
        off(one).total_cmp(&off(other))
    })?;
    before(placement, side, deep)
}

/// The floor at a side of a station, as wide as that.
fn before(placement: &Placement, side: Side, deep: f64) -> Option<AxisBox> {
    let extent = StationExtent::of(placement, side);
    let toward = placement.turned(side.direction());
    let strip = Strip {
        from: placement.at + toward * extent.behind,
        toward,
        width: extent.across,
    };
    boxed(&strip, deep)
}

/// Where a saw may throw a piece, as the rule has it.
fn thrown_floor(site: &Site<'_>, placement: &Placement, side: Side) -> Option<ThrowBoxes> {
    let extent = StationExtent::of(placement, side);
    let reach = thrown_reach(placement, site.premises.limits.kickback)?;
    let back = placement.turned(side.direction()) * -1.0;
    let thrown = |width: f64| {
        let strip = Strip {
            from: placement.at + back * extent.before,
            toward: back,
            width,
        };
        boxed(&strip, reach)
    };
    Some(ThrowBoxes {
        people: thrown(extent.across + site.body_width)?,
        line: thrown(extent.across)?,
    })
}

/// What a piece of some length and width needs that is fed through.
fn need_of(
    site: &Site<'_>,
    placement: &Placement,
    side: Side,
    (length, width): (f64, f64),
) -> FeedNeed {
    let limits = site.premises.limits;
    let allowances = Allowances {
        operator: limits.operator,
        outfeed: limits.outfeed_walk,
        side: limits.side_clearance,
    };
    let extent = StationExtent::of(placement, side);
    need(length, width, extent, allowances)
}

/// The floor before the cutter, where people stand, and behind it, where only work passes.
fn strips_of(placement: &Placement, side: Side, need: FeedNeed) -> Vec<KeptFloor> {
    let toward = placement.turned(side.direction());
    let strip = |toward: Point, length: f64, work: Option<f64>| {
        let strip = Strip {
            from: placement.at,
            toward,
            width: need.width,
        };
        Some(KeptFloor {
            area: boxed(&strip, length)?,
            weight: 1.0,
            work,
            is_fed: true,
        })
    };
    let both = [
        strip(toward * -1.0, need.infeed, None),
        strip(toward, need.outfeed, placement.table),
    ];
    both.into_iter().flatten().collect()
}

/// What the pieces need that are fed through a station.
fn fed_needs<'s>(
    site: &'s Site<'_>,
    station: StationId,
    placement: &'s Placement,
) -> impl Iterator<Item = (Side, FeedNeed)> + 's {
    let pieces = site.fed[station.index()].iter();
    let pieces = pieces.filter_map(|piece| Some((placement.feed?, piece.size)));
    pieces.map(move |(side, size)| {
        let need = need_of(site, placement, side, (size.length, size.width));
        (side, need)
    })
}

/// The floor that each piece takes that is fed through a station.
fn fed_floor(site: &Site<'_>, station: StationId, placement: &Placement) -> Vec<KeptFloor> {
    fed_needs(site, station, placement)
        .flat_map(|(side, need)| strips_of(placement, side, need))
        .collect()
}

/// The straight floor that the work at a station needs before and behind its cutter, and its width, in metres; nothing
/// where nothing is fed through.
pub(super) fn fed_need(
    site: &Site<'_>,
    station: StationId,
    placement: &Placement,
) -> Option<(f64, f64)> {
    let needs = fed_needs(site, station, placement);
    let needs = needs.map(|(_, need)| (need.infeed + need.outfeed, need.width));
    needs.reduce(|one, other| (one.0.max(other.0), one.1.max(other.1)))
}

/// Half of what something measures along x and y when it is turned.
pub(super) fn half_of((x, y): (f64, f64), turn: f64) -> Point {
    let quarter = (turn / 90.0).round();
    if (turn - quarter * 90.0).abs() < 1e-9 {
        return match quarter.rem_euclid(2.0) == 0.0 {
            true => Point::new(x / 2.0, y / 2.0),
            false => Point::new(y / 2.0, x / 2.0),
        };
    }
    let radians = turn.to_radians();
    let (sin, cos) = (libm::sin(radians).abs(), libm::cos(radians).abs());
    Point::new((x * cos + y * sin) / 2.0, (x * sin + y * cos) / 2.0)
}

/// The place right behind a machine, for something that is turned as the machine is, on a grid of this unit in metres.
pub(super) fn behind(table: &Placement, machine: &Placement, unit: f64) -> Point {
    let side = machine.feed.unwrap_or(Side::PlusY);
    let (deep, own) = match side {
        Side::PlusX | Side::MinusX => (machine.size.0, table.size.0),
        Side::PlusY | Side::MinusY => (machine.size.1, table.size.1),
    };
    // Rather a little too far than too near.
    let off = ((deep + own) / 2.0 / unit - 1e-6).ceil() * unit;
    machine.at + machine.turned(side.direction()) * off
}

/// What is in the way of a spot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Hindrance {
    /// The body itself finds no room.
    Floor,
    /// What is fed through it does not.
    Strip,
    /// Nobody could stand there.
    Standing,
}
