//! A room and its doors as somebody says them: `20 ft x 17 ft`, `3 ft in the left wall, 2 ft from the front`.

use super::hinge::{HingeEnd, without_hinge};
use super::length::{Bare, FOOT, INCH, read_length, taped, units_of};
use super::{Complaint, complaint};
use crate::experiment::Units;
use crate::scenario::problem::hint_at;
use crate::scenario::quantity::in_units;

/// A room in metres, seen from above with its front wall below.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SaidRoom {
    /// Along the front wall, and from there to the back wall.
    pub size: (f64, f64),
    pub ceiling: Option<f64>,
    pub units: Units,
    /// In which a bare number of a door is read: what the room is said in, as far as doors are measured so.
    pub door_unit: &'static str,
}

impl SaidRoom {
    /// How long a wall is, in metres.
    fn along(&self, wall: RoomWall) -> f64 {
        match wall.is_across() {
            true => self.size.0,
            false => self.size.1,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RoomWall {
    Front,
    Back,
    Left,
    Right,
}

const WALLS: [(RoomWall, [&str; 5]); 4] = [
    (
        RoomWall::Front,
        ["front", "south", "bottom", "lower", "near"],
    ),
    (RoomWall::Back, ["back", "north", "top", "rear", "far"]),
    (
        RoomWall::Left,
        ["left", "west", "left-hand", "lefthand", "w"],
    ),
    (
        RoomWall::Right,
        ["right", "east", "right-hand", "righthand", "e"],
    ),
];

impl RoomWall {
    pub(super) fn find(word: &str) -> Option<RoomWall> {
        let mut walls = WALLS.iter();
        let found = walls.find(|(_, names)| names.contains(&word))?;
        Some(found.0)
    }

    pub fn name(self) -> &'static str {
        match self {
            RoomWall::Front => "front",
            RoomWall::Back => "back",
            RoomWall::Left => "left",
            RoomWall::Right => "right",
        }
    }

    /// Whether it runs from left to right.
    pub(super) fn is_across(self) -> bool {
        matches!(self, RoomWall::Front | RoomWall::Back)
    }
}

/// A door in metres, and what of it nobody said.
#[derive(Debug, Clone, PartialEq)]
pub struct SaidDoor {
    pub wall: RoomWall,
    pub width: f64,
    pub height: Option<f64>,
    /// From the left end of the wall or from its front end.
    pub from: f64,
    pub is_place_guessed: bool,
    pub is_width_guessed: bool,
    pub swings: Option<Swing>,
    pub hinge: Option<HingeEnd>,
    pub is_swing_guessed: bool,
    pub is_height_guessed: bool,
}

/// How a door opens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Swing {
    In,
    Out,
    /// An overhead door, which lies below the ceiling while it is open.
    Up,
}

impl Swing {
    pub fn name(self) -> &'static str {
        match self {
            Swing::In => "in",
            Swing::Out => "out",
            Swing::Up => "up",
        }
    }

    /// What `overhead` says, or the `in` of `swings in`.
    fn find(word: &str, next: Option<&str>) -> Option<Swing> {
        const SWINGS: [&str; 3] = ["swings", "swinging", "opens"];
        match (word, next) {
            ("overhead" | "garage" | "car" | "sectional" | "roller", _) => Some(Swing::Up),
            ("inward" | "inwards", _) => Some(Swing::In),
            ("outward" | "outwards", _) => Some(Swing::Out),
            (word, Some("in")) if SWINGS.contains(&word) => Some(Swing::In),
            (word, Some("out")) if SWINGS.contains(&word) => Some(Swing::Out),
            (word, Some("up")) if SWINGS.contains(&word) => Some(Swing::Up),
            _ => None,
        }
    }
}

/// Doors so wide are overhead doors, unless somebody says otherwise: 8 ft, or 2.4 m.
const OVERHEAD_M: f64 = 2.4;

/// How high they usually are, in metres: 7 ft, or 2.1 m.
const OVERHEAD_HEIGHT_FT: f64 = 7.0;
const OVERHEAD_HEIGHT_M: f64 = 2.1;

