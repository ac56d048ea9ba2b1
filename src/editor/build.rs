//! What is built, equipped and ordered otherwise, as changes of the text of a scenario.

use serde::Deserialize;

use super::build_plan::BuildPlan;
use super::judged::LoadedText;
use super::room_changes::{self, Corner};
use super::station_changes;
use crate::scenario::new_shop::{ListUnits, project_more, read_cut_list};
use crate::scenario::{TIME_KEYS, TextChange, text_at, time_way};

/// What a page may ask to be changed. Lengths are written as people write them, or metres on the floor plan where they
/// were drawn.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(tag = "build", rename_all = "snake_case", deny_unknown_fields)]
pub enum Build {
    /// Stations by the names of their kinds: `table saw, 2 workbenches, big lathe: lathe`.
    Stations {
        said: String,
    },
    RemoveStation {
        station: String,
    },
    /// The room along x and along y.
    Room {
        size: [String; 2],
    },
    /// A thing in the way, such as a wall, a post or a stair, between two of its corners; or a door on the nearest wall, which
    /// is called so, from one end to the other.
    Draw {
        name: String,
        corners: [Corner; 2],
    },
    /// The same with its left corner, and how far it goes along x and along y.
    PutNew {
        name: String,
        lengths: [String; 4],
    },
    /// A thing in the way elsewhere, by its lower left corner.
    MoveThing {
        name: String,
        low: Corner,
    },
    PutThing {
        name: String,
        at: [String; 2],
        size: [String; 2],
    },
    RemoveThing {
        name: String,
    },
    PutDoor {
        name: String,
        ends: [[String; 2]; 2],
    },
    RemoveDoor {
        name: String,
    },
    /// What takes so long at a station; as usual where nothing is written.
    Time {
        station: String,
        operation: String,
        key: String,
        written: String,
    },
    /// A project of the parts in a table.
    CutList {
        name: String,
        table: String,
    },
}

/// The changes of a text that a wish comes to; `layout` is the one that is shown.
///
/// # Errors
/// Why it cannot be done, and what would be right.
pub fn planned(from: &LoadedText, layout: &str, wish: &Build) -> Result<BuildPlan, String> {
    match wish {
        Build::Stations { said } => station_changes::added(from, said),
        Build::RemoveStation { station } => Ok(station_changes::removed(from, station).into()),
        Build::Room { size } => room_changes::resized(from, layout, size).map(BuildPlan::from),
        Build::Draw { name, corners } => {
            room_changes::drawn(from, layout, name, *corners).map(BuildPlan::from)
        }
        Build::PutNew { name, lengths } => {
            room_changes::put_new(from, layout, name, lengths).map(BuildPlan::from)
        }
        Build::MoveThing { name, low } => {
            room_changes::thing_moved(from, layout, name, *low).map(BuildPlan::from)
        }
        Build::PutThing { name, at, size } => {
            room_changes::thing_put(name, at, size).map(BuildPlan::from)
        }
        Build::PutDoor { name, ends } => room_changes::door_put(name, ends).map(BuildPlan::from),
        Build::RemoveThing { name } => Ok(room_changes::removed("blocked", name).into()),
        Build::RemoveDoor { name } => Ok(room_changes::removed("doors", name).into()),
        Build::Time {
            station,
            operation,
            key,
            written,
        } => timed(from, [station, operation, key], written).map(BuildPlan::from),
        Build::CutList { name, table } => cut_list(from, layout, name, table),
    }
}

/// As long as a time may be, with the figures of a distribution.
const LONGEST_TIME: usize = 200;

fn timed(
    from: &LoadedText,
    [station, operation, key]: [&str; 3],
    written: &str,
) -> Result<Vec<TextChange>, String> {
    let written = written.trim();
    if !TIME_KEYS.contains(&key) {
        return Err("There is no such time.".to_owned());
    }
    let is_plain = |letter: char| !letter.is_control() && !"#&*!|>%@`".contains(letter);
    if written.chars().count() > LONGEST_TIME || !written.chars().all(is_plain) {
        return Err(TIME_HINT.to_owned());
    }
    let mut keys = vec!["stations", station, "does", operation];
    keys.extend(time_way(key));
    Ok(match (written, text_at(&from.text, &keys)) {
        ("", None) => Vec::new(),
        ("", Some(_)) => vec![TextChange::remove(&keys)],
        _ => vec![TextChange::set(&keys, written)],
    })
}

const TIME_HINT: &str = "Write a time with its unit, such as `3 min`, or how it varies, such as `{triangular: [2 min, 3 min, 6 min]}`.";

fn cut_list(from: &LoadedText, layout: &str, name: &str, table: &str) -> Result<BuildPlan, String> {
    let units = from.study.units;
    let name = match name.trim() {
        "" => "project",
        name => name,
    };
    let project = read_cut_list(name, table.as_bytes(), ListUnits::all(units));
    let project = project.map_err(|wrong| wrong.render(false))?;
    let candidate = from.layout(layout).ok_or("There is no such layout.")?;
    let room = candidate.plan.as_ref().and_then(|plan| plan.room.as_ref());
    let door = room.and_then(|room| Some(&room.doors.first()?.name));
    let first = candidate.shop.stations.iter().next();
    let leaves = door.or(first.map(|first| &first.name));
    let leaves = leaves.ok_or("There is no door and no station: where would it leave?")?;
    let (changes, mut said) = project_more(&project, &candidate.shop, leaves, units);
    if let Some(unit) = project.bare_lengths {
        said.push(format!("Lengths without a unit are read as {unit}."));
    }
    Ok(BuildPlan { changes, said })
}
