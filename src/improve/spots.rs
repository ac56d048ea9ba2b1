//! Spots on a grid where a station may stand, and what is in the way of them.

use super::grid::SpotGrid;
use super::habit::Habit;
use crate::floor::strips::{Allowances, StationExtent, Strip, need};
use crate::floor::{AxisBox, HeightRange, Placement, Point, Pose, SAME_POINT_M, Side, Site};
use crate::shop::StationId;

/// A place for one station with what it takes of the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct StationSpot {
    pub placement: Placement,
    /// Nothing for what leaves the floor free.
    pub(super) body: Option<AxisBox>,
    pub(super) stands: Point,
    /// Floor on which nothing may stand: where work is fed and where people walk around it.
    pub(super) kept_free: Vec<AxisBox>,
    /// Floor on which nothing should stand: before it, and where work is usually fed.
    pub(super) wished_free: Vec<WishedFree>,
    /// Where it may throw a piece, so that nobody should stand there.
    pub(super) thrown: Option<AxisBox>,
}

/// Floor that should be free, and how much each square metre of it matters that is not.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct WishedFree {
    pub area: AxisBox,
    pub weight: f64,
}

/// Of the floor before a station, for each square metre.
const FRONT_WEIGHT: f64 = 1.0;

/// Of the straight floor that is usual, for each metre of its length.
const STRIP_WEIGHT: f64 = 0.7;

/// How deep the floor before a station should be free, in metres.
const FRONT_M: f64 = 0.75;

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
        let around = |size: (f64, f64)| {
            let (low, high) = Placement { size, ..placement }.footprint()?.bounds();
            Some(AxisBox { low, high })
        };
        let mut kept_free: Vec<AxisBox> = fed_floor(site, station, &placement);
        let reached = Side::ALL.into_iter().zip(placement.reach_from);
        for (side, _) in reached.filter(|&(_, is_reached)| is_reached) {
            let extent = StationExtent::of(&placement, side);
            let toward = placement.turned(side.direction());
            let strip = Strip {
                from: placement.at + toward * extent.behind,
                toward,
                width: extent.across,
            };
            kept_free.extend(boxed(&strip, site.body_width));
        }
        let used = front(&placement).into_iter();
        let used = used.chain(habit.spread.and_then(around));
        let mut wished_free: Vec<WishedFree> = used
            .map(|area| WishedFree {
                area,
                weight: FRONT_WEIGHT,
            })
            .collect();
        if let Some(side) = placement.feed
            && let Some(area) = fed(site, &placement, side, (habit.fed, BOARD_M))
        {
            let width = StationExtent::of(&placement, side).across.max(BOARD_M);
            wished_free.push(WishedFree {
                area,
                weight: STRIP_WEIGHT / width,
            });
        }
        let thrown = placement.feed.filter(|_| placement.kickback);
        StationSpot {
            body: around(placement.size),
            stands: placement.standing(),
            kept_free,
            wished_free,
            thrown: thrown.and_then(|side| thrown_floor(site, &placement, side)),
            placement,
        }
    }

    pub fn pose(&self) -> Pose {
        Pose {
            at: self.placement.at,
            turn: self.placement.turn,
        }
    }
}

fn boxed(strip: &Strip, length: f64) -> Option<AxisBox> {
    let (low, high) = strip.outline(length)?.bounds();
    Some(AxisBox { low, high })
}

/// The floor before a station on the side where one stands.
fn front(placement: &Placement) -> Option<AxisBox> {
    let side = Side::ALL.into_iter().max_by(|one, other| {
        let off = |side: &Side| {
            let extent = StationExtent::of(placement, *side);
            placement.stand.dot(side.direction()) - extent.behind
        };
        off(one).total_cmp(&off(other))
    })?;
    let extent = StationExtent::of(placement, side);
    let toward = placement.turned(side.direction());
    let strip = Strip {
        from: placement.at + toward * extent.behind,
        toward,
        width: extent.across,
    };
    boxed(&strip, FRONT_M)
}