/// As wide as a door for a car.
pub const WIDE_M: f64 = 7.0 * FOOT;

/// No room is larger or smaller, in metres.
const ROOMS: (f64, f64) = (1.0, 100.0);

const ROOM_HINT: &str =
    "write for example `20 ft x 17 ft`, along the front wall first, or `6 m x 5 m`";

/// Reads two lengths, or three with the height.
///
/// # Errors
/// What is wrong, and what would be right.
pub fn read_room(text: &str) -> Result<SaidRoom, Complaint> {
    let wrong = |what: String| complaint(what, ROOM_HINT);
    let Some(units) = units_of(text) else {
        return Err(wrong(format!("`{text}` says no unit")));
    };
    let parts = sides(text);
    if !(2..=3).contains(&parts.len()) {
        return Err(wrong(format!("`{text}` is no size of a room")));
    }
    // The unit of `20 x 17 ft` is that of both.
    let last = parts.iter().rev().find_map(|part| unit_in(part));
    let unit = last.unwrap_or("m");
    let mut sizes = Vec::new();
    for part in &parts {
        let size = read_length(part, Bare::in_unit(unit));
        sizes.push(size.map_err(|_| wrong(format!("`{}` is no length", part.trim())))?);
    }
    let is_usual = |size: &f64| (ROOMS.0..=ROOMS.1).contains(size);
    if !sizes.iter().all(is_usual) {
        return Err(complaint(
            format!("no room for a shop is `{text}`"),
            "each side is at least 1 m (3 ft 4 in) and at most 100 m (328 ft)",
        ));
    }
    Ok(SaidRoom {
        size: (sizes[0], sizes[1]),
        ceiling: sizes.get(2).copied(),
        units,
        door_unit: match (units, unit) {
            (Units::Imperial, _) => "ft",
            (Units::Metric, "cm" | "mm") => unit,
            (Units::Metric, _) => "m",
        },
    })
}

/// What stands between signs for "by".
pub(super) fn sides(text: &str) -> Vec<String> {
    let plain = in_units(text).replace(['×', '*'], " x ");
    let words: Vec<&str> = plain.split_whitespace().collect();
    let spaced = words.join(" ").replace(" by ", " x ");
    // An x may stand right beside digits and units: no unit has one.
    let parts = spaced.split('x').map(|part| part.trim().to_owned());
    parts.filter(|part| !part.is_empty()).collect()
}

pub(super) fn unit_in(text: &str) -> Option<&'static str> {
    let words = text.split(|letter: char| !letter.is_alphabetic());
    let mut units = words.filter_map(|word| {
        let known = ["ft", "in", "mm", "cm", "m"];
        known.into_iter().find(|unit| *unit == word)
    });
    units.next()
}

/// Words that say nothing of a door.
const FILLERS: [&str; 23] = [
    "sliding", "doors", "that", "swings", "swinging", "opens", "a", "an", "the", "in", "on", "at",
    "of", "door", "wide", "wall", "width", "opening", "with", "corner", "end", "side", "high",
];

const DOOR_HINT: &str = "write for example `3 ft in the front wall`, or `9 ft x 7 ft in the left wall, 2 ft from the front`";

