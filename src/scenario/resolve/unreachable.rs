//! Layouts in which nobody can stand at a station, or get from one to another: what is in the way, and what would help.

use super::shop::Built;
use crate::floor::{FreeSpace, NoWay, Obstacle, Placement, Plan, Point, roomy_floor, roomy_place};
use crate::scenario::problem::{Problem, Sink};
use crate::scenario::tree::{MapEntry, MapKey};
use crate::shop::PlaceId;

/// Corners of everything on the floor, up to which the gap that is too narrow is looked for.
const MOST_LOOKED_AT: usize = 200;

/// What stands in the way, as the file calls it.
fn called(obstacle: Obstacle, plan: &Plan, built: &Built) -> String {
    match obstacle {
        Obstacle::Station(station) => format!("`{}`", built.catalogue.places.name(station.index())),
        Obstacle::Thing(thing) => match &plan.room {
            Some(room) => format!("`{}`", room.blocked[thing].name),
            None => "something".to_owned(),
        },
        Obstacle::Wall => "a wall".to_owned(),
    }
}

/// How wide the way from one place to another is, where it is too narrow.
fn widest_way(from: PlaceId, to: PlaceId, plan: &Plan, built: &Built, sink: &Sink) -> String {
    // It searches the whole floor a dozen times, so it is left out in large halls and for problems that are not shown.
    let is_asked = !sink.is_full() && built.corners() <= MOST_LOOKED_AT;
    match is_asked.then(|| plan.choke_point(from, to)).flatten() {
        Some(choke) => {
            let [one, other] = choke.between.map(|side| called(side, plan, built));
            format!(
                "the widest way is {} wide, between {one} and {other}",
                sink.length(choke.width)
            )
        }
        None => "something closes the way".to_owned(),
    }
}

/// Where a body may be in a layout.
pub struct FreeFloor {
    body: FreeSpace,
    /// With a small margin around the body, so that a place is still free when its coordinates are rounded.
    roomy: FreeSpace,
}

impl FreeFloor {
    pub fn of(plan: &Plan) -> FreeFloor {
        FreeFloor {
            body: plan.ground(plan.body_width / 2.0),
            roomy: roomy_floor(plan),
        }
    }
}

/// How far a placement that is wholly outside of the room has to move, in metres.
fn outside(placement: &Placement, plan: &Plan) -> Option<f64> {
    let room = &plan.room.as_ref()?.outline;
    let footprint = placement.footprint();
    let corners = footprint
        .as_ref()
        .map_or(std::slice::from_ref(&placement.at), |area| area.corners());
    let is_outside = !corners.iter().any(|&corner| room.contains(corner));
    let away = corners
        .iter()
        .map(|&corner| room.distance_to_outline(corner));
    is_outside.then(|| away.fold(0.0, f64::max))
}

/// A point as a list of the file.
fn spot(point: Point, sink: &Sink) -> String {
    // A length that rounds to 0 gets no sign.
    let tidy = |metres: f64| if metres.abs() < 0.001 { 0.0 } else { metres };
    format!(
        "[{}, {}]",
        sink.length(tidy(point.x)),
        sink.length(tidy(point.y))
    )
}

/// What would let somebody stand at a station where nobody can: turning it round, a place of one's own, or a move.
fn remedy(
    placement: &Placement,
    instead: Option<Point>,
    plan: &Plan,
    free: &FreeFloor,
    sink: &Sink,
) -> String {
    let turned = |turn: f64| Placement { turn, ..*placement };
    // A rectangle that is turned round covers the same floor.
    let round = turned((placement.turn + 180.0).rem_euclid(360.0));
    let helps = free.body.is_free(round.standing()).is_ok();
    let standing = placement.standing();
    let place = instead.map(|nearest| roomy_place(&free.roomy, nearest, standing));
    let elsewhere = place.map(|place| {
        let back = turned(-placement.turn).turned(place - placement.at);
        (
            format!(
                "a person, who takes {}, fits at {}, which is {} away",
                sink.length(plan.body_width),
                spot(place, sink),
                sink.length(place.distance(standing))
            ),
            format!(
                "`stand: {}` under the station, which counts from its middle before turning",
                spot(back, sink)
            ),
        )
    });
    match (helps, elsewhere) {
        (true, elsewhere) => {
            let otherwise = elsewhere.map_or_else(String::new, |(fits, stand)| {
                format!("; or else {fits}: write {stand}")
            });
            format!(
                "turn it round, `turn: {}`, so that one stands on its other side{otherwise}",
                round.turn
            )
        }
        (false, Some((fits, stand))) => {
            format!("{fits}: move or turn the station, or write {stand}")
        }
        (false, None) => "no place nearby has room for a body".to_owned(),
    }
}

/// Reports a station where nobody can stand, or between which and another nobody can walk.
pub fn no_way(
    wrong: &NoWay,
    name: &MapKey,
    at: &MapEntry,
    plan: &Plan,
    free: &FreeFloor,
    built: &Built,
    sink: &Sink,
) {
    // A door is not placed by the layout, so the layout's name stands for it.
    let span = |place: PlaceId| {
        let station = plan.station_at(place).map_or(place, PlaceId::from);
        let entry = at.node.entry(built.place_name(station));
        entry.map_or(&name.span, |entry| &entry.key.span)
    };
    let problem = match wrong {
        NoWay::NoRoom {
            place,
            obstacle,
            missing,
            instead,
        } => {
            let who = built.place_name(*place);
            let nobody = format!("in the layout `{}` nobody can stand at `{who}`", name.text);
            let placement = plan.placement_at(*place);
            let too_near = || {
                let what = match obstacle {
                    Obstacle::Station(station) if Some(*station) == plan.station_at(*place) => {
                        "the station itself".to_owned()
                    }
                    _ => called(*obstacle, plan, built),
                };
                let by = sink.length(*missing);
                Problem::error(
                    span(*place),
                    format!("{nobody}: {what} is too near by {by}"),
                )
            };
            match placement.map(|placement| (placement, outside(&placement, plan))) {
                None => too_near().hint(format!(
                    "to stand in its opening, a person needs it {} wide (`body width` under `handling`), and nothing in front of it",
                    sink.length(plan.body_width)
                )),
                Some((_, Some(far))) => Problem::error(
                    span(*place),
                    format!("{nobody}, which stands outside the room"),
                )
                .hint(format!("move it into the room by {}", sink.length(far))),
                Some((placement, None)) => {
                    too_near().hint(remedy(&placement, *instead, plan, free, sink))
                }
            }
        }
        NoWay::CutOff { from, to } => Problem::error(
            span(*to),
            format!(
                "in the layout `{}` nobody gets from `{}` to `{}`",
                name.text,
                built.place_name(*from),
                built.place_name(*to)
            ),
        )
        .hint(format!(
            "{}; a person needs a way {} wide (`body width` under `handling`)",
            widest_way(*from, *to, plan, built, sink),
            sink.length(plan.body_width)
        )),
    };
    sink.report(problem.leaves_out());
}