/// Where a saw may throw a piece, as far as somebody who stands there would be hit.
fn thrown_floor(site: &Site<'_>, placement: &Placement, side: Side) -> Option<AxisBox> {
    let extent = StationExtent::of(placement, side);
    let back = placement.turned(side.direction()) * -1.0;
    let strip = Strip {
        from: placement.at + back * extent.before,
        toward: back,
        width: extent.across + site.body_width,
    };
    boxed(&strip, site.premises.limits.kickback + 2.0 * FRONT_M)
}

/// The floor that a piece of some length and width takes that is fed through.
fn fed(
    site: &Site<'_>,
    placement: &Placement,
    side: Side,
    (length, width): (f64, f64),
) -> Option<AxisBox> {
    let limits = site.premises.limits;
    let allowances = Allowances {
        operator: limits.operator,
        outfeed: limits.outfeed_walk,
        side: limits.side_clearance,
    };
    let toward = placement.turned(side.direction());
    let need = need(
        length,
        width,
        StationExtent::of(placement, side),
        allowances,
    );
    let strip = Strip {
        from: placement.at - toward * need.infeed,
        toward,
        width: need.width,
    };
    boxed(&strip, need.infeed + need.outfeed)
}

/// The floor that each piece takes that is fed through a station.
fn fed_floor(site: &Site<'_>, station: StationId, placement: &Placement) -> Vec<AxisBox> {
    let Some(side) = placement.feed else {
        return Vec::new();
    };
    let strips = site.fed[station.index()].iter();
    let strips = strips.filter_map(|piece| {
        let size = (piece.size.length, piece.size.width);
        fed(site, placement, side, size)
    });
    strips.collect()
}

