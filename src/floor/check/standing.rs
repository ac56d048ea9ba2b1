//! Rules about where people stand and reach.

use super::finding::{metres, wording};
use super::shapes::distance;
use super::{Finding, Level, Scene};
use crate::floor::strips::{Body, Strip};
use crate::floor::{Point, SAME_POINT_M, Side};

/// Where one stands at a station there is room for a person.
pub fn room_to_stand(scene: &Scene<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let body = scene.plan.body_width;
    let advised = scene.limits.standing_room.max(body);
    for (_, name, placement) in scene.placed() {
        let place = placement.standing();
        let nearest = nearest(scene, place);
        let Some((clear, what)) = nearest else {
            continue;
        };
        let free = 2.0 * clear;
        let (level, wanted) = if clear < 0.0 || free < body - SAME_POINT_M {
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
                metres(free),
                format!(" is free, as far as {what}; "),
                metres(wanted),
                if level == Level::Fault {
                    " is what a person takes"
                } else {
                    " is advised"
                }
            ]
        };
        let missing = wanted / 2.0 - clear;
        findings.push(
            Finding::new(level, "standing", name, says)
                .other(what)
                .at(place)
                .missing(missing)
                .figure("free_m", free.max(0.0))
                .help(wording![
                    format!("move {name}, or its standing place, away from {what} by "),
                    metres(missing)
                ]),
        );
    }
    findings
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
            let (Some(free), Some(what)) = (run.free, run.end) else {
                continue;
            };
            if free >= wanted - SAME_POINT_M {
                continue;
            }
            let says = wording![
                format!(
                    "{name} is to be reached from its {} side, where only ",
                    side.name()
                ),
                metres(free),
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
                        metres(wanted - free),
                        ", or work from another side"
                    ]),
            );
        }
    }
    findings
}
