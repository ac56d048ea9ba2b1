//! Rules about where people stand and reach.

use super::leaves::leaf_at;
use super::remedy::{MOST_TRIED, Mover, all_around, least_shift};
use super::sawing::is_in_blade_line;
use super::stances::{PlaceToStand, stances, stands_somebody};
use super::{Missing, Scene};
use crate::floor::bisection::largest;
use crate::floor::finding::{
    Away, Fact, Finding, FindingLevel, FindingSubject, Instead, RuleId, SeenSide, Shift,
};
use crate::floor::polygon::segments_meet;
use crate::floor::shapes::FloorArea;
use crate::floor::site::Footprint;
use crate::floor::strips::{StationExtent, Strip};
use crate::floor::tolerance::PERHAPS_BLOCKED_M;
use crate::floor::{
    FITS_M, Going, Obstacle, Placement, Point, Polygon, SAME_POINT_M, Side, nearest_on_segment,
    roomy_floor, roomy_place,
};
use crate::shop::{PlaceId, StationId};

/// Where one stands at a station there is room for a person and no leaf of a door, and room in a door where somebody has to
/// stand in it.
pub fn room_to_stand_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (station, _) in scene.placed() {
        for PlaceToStand {
            place: here,
            placement,
        } in stances(scene, station)
        {
            let placement = &placement;
            findings.extend(in_leaf(scene, here, placement));
            let Some(judged) = at_station(scene, here, placement) else {
                continue;
            };
            let Judged {
                level,
                clear,
                what,
                wanted,
            } = judged;
            let place = placement.standing();
            let fact = Fact::Standing {
                clear,
                wanted,
                away: match findings.len() < MOST_TRIED {
                    true => away(scene, station, placement, &judged),
                    false => Away {
                        shift: Shift::Untried,
                        or_place: true,
                    },
                },
                instead: match level {
                    FindingLevel::Fault => instead(scene, place)
                        .filter(|instead| is_beside(scene, station, instead.at))
                        .filter(|instead| !is_in_blade_line(scene, placement, instead.at)),
                    _ => None,
                },
            };
            let subject = FindingSubject::Place(here);
            findings.push(
                Finding::new(level, RuleId::Standing, subject, fact)
                    .other(what)
                    .at(place)
                    .missing(judged.missing()),
            );
        }
    }
    let obstacle = scene.plan.obstacles_by_index();
    for (door, place) in used_doors(scene) {
        let Err(blocked) = scene.person().is_free(place) else {
            continue;
        };
        let fact = Fact::StandingInDoor {
            body: scene.site.body_width,
            instead: instead(scene, place),
        };
        let subject = FindingSubject::Place(door);
        findings.push(
            Finding::new(FindingLevel::Fault, RuleId::Standing, subject, fact)
                .other(obstacle(blocked.by))
                .at(place)
                .missing(blocked.lacks),
        );
    }
    findings
}

pub fn room_to_stand_judge(scene: &Scene<'_>) -> Missing {
    let mut missing = Missing::default();
    for (station, _) in scene.placed() {
        missing += room_at_station(scene, station);
    }
    for (_, place) in used_doors(scene) {
        missing += room_in_door(scene, place);
    }
    missing
}

/// What is missing where one stands at a station.
pub fn room_at_station(scene: &Scene<'_>, station: StationId) -> Missing {
    let mut missing = Missing::default();
    for PlaceToStand { place, placement } in stances(scene, station) {
        if let Some(finding) = in_leaf(scene, place, &placement) {
            missing += Missing::of(&Some(finding));
        }
        if let Some(judged) = at_station(scene, place, &placement) {
            missing.add(judged.level, judged.missing());
        }
    }
    missing
}

/// Whoever stands at a station is met by whoever opens a door.
fn in_leaf(scene: &Scene<'_>, place: PlaceId, placement: &Placement) -> Option<Finding> {
    let (door, depth) = stands_somebody(scene, place)
        .then(|| leaf_at(scene, placement))
        .flatten()?;
    let subject = FindingSubject::Place(place);
    let finding = Finding::new(
        FindingLevel::Warning,
        RuleId::Standing,
        subject,
        Fact::StandingInLeaf,
    );
    let finding = finding.other(FindingSubject::Place(door));
    Some(finding.at(placement.standing()).missing(depth))
}

/// What is missing where one stands in a door.
pub fn room_in_door(scene: &Scene<'_>, place: Point) -> Missing {
    match scene.person().is_free(place) {
        Ok(()) => Missing::default(),
        Err(blocked) => Missing::one(FindingLevel::Fault, blocked.lacks),
    }
}

/// Where people walk around things, a place that is used must have room for the walks to begin and end there.
fn is_used(scene: &Scene<'_>, place: PlaceId) -> bool {
    scene.site.going == Going::Around && scene.site.uses(place)
}

/// Doors in which somebody has to stand, and where.
pub fn used_doors(scene: &Scene<'_>) -> impl Iterator<Item = (PlaceId, Point)> {
    let premises = scene.site.premises;
    let doors = scene.doors().iter().enumerate();
    let doors = doors.map(move |(index, door)| (premises.door_place(index), door.middle()));
    doors.filter(|&(place, _)| is_used(scene, place))
}

