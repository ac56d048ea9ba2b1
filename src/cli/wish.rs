//! What `shopstride new` is asked for, from its options.

use std::path::Path;

use super::arguments::NewOptions;
use super::{Refusal, scenario};
use crate::experiment::Units;
use crate::scenario::Problems;
use crate::scenario::new_shop::{
    Bare, Complaint, CutProject, ListUnits, SaidDoor, SaidThing, USUAL, Wish, invented,
    invented_names, read_cut_list, read_door, read_length, read_room, read_stations, read_thing,
    read_times, unused, usual_door, usual_longest,
};

pub fn refused(complaint: Complaint) -> Refusal {
    Refusal::Because(complaint.what, complaint.hint)
}

/// What the options say; nothing where they say nothing of a room.
///
/// # Errors
/// All that cannot be read has been said, or is in the refusal.
pub fn of(options: &NewOptions) -> Result<Option<Wish>, Refusal> {
    read(options)?.map_err(all_said)
}

/// The same, with what is wrong in the options themselves for whoever says it.
///
/// # Errors
/// What is wrong with the tables.
pub fn read(options: &NewOptions) -> Result<Result<Option<Wish>, Vec<Complaint>>, Refusal> {
    let Some(size) = &options.room else {
        return Ok(Ok(None));
    };
    let mut complaints = Vec::new();
    let room = read_room(size).map_err(|complaint| complaints.push(complaint));
    let stations = read_stations(options.with.as_deref().unwrap_or(USUAL))
        .map_err(|found| complaints.extend(found));
    let mut doors: Vec<SaidDoor> = Vec::new();
    let mut blocked: Vec<SaidThing> = Vec::new();
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
        for said in &options.blocked {
            match read_thing(said, room) {
                Ok(thing) => blocked.push(SaidThing {
                    name: unused(&thing.name, |name| {
                        blocked.iter().any(|known| known.name == name)
                    }),
                    ..thing
                }),
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
    // What a list has without a unit is in that of the room, whatever the file is written in.
    let bare = units;
    if options.metric {
        units = Units::Metric;
    }
    let of_list = ListUnits { bare, sold: units };
    let mut are_tables_wrong = false;
    let mut projects: Vec<CutProject> = Vec::new();
    for file in &options.cut_list {
        let read = table(file, |name, bytes| read_cut_list(name, bytes, of_list));
        projects.extend(kept(read, &mut are_tables_wrong)?);
    }
    match options.cut_list.is_empty() {
        true => projects.extend(invented_projects(options, units, &mut complaints)),
        false => name_projects(options, &mut projects, &mut complaints),
    }
    let mut names: Vec<String> = Vec::new();
    for project in &mut projects {
        project.name = unused(&project.name, |name| {
            names.iter().any(|known| known == name)
        });
        names.push(project.name.clone());
    }
    let times = match (&options.times, &stations) {
        (Some(file), Ok(stations)) => {
            let read = table(file, |name, bytes| read_times(name, bytes, stations));
            kept(read, &mut are_tables_wrong)?
        }
        _ => Some(Vec::new()),
    };
    let (Ok(mut room), Ok(stations), Some(times), true) = (
        room,
        stations,
        times,
        complaints.is_empty() && !are_tables_wrong,
    ) else {
        return Ok(Err(complaints));
    };
    room.units = units;
    if doors.is_empty() {
        doors.push(usual_door(&room));
    }
    Ok(Ok(Some(Wish {
        doors,
        blocked,
        is_door_guessed: options.door.is_empty(),
        stations,
        are_stations_guessed: options.with.is_none(),
        longest: longest.unwrap_or(usual_longest(units)),
        projects,
        layouts: options.layouts.map(|layouts| layouts as usize),
        is_project_guessed: options.project.is_empty() && options.cut_list.is_empty(),
        times,
        room,
    })))
}

/// The invented projects that are asked for, or else the first of them.
fn invented_projects(
    options: &NewOptions,
    units: Units,
    complaints: &mut Vec<Complaint>,
) -> Vec<CutProject> {
    let said = options.project.iter().map(|name| Some(&name[..]));
    let mut said: Vec<Option<&str>> = said.collect();
    if said.is_empty() {
        said.push(None);
    }
    let mut projects = Vec::new();
    for said in said {
        match read_project(said, units) {
            Ok(project) => projects.push(project),
            Err(complaint) => complaints.push(complaint),
        }
    }
    projects
}

/// Calls the projects of cut lists as it is asked for.
fn name_projects(
    options: &NewOptions,
    projects: &mut [CutProject],
    complaints: &mut Vec<Complaint>,
) {
    if options.project.len() > options.cut_list.len() {
        complaints.push(Complaint {
            what: "there are more names of projects than cut lists".to_owned(),
            hint: Some("`--project` names those of `--cut-list`, in their order".to_owned()),
        });
    }
    for (project, name) in projects.iter_mut().zip(&options.project) {
        match name.trim() {
            "" => complaints.push(Complaint {
                what: "a project has an empty name".to_owned(),
                hint: Some("write for example `--project bookcase`".to_owned()),
            }),
            name => project.name = name.to_owned(),
        }
    }
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
pub fn all_said(mut complaints: Vec<Complaint>) -> Refusal {
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
