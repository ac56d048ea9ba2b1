//! Rules about what covers the floor: footprints, walls and doors.

use super::remedy::{MOST_TRIED, Mover, all_around};
use super::{Missing, Scene};
use crate::floor::finding::{Fact, Finding, FindingLevel, FindingSubject, RuleId, Shift};
use crate::floor::shapes::{FloorArea, beyond_walls, do_overlap, overlap};
use crate::floor::site::{DoorFloor, Footprint, Site};
use crate::floor::strips::Strip;
use crate::floor::{Door, HeightRange, Obstacle, Placement, Point, SAME_POINT_M};
use crate::shop::PlaceId;

/// How deep the footprints of two stations overlap.
pub fn footprints_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (index, one) in scene.stations().enumerate() {
        for other in scene.stations().skip(index + 1) {
            if let Some(depth) = shared(one, other) {
                let is_tried = findings.len() < MOST_TRIED;
                findings.push(overlaps(
                    (scene, is_tried),
                    RuleId::Overlap,
                    one,
                    other,
                    depth,
                ));
            }
        }
    }
    findings
}

pub fn footprints_judge(scene: &Scene<'_>) -> Missing {
    let mut missing = Missing::default();
    for (index, one) in scene.stations().enumerate() {
        for other in scene.stations().skip(index + 1) {
            missing += overlapping(one, other);
        }
    }
    missing
}

/// How deep two things reach into each other on the floor, in metres, if they do at the same height.
fn shared(one: &Footprint, other: &Footprint) -> Option<f64> {
    match one.heights.meets(&other.heights) {
        true => overlap(&one.area, &other.area),
        false => None,
    }
}

/// What is missing where two things must not overlap.
pub fn overlapping(one: &Footprint, other: &Footprint) -> Missing {
    lacking(shared(one, other))
}

/// A fault that lacks so many metres, if it does.
pub fn lacking(depth: Option<f64>) -> Missing {
    depth.map_or(Missing::default(), |depth| {
        Missing::one(FindingLevel::Fault, depth)
    })
}

/// How deep a station would stand in walls, in things of the room and in other stations, in metres, all of it together.
pub fn depth_in_others<'p>(
    site: &Site<'_>,
    placement: &Placement,
    others: impl IntoIterator<Item = &'p Placement>,
) -> f64 {
    let body = |of: &Placement| {
        of.footprint().map(|outline| Footprint {
            of: Obstacle::Wall,
            area: FloorArea::new(outline),
            heights: of.heights,
        })
    };
    let own = body(placement);
    let area = own.as_ref().map(|own| &own.area);
    let in_walls = outside(site, placement, area).map_or(0.0, |(far, _)| far);
    let Some(own) = own else { return in_walls };
    let others = others.into_iter().filter_map(body);
    let in_others: f64 = others.filter_map(|other| shared(&own, &other)).sum();
    in_walls + on_things(site, &own).fault_m + in_others
}

/// A footprint overlaps something in the way.
pub fn things_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for station in scene.stations() {
        for thing in &scene.site.things {
            if let Some(depth) = shared(station, thing) {
                let is_tried = findings.len() < MOST_TRIED;
                findings.push(overlaps(
                    (scene, is_tried),
                    RuleId::InTheWay,
                    station,
                    thing,
                    depth,
                ));
            }
        }
    }
    findings
}

pub fn things_judge(scene: &Scene<'_>) -> Missing {
    scene
        .stations()
        .map(|station| on_things(scene.site, station))
        .sum()
}

/// What is missing where a footprint stands on things in the way.
pub fn on_things(site: &Site<'_>, body: &Footprint) -> Missing {
    let things = site.things.iter();
    things.map(|thing| overlapping(body, thing)).sum()
}