/// Where one stands at a station and has too little room.
struct Judged {
    level: FindingLevel,
    /// Distance to what is nearest, in metres; negative within it or outside the room.
    clear: f64,
    what: Obstacle,
    /// Diameter in metres.
    wanted: f64,
}

impl Judged {
    fn missing(&self) -> f64 {
        (self.wanted / 2.0 - self.clear).max(0.0)
    }
}

fn at_station(scene: &Scene<'_>, here: PlaceId, placement: &Placement) -> Option<Judged> {
    if !stands_somebody(scene, here) {
        return None;
    }
    let body = scene.site.body_width;
    let advised = scene.limits().standing_room.max(body);
    let place = placement.standing();
    let (clear, what) = scene.clear_at(place, None)?;
    let free = 2.0 * clear;
    // Farther away than a body, nothing is in its way.
    let blocked = || {
        clear < body / 2.0 + PERHAPS_BLOCKED_M
            && is_used(scene, here)
            && scene.person().is_free(place).is_err()
    };
    let (level, wanted) = if clear < 0.0 || free < body - SAME_POINT_M || blocked() {
        (FindingLevel::Fault, body)
    } else if free < advised - SAME_POINT_M {
        (FindingLevel::Warning, advised)
    } else {
        return None;
    };
    Some(Judged {
        level,
        clear,
        what,
        wanted,
    })
}

/// How far a station is moved, or its standing place alone, so that there is room to stand.
fn away(scene: &Scene<'_>, station: StationId, placement: &Placement, judged: &Judged) -> Away {
    let own = Obstacle::Station(station);
    let place = placement.standing();
    let room = |found: Option<(f64, Obstacle)>| {
        found.is_none_or(|(clear, _)| clear >= judged.wanted / 2.0 - SAME_POINT_M / 2.0)
    };
    let alone = |by: Point| {
        room(scene.clear_at(place + by, None)) && !is_in_blade_line(scene, placement, place + by)
    };
    if judged.what == own {
        return Away {
            shift: least_shift(judged.missing(), &all_around(), alone, |_| true).0,
            or_place: true,
        };
    }
    // A station that moves takes its standing place along.
    let along = |by: Point, _: Option<&FloorArea>| room(scene.clear_at(place + by, Some(own)));
    let mover = Mover::new(scene, station, placement);
    let (shift, by) = mover.least((judged.missing(), 0.0), &all_around(), along);
    Away {
        shift,
        or_place: by.is_some_and(alone),
    }
}

/// The nearest place where a person fits, if there is one, and a little more than that.
fn instead(scene: &Scene<'_>, place: Point) -> Option<Instead> {
    let nearest = scene.person().nearest_free(place)?;
    let free = roomy_place(&roomy_floor(scene.plan), nearest, place);
    Some(Instead {
        at: free,
        away: free.distance(place),
    })
}

/// Whether nothing stands between a place and what is nearest of a station: from behind a rack nobody works at it.
fn is_beside(scene: &Scene<'_>, station: StationId, place: Point) -> bool {
    let own = |footprint: &&Footprint| footprint.of == Obstacle::Station(station);
    let Some(footprint) = scene.footprints.iter().find(own) else {
        return true;
    };
    let nearest = (footprint.area.outline.edges())
        .map(|edge| nearest_on_segment(place, edge))
        .min_by(|one, other| one.distance(place).total_cmp(&other.distance(place)));
    let Some(nearest) = nearest else {
        return true;
    };
    let length = place.distance(nearest);
    // What only touches the station is not before it.
    let reached = match length > SAME_POINT_M {
        true => nearest + (place - nearest) * (SAME_POINT_M / length),
        false => return true,
    };
    // What it hangs over does not keep anybody from it.
    let others = scene.footprints.iter();
    let others = others.filter(|other| !own(other) && other.heights.meets(&footprint.heights));
    let outlines = others.map(|other| &other.area.outline);
    let walls = scene.room().map(|room| &room.outline);
    let mut edges = outlines.chain(walls).flat_map(Polygon::edges);
    edges.all(|edge| !segments_meet((place, reached), edge))
}

/// The sides from which a station is reached are free for somebody to walk along.
pub fn reach_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let body = scene.site.body_width;
    let mut findings = Vec::new();
    for asked in sides(scene) {
        let subject = FindingSubject::Place(asked.station.into());
        let side = asked.side;
        match asked.blocked(scene) {
            Some((free, what)) => {
                let fact = Fact::ReachBlocked {
                    side,
                    seen: seen(asked.placement, side),
                    free,
                    body,
                    away: match findings.len() < MOST_TRIED {
                        true => asked.away(scene, body - free),
                        false => Shift::Untried,
                    },
                };
                findings.push(
                    Finding::new(FindingLevel::Warning, RuleId::Reach, subject, fact)
                        .other(what)
                        .at(asked.strip.from)
                        .missing(body - free),
                );
            }
            None if asked.is_cut_off(scene) => {
                let width = asked.widest(scene);
                let fact = Fact::ReachCutOff {
                    side,
                    seen: seen(asked.placement, side),
                    width,
                    body,
                };
                findings.push(
                    Finding::new(FindingLevel::Warning, RuleId::Reach, subject, fact)
                        .at(asked.beside(body))
                        .missing(body - width),
                );
            }
            None => {}
        }
    }
    findings
}

