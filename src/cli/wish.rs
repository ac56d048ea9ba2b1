//! What `shopstride new` is asked for, from its options.

use std::path::Path;

use super::arguments::NewOptions;
use super::{Refusal, scenario};
use crate::experiment::Units;
use crate::scenario::Problems;
use crate::scenario::new_shop::{
    Bare, Complaint, CutProject, SaidDoor, USUAL, Wish, invented, invented_names, read_cut_list,
    read_door, read_length, read_room, read_stations, read_times, usual_door,
};

/// The longest board where nobody says one, in feet and in metres.
const LONGEST_FT: f64 = 8.0;
const LONGEST_M: f64 = 2.4;
const FOOT: f64 = 0.3048;

pub fn refused(complaint: Complaint) -> Refusal {
    Refusal::Because(complaint.what, complaint.hint)
}

/// What the options say; nothing where they say nothing of a room.
///
/// # Errors
/// All that cannot be read has been said, or is in the refusal.
pub fn of(options: &NewOptions) -> Result<Option<Wish>, Refusal> {
    let Some(size) = &options.room else {
        return Ok(None);
    };
    let mut complaints = Vec::new();
    let room = read_room(size).map_err(|complaint| complaints.push(complaint));
    let stations = read_stations(options.with.as_deref().unwrap_or(USUAL))
        .map_err(|found| complaints.extend(found));
    let mut doors: Vec<SaidDoor> = Vec::new();
    let mut units = Units::Metric;
    let mut longest = None;
    if let Ok(room) = &room {
        units = room.units;
        for door in &options.door {
            match read_door(door, room, &doors) {
                Ok(door) => doors.push(door),
                Err(complaint) => complaints.push(complaint),
            }
        }
        let unit = match units {
            Units::Imperial => "ft",
            Units::Metric => "m",
        };
        longest = options.longest.as_ref().and_then(|said| {
            let read = read_longest(said, unit);
            read.map_err(|complaint| complaints.push(complaint)).ok()
        });
    }
    if options.metric {
        units = Units::Metric;
    }
    let mut are_tables_wrong = false;
    let project = match &options.cut_list {
        Some(file) => table(file, |name, bytes| read_cut_list(name, bytes, units)),
        None => read_project(options.project.as_deref(), units).map_err(|complaint| {
            complaints.push(complaint);
            Refusal::Said
        }),
    };
    let project = kept(project, &mut are_tables_wrong)?;
    let times = match (&options.times, &stations) {
        (Some(file), Ok(stations)) => {
            let read = table(file, |name, bytes| read_times(name, bytes, stations));
            kept(read, &mut are_tables_wrong)?
        }
        _ => Some(Vec::new()),
    };
    let (Ok(mut room), Ok(stations), Some(project), Some(times), true) = (
        room,
        stations,
        project,
        times,
        complaints.is_empty() && !are_tables_wrong,
    ) else {
        return Err(all_said(complaints));
    };
    room.units = units;
    if doors.is_empty() {
        doors.push(usual_door(&room));
    }
    Ok(Some(Wish {
        doors,
        is_door_guessed: options.door.is_empty(),
        stations,
        are_stations_guessed: options.with.is_none(),
        longest: longest.unwrap_or(match units {
            Units::Imperial => LONGEST_FT * FOOT,
            Units::Metric => LONGEST_M,
        }),
        project,
        is_project_guessed: options.project.is_none() && options.cut_list.is_none(),
        times,
        room,
    }))
}

/// Reads a table; what is wrong in it is said.
fn table<T>(
    file: &Path,
    read: impl FnOnce(&str, &[u8]) -> Result<T, Problems>,
) -> Result<T, Refusal> {
    let name = file.display().to_string();
    let opened = std::fs::File::open(file)
        .map_err(|error| Refusal::because(format!("{name} cannot be read: {error}")))?;
    let bytes = scenario::read(opened, &name)?;
    read(&name, &bytes).map_err(|problems| {
        scenario::say(&problems);
        Refusal::Said
    })
}

/// What was read; nothing where it has been said what is wrong, so that other things are looked at as well.
fn kept<T>(read: Result<T, Refusal>, is_wrong: &mut bool) -> Result<Option<T>, Refusal> {
    match read {
        Ok(read) => Ok(Some(read)),
        Err(Refusal::Said) => {
            *is_wrong = true;
            Ok(None)
        }
        Err(refusal) => Err(refusal),
    }
}

/// Says all but the last, which the refusal holds.
fn all_said(mut complaints: Vec<Complaint>) -> Refusal {
    let Some(last) = complaints.pop() else {
        return Refusal::Said;
    };
    for complaint in complaints {
        super::tell(&refused(complaint));
    }
    refused(last)
}

/// No board is longer, in metres.
const LONGEST: f64 = 12.0;

pub fn read_longest(said: &str, unit: &'static str) -> Result<f64, Complaint> {
    let read = read_length(said, Bare::in_unit(unit));
    let read = read.ok().filter(|length| (0.3..=LONGEST).contains(length));
    read.ok_or_else(|| Complaint {
        what: format!("`{said}` is no length of a board"),
        hint: Some(
            "write for example `8 ft` or `2.4 m`; it may have 1 ft to 39 ft (0.3 to 12 m)"
                .to_owned(),
        ),
    })
}

pub fn read_project(said: Option<&str>, units: Units) -> Result<CutProject, Complaint> {
    let mut names = invented_names();
    let name = said.map(str::to_lowercase);
    let name = name.as_deref().map(str::trim).or(names.next());
    let found = name.and_then(|name| invented(name, units));
    found.ok_or_else(|| Complaint {
        what: format!(
            "there is no invented project called `{}`",
            said.unwrap_or_default()
        ),
        hint: Some(format!(
            "there are {}",
            invented_names().collect::<Vec<_>>().join(", ")
        )),
    })
}
