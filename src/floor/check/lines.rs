//! Rules about lines of the floor that one machine takes from others: crossing strips, and where a saw may throw a piece.

use super::feeding::feedings;
use super::finding::{metres, wording};
use super::shapes::overlap;
use super::{Finding, Level, Scene};
use crate::floor::strips::{Body, Strip};
use crate::floor::{Point, SAME_POINT_M};
use crate::shop::{StationId, Work};

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
        let items = shop.projects.iter().flat_map(|project| &project.items);
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
        let Some(side) = placement.feed else { continue };
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
        let mut found = |other: &str, at: Point, says: String, helps: String| {
            findings.push(
                Finding::new(Level::Warning, "kickback", name, wording![says])
                    .other(other)
                    .at(at)
                    .figure("reach_m", reach)
                    .help(wording![helps]),
            );
        };
        for (_, other, standing) in scene.placed().filter(|(id, ..)| *id != station) {
            let place = standing.standing();
            let from_line = place - line.from;
            let (along, aside) = (from_line.dot(back), back.cross(from_line).abs());
            let body_in_line = line.width / 2.0 + scene.plan.body_width / 2.0 - SAME_POINT_M;
            if along > 0.0 && along < reach - SAME_POINT_M && aside < body_in_line {
                let says = format!("who stands at {other} stands where {name} may throw a piece");
                found(other, place, says, format!("move {other} or turn {name}"));
            }
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
                found(&door.name, door.middle(), says, helps);
            }
        }
    }
    findings
}
