//! The spots on a grid at which nothing is in the way.

use super::ground::Taken;
use super::habit::PlaceSearch;
use super::spots::{Hindrance, StationSpot, behind, half_of};
use crate::floor::{AxisBox, Placement, Point};
use crate::shop::StationId;

/// The spots of a station in the room at which nothing is in the way, and what was in the way of the others at the most.
/// Each who stands somewhere needs a circle of this radius.
pub(super) fn free_spots(
    search: &PlaceSearch<'_>,
    (station, like): (StationId, &Placement),
    (taken, radius): (&Taken, f64),
) -> (Vec<StationSpot>, Hindrance) {
    let mut free: Vec<StationSpot> = Vec::new();
    let mut worst = Hindrance::Floor;
    let room = taken.ground.room;
    let spot_at = |placement: Placement| {
        StationSpot::new(search.site, station, placement, &search.habits[station])
    };
    // What stands behind a machine stands right behind it, whatever the grid.
    let leader = search.habits[station].follows;
    let machine = taken.spots.iter().find(|(other, _)| Some(*other) == leader);
    free.extend(machine.and_then(|(_, machine)| {
        let at = behind(like, &machine.placement, search.grid.unit);
        let turn = machine.placement.turn;
        let spot = spot_at(Placement { at, turn, ..*like });
        let is_free = taken.is_free_for(&spot.body?.area, &like.heights, radius);
        (is_free && taken.hindrance(&spot, radius).is_none()).then_some(spot)
    }));
    for turn in [0.0, 90.0, 180.0, 270.0] {
        let half = half_of(like.size, turn);
        let across = search
            .grid
            .between(room.low.x + half.x, room.high.x - half.x);
        let deep = search
            .grid
            .between(room.low.y + half.y, room.high.y - half.y);
        let places = deep
            .iter()
            .flat_map(|&y| across.iter().map(move |&x| Point::new(x, y)));
        for at in places {
            let body = AxisBox {
                low: at - half,
                high: at + half,
            };
            let has_body = half.x > 0.0 && half.y > 0.0;
            if has_body && !taken.is_free_for(&body, &like.heights, radius) {
                continue;
            }
            let spot = spot_at(Placement { at, turn, ..*like });
            match taken.hindrance(&spot, radius) {
                None => free.push(spot),
                Some(hindrance) => worst = worst.max(hindrance),
            }
        }
    }
    (free, worst)
}
