//! Rules about what covers the floor: footprints, walls, doors and panels.

use super::finding::{at_least, at_most, metres, wording};
use super::shapes::{beyond_walls, overlap, rectangle_before};
use super::{Body, Finding, Level, Scene};
use crate::floor::strips::Strip;
use crate::floor::{Door, Point, Polygon, Room, SAME_POINT_M, nearest_on_segment};

fn middle(outline: &Polygon) -> Point {
    let (least, most) = outline.bounds();
    (least + most) * 0.5
}

fn stations<'s, 'a>(scene: &'s Scene<'a>) -> impl Iterator<Item = &'s Body<'a>> {
    scene.bodies.iter().filter(|body| body.station.is_some())
}

/// Footprints of two stations overlap.
pub fn footprints(scene: &Scene<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (index, one) in stations(scene).enumerate() {
        for other in stations(scene).skip(index + 1) {
            if let Some(depth) = overlap(&one.outline, &other.outline) {
                findings.push(overlaps("overlap", one, other, depth));
            }
        }
    }
    findings
}

/// A footprint overlaps something in the way.
pub fn things(scene: &Scene<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for station in stations(scene) {
        for thing in scene.bodies.iter().filter(|body| body.station.is_none()) {
            if let Some(depth) = overlap(&station.outline, &thing.outline) {
                findings.push(overlaps("in the way", station, thing, depth));
            }
        }
    }
    findings
}

fn overlaps(rule: &'static str, one: &Body<'_>, other: &Body<'_>, depth: f64) -> Finding {
    let says = wording![
        format!("{} and {} overlap by ", one.name, other.name),
        metres(depth)
    ];
    Finding::new(Level::Fault, rule, one.name, says)
        .other(other.name)
        .at((middle(&one.outline) + middle(&other.outline)) * 0.5)
        .missing(depth)
        .help(wording![
            format!("move {} away from {} by ", one.name, other.name),
            at_least(depth)
        ])
}

/// A footprint crosses a wall or stands outside.
pub fn walls(scene: &Scene<'_>) -> Vec<Finding> {
    let Some(room) = scene.room() else {
        return Vec::new();
    };
    let mut findings = Vec::new();
    for (_, name, placement) in scene.placed() {
        let outside = match placement.footprint() {
            Some(footprint) => beyond_walls(&footprint, &room.outline).map(|far| {
                let corners = footprint.corners();
                let away = !corners.iter().any(|&corner| room.outline.contains(corner));
                (far, away)
            }),
            None => {
                let far = room.outline.distance_to_outline(placement.at);
                let away = !room.outline.contains(placement.at) && far > SAME_POINT_M;
                away.then_some((far, true))
            }
        };
        let Some((far, away)) = outside else { continue };
        let says = if away {
            wording![format!("{name} stands outside the room")]
        } else {
            wording![format!("{name} reaches "), metres(far), " into the wall"]
        };
        findings.push(
            Finding::new(Level::Fault, "walls", name, says)
                .other("the wall")
                .at(placement.at)
                .missing(far)
                .help(wording![
                    format!("move {name} into the room by "),
                    at_least(far)
                ]),
        );
    }
    findings
}

/// Something stands in front of a door or in the way of its leaf.
pub fn doors(scene: &Scene<'_>) -> Vec<Finding> {
    let Some(room) = scene.room() else {
        return Vec::new();
    };
    let mut findings = Vec::new();
    for door in &room.doors {
        let inward = inward(room, door);
        let before = rectangle_before(door.middle(), inward, door.width(), scene.limits.way_out);
        let [first, second] = leaves(door, inward);
        let stands_before = |body: &&Body<'_>| {
            before
                .as_ref()
                .is_some_and(|area| overlap(&body.outline, area).is_some())
        };
        let crowd: Vec<&Body<'_>> = scene.bodies.iter().filter(stands_before).collect();
        let left = left_of(scene, door, inward, &crowd);
        for body in &scene.bodies {
            let into = |area: &Option<Polygon>| overlap(&body.outline, area.as_ref()?);
            let finding = |level, says, depth| {
                Finding::new(level, "doors", body.name, says)
                    .other(&door.name)
                    .at(door.middle())
                    .missing(depth)
                    .help(wording![
                        format!("move {} out of it by ", body.name),
                        at_least(depth)
                    ])
            };
            if let Some(depth) = into(&before) {
                let together = match crowd.len() {
                    1 => "leaves ".to_owned(),
                    2 => "with what else stands there leaves ".to_owned(),
                    all => format!("with {} others leaves ", all - 1),
                };
                let says = wording![
                    format!("{} stands ", body.name),
                    metres(depth),
                    " into the ",
                    metres(scene.limits.way_out),
                    format!(" of floor before {} and {together}", door.name),
                    at_most(left),
                    " of its ",
                    metres(door.width())
                ];
                // Before a wide door, a way out may remain.
                let level = if left < scene.limits.way_out - SAME_POINT_M {
                    Level::Fault
                } else {
                    Level::Warning
                };
                findings.push(finding(level, says, depth).figure("left_m", left));
            } else if door.swings_in {
                match (into(&first), into(&second)) {
                    (Some(one), Some(other)) => {
                        let says =
                            wording![format!("{} keeps {} from opening", body.name, door.name)];
                        findings.push(finding(Level::Fault, says, one.min(other)));
                    }
                    (Some(depth), None) | (None, Some(depth)) => {
                        let says = wording![format!(
                            "{} leaves {} room to open only if its hinges are at the other end",
                            body.name, door.name
                        )];
                        findings.push(finding(Level::Warning, says, depth));
                    }
                    (None, None) => {}
                }
            }
        }
    }
    findings
}