/// The straight floor that the work at a station needs before and behind its cutter, and its width, in metres; nothing
/// where nothing is fed through.
pub(super) fn fed_need(
    site: &Site<'_>,
    station: StationId,
    placement: &Placement,
) -> Option<(f64, f64)> {
    let along = |free: AxisBox| {
        let size = free.high - free.low;
        let toward = placement.turned(placement.feed?.direction());
        Some(match toward.x.abs() > toward.y.abs() {
            true => (size.x, size.y),
            false => (size.y, size.x),
        })
    };
    let needs = fed_floor(site, station, placement)
        .into_iter()
        .filter_map(along);
    needs.reduce(|one, other| (one.0.max(other.0), one.1.max(other.1)))
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

/// What stands on the floor, as boxes: what is not square to the walls counts as larger than it is.
#[derive(Debug, Clone)]
pub(super) struct Taken {
    pub room: AxisBox,
    pub bodies: Vec<TakenBox>,
    /// Before doors and panels.
    openings: Vec<AxisBox>,
    pub stands: Vec<Point>,
    kept_free: Vec<AxisBox>,
    pub wished_free: Vec<WishedFree>,
    pub thrown: Vec<AxisBox>,
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

fn overlap(one: &AxisBox, other: &AxisBox) -> bool {
    one.grown(-SAME_POINT_M).meets(other)
}

fn holds(outer: &AxisBox, inner: &AxisBox) -> bool {
    let room = outer.grown(SAME_POINT_M);
    room.low.x <= inner.low.x
        && room.low.y <= inner.low.y
        && inner.high.x <= room.high.x
        && inner.high.y <= room.high.y
}

impl Taken {
    /// A room with nothing of the shop in it; nothing without a room.
    pub fn by_room(site: &Site<'_>) -> Option<Taken> {
        let (low, high) = site.premises.room?.outline.bounds();
        let doors = site.doors.iter();
        let floors = doors.flat_map(|door| {
            let areas = [&door.before, &door.leaves[0], &door.leaves[1]];
            areas.into_iter().flatten().map(|area| area.bounds)
        });
        let panels = site.panels.iter().map(|panel| panel.area.bounds);
        Some(Taken {
            room: AxisBox { low, high },
            bodies: (site.things.iter())
                .map(|thing| TakenBox {
                    area: thing.area.bounds,
                    heights: thing.heights,
                })
                .collect(),
            openings: floors.chain(panels).collect(),
            stands: Vec::new(),
            kept_free: Vec::new(),
            wished_free: Vec::new(),
            thrown: Vec::new(),
        })
    }

    pub fn add(&mut self, spot: &StationSpot) {
        self.bodies.extend(spot.body.map(|area| TakenBox {
            area,
            heights: spot.placement.heights,
        }));
        self.stands.push(spot.stands);
        self.kept_free.extend(&spot.kept_free);
        self.wished_free.extend(&spot.wished_free);
        self.thrown.extend(spot.thrown);
    }

    /// Whether a body may stand there, or hang: each who stands somewhere needs a circle of this radius.
    fn is_free_for(&self, body: &TakenBox, radius: f64) -> bool {
        let area = &body.area;
        let meets = |other: &AxisBox| overlap(area, other);
        // Below what hangs, nothing is put either: where one stands at it would be another place.
        let shares = |other: &TakenBox| meets(&other.area);
        if !holds(&self.room, area)
            || self.bodies.iter().any(shares)
            || self.openings.iter().any(meets)
        {
            return false;
        }
        !body.stands()
            || (!self.kept_free.iter().any(meets)
                && !(self.stands.iter()).any(|&place| is_near(area, place, radius)))
    }

    /// What is in the way of a spot on whose floor the body finds room.
    fn hindrance(&self, spot: &StationSpot, radius: f64) -> Option<Hindrance> {
        let standing = || self.bodies.iter().filter(|body| body.stands());
        let is_free = |free: &AxisBox| {
            holds(&self.room, free) && !standing().any(|body| overlap(&body.area, free))
        };
        if !spot.kept_free.iter().all(is_free) {
            return Some(Hindrance::Strip);
        }
        if spot.placement.heights.hangs() {
            return None;
        }
        let around = AxisBox {
            low: spot.stands,
            high: spot.stands,
        };
        let is_clear = holds(&self.room, &around.grown(radius - SAME_POINT_M))
            && !standing().any(|body| is_near(&body.area, spot.stands, radius));
        (!is_clear).then_some(Hindrance::Standing)
    }
}

/// The area in square metres that two boxes have in common.
pub(super) fn common(one: &AxisBox, other: &AxisBox) -> f64 {
    let wide = one.high.x.min(other.high.x) - one.low.x.max(other.low.x);
    let deep = one.high.y.min(other.high.y) - one.low.y.max(other.low.y);
    wide.max(0.0) * deep.max(0.0)
}

/// Whether a box holds a place.
pub(super) fn has(outer: &AxisBox, place: Point) -> bool {
    let at = AxisBox {
        low: place,
        high: place,
    };
    outer.meets(&at)
}

/// Whether a body reaches into the circle around a place.
fn is_near(body: &AxisBox, place: Point, radius: f64) -> bool {
    let nearest = Point::new(
        place.x.clamp(body.low.x, body.high.x),
        place.y.clamp(body.low.y, body.high.y),
    );
    nearest.distance(place) < radius - SAME_POINT_M
}

/// The spots of a station in the room at which nothing is in the way, and what was in the way of the others at the most.
pub(super) fn free_spots(
    site: &Site<'_>,
    (station, like): (StationId, &Placement),
    habit: &Habit,
    (taken, radius): (&Taken, f64),
    grid: SpotGrid,
) -> (Vec<StationSpot>, Hindrance) {
    let mut free = Vec::new();
    let mut worst = Hindrance::Floor;
    let room = taken.room;
    for turn in [0.0, 90.0, 180.0, 270.0] {
        let (width, depth) = match turn == 0.0 || turn == 180.0 {
            true => like.size,
            false => (like.size.1, like.size.0),
        };
        let half = Point::new(width / 2.0, depth / 2.0);
        let across = grid.between(room.low.x + half.x, room.high.x - half.x);
        let deep = grid.between(room.low.y + half.y, room.high.y - half.y);
        let places = deep
            .iter()
            .flat_map(|&y| across.iter().map(move |&x| Point::new(x, y)));
        for at in places {
            let body = TakenBox {
                area: AxisBox {
                    low: at - half,
                    high: at + half,
                },
                heights: like.heights,
            };
            let has_body = width > 0.0 && depth > 0.0;
            if has_body && !taken.is_free_for(&body, radius) {
                continue;
            }
            let placement = Placement { at, turn, ..*like };
            let spot = StationSpot::new(site, station, placement, habit);
            match taken.hindrance(&spot, radius) {
                None => free.push(spot),
                Some(hindrance) => worst = worst.max(hindrance),
            }
        }
    }
    (free, worst)
}
