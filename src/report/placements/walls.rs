//! Where a station goes, by its distances from two walls.

use crate::experiment::Units;
use crate::floor::{Plan, TapedFloor, taped_floor};
use crate::report::charts::set_out::wall_name;
use crate::report::tape::exact_tape;
use crate::shop::StationId;

/// A distance square off a wall.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FromWall {
    pub wall: String,
    pub metres: f64,
}

/// How far the nearest corner of a station is from the two walls from which it is measured; nothing without a room.
pub(super) fn from_walls(plan: &Plan, station: StationId) -> Option<[FromWall; 2]> {
    let floor = taped_floor(plan)?;
    let taped = floor
        .stations
        .iter()
        .find(|taped| taped.station == station)?;
    let corner = taped.set_out.corners.first()?;
    let [one, other] = taped.set_out.walls;
    let from = |wall: usize, nth: usize| FromWall {
        wall: called(&floor, wall),
        metres: corner.distances[nth],
    };
    Some([from(one, 0), from(other, 1)])
}

/// As one stands before the plan, where the room has four walls along its axes; elsewhere by the letter that the set-out
/// sheet gives it.
fn called(floor: &TapedFloor, index: usize) -> String {
    let wall = &floor.walls[index];
    let along = wall.to - wall.from;
    let length = wall.length();
    let is =
        |x: f64, y: f64| (along.x - x * length).abs() < 1e-6 && (along.y - y * length).abs() < 1e-6;
    // The room is to the left of each wall.
    let sides = [
        ((1.0, 0.0), "front wall"),
        ((0.0, 1.0), "right wall"),
        ((-1.0, 0.0), "back wall"),
        ((0.0, -1.0), "left wall"),
    ];
    let side = sides.iter().find(|((x, y), _)| is(*x, *y));
    match side {
        Some((_, name)) if floor.walls.len() == 4 => (*name).to_owned(),
        _ => format!("wall {}", wall_name(index)),
    }
}

/// Nearer than this, in metres, is against the wall: a sixteenth of an inch, as lengths are taped.
const AGAINST_M: f64 = 0.0254 / 16.0;

/// "against the left wall and 4 ft 6 in from the front wall".
pub(super) fn in_words([one, other]: &[FromWall; 2], units: Units) -> String {
    let said = |from: &FromWall| {
        let the = match from.wall.starts_with("wall ") {
            true => "",
            false => "the ",
        };
        match from.metres < AGAINST_M {
            true => format!("against {the}{}", from.wall),
            false => format!("{} from {the}{}", exact_tape(units, from.metres), from.wall),
        }
    };
    format!("{} and {}", said(one), said(other))
}
