//! What stands in the way in a room, as somebody says it: `post: 6 in x 6 in, 8 ft from the left, 10 ft from the back`. The
//! corner that an L-shaped room lacks is such a thing as well.

use super::length::{Bare, read_length, taped};
use super::room::{RoomWall, SaidRoom, sides, unit_in};
use super::{Complaint, complaint};
use crate::scenario::quantity::in_units;

/// A thing in metres, upright in the room.
#[derive(Debug, Clone, PartialEq)]
pub struct SaidThing {
    pub name: String,
    /// From the left wall and from the front wall to its near sides.
    pub from: (f64, f64),
    /// Along the front wall, and from there to the back.
    pub size: (f64, f64),
}

impl SaidThing {
    pub fn middle(&self) -> (f64, f64) {
        (
            self.from.0 + self.size.0 / 2.0,
            self.from.1 + self.size.1 / 2.0,
        )
    }
}

const THING_HINT: &str = "write for example `post: 6 in x 6 in, 8 ft from the left, 10 ft from the back`, along the \
                          front wall first, or `stairs: 3 ft x 10 ft in the back right corner`";

/// What something is called that nobody calls anything.
const UNNAMED: &str = "post";

/// Reads a thing of a room.
///
/// # Errors
/// What is wrong, and what would be right.
pub fn read_thing(text: &str, room: &SaidRoom) -> Result<SaidThing, Complaint> {
    let wrong = |what: String| complaint(what, THING_HINT);
    let length_in = |text: &str, unit: &'static str| {
        read_length(text, Bare::in_unit(unit))
            .map_err(|_| wrong(format!("`{}` is no length", text.trim())))
    };
    let (name, said) = match text.split_once(':') {
        Some((name, said)) => (name.trim(), said),
        None => ("", text),
    };
    let mut size: Option<(f64, f64)> = None;
    let mut away: Vec<(RoomWall, f64)> = Vec::new();
    for part in in_units(said).split(", ") {
        let (before, after) = match part.split_once(" from ") {
            Some((before, after)) => (before, Some(after)),
            None => (part, None),
        };
        if let Some(after) = after {
            let wall = after.split_whitespace().find_map(RoomWall::find);
            let wall = wall.ok_or_else(|| wrong(format!("`from {}` is no wall", after.trim())))?;
            away.push((wall, length_in(before, room.door_unit)?));
            continue;
        }
        let (walls, left) = walls_and_rest(before);
        away.extend(walls.into_iter().map(|wall| (wall, 0.0)));
        if left.is_empty() {
            continue;
        }
        let parts = sides(&left);
        match (size, &parts[..]) {
            // The unit of `12 x 12 cm` is that of both.
            (None, [along, deep]) => {
                let unit = unit_in(deep).unwrap_or(room.door_unit);
                size = Some((length_in(along, unit)?, length_in(deep, unit)?));
            }
            _ => {
                return Err(wrong(format!(
                    "`{left}` is no size of something in the way"
                )));
            }
        }
    }
    let size = size.ok_or_else(|| wrong(format!("`{text}` does not say how large it is")))?;
    let along = place((size.0, room.size.0), &away, true);
    let deep = place((size.1, room.size.1), &away, false);
    let (Some(along), Some(deep)) = (along, deep) else {
        return Err(wrong(format!(
            "`{text}` does not say once how far it is from the left or right wall, and once from the front or back wall"
        )));
    };
    let is_within = |from: f64, size: f64, room: f64| from >= -1e-6 && from + size <= room + 1e-6;
    if !is_within(along, size.0, room.size.0) || !is_within(deep, size.1, room.size.1) {
        let (width, depth) = (
            taped(room.size.0, room.units),
            taped(room.size.1, room.units),
        );
        return Err(complaint(
            format!("`{text}` does not lie in the room"),
            format!("the room is {width} by {depth}, along the front wall first"),
        ));
    }
    Ok(SaidThing {
        name: match name {
            "" => UNNAMED.to_owned(),
            name => name.to_owned(),
        },
        from: (along.max(0.0), deep.max(0.0)),
        size,
    })
}

/// The walls that something is said to touch, and what else is said.
fn walls_and_rest(said: &str) -> (Vec<RoomWall>, String) {
    const FILLERS: [&str; 10] = [
        "in", "on", "at", "against", "the", "a", "corner", "wall", "of", "and",
    ];
    let mut walls = Vec::new();
    let mut left: Vec<&str> = Vec::new();
    for word in said.split_whitespace() {
        // The inches of `6 in x 6 in`.
        let is_number = |word: &&str| word.ends_with(|letter: char| letter.is_ascii_digit());
        let is_unit = word == "in" && left.last().is_some_and(is_number);
        match RoomWall::find(word) {
            Some(wall) => walls.push(wall),
            None if is_unit || !FILLERS.contains(&word) => left.push(word),
            None => {}
        }
    }
    (walls, left.join(" "))
}

/// From the left or front wall to the near side, if that is said once.
fn place((size, room): (f64, f64), away: &[(RoomWall, f64)], is_across: bool) -> Option<f64> {
    // The left wall runs from front to back.
    let mut said = away
        .iter()
        .filter(|(wall, _)| wall.is_across() != is_across);
    let (wall, away) = said.next()?;
    if said.next().is_some() {
        return None;
    }
    Some(match wall {
        RoomWall::Left | RoomWall::Front => *away,
        RoomWall::Right | RoomWall::Back => room - size - away,
    })
}
