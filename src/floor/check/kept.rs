//! The rule about what is kept at hand for bad moments, what burns, and where finish is put on. All of it is only good
//! to know.

use super::Scene;
use crate::floor::finding::{Fact, Finding, FindingLevel, FindingSubject, RuleId};
use crate::floor::{
    KeptKind, KeptThing, Obstacle, Placement, Point, Polygon, Room, nearest_on_segment,
};
use crate::shop::StationId;
use crate::units::customary::FOOT;

/// From where somebody works to an extinguisher, in metres: NFPA 10 for burning liquids (from memory).
const FARTHEST: f64 = 30.0 * FOOT;
/// From an extinguisher to the nearest door, in metres. Ours: one goes for it toward the way out.
const BY_THE_DOOR: f64 = 10.0 * FOOT;
/// What is nearer to something stands behind it, in metres. Ours: a foot is too little to stand on.
const BEHIND: f64 = FOOT;
/// From what gives off vapour to a flame, in metres. Ours.
const FROM_FLAMES: f64 = 10.0 * FOOT;

/// What burns with a flame, or glows, by its name or kind.
const FLAMES: [&str; 6] = ["heater", "stove", "furnace", "boiler", "grinder", "welder"];

/// Nothing burns in what has this word in its name.
const NO_FLAME: &str = "electric";

/// What moves the air of a shop, by its name or kind.
const COLLECTORS: [&str; 2] = ["collector", "cyclone"];

/// What is nearer to the line of a door hangs in its opening, in metres. Ours: a hand.
const IN_THE_OPENING: f64 = 0.1;

/// Where finish is put on, by its name or kind.
const FINISHING: [&str; 5] = ["finish", "finishing", "spray", "varnish", "lacquer"];

pub fn kept_tell(scene: &Scene<'_>) -> Vec<Finding> {
    let Some(room) = &scene.plan.room else {
        return Vec::new();
    };
    let kept = room.kept.iter().enumerate();
    let kept = kept.flat_map(|(nth, kept)| of_one(scene, room, nth, kept));
    kept.chain(finish_near_flames(scene, room))
        .chain(collectors_by_flames(scene, room))
        .collect()
}

/// Stations at which finish is put on, near something that may burn.
fn finish_near_flames(scene: &Scene<'_>, room: &Room) -> Vec<Finding> {
    let found = called(scene, room, &FINISHING).filter_map(|(station, placement)| {
        let outline = placement.footprint()?;
        let from_it = |flame: &Polygon| gap(&outline, flame);
        let (flame, away) = nearest_flame(scene, room, station, from_it)?;
        let subject = FindingSubject::Place(station.into());
        let note = near_flame(subject, away)?;
        Some(note.at(placement.at).other(flame))
    });
    found.collect()
}

/// Dust collectors, with the nearest flame in the same air.
fn collectors_by_flames(scene: &Scene<'_>, room: &Room) -> Vec<Finding> {
    let found = called(scene, room, &COLLECTORS).filter_map(|(station, placement)| {
        let from_it = |flame: &Polygon| to_edge(flame, placement.at);
        let (flame, away) = nearest_flame(scene, room, station, from_it)?;
        let subject = FindingSubject::Place(station.into());
        let fact = Fact::CollectorByFlame { away };
        let note = Finding::new(FindingLevel::Note, RuleId::Places, subject, fact);
        Some(note.at(placement.at).other(flame))
    });
    found.collect()
}

