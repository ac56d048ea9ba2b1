//! What is disliked about a spot, beside what the rules say: how far it is from what it works with, and how unlike what
//! is usual it would stand.

use super::habit::{Belongs, PlaceSearch};
use super::spots::{StationSpot, Taken, common, has};
use crate::floor::{AxisBox, Plan, Point, Side};
use crate::shop::{PlaceId, StationId};

/// All in metres of the mean trip. The figures are this program's choice: pictures looked like shops with them.
const BACK_OFF_THE_WALL: f64 = 12.0;
const BACK_OFF_METRE: f64 = 1.0;
const OUT_OF_THE_CORNER_METRE: f64 = 0.5;
const FROM_THE_DOOR_METRE: f64 = 0.1;
const FROM_THE_MIDDLE_METRE: f64 = 0.25;
const ACROSS_THE_ROOM: f64 = 1.5;
const NARROW_METRE: f64 = 0.8;
const BEFORE_A_DOOR: f64 = 1.0;
const IN_THE_LINE: f64 = 0.6;
const TRIP_METRE: f64 = 2.5;

/// A gap that is wider is a path; one that is narrower than the least is none.
const PATH_M: f64 = 0.9;
const NO_GAP_M: f64 = 0.06;

/// So far into the room before a door nothing should stand.
const DOORWAY_M: f64 = 1.2;

/// Of a spot for a station on a floor, with the places of the plan to and from which people walk.
pub(super) fn dislike(
    search: &PlaceSearch<'_>,
    (station, spot): (StationId, &StationSpot),
    taken: &Taken,
    plan: &Plan,
) -> f64 {
    let habit = &search.habits[station];
    let room = &taken.room;
    let middle = (room.low + room.high) * 0.5;
    let at = spot.placement.at;
    let body = spot.body.unwrap_or(AxisBox { low: at, high: at });
    let mut sum = TRIP_METRE * walked(search, station, spot, plan);
    match habit.belongs {
        Belongs::ToAWall => {
            // What is fed away from who feeds it stands with a side to the wall.
            let backs: &[Side] = match spot.placement.feed {
                Some(Side::PlusY | Side::MinusY) => &[Side::PlusX, Side::MinusX],
                _ => &[Side::PlusY],
            };
            let off = backs.iter().map(|side| {
                let back = spot.placement.turned(side.direction());
                to_wall(room, &body, back)
            });
            let off = off.fold(f64::INFINITY, f64::min);
            sum += BACK_OFF_METRE * off;
            if off > NO_GAP_M {
                sum += BACK_OFF_THE_WALL;
            }
        }
        Belongs::InTheOpen => {
            sum += search.elbow_room * FROM_THE_MIDDLE_METRE * at.distance(middle)
        }
        Belongs::Anywhere => {}
    }
    if habit.corner {
        let off = |low: f64, high: f64| low.min(high).max(0.0);
        let x = off(body.low.x - room.low.x, room.high.x - body.high.x);
        let y = off(body.low.y - room.low.y, room.high.y - body.high.y);
        sum += OUT_OF_THE_CORNER_METRE * (x + y);
    }
    let doors = search.site.premises.doors();
    if habit.by_door {
        let away = doors.iter().map(|door| door.middle().distance(spot.stands));
        sum += FROM_THE_DOOR_METRE * away.reduce(f64::min).unwrap_or(0.0);
    }
    let size = room.high - room.low;
    if let Some(side) = spot.placement.feed {
        let toward = spot.placement.turned(side.direction());
        let (along, across) = match toward.x.abs() > toward.y.abs() {
            true => (size.x, size.y),
            false => (size.y, size.x),
        };
        if along < across {
            sum += ACROSS_THE_ROOM;
        }
    }
    let hangs = spot.placement.heights.hangs();
    if spot.body.is_some() && !hangs {
        for (door, floor) in doors.iter().zip(&search.site.doors) {
            let inner = floor.inward * DOORWAY_M;
            let before = AxisBox::around([
                door.between.0,
                door.between.1,
                door.between.0 + inner,
                door.between.1 + inner,
            ]);
            if before.is_some_and(|before| before.grown(-1e-6).meets(&body)) {
                sum += BEFORE_A_DOOR;
            }
        }
        sum += NARROW_METRE * narrow(&body, taken);
        let crowded = taken.wished_free.iter();
        sum += search.elbow_room
            * crowded
                .map(|free| free.weight * common(&free.area, &body))
                .sum::<f64>();
    }
    for free in spot.wished_free.iter().filter(|_| !hangs) {
        let size = free.area.high - free.area.low;
        let outside = size.x * size.y - common(&free.area, room);
        let crowded = taken.bodies.iter().filter(|other| other.stands());
        let crowded: f64 = crowded.map(|other| common(&free.area, &other.area)).sum();
        sum += search.elbow_room * free.weight * (outside + crowded);
    }
    let in_line = taken
        .thrown
        .iter()
        .filter(|line| has(line, spot.stands))
        .count();
    let hit = spot.thrown.map_or(0, |line| {
        let stands = taken.stands.iter();
        stands.filter(|&&place| has(&line, place)).count()
    });
    sum += search.elbow_room * IN_THE_LINE * (in_line + hit) as f64;
    sum
}

/// How far it is straight to what people go to and from, over the mean trip.
fn walked(search: &PlaceSearch<'_>, station: StationId, spot: &StationSpot, plan: &Plan) -> f64 {
    let here = PlaceId::from(station);
    let legs = search.flow.legs.iter().filter_map(|leg| {
        let other = match (leg.from == here, leg.to == here) {
            (true, false) => leg.to,
            (false, true) => leg.from,
            _ => return None,
        };
        let there = plan.standing(other)?;
        Some(leg.trips * there.distance(spot.stands))
    });
    legs.sum::<f64>() / search.trips()
}

/// From the side of a body that looks in a direction to the wall of the room there.
fn to_wall(room: &AxisBox, body: &AxisBox, toward: Point) -> f64 {
    let off = match toward.x.abs() > toward.y.abs() {
        true if toward.x > 0.0 => room.high.x - body.high.x,
        true => body.low.x - room.low.x,
        false if toward.y > 0.0 => room.high.y - body.high.y,
        false => body.low.y - room.low.y,
    };
    off.max(0.0)
}

/// How much is missing for paths at gaps to walls and to other bodies that are neither closed nor a path, in metres.
fn narrow(body: &AxisBox, taken: &Taken) -> f64 {
    let lacks = |gap: f64| match gap > NO_GAP_M && gap < PATH_M {
        true => PATH_M - gap,
        false => 0.0,
    };
    let room = &taken.room;
    let mut sum = lacks(body.low.x - room.low.x)
        + lacks(room.high.x - body.high.x)
        + lacks(body.low.y - room.low.y)
        + lacks(room.high.y - body.high.y);
    for other in taken.bodies.iter().filter(|other| other.stands()) {
        let other = &other.area;
        let gap = |low: f64, high: f64, by: f64, to: f64| (low - to).max(by - high).max(0.0);
        let x = gap(body.low.x, body.high.x, other.low.x, other.high.x);
        let y = gap(body.low.y, body.high.y, other.low.y, other.high.y);
        // Side by side, as seen along x or along y.
        if y == 0.0 {
            sum += lacks(x);
        } else if x == 0.0 {
            sum += lacks(y);
        }
    }
    sum
}