pub fn reach_judge(scene: &Scene<'_>) -> Missing {
    let placed = scene.placed();
    placed
        .map(|(station, placement)| reach_at(scene, station, placement))
        .sum()
}

/// What is missing to reach one station.
pub fn reach_at(scene: &Scene<'_>, station: StationId, placement: &Placement) -> Missing {
    let body = scene.site.body_width;
    let mut missing = Missing::default();
    for asked in sides_of(station, placement) {
        match asked.blocked(scene) {
            Some((free, _)) => missing.add(FindingLevel::Warning, body - free),
            None if asked.is_cut_off(scene) => missing.add(FindingLevel::Warning, body),
            None => {}
        }
    }
    missing
}

/// What a side is to whoever stands at a station: the side beyond which they stand the farthest is the front.
fn seen(placement: &Placement, side: Side) -> SeenSide {
    let (width, depth) = placement.size;
    let beyond = |side: Side| {
        let half = match side {
            Side::PlusX | Side::MinusX => width / 2.0,
            Side::PlusY | Side::MinusY => depth / 2.0,
        };
        placement.stand.dot(side.direction()) - half
    };
    // One stands before -y unless something else is said.
    let others = [Side::PlusY, Side::PlusX, Side::MinusX].into_iter();
    let front = others.fold(Side::MinusY, |front, other| {
        match beyond(other) > beyond(front) {
            true => other,
            false => front,
        }
    });
    let (side, front) = (side.direction(), front.direction());
    match (side.dot(front), front.cross(side)) {
        (along, _) if along > 0.5 => SeenSide::Front,
        (along, _) if along < -0.5 => SeenSide::Behind,
        // Who looks at the station has the front behind them.
        (_, turned) if turned > 0.0 => SeenSide::Right,
        _ => SeenSide::Left,
    }
}

/// A side from which a station is to be reached.
struct Asked<'a> {
    station: StationId,
    placement: &'a Placement,
    side: Side,
    /// From the side away from the station, as wide as it.
    strip: Strip,
}

fn sides<'a>(scene: &Scene<'a>) -> impl Iterator<Item = Asked<'a>> + use<'a> {
    let placed = scene.placed();
    placed.flat_map(|(station, placement)| sides_of(station, placement))
}

fn sides_of(station: StationId, placement: &Placement) -> impl Iterator<Item = Asked<'_>> {
    let sides = Side::ALL.into_iter().zip(placement.reach_from);
    let asked = sides.filter(|&(_, asked)| asked);
    asked.map(move |(side, _)| {
        let extent = StationExtent::of(placement, side);
        let toward = placement.turned(side.direction());
        Asked {
            station,
            placement,
            side,
            strip: Strip {
                from: placement.at + toward * extent.behind,
                toward,
                width: extent.across,
            },
        }
    })
}

impl Asked<'_> {
    /// How far the floor is free, if that is less than a person takes, and what is in the way.
    fn blocked(&self, scene: &Scene<'_>) -> Option<(f64, Obstacle)> {
        let run = scene.run(self.strip, self.station);
        let wanted = scene.site.body_width - SAME_POINT_M;
        run.free.filter(|free| *free < wanted).zip(run.end)
    }

    /// How far the station is moved so that somebody can walk along this side of it.
    fn away(&self, scene: &Scene<'_>, missing: f64) -> Shift {
        let mover = Mover::new(scene, self.station, self.placement);
        let is_free = |by: Point, _: Option<&FloorArea>| {
            let moved = Asked {
                strip: Strip {
                    from: self.strip.from + by,
                    ..self.strip
                },
                ..*self
            };
            moved.blocked(scene).is_none()
        };
        mover.least((missing, 0.0), &all_around(), is_free).0
    }

    /// Where somebody would walk along.
    fn beside(&self, body: f64) -> Point {
        self.strip.from + self.strip.toward * (body / 2.0 + FITS_M)
    }

    /// Whether nobody gets to a side where there is room from where one stands at the station.
    fn is_cut_off(&self, scene: &Scene<'_>) -> bool {
        let from = self.placement.standing();
        let beside = self.beside(scene.site.body_width);
        let person = scene.person();
        // Where nobody can stand is told already.
        scene.site.going == Going::Around
            && person.is_free(from).is_ok()
            && !person.reachable(from, beside)
    }

    /// The width of the widest way to the side, in metres.
    fn widest(&self, scene: &Scene<'_>) -> f64 {
        /// Halvings of the width: to a thousandth of a millimetre.
        const HALVINGS: u32 = 20;
        let wanted = scene.site.body_width;
        let (from, beside) = (self.placement.standing(), self.beside(wanted));
        let gets_there = |width: f64| {
            let ground = scene.plan.ground(width / 2.0);
            ground.reachable(from, beside).then_some(())
        };
        largest((0.0, wanted), (), HALVINGS, gets_there).0
    }
}
