//! A room and what stands in it, as boxes: what is not square to the walls counts as larger than it is.

use super::spots::{Hindrance, StationSpot, TakenBox};
use crate::floor::{AxisBox, HeightRange, Point, SAME_POINT_M, Site};
use crate::shop::StationId;

/// The room with nothing of the shop in it.
#[derive(Debug, Clone)]
pub(super) struct RoomBoxes {
    pub room: AxisBox,
    pub things: Vec<TakenBox>,
    /// Before doors and panels.
    openings: Vec<AxisBox>,
    /// Floor behind the doors, where long work may go out.
    pub outside: Vec<AxisBox>,
}

/// So far behind a door work may go out, in metres.
const OUTSIDE_M: f64 = 3.0;

impl RoomBoxes {
    /// Nothing without a room.
    pub fn of(site: &Site<'_>) -> Option<RoomBoxes> {
        let (low, high) = site.premises.room?.outline.bounds();
        let doors = site.doors.iter();
        let floors = doors.flat_map(|door| {
            let areas = [&door.before, &door.leaves[0], &door.leaves[1]];
            areas.into_iter().flatten().map(|area| area.bounds)
        });
        let panels = site.panels.iter().map(|panel| panel.area.bounds);
        let outside = site.premises.doors().iter().zip(&site.doors);
        let outside = outside.filter_map(|(door, floor)| {
            let outward = floor.inward * -OUTSIDE_M;
            let (one, other) = door.between;
            AxisBox::around([one, other, one + outward, other + outward])
        });
        Some(RoomBoxes {
            room: AxisBox { low, high },
            things: (site.things.iter())
                .map(|thing| TakenBox {
                    area: thing.area.bounds,
                    heights: thing.heights,
                })
                .collect(),
            openings: floors.chain(panels).collect(),
            outside: outside.collect(),
        })
    }

    /// How much of an area is outside the room, in square metres; what is fed goes out through doors.
    pub fn beyond(&self, area: &AxisBox, is_fed: bool) -> f64 {
        let room = &self.room;
        let sides = [
            (area.low, Point::new(room.low.x, area.high.y)),
            (Point::new(room.high.x, area.low.y), area.high),
            (area.low, Point::new(area.high.x, room.low.y)),
            (Point::new(area.low.x, room.high.y), area.high),
        ];
        let mut sum = 0.0;
        for (low, high) in sides {
            let (wide, deep) = (high.x - low.x, high.y - low.y);
            if wide <= SAME_POINT_M || deep <= SAME_POINT_M {
                continue;
            }
            let part = AxisBox { low, high };
            let goes_out = is_fed && self.outside.iter().any(|door| holds(door, &part));
            if !goes_out {
                sum += wide * deep;
            }
        }
        sum
    }

    /// What is in the way of a spot in the room alone.
    pub fn lacks(&self, spot: &StationSpot, radius: f64) -> Lacks {
        let mut lacks = Lacks::default();
        if let Some(body) = &spot.body {
            let meets = |other: &AxisBox| some(common(&body.area, other));
            lacks.floor += some(self.beyond(&body.area, false))
                + self
                    .things
                    .iter()
                    .map(|thing| meets(&thing.area))
                    .sum::<f64>()
                + self.openings.iter().map(meets).sum::<f64>();
        }
        for free in &spot.kept_free {
            lacks.strip += some(self.beyond(&free.area, free.is_fed));
            let things = self.things.iter().filter(|thing| thing.stands());
            let things = things.filter(|thing| !free.lets(&thing.heights));
            lacks.strip += things
                .map(|thing| some(common(&thing.area, &free.area)))
                .sum::<f64>();
        }
        if !spot.placement.heights.hangs() {
            let around = AxisBox {
                low: spot.stands,
                high: spot.stands,
            };
            let around = around.grown(radius - SAME_POINT_M);
            lacks.standing += some(self.beyond(&around, false));
            let things = self.things.iter().filter(|thing| thing.stands());
            lacks.standing += things
                .map(|thing| too_near(&thing.area, spot.stands, radius))
                .sum::<f64>();
        }
        lacks
    }
}

/// How much is in the way of a spot: what counts is whether it is nothing, and which of two is more.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Lacks {
    /// Of what something else takes, or keeps free.
    pub floor: f64,
    /// Of the floor that the spot keeps free.
    pub strip: f64,
    /// Where one stands at it.
    pub standing: f64,
}