fn overlaps(
    (scene, is_tried): (&Scene<'_>, bool),
    rule: RuleId,
    one: &Footprint,
    other: &Footprint,
    depth: f64,
) -> Finding {
    let is_out = |moved: &FloorArea| !do_overlap(moved, &other.area);
    let apart = match is_tried {
        true => out_of(scene, one.of, (depth, depth), is_out),
        false => Shift::Untried,
    };
    let fact = Fact::Overlap {
        depth,
        apart,
        higher: hung_higher(scene, one, other).or_else(|| hung_higher(scene, other, one)),
    };
    Finding::new(FindingLevel::Fault, rule, one.of.into(), fact)
        .other(other.of)
        .at((one.area.middle() + other.area.middle()) * 0.5)
        .missing(depth)
}

/// How far a station is best moved to come out of something, where that lacks so many metres of which so many are part
/// of what is wrong about where it stands.
pub fn out_of(
    scene: &Scene<'_>,
    of: Obstacle,
    lacks: (f64, f64),
    is_out: impl Fn(&FloorArea) -> bool,
) -> Shift {
    let Obstacle::Station(station) = of else {
        return Shift::Untried;
    };
    let Some(placement) = scene.plan.placements[station].as_ref() else {
        return Shift::Untried;
    };
    let mover = Mover::new(scene, station, placement);
    let mends = |_, moved: Option<&FloorArea>| moved.is_some_and(&is_out);
    mover.least(lacks, &all_around(), mends).0
}

/// How much higher something has to hang that something else may stand below it, if there is room for it there.
fn hung_higher(scene: &Scene<'_>, hung: &Footprint, below: &Footprint) -> Option<(Obstacle, f64)> {
    let by = below.heights.top - hung.heights.bottom;
    if hung.heights.bottom <= below.heights.bottom || !by.is_finite() {
        return None;
    }
    let raised = Footprint {
        heights: HeightRange {
            bottom: hung.heights.bottom + by,
            top: hung.heights.top + by,
        },
        ..hung.clone()
    };
    let ceiling = scene.room().and_then(|room| room.ceiling);
    let is_too_high = ceiling.is_some_and(|ceiling| raised.heights.top > ceiling + SAME_POINT_M);
    let others = scene.footprints.iter().filter(|other| other.of != hung.of);
    let is_free = others
        .into_iter()
        .all(|other| shared(&raised, other).is_none());
    (is_free && !is_too_high).then_some((hung.of, by))
}

/// A footprint crosses a wall or stands outside.
pub fn walls_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let mut found = 0;
    let findings = scene.placed().filter_map(|(station, placement)| {
        let of = Obstacle::Station(station);
        let mut footprints = scene.stations();
        let footprint = footprints.find(|footprint| footprint.of == of);
        let area = footprint.map(|found| &found.area);
        let (far, outside) = outside(scene.site, placement, area)?;
        let inside = |moved: &FloorArea| {
            let room = scene.room();
            room.is_none_or(|room| beyond_walls(moved, &room.outline).is_none())
        };
        let fact = Fact::BeyondWalls {
            far,
            outside,
            inside: match area.is_some() && found < MOST_TRIED {
                true => out_of(scene, of, (far, far), inside),
                false => Shift::Untried,
            },
        };
        found += 1;
        Some(
            Finding::new(FindingLevel::Fault, RuleId::Walls, of.into(), fact)
                .other(FindingSubject::Wall)
                .at(placement.at)
                .missing(far),
        )
    });
    findings.collect()
}

pub fn walls_judge(scene: &Scene<'_>) -> Missing {
    let placed = scene.placed();
    let missing = placed.filter_map(|(station, placement)| {
        let of = Obstacle::Station(station);
        let footprint = scene.stations().find(|footprint| footprint.of == of);
        let (far, _) = outside(scene.site, placement, footprint.map(|found| &found.area))?;
        Some(Missing::one(FindingLevel::Fault, far))
    });
    missing.sum()
}

/// How far a station reaches out of the room, in metres, and whether it stands wholly outside.
pub fn outside(
    site: &Site<'_>,
    placement: &Placement,
    footprint: Option<&FloorArea>,
) -> Option<(f64, bool)> {
    let room = &site.premises.room?.outline;
    match footprint {
        Some(area) => beyond_walls(area, room).map(|far| {
            let corners = area.outline.corners();
            let away = !corners.iter().any(|&corner| room.contains(corner));
            (far, away)
        }),
        None => {
            let far = room.distance_to_outline(placement.at);
            let away = !room.contains(placement.at) && far > SAME_POINT_M;
            away.then_some((far, true))
        }
    }
}

/// Something stands in front of a door or in the way of its leaf.
pub fn doors_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for door in 0..scene.doors().len() {
        at_door(
            scene.site,
            &scene.footprints,
            door,
            &mut |footprint, finding| {
                let is_tried = findings.len() < MOST_TRIED;
                findings.push(match is_tried {
                    true => with_way_out_of(scene, door, footprint, finding),
                    false => finding,
                });
            },
        );
    }
    findings
}

/// What is found at a door, with how far what stands there is moved to be out of it.
fn with_way_out_of(
    scene: &Scene<'_>,
    door: usize,
    footprint: &Footprint,
    mut finding: Finding,
) -> Finding {
    let floor = &scene.site.doors[door];
    let [one, other] = &floor.leaves;
    let areas = [&floor.before, one, other];
    let is_out = |moved: &FloorArea| {
        let mut areas = areas.into_iter().flatten();
        !areas.any(|area| do_overlap(moved, area))
    };
    let before = floor.before.as_ref();
    let counted = before.and_then(|before| overlap(&footprint.area, before));
    let missing = finding.missing.unwrap_or(0.0);
    let lacks = (missing, counted.unwrap_or(0.0));
    if let Fact::BeforeDoor { out, .. } | Fact::InLeaf { out, .. } = &mut finding.fact {
        *out = out_of(scene, footprint.of, lacks, is_out);
    }
    finding
}

