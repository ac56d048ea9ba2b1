//! Rules about where people stand and reach.

use super::finding::{at_least, at_most, metres, wording};
use super::shapes::distance;
use super::{Finding, Level, Scene, Wording};
use crate::floor::strips::{Body, Strip};
use crate::floor::{FITS_M, FreeSpace, Going, Placement, Point, SAME_POINT_M, Side};
use crate::shop::PlaceId;

/// Where one stands at a station there is room for a person, and in a door where somebody has to stand in it.
pub fn room_to_stand(scene: &Scene<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let body = scene.plan.body_width;
    let advised = scene.limits.standing_room.max(body);
    let ground = scene.plan.ground(body / 2.0);
    // Where people walk around things, a place that is used must have room for the walks to begin and end there.
    let used = match scene.plan.going {
        Going::Around => scene.used(),
        Going::Straight | Going::Rectilinear => Vec::new(),
    };
    for (station, name, placement) in scene.placed() {
        let place = placement.standing();
        let nearest = nearest(scene, place);
        let Some((clear, what)) = nearest else {
            continue;
        };
        let free = 2.0 * clear;
        let blocked = used.contains(&station.into()) && ground.is_free(place).is_err();
        let (level, wanted) = if clear < 0.0 || free < body - SAME_POINT_M || blocked {
            (Level::Fault, body)
        } else if free < advised - SAME_POINT_M {
            (Level::Warning, advised)
        } else {
            continue;
        };
        let says = if clear < 0.0 && what == WALL {
            wording![format!("where one stands at {name} is outside the room")]
        } else if clear < 0.0 {
            wording![format!("where one stands at {name} is within {what}")]
        } else {
            wording![
                format!("where one stands at {name} a circle of "),
                at_most(free),
                format!(" is free, as far as {what}; "),
                metres(wanted),
                if level == Level::Fault {
                    " is what a person takes"
                } else {
                    " is advised"
                }
            ]
        };
        let missing = (wanted / 2.0 - clear).max(0.0);
        let helps = wording![
            format!("move {name}, or its standing place, away from {what} by "),
            at_least(missing)
        ];
        let helps = match level {
            Level::Fault => helps.and(instead(&ground, place)),
            _ => helps,
        };
        findings.push(
            Finding::new(level, "standing", name, says)
                .other(what)
                .at(place)
                .missing(missing)
                .figure("free_m", free.max(0.0))
                .help(helps),
        );
    }
    let stations = scene.plan.placements.len();
    let obstacle = scene.plan.obstacles_by_index();
    for (index, door) in scene.doors().iter().enumerate() {
        let place = door.middle();
        if !used.contains(&PlaceId((stations + index) as u32)) {
            continue;
        }
        let Err(blocked) = ground.is_free(place) else {
            continue;
        };
        let what = scene.obstacle_name(obstacle(blocked.by));
        let says = wording![
            format!(
                "nobody can stand in {}, where the work has somebody go: {what} is too near by ",
                door.name
            ),
            at_least(blocked.lacks)
        ];
        let helps = wording![
            "to stand in its opening, a person takes ",
            metres(body),
            " of its width, and nothing before it"
        ];
        findings.push(
            Finding::new(Level::Fault, "standing", &door.name, says)
                .other(what)
                .at(place)
                .missing(blocked.lacks)
                .help(helps.and(instead(&ground, place))),
        );
    }
    findings
}

/// The nearest place where a person fits, if there is one.
fn instead(ground: &FreeSpace, place: Point) -> Wording {
    match ground.nearest_free(place) {
        Some(free) => wording![
            "; a person fits at [",
            metres(free.x),
            ", ",
            metres(free.y),
            "], which is ",
            metres(free.distance(place)),
            " away"
        ],
        None => Wording::default(),
    }
}

const WALL: &str = "the wall";

/// Distance from a place to what is nearest, and its name; negative within it or outside the room.
fn nearest<'a>(scene: &Scene<'a>, place: Point) -> Option<(f64, &'a str)> {
    let signed = |inside: bool, away: f64| {
        if inside && away > SAME_POINT_M {
            -away
        } else {
            away
        }
    };
    let wall = scene.room().map(|room| {
        let away = room.outline.distance_to_outline(place);
        (signed(!room.outline.contains(place), away), WALL)
    });
    let bodies = scene.bodies.iter().map(|body| {
        let away = body.outline.distance_to_outline(place);
        let inside = distance(place, &body.outline) == 0.0;
        (signed(inside, away), body.name)
    });
    wall.into_iter()
        .chain(bodies)
        .min_by(|one, other| one.0.total_cmp(&other.0))
}

/// The sides from which a station is reached are free for somebody to walk along.
pub fn reach(scene: &Scene<'_>) -> Vec<Finding> {
    let wanted = scene.plan.body_width;
    let mut findings = Vec::new();
    for (station, name, placement) in scene.placed() {
        let asked = Side::ALL.into_iter().zip(placement.reach_from);
        for (side, _) in asked.filter(|&(_, asked)| asked) {
            let body = Body::of(placement, side);
            let toward = placement.turned(side.direction());
            let strip = Strip {
                from: placement.at + toward * body.behind,
                toward,
                width: body.across,
            };
            let run = scene.run(strip, station);
            let short = |free: &f64| *free < wanted - SAME_POINT_M;
            let (Some(free), Some(what)) = (run.free.filter(short), run.end) else {
                let beside = strip.from + toward * (wanted / 2.0 + FITS_M);
                findings.extend(not_there(scene, name, placement, (side, beside)));
                continue;
            };
            let says = wording![
                format!(
                    "{name} is to be reached from its {} side, where only ",
                    side.name()
                ),
                at_most(free),
                format!(" is free, as far as {what}; somebody who walks along takes "),
                metres(wanted)
            ];
            findings.push(
                Finding::new(Level::Fault, "reach", name, says)
                    .other(what)
                    .at(strip.from)
                    .missing(wanted - free)
                    .figure("free_m", free)
                    .help(wording![
                        format!("move {name} away from {what} by "),
                        at_least(wanted - free),
                        ", or work from another side"
                    ]),
            );
        }
    }
    findings
}

/// A side where there is room, to which nobody gets from where one stands at the station.
fn not_there(
    scene: &Scene<'_>,
    name: &str,
    placement: &Placement,
    (side, beside): (Side, Point),
) -> Option<Finding> {
    /// Halvings of the width: to a thousandth of a millimetre.
    const HALVINGS: u32 = 20;
    let wanted = scene.plan.body_width;
    let from = placement.standing();
    let gets_there = |width: f64| scene.plan.ground(width / 2.0).reachable(from, beside);
    // Where nobody can stand is told already.
    let stands = scene.plan.ground(wanted / 2.0).is_free(from).is_ok();
    if scene.plan.going != Going::Around || !stands || gets_there(wanted) {
        return None;
    }
    let (mut low, mut high) = (0.0, wanted);
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        if gets_there(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    let says = wording![
        format!(
            "{name} is to be reached from its {} side, where there is room, but the widest way there is ",
            side.name()
        ),
        metres(low),
        " wide, and a person takes ",
        metres(wanted)
    ];
    let finding = Finding::new(Level::Fault, "reach", name, says)
        .at(beside)
        .missing(wanted - low)
        .figure("width_m", low);
    Some(finding.help(wording![
        "widen the way to it by ",
        at_least(wanted - low),
        ", or work from another side"
    ]))
}