/// Reads a door of a room; without a place in its wall one is chosen beside the other doors.
///
/// # Errors
/// What is wrong, and what would be right.
pub fn read_door(text: &str, room: &SaidRoom, others: &[SaidDoor]) -> Result<SaidDoor, Complaint> {
    let wrong = |what: String| complaint(what, DOOR_HINT);
    let length = |text: &str| {
        read_length(text, Bare::in_unit(room.door_unit))
            .map_err(|_| wrong(format!("`{text}` is no length")))
    };
    let mut wall = None;
    let mut size: Option<Vec<String>> = None;
    let mut from = None;
    let mut swings = None;
    let mut is_sliding = false;
    let mut is_in_the_middle = false;
    let (plain, hinge) = without_hinge(&in_units(text)).map_err(wrong)?;
    let plain = plain.replace(", ", " ; ").replace(" wall", " wall ;");
    for said in plain.split(';') {
        let (said, beside) = match said.split_once(" from ") {
            Some((before, after)) => (before, Some(after)),
            None => (said, None),
        };
        let mut left: Vec<&str> = Vec::new();
        let words: Vec<&str> = said.split_whitespace().collect();
        let mut is_said = false;
        for (index, &word) in words.iter().enumerate() {
            // The second word of `swings in`.
            if std::mem::take(&mut is_said) {
                continue;
            }
            let next = words.get(index + 1).copied();
            is_sliding |= word == "sliding";
            if let Some(swing) = Swing::find(word, next) {
                swings = Some(swing);
                is_said = next == Some(swing.name());
                continue;
            }
            // The inches of `36 in, back` and of `36 in in the back wall`.
            let is_number = |word: &&str| word.ends_with(|letter: char| letter.is_ascii_digit());
            if word == "in"
                && left.last().is_some_and(is_number)
                && words.get(index + 1) != Some(&"the")
            {
                left.push(word);
                continue;
            }
            match RoomWall::find(word) {
                Some(_) if wall.is_some() => {
                    return Err(wrong(format!("`{text}` names two walls")));
                }
                Some(found) => wall = Some(found),
                None if ["middle", "centre", "center"].contains(&word) => is_in_the_middle = true,
                None if FILLERS.contains(&word) => {}
                None => left.push(word),
            }
        }
        let left = left.join(" ");
        if let Some(after) = beside {
            let mut words = after.split_whitespace();
            let end = words.find_map(RoomWall::find);
            let Some(end) = end else {
                return Err(wrong(format!(
                    "`from {}` is no end of a wall",
                    after.trim()
                )));
            };
            from = Some((length(&left)?, end));
        } else if !left.is_empty() {
            match size {
                None => size = Some(sides(&left)),
                Some(_) => {
                    let hint = hint_at(&left, WALLS.iter().flat_map(|(_, names)| *names));
                    return Err(Complaint {
                        what: format!("`{left}` is no word for a door"),
                        hint: hint.or(Some(DOOR_HINT.to_owned())),
                    });
                }
            }
        }
    }
    let Some(wall) = wall else {
        return Err(complaint(
            format!("`{text}` does not say in which wall"),
            "the walls are front, back, left and right, as the plan is drawn; front is south",
        ));
    };
    let run = room.along(wall);
    let (said_width, height) = match size.as_deref() {
        None | Some([]) => (None, None),
        Some([width]) => (Some(length(width)?), None),
        Some([width, height]) => (Some(length(width)?), Some(length(height)?)),
        Some(_) => {
            return Err(wrong(format!(
                "`{text}` has more than a width and a height"
            )));
        }
    };
    let width = said_width.unwrap_or_else(|| usual_width(swings, room.units).min(run));
    if width > run + 1e-9 {
        let read = taped(width, room.units);
        return Err(complaint(
            format!(
                "a door of `{text}` is {read} wide, and its wall {}",
                taped(run, room.units)
            ),
            "a number without a unit is read in that of the room; the front and back walls are as long as the first \
             length of the room says",
        ));
    }
    let place = match from {
        Some((away, end)) => {
            if end.is_across() == wall.is_across() {
                return Err(wrong(format!(
                    "the {} wall does not end at the {}",
                    wall.name(),
                    end.name()
                )));
            }
            match end {
                RoomWall::Left | RoomWall::Front => Some(away),
                RoomWall::Right | RoomWall::Back => Some(run - width - away),
            }
        }
        None if is_in_the_middle => Some((run - width) / 2.0),
        None => None,
    };
    let is_place_guessed = place.is_none();
    let free = |from: &f64| {
        let apart = |other: &SaidDoor| {
            other.wall != wall
                || from + width < other.from - 1e-6
                || *from > other.from + other.width + 1e-6
        };
        *from >= -1e-9 && from + width <= run + 1e-9 && others.iter().all(apart)
    };
    let tried = place.map_or_else(|| usual_places(width, run, room.units), |place| vec![place]);
    let Some(from) = tried.into_iter().find(free) else {
        return Err(complaint(
            format!(
                "there is no room in the {} wall for the door `{text}`",
                wall.name()
            ),
            "it must lie within the wall and beside its other doors",
        ));
    };
    let has_leaf = matches!(swings, Some(Swing::In | Swing::Out));
    if hinge.is_some() && !has_leaf {
        return Err(complaint(
            format!("`{text}` has hinges, but nothing says which way it swings"),
            "add `swings in` or `swings out`, or leave the hinges out",
        ));
    }
    let is_swing_guessed = swings.is_none() && !is_sliding && width >= OVERHEAD_M - 1e-9;
    if is_swing_guessed {
        swings = Some(Swing::Up);
    }
    let is_height_guessed = swings == Some(Swing::Up) && height.is_none();
    let usual_height = match room.units {
        Units::Imperial => OVERHEAD_HEIGHT_FT * FOOT,
        Units::Metric => OVERHEAD_HEIGHT_M,
    };
    let usual_height = room
        .ceiling
        .map_or(usual_height, |ceiling| ceiling.min(usual_height));
    Ok(SaidDoor {
        wall,
        width,
        height: height.or(is_height_guessed.then_some(usual_height)),
        from: from.max(0.0),
        is_place_guessed,
        is_width_guessed: said_width.is_none(),
        swings,
        hinge,
        is_swing_guessed,
        is_height_guessed,
    })
}