pub fn doors_judge(scene: &Scene<'_>) -> Missing {
    let doors = 0..scene.doors().len();
    doors
        .map(|door| before_door(scene.site, &scene.footprints, door))
        .sum()
}

/// What is missing at one door.
pub fn before_door(site: &Site<'_>, footprints: &[Footprint], door: usize) -> Missing {
    let mut missing = Missing::default();
    at_door(site, footprints, door, &mut |_, finding| {
        missing.add(finding.level, finding.missing.unwrap_or(0.0));
    });
    missing
}

fn at_door(
    site: &Site<'_>,
    footprints: &[Footprint],
    index: usize,
    found: &mut dyn FnMut(&Footprint, Finding),
) {
    let limits = site.premises.limits;
    let kept_free = limits.way_out;
    let (door, floor) = (&site.premises.doors()[index], &site.doors[index]);
    // What hangs is in nobody's way if it leaves head room, and in the way of no leaf that is lower.
    let walked = HeightRange {
        bottom: 0.0,
        top: site.head_room,
    };
    let swept = HeightRange {
        bottom: 0.0,
        top: door.height.unwrap_or(site.head_room),
    };
    let into = |footprint: &Footprint, area: &Option<FloorArea>, heights: &HeightRange| {
        let area = area.as_ref()?;
        match footprint.heights.meets(heights) {
            true => overlap(&footprint.area, area),
            false => None,
        }
    };
    let before = |footprint: &&Footprint| into(footprint, &floor.before, &walked).is_some();
    let crowd: Vec<&Footprint> = footprints.iter().filter(before).collect();
    let left = left_of(kept_free, door, floor, &crowd);
    let place: PlaceId = site.premises.door_place(index);
    let mut find = |level, footprint: &Footprint, fact, depth| {
        found(
            footprint,
            Finding::new(level, RuleId::Doors, footprint.of.into(), fact)
                .other(FindingSubject::Place(place))
                .at(door.middle())
                .missing(depth),
        );
    };
    let in_leaf = |both| Fact::InLeaf {
        both,
        out: Shift::Untried,
    };
    for footprint in footprints {
        if let Some(depth) = into(footprint, &floor.before, &walked) {
            let fact = Fact::BeforeDoor {
                depth,
                kept_free,
                left,
                width: door.width(),
                crowd: crowd.len(),
                out: Shift::Untried,
            };
            // Before a wide door, a way out may remain.
            let level = if left < kept_free - SAME_POINT_M {
                FindingLevel::Fault
            } else {
                FindingLevel::Warning
            };
            find(level, footprint, fact, depth);
            continue;
        }
        let [one, other] = &floor.leaves;
        let [one, other] = [one, other].map(|leaf| into(footprint, leaf, &swept));
        match (one, other) {
            (Some(one), Some(other)) => {
                let fact = in_leaf(true);
                find(FindingLevel::Fault, footprint, fact, one.min(other));
            }
            (Some(depth), None) if door.hangs_at_first => {
                let fact = in_leaf(true);
                find(FindingLevel::Fault, footprint, fact, depth);
            }
            (Some(depth), None) | (None, Some(depth)) => {
                let fact = in_leaf(false);
                find(FindingLevel::Warning, footprint, fact, depth);
            }
            (None, None) => {}
        }
    }
}

/// The widest part of a door's opening that nothing of what stands before it is in front of, in metres.
fn left_of(depth: f64, door: &Door, floor: &DoorFloor, crowd: &[&Footprint]) -> f64 {
    let width = door.width();
    let from = |end: Point, other: Point, footprint: &Footprint| {
        let strip = Strip {
            from: end + floor.inward * (depth / 2.0),
            toward: (other - end) * (1.0 / width),
            width: depth,
        };
        let nearest = strip.nearest_of(&footprint.area.outline);
        nearest.unwrap_or(0.0).min(width)
    };
    let (one, other) = door.between;
    // What each of them is in front of, from the one end of the opening.
    let shadow = |footprint: &&Footprint| {
        let end = width - from(other, one, footprint);
        (from(one, other, footprint), end)
    };
    let mut shadows: Vec<(f64, f64)> = crowd.iter().map(shadow).collect();
    shadows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut free_from, mut widest) = (0.0_f64, 0.0_f64);
    for (begin, end) in shadows {
        widest = widest.max(begin - free_from);
        free_from = free_from.max(end);
    }
    widest.max(width - free_from).clamp(0.0, width)
}
