//! Rules about lines of the floor that one machine takes from others: crossing strips, and where a saw may throw a piece.

use super::feeding::feedings;
use super::finding::{metres, wording};
use super::shapes::overlap;
use super::{Finding, Level, Scene, WalkedLeg};
use crate::floor::strips::{Body, Strip};
use crate::floor::{Point, SAME_POINT_M};
use crate::shop::{PlaceId, StationId, Work};

/// Strips of stations that can run at the same time do not cross.
pub fn crossing(scene: &Scene<'_>) -> Vec<Finding> {
    let feedings = feedings(scene);
    let mut findings = Vec::new();
    for (index, one) in feedings.iter().enumerate() {
        for other in &feedings[index + 1..] {
            let (Some(strip), Some(crossed)) = (one.outline(), other.outline()) else {
                continue;
            };
            let Some(depth) = overlap(&strip, &crossed) else {
                continue;
            };
            if !at_once(scene, one.station, other.station) {
                continue;
            }
            let says = wording![
                format!(
                    "the strips along which {} and {} are fed overlap by ",
                    one.name, other.name
                ),
                metres(depth),
                ", and both can run at the same time"
            ];
            findings.push(
                Finding::new(Level::Note, "crossing", one.name, says)
                    .other(other.name)
                    .at((one.placement.at + other.placement.at) * 0.5)
                    .missing(depth)
                    .help(wording![
                        "agree who waits, or turn one of them, or set them apart by ",
                        metres(depth)
                    ]),
            );
        }
    }
    findings
}

/// Whether people and gear are there for some work at one station and some at another at the same time.
fn at_once(scene: &Scene<'_>, one: StationId, other: StationId) -> bool {
    let shop = scene.shop;
    let works = |station: StationId| -> Vec<&Work> {
        let items = scene.ordered().flat_map(|project| &project.items);
        let choices = items
            .flat_map(|item| &item.route)
            .flat_map(|step| &step.choices);
        let here = choices.filter(|choice| choice.station == station);
        here.map(|choice| &choice.work).collect()
    };
    let possible = |a: &Work, b: &Work| {
        let able = |work: &Work| {
            shop.crew
                .iter()
                .filter(|p| p.can_do(work.operation))
                .count()
        };
        let either = shop.crew.iter();
        let either = either
            .filter(|p| p.can_do(a.operation) || p.can_do(b.operation))
            .count();
        let people = able(a) >= a.people as usize
            && able(b) >= b.people as usize
            && either >= (a.people + b.people) as usize;
        let gear = a.gear.iter().all(|&(kind, taken)| {
            let too = b.gear.iter().find(|&&(other, _)| other == kind);
            let too = too.map_or(0, |&(_, taken)| taken);
            u64::from(taken) + u64::from(too) <= u64::from(shop.gear[kind].count)
        });
        people && gear
    };
    let others = works(other);
    works(one)
        .iter()
        .any(|a| others.iter().any(|b| possible(a, b)))
}