/// Stations with one of these words in their name or kind.
fn called<'s>(
    scene: &'s Scene<'_>,
    room: &'s Room,
    words: &'s [&'s str],
) -> impl Iterator<Item = (StationId, &'s Placement)> + 's {
    let placed = scene.placed();
    placed.filter(move |&(station, _)| has_word(scene, room, Obstacle::Station(station), words))
}

/// The flame that is nearest to a station, other than itself, and how far it is.
fn nearest_flame(
    scene: &Scene<'_>,
    room: &Room,
    station: StationId,
    away: impl Fn(&Polygon) -> f64,
) -> Option<(Obstacle, f64)> {
    let is_meant = |of| of != Obstacle::Station(station) && is_flame(scene, room, of);
    nearest(scene, is_meant, away)
}

/// What gives off vapour, if a flame is so near.
fn near_flame(subject: FindingSubject, away: f64) -> Option<Finding> {
    let fact = Fact::KeptNearFlame {
        away,
        least: FROM_FLAMES,
    };
    (away < FROM_FLAMES).then(|| Finding::new(FindingLevel::Note, RuleId::Places, subject, fact))
}

/// Between two outlines that do not overlap, in metres: from a corner of one of them to the other.
fn gap(one: &Polygon, other: &Polygon) -> f64 {
    let from = |one: &Polygon, other: &Polygon| {
        let corners = one.corners().iter();
        let away = corners.map(|&corner| other.distance_to_outline(corner));
        away.fold(f64::INFINITY, f64::min)
    };
    from(one, other).min(from(other, one))
}

fn of_one(scene: &Scene<'_>, room: &Room, nth: usize, kept: &KeptThing) -> Vec<Finding> {
    let note = |fact| {
        let subject = FindingSubject::Kept(nth);
        Finding::new(FindingLevel::Note, RuleId::Places, subject, fact).at(kept.at)
    };
    let mut found = Vec::new();
    let from_it = |outline: &Polygon| to_edge(outline, kept.at);
    if let Some((other, away)) = nearest(scene, |_| true, from_it)
        && away < BEHIND
    {
        found.push(note(Fact::KeptBehind { away }).other(other));
    }
    let in_door = room.doors.iter().position(|door| {
        let on_line = nearest_on_segment(kept.at, door.between);
        let (from, to) = door.between;
        // Beside the opening is the right place.
        let from_jambs = on_line.distance(from).min(on_line.distance(to));
        on_line.distance(kept.at) < IN_THE_OPENING && from_jambs > IN_THE_OPENING
    });
    found.extend(in_door.map(|door| note(Fact::KeptInDoor { door })));
    if kept.kind == KeptKind::Extinguisher {
        if let Some((station, away)) = farthest_worker(scene, kept.at)
            && away > FARTHEST
        {
            let fact = Fact::KeptFar {
                away,
                most: FARTHEST,
            };
            found.push(note(fact).other(Obstacle::Station(station)));
        }
        if let Some(away) = to_door(room, kept.at)
            && away > BY_THE_DOOR
        {
            found.push(note(Fact::KeptInside {
                away,
                most: BY_THE_DOOR,
            }));
        }
    }
    if kept.kind.gives_off_vapour()
        && let Some((flame, away)) = nearest(scene, |of| is_flame(scene, room, of), from_it)
        && let Some(note) = near_flame(FindingSubject::Kept(nth), away)
    {
        found.push(note.at(kept.at).other(flame));
    }
    found
}

/// The nearest of what stands on the floor and is of some kind, and how far away it is.
fn nearest(
    scene: &Scene<'_>,
    is_meant: impl Fn(Obstacle) -> bool,
    away: impl Fn(&Polygon) -> f64,
) -> Option<(Obstacle, f64)> {
    let obstacles = scene.plan.obstacles();
    let meant = obstacles.filter(|(of, _)| is_meant(*of));
    let away = meant.map(|(of, outline)| (of, away(&outline)));
    away.min_by(|one, other| one.1.total_cmp(&other.1))
}

/// From a place to the edge of something, in metres; 0 inside.
fn to_edge(outline: &Polygon, at: Point) -> f64 {
    match outline.contains(at) {
        true => 0.0,
        false => outline.distance_to_outline(at),
    }
}

/// Straight: the way on foot is no shorter.
fn farthest_worker(scene: &Scene<'_>, at: Point) -> Option<(StationId, f64)> {
    let worked = scene
        .placed()
        .filter(|(station, _)| scene.site.work_at(*station).any(|work| work.people > 0));
    let away = worked.map(|(station, placed)| (station, placed.standing().distance(at)));
    away.max_by(|one, other| one.1.total_cmp(&other.1))
}

fn to_door(room: &Room, at: Point) -> Option<f64> {
    let doors = room.doors.iter();
    let away = doors.map(|door| at.distance(nearest_on_segment(at, door.between)));
    away.min_by(f64::total_cmp)
}

fn is_flame(scene: &Scene<'_>, room: &Room, of: Obstacle) -> bool {
    has_word(scene, room, of, &FLAMES) && !has_word(scene, room, of, &[NO_FLAME])
}

/// Whether one of these words is in what something is, by its kind if it has one or else by its name.
fn has_word(scene: &Scene<'_>, room: &Room, of: Obstacle, words: &[&str]) -> bool {
    let name = match of {
        Obstacle::Station(station) => {
            let station = &scene.shop().stations[station];
            station.kind.unwrap_or(&station.name)
        }
        Obstacle::Thing(thing) => &room.blocked[thing].name,
        Obstacle::Wall => return false,
    };
    let name = name.to_lowercase();
    let mut said = name.split(|letter: char| !letter.is_alphabetic());
    said.any(|word| words.contains(&word))
}