/// How wide a door is of which nobody says it, in metres: 3 ft or 90 cm, and a door for one car 9 ft, or 2.4 m.
fn usual_width(swings: Option<Swing>, units: Units) -> f64 {
    match (swings, units) {
        (Some(Swing::Up), Units::Imperial) => 9.0 * FOOT,
        (Some(Swing::Up), Units::Metric) => 2.4,
        (_, Units::Imperial) => 3.0 * FOOT,
        (_, Units::Metric) => 0.9,
    }
}

/// Where doors usually are: wide ones in the middle of a wall, others near its end, so that most of the wall is left.
fn usual_places(width: f64, run: f64, units: Units) -> Vec<f64> {
    let unit = match units {
        Units::Imperial => 6.0 * INCH,
        Units::Metric => 0.1,
    };
    let whole = |from: f64| (from / unit).floor() * unit;
    let middle = whole((run - width) / 2.0);
    let (right, left) = (whole(run - width - 0.3), whole(0.35));
    let along = (0..).map(|step| f64::from(step) * unit);
    let along = along.take_while(|from| from + width <= run);
    let first = match width >= WIDE_M {
        true => vec![middle, right, left],
        false => vec![right, left, middle],
    };
    first
        .into_iter()
        .filter(|from| *from >= 0.0 && from + width <= run)
        .chain(along)
        .collect()
}

/// The door of a room of which nobody says where one comes in.
pub fn usual_door(room: &SaidRoom) -> SaidDoor {
    let run = room.along(RoomWall::Front);
    let width = usual_width(None, room.units).min(run);
    let mut places = usual_places(width, run, room.units).into_iter();
    SaidDoor {
        wall: RoomWall::Front,
        width,
        height: None,
        from: places.next().unwrap_or(0.0),
        is_place_guessed: true,
        is_width_guessed: true,
        swings: None,
        hinge: None,
        is_swing_guessed: false,
        is_height_guessed: false,
    }
}

impl SaidDoor {
    /// Both ends of the opening in metres.
    pub fn between(&self, room: &SaidRoom) -> [(f64, f64); 2] {
        let place = |along: f64| match self.wall {
            RoomWall::Front => (along, 0.0),
            RoomWall::Back => (along, room.size.1),
            RoomWall::Left => (0.0, along),
            RoomWall::Right => (room.size.0, along),
        };
        [place(self.from), place(self.from + self.width)]
    }
}