impl Lacks {
    pub fn sum(&self) -> f64 {
        self.floor + self.strip + self.standing
    }

    /// Of a spot beside another one.
    pub fn between(spot: &StationSpot, other: &StationSpot, radius: f64) -> Lacks {
        let mut lacks = Lacks::around(spot, other, radius);
        if let Some(body) = spot.body.as_ref().filter(|_| spot.is_near(other)) {
            if let Some(taken) = &other.body {
                lacks.floor += some(common(&body.area, &taken.area));
            }
            lacks.floor += stands_in(body, other, radius);
        }
        lacks
    }

    /// The same but for the floor that the body itself takes.
    pub fn around(spot: &StationSpot, other: &StationSpot, radius: f64) -> Lacks {
        let mut lacks = Lacks::default();
        let Some(body) = other.standing_body().filter(|_| spot.is_near(other)) else {
            return lacks;
        };
        let kept = spot.kept_free.iter();
        for free in kept.filter(|free| !free.lets(&body.heights)) {
            lacks.strip += some(common(&body.area, &free.area));
        }
        if !spot.placement.heights.hangs() {
            lacks.standing += too_near(&body.area, spot.stands, radius);
        }
        lacks
    }
}

/// What a body stands in that another spot keeps free.
fn stands_in(body: &TakenBox, other: &StationSpot, radius: f64) -> f64 {
    if !body.stands() {
        return 0.0;
    }
    let kept = other.kept_free.iter();
    let kept = kept.filter(|free| !free.lets(&body.heights));
    let kept: f64 = kept.map(|free| some(common(&body.area, &free.area))).sum();
    let near = match other.placement.heights.hangs() {
        true => 0.0,
        false => too_near(&body.area, other.stands, radius),
    };
    kept + near
}

/// What stands on the floor.
#[derive(Debug, Clone)]
pub(super) struct Taken {
    pub ground: RoomBoxes,
    pub spots: Vec<(StationId, StationSpot)>,
}

impl Taken {
    /// Whether a body may stand there, or hang: each who stands somewhere needs a circle of this radius. Below what
    /// hangs, nothing is put: where one stands at it would be another place.
    pub fn is_free_for(&self, area: &AxisBox, heights: &HeightRange, radius: f64) -> bool {
        let ground = &self.ground;
        let meets = |other: &AxisBox| overlap(area, other);
        let body = TakenBox {
            area: *area,
            heights: *heights,
        };
        holds(&ground.room, area)
            && !ground.things.iter().any(|thing| meets(&thing.area))
            && !ground.openings.iter().any(meets)
            && !self.spots.iter().any(|(_, other)| {
                other.body.is_some_and(|other| meets(&other.area))
                    || stands_in(&body, other, radius) > 0.0
            })
    }

    /// What is in the way of a spot on whose floor the body finds room.
    pub fn hindrance(&self, spot: &StationSpot, radius: f64) -> Option<Hindrance> {
        let mut lacks = self.ground.lacks(spot, radius);
        for (_, other) in &self.spots {
            let between = Lacks::between(spot, other, radius);
            lacks.strip += between.strip;
            lacks.standing += between.standing;
        }
        match () {
            () if lacks.strip > 0.0 => Some(Hindrance::Strip),
            () if lacks.standing > 0.0 => Some(Hindrance::Standing),
            () => None,
        }
    }
}

/// An area that is in the way counts as something, however small it is; what is only touched does not.
fn some(area: f64) -> f64 {
    match area > SAME_POINT_M {
        true => 0.3 + area,
        false => 0.0,
    }
}

fn overlap(one: &AxisBox, other: &AxisBox) -> bool {
    one.grown(-SAME_POINT_M).meets(other)
}

pub(super) fn holds(outer: &AxisBox, inner: &AxisBox) -> bool {
    let room = outer.grown(SAME_POINT_M);
    room.low.x <= inner.low.x
        && room.low.y <= inner.low.y
        && inner.high.x <= room.high.x
        && inner.high.y <= room.high.y
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

/// How far a body reaches into the circle around a place.
fn too_near(body: &AxisBox, place: Point, radius: f64) -> f64 {
    let nearest = Point::new(
        place.x.clamp(body.low.x, body.high.x),
        place.y.clamp(body.low.y, body.high.y),
    );
    let missing = radius - nearest.distance(place);
    match missing > SAME_POINT_M {
        true => 0.2 + missing,
        false => 0.0,
    }
}