/// Nobody stands, and no door opens, where a saw may throw a piece.
pub fn kickback(scene: &Scene<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let dangerous = scene.placed().filter(|(.., placement)| placement.kickback);
    for (station, name, placement) in dangerous {
        let Some(side) = placement.feed else {
            let says = wording![format!(
                "where {name} may throw a piece cannot be told: nothing says which way the work is fed"
            )];
            let helps = wording![format!("say `feed toward` at {name}")];
            findings.push(Finding::new(Level::Note, "kickback", name, says).help(helps));
            continue;
        };
        let body = Body::of(placement, side);
        let back = placement.turned(side.direction()) * -1.0;
        let line = Strip {
            from: placement.at + back * body.before,
            toward: back,
            width: body.across,
        };
        let operator = (placement.standing() - line.from).dot(back).max(0.0);
        let reach = operator + scene.limits.kickback;
        let to_wall = scene.to_wall(Strip { width: 0.0, ..line });
        let reach = to_wall.map_or(reach, |wall| wall.min(reach));
        let mut found = |level: Level, other: &str, at: Point, says: String, helps: String| {
            findings.push(
                Finding::new(level, "kickback", name, wording![says])
                    .other(other)
                    .at(at)
                    .figure("reach_m", reach)
                    .help(wording![helps]),
            );
        };
        let body_in_line = line.width / 2.0 + scene.plan.body_width / 2.0 - SAME_POINT_M;
        let in_line = |place: Point| {
            let from_line = place - line.from;
            let (along, aside) = (from_line.dot(back), back.cross(from_line).abs());
            along > 0.0 && along < reach - SAME_POINT_M && aside < body_in_line
        };
        for (_, other, standing) in scene.placed().filter(|(id, ..)| *id != station) {
            let place = standing.standing();
            if in_line(place) {
                let says = format!("who stands at {other} stands where {name} may throw a piece");
                let helps = format!("move {other} or turn {name}");
                found(Level::Warning, other, place, says, helps);
                continue;
            }
            let reaches_in = standing
                .footprint()
                .and_then(|footprint| line.nearest_of(&footprint))
                .is_some_and(|along| along < reach - SAME_POINT_M);
            if reaches_in {
                let says = format!(
                    "{other} stands where {name} may throw a piece, though nobody stands there at it"
                );
                let helps = format!("keep people from that side of {other} while {name} runs");
                found(Level::Note, other, standing.at, says, helps);
            }
        }
        if let Some((first, others)) = crossed(scene, station, line, reach, &in_line).split_first()
        {
            let more = match others.len() {
                0 => String::new(),
                1 => ", and so does another way".to_owned(),
                more => format!(", and so do {more} other ways"),
            };
            let (from, to) = (scene.place_name(first.from), scene.place_name(first.to));
            let (level, when) = if walked_while_running(scene, station) {
                (
                    Level::Warning,
                    "and it may be walked while the machine runs",
                )
            } else {
                (
                    Level::Note,
                    "though whoever could walk it works at the machine while it runs",
                )
            };
            let says = format!(
                "the way from {from} to {to} crosses where {name} may throw a piece{more}, {when}"
            );
            let helps = format!("turn {name}, or lead the way around behind it");
            found(level, from, first.place, says, helps);
        }
        for door in scene.doors() {
            // A door in the wall that ends the line opens into it.
            let met = line.nearest(door.between);
            if met.is_some_and(|along| along <= reach + SAME_POINT_M) {
                let says = format!(
                    "who comes in through {} comes in where {name} may throw a piece",
                    door.name
                );
                let helps = format!("turn {name}, or keep {} shut while it runs", door.name);
                found(Level::Warning, &door.name, door.middle(), says, helps);
            }
        }
    }
    findings
}

/// The walks that lead through the line in which a saw may throw a piece, but for those to the saw itself and those from
/// or to places in the line, which are found themselves. Both directions of a walk are one.
fn crossed<'a>(
    scene: &Scene<'a>,
    saw: StationId,
    line: Strip,
    reach: f64,
    in_line: &dyn Fn(Point) -> bool,
) -> Vec<&'a WalkedLeg> {
    /// Metres: how far a walk's arcs may be from the lines that stand for them.
    const FINE: f64 = 0.01;
    let ground = scene.plan.ground(scene.plan.body_width / 2.0);
    let wide = Strip {
        width: line.width + scene.plan.body_width,
        ..line
    };
    let mut crossed: Vec<&WalkedLeg> = Vec::new();
    for leg in scene.walked {
        let ends = [leg.from, leg.to];
        let known = crossed
            .iter()
            .any(|known| ends.contains(&known.from) && ends.contains(&known.to));
        let told =
            |end: &PlaceId| *end == saw.into() || scene.plan.standing(*end).is_none_or(in_line);
        if known || ends.iter().any(told) {
            continue;
        }
        let path = scene.plan.path(&ground, leg.from, leg.to);
        let corners = path.map(|path| path.polyline(FINE)).unwrap_or_default();
        let crosses = corners.windows(2).any(|step| {
            let along = wide.nearest((step[0], step[1]));
            along.is_some_and(|along| along < reach - SAME_POINT_M)
        });
        if crosses {
            crossed.push(leg);
        }
    }
    crossed
}

/// Whether somebody is left to walk about while a machine runs.
fn walked_while_running(scene: &Scene<'_>, machine: StationId) -> bool {
    let items = scene.ordered().flat_map(|project| &project.items);
    let mut choices = items
        .flat_map(|item| &item.route)
        .flat_map(|step| &step.choices)
        .filter(|choice| choice.station == machine);
    choices.any(|choice| scene.shop.crew.len() > choice.work.people as usize)
}