/// The widest part of a door's opening that nothing of what stands before it is in front of, in metres.
fn left_of(scene: &Scene<'_>, door: &Door, inward: Point, crowd: &[&Body<'_>]) -> f64 {
    let (depth, width) = (scene.limits.way_out, door.width());
    let from = |end: Point, other: Point, body: &Body<'_>| {
        let strip = Strip {
            from: end + inward * (depth / 2.0),
            toward: (other - end) * (1.0 / width),
            width: depth,
        };
        strip.nearest_of(&body.outline).unwrap_or(0.0).min(width)
    };
    let (one, other) = door.between;
    // What each of them is in front of, from the one end of the opening.
    let shadow = |body: &&Body<'_>| (from(one, other, body), width - from(other, one, body));
    let mut shadows: Vec<(f64, f64)> = crowd.iter().map(shadow).collect();
    shadows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut free_from, mut widest) = (0.0_f64, 0.0_f64);
    for (begin, end) in shadows {
        widest = widest.max(begin - free_from);
        free_from = free_from.max(end);
    }
    widest.max(width - free_from).clamp(0.0, width)
}

/// The direction from a door into the room, of length 1.
pub fn inward(room: &Room, door: &Door) -> Point {
    let away = |&(a, b): &(Point, Point)| {
        let [one, other] = [door.between.0, door.between.1]
            .map(|end| end.distance(nearest_on_segment(end, (a, b))));
        one.max(other)
    };
    let wall = room
        .outline
        .edges()
        .min_by(|one, other| away(one).total_cmp(&away(other)));
    let along = wall.map_or(Point::new(1.0, 0.0), |(a, b)| {
        (b - a) * (1.0 / a.distance(b))
    });
    along.left()
}

/// The quarter circles of a leaf with its hinges at one end or at the other.
fn leaves(door: &Door, inward: Point) -> [Option<Polygon>; 2] {
    const STEPS: u32 = 24;
    let quarter = |hinge: Point, latch: Point| {
        let mut corners = vec![hinge];
        for step in 0..=STEPS {
            let angle = std::f64::consts::FRAC_PI_2 * f64::from(step) / f64::from(STEPS);
            let shut = (latch - hinge) * libm::cos(angle);
            corners.push(hinge + shut + inward * (door.width() * libm::sin(angle)));
        }
        Polygon::new(&corners).ok()
    };
    [
        quarter(door.between.0, door.between.1),
        quarter(door.between.1, door.between.0),
    ]
}

/// Something stands in front of an electrical panel.
pub fn panels(scene: &Scene<'_>) -> Vec<Finding> {
    let limits = scene.limits;
    let mut findings = Vec::new();
    for panel in scene.room().iter().flat_map(|room| &room.panels) {
        let width = panel.width.max(limits.panel_width);
        let kept_free = rectangle_before(panel.at, panel.faces, width, limits.panel_depth);
        let Some(kept_free) = kept_free else { continue };
        for body in &scene.bodies {
            let Some(depth) = overlap(&body.outline, &kept_free) else {
                continue;
            };
            let says = wording![
                format!("{} stands ", body.name),
                metres(depth),
                format!(" into the floor in front of {}, of which ", panel.name),
                metres(width),
                " by ",
                metres(limits.panel_depth),
                " is kept free"
            ];
            findings.push(
                Finding::new(Level::Fault, "panel", body.name, says)
                    .other(&panel.name)
                    .at(panel.at)
                    .missing(depth)
                    .help(wording![
                        format!("move {} aside by ", body.name),
                        at_least(depth),
                        "; nothing is ever stored there"
                    ]),
            );
        }
    }
    findings
}
