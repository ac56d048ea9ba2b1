//! From what is wanted to a text: the stations are placed, and what finds no place is given up step by step.

use super::abilities::{Abilities, AbleStation};
use super::bare_shop::BareShop;
use super::concessions::Concessions;
use super::habits::{HIGH_ARMS_M, holds_a_sheet, missing_horses, saw_of};
use super::length::INCH;
use super::list_units::plural;
use super::machines::{SaidStation, unused};
use super::parts::{Stuff, sheet};
use super::sketch::{Sketch, SketchedLayout, SketchedSize, SketchedStation};
use super::stopwatch::TakenTimes;
use super::work::{PlannedProject, planned};
use super::{Complaint, MOST_LAYOUTS, NewShop, USUAL_LAYOUTS, Wish, complaint};
use crate::floor::{Plan, Pose};
use crate::improve::Arrangement;
use crate::scenario::kinds::StationKind;

const FIRST: &str = "usual places";
const SHORTER: &str = "shorter ways";
const OTHER: &str = "other places";
const ONE_MOVED: &str = "one thing moved";

/// Places everything and writes it down.
///
/// # Errors
/// That nothing can be placed.
pub fn lay_out(wish: &Wish) -> Result<NewShop, Complaint> {
    let wish = &with_horses(wish);
    let mut conceded = Concessions::of(wish);
    loop {
        let sketch = sketch(wish, &conceded);
        if sketch
            .stations
            .iter()
            .all(|station| station.nowhere.is_some())
        {
            return Err(complaint(
                "nothing of this finds a place in the room",
                "give the room as it is inside, or fewer and smaller machines",
            ));
        }
        let ground = BareShop::read(&sketch)?;
        // While less can be wanted of a full room, nobody looks for long.
        let rounds = if conceded.is_full { 2 } else { 1 };
        let arrangements = ground.arranged(rounds);
        if conceded.concede(wish, &sketch, &arrangements[0]) {
            continue;
        }
        return Ok(written(&sketch, &ground, &arrangements));
    }
}

/// With horses on which sheets are broken down where whole ones would go over a saw that has nothing behind it.
fn with_horses(wish: &Wish) -> Wish {
    let mut wish = wish.clone();
    let feeds_sheets = abilities(&wish, &Concessions::default(), "").feeds_whole_sheets();
    let kinds: Vec<&StationKind> = wish.stations.iter().map(|said| said.kind).collect();
    if let Some(horses) = missing_horses(&kinds).filter(|_| feeds_sheets) {
        let is_used = |name: &str| wish.stations.iter().any(|known| known.name == name);
        let name = unused(horses.name, is_used);
        wish.stations.push(SaidStation {
            name,
            kind: horses,
            is_kind_guessed: false,
            is_added: true,
        });
    }
    wish
}

fn abilities<'w>(wish: &'w Wish, conceded: &Concessions, door: &'w str) -> Abilities<'w> {
    let stations = wish.stations.iter().enumerate();
    let stations = stations.map(|(index, said)| AbleStation {
        name: &said.name,
        kind: said.kind,
        is_out: conceded.out.iter().any(|(station, _)| *station == index),
    });
    let mut rows = wish.projects.iter().flat_map(|project| &project.rows);
    Abilities {
        stations: stations.collect(),
        needs_sheets: rows.any(|row| row.stuff == Stuff::Sheets),
        sheets_come_cut: conceded.sheets_come_cut,
        boards_come_cut: conceded.boards_come_cut,
        door,
    }
}

fn sketch<'w>(wish: &'w Wish, conceded: &Concessions) -> Sketch<'w> {
    let out = |index: usize| conceded.out.iter().find(|(station, _)| *station == index);
    let stations = wish.stations.iter().enumerate();
    let doors = Sketch::door_names(wish);
    let abilities = abilities(wish, conceded, &doors[0]);
    let projects = wish.projects.iter();
    let projects: Vec<PlannedProject> = projects
        .map(|project| planned(project, &abilities, wish.longest, wish.room.units))
        .collect();
    let used = |name: &&str| projects.iter().any(|project| project.used.contains(name));
    let never = abilities.never();
    let kinds: Vec<&StationKind> = wish.stations.iter().map(|said| said.kind).collect();
    let sketched = stations.map(|(index, said)| {
        let mut station = SketchedStation {
            said: said.clone(),
            size: None,
            size_because: "",
            never: Vec::new(),
            taken: Vec::new(),
            height: None,
            bottom: None,
            is_idle: false,
            nowhere: out(index).map(|(_, why)| why.clone()),
        };
        if let Some(saw) = saw_of(said.kind, &kinds) {
            let table = saw.height.and_then(|height| height.table());
            station.height = table.map(|table| table.usual * INCH);
        }
        let has_less = said
            .kind
            .size
            .iter()
            .any(|figure| figure.least < figure.usual);
        if said.is_added {
            station.size = Some(SketchedSize::Given(0.0, 0.0));
            station.size_because = ADDED_BECAUSE;
        } else if conceded.is_folded && holds_a_sheet(said.kind) {
            station.size = Some(SketchedSize::Given(0.0, 0.0));
            station.size_because = "folded away while it is not used, for the room is full; nothing checks the 60 by 108 in \
                                    that it takes open";
        } else if conceded.is_full && holds_a_sheet(said.kind) {
            let [long, wide] = sheet(wish.room.units);
            station.size = Some(SketchedSize::Given(wide, long));
            station.size_because = "no larger than a sheet, for the room is full";
        } else if conceded.is_full && has_less {
            station.size = Some(SketchedSize::Smallest);
            station.size_because = "for the room is full";
        }
        if conceded.high_rack == Some(index) {
            station.bottom = Some(HIGH_ARMS_M);
        }
        let here = never.iter().filter(|(other, _)| *other == index);
        station.never = here.map(|(_, operation)| *operation).collect();
        if station.nowhere.is_some() {
            // What stands nowhere does nothing that somebody asks for.
            let does = said.kind.does.iter().map(|does| does.name);
            station.never = does.filter(used).collect();
        }
        let taken = wish.times.iter().filter(|taken| taken.station == index);
        let taken = taken.filter(|taken| !station.never.contains(&taken.operation));
        station.taken = taken.map(|taken| observed(taken, said)).collect();
        station.is_idle = station.nowhere.is_none()
            && !said.kind.does.is_empty()
            && !projects.iter().any(|project| project.busy.contains(&index));
        station
    });
    Sketch {
        stations: sketched.collect(),
        wish,
        projects,
    }
}

/// Why there are horses that nobody listed.
const ADDED_BECAUSE: &str = "a guess: a whole sheet is too much for one person over a saw with nothing behind it, so that \
                             it is broken down here first, with a track saw or a circular saw; folded away when not used, so that nothing checks the \
                             60 by 108 in that they take open";

/// Times taken with a watch, of a lot or of each piece, as it is usual for the operation.
fn observed(taken: &TakenTimes, said: &SaidStation) -> String {
    let mut does = said.kind.does.iter();
    let usual = does.find(|does| does.name == taken.operation);
    let per = match usual.is_some_and(|usual| usual.per_lot.is_some()) {
        true => "per lot",
        false => "per piece",
    };
    let seconds = taken.seconds.iter().map(|seconds| format!("{seconds} s"));
    let seconds: Vec<String> = seconds.collect();
    format!(
        "{}: {{{per}: {{observed: [{}]}}}}",
        taken.operation,
        seconds.join(", ")
    )
}

fn written(sketch: &Sketch<'_>, ground: &BareShop, arrangements: &[Arrangement]) -> NewShop {
    let (plan, second) = ground.two_layouts(arrangements);
    let poses = |plan: &Plan| -> Vec<(usize, Pose)> {
        let placed = plan.placements.enumerate();
        let placed = placed.filter_map(|(station, placement)| {
            let placement = placement.as_ref()?;
            Some((station.index(), placement.pose()))
        });
        placed.collect()
    };
    let first = poses(&plan);
    let moved = |plan: &Plan| -> Vec<(usize, Pose)> {
        let moved = poses(plan).into_iter();
        moved.filter(|place| !first.contains(place)).collect()
    };
    let wanted = sketch.wish.layouts.unwrap_or(USUAL_LAYOUTS);
    let second = second.filter(|_| wanted > 1);
    let third = ground.one_moved(&plan, second.as_ref().map(|second| &second.plan));
    let second = second.map(|second| {
        let name = if second.is_shorter { SHORTER } else { OTHER };
        (name, moved(&second.plan))
    });
    let third = third.map(|plan| moved(&plan));
    // Where the second moves a single thing as well, the third may be the same.
    let third = third.filter(|third| second.as_ref().is_none_or(|(_, second)| second != third));
    let is_shown_only = wanted < MOST_LAYOUTS;
    let third = third.map(|at| SketchedLayout::Placed {
        name: ONE_MOVED,
        like: Some(FIRST),
        because: "all else stands as it does there",
        at,
        is_shown_only,
    });
    let mut layouts = Vec::new();
    layouts.push(SketchedLayout::Placed {
        name: FIRST,
        like: None,
        because: "by habit: along the walls what belongs there, in the open what long boards are fed through",
        at: first,
        is_shown_only: false,
    });
    layouts.extend(second.map(|(name, at)| SketchedLayout::Placed {
        name,
        like: Some(FIRST),
        because: match name {
            SHORTER => "some stand elsewhere, so that less is walked",
            _ => "some stand elsewhere: another way to fill the room",
        },
        at,
        is_shown_only: false,
    }));
    let shown_only = usize::from(third.is_some() && is_shown_only);
    layouts.extend(third);
    let written = layouts.len() - shown_only;
    let mut said = said(sketch);
    if sketch.wish.layouts.is_some() && written < wanted {
        said.push(format!(
            "{written} of the {wanted} layouts that are asked for: no further one was found that makes no fault. `shopstride improve` looks longer."
        ));
    }
    NewShop {
        stations: sketch.stations.len(),
        layouts: written,
        text: sketch.text(&layouts),
        said,
    }
}

/// What somebody is told beside the file: what was guessed, left out or is missing, and what to buy.
fn said(sketch: &Sketch<'_>) -> Vec<String> {
    let mut said = Vec::new();
    let wish = sketch.wish;
    for station in &sketch.stations {
        if let Some(why) = &station.nowhere {
            said.push(format!("{} stands nowhere yet: {why}.", station.said.name));
        }
    }
    for station in wish.stations.iter().filter(|said| said.is_added) {
        said.push(format!(
            "Added {}, {ADDED_BECAUSE}. With an out-feed table in `--with` whole sheets go over the saw, and a second person helps.",
            station.name
        ));
    }
    for door in &wish.doors {
        let guesses = wish.guessed_of(door);
        if !guesses.is_empty() {
            said.push(format!(
                "Guessed of the door in the {} wall: {}.",
                door.wall.name(),
                guesses.join("; ")
            ));
        }
    }
    for (unit, other) in [("in", "mm"), ("mm", "in")] {
        let lists = wish.projects.iter();
        let lists = lists.filter(|project| project.bare_lengths == Some(unit));
        let lists: Vec<&str> = lists.map(|project| &project.name[..]).collect();
        if !lists.is_empty() {
            said.push(format!(
                "Lengths without a unit in the cut list of {} are read as {}; others need a unit, once in the heading as in `length ({other})`, or each.",
                lists.join(" and that of "),
                plural(unit)
            ));
        }
    }
    for taken in &wish.times {
        let station = &sketch.stations[taken.station];
        if station.never.contains(&taken.operation) {
            said.push(format!(
                "The times of {} at {} are left out: it is done elsewhere.",
                taken.operation, station.said.name
            ));
        }
    }
    for project in &wish.projects {
        let swapped = project.rows.iter();
        let swapped: Vec<&str> = swapped
            .filter(|row| row.stuff == Stuff::Boards && row.size[1] > row.size[0] + 1e-9)
            .map(|row| &row.part[..])
            .collect();
        if !swapped.is_empty() {
            said.push(format!(
                "In {} wider than long: {}. Along the length runs the grain: are length and width swapped?",
                project.name,
                swapped.join(", ")
            ));
        }
    }
    let mut missing: Vec<&str> = Vec::new();
    for operation in sketch.projects.iter().flat_map(|project| &project.missing) {
        if !missing.contains(operation) {
            missing.push(operation);
        }
    }
    if !missing.is_empty() {
        said.push(format!(
            "Nothing here can {}: the routes go without.",
            missing.join(" or ")
        ));
    }
    for project in sketch
        .projects
        .iter()
        .filter(|project| project.lacks_joinery)
    {
        said.push(format!(
            "No joinery is in the routes of {}: no part is called so that it has a usual joint, or nothing here makes that.",
            project.name
        ));
    }
    let idle = sketch.stations.iter().filter(|station| station.is_idle);
    let idle: Vec<&SketchedStation> = idle.collect();
    if let Some(first) = idle.first() {
        let names: Vec<&str> = idle.iter().map(|station| &station.said.name[..]).collect();
        let does = first.said.kind.does.first().map_or("", |does| does.name);
        said.push(format!(
            "No route uses {}: where you do, write a step into the `route` of a part, such as `{does}` for {}.",
            names.join(", "),
            first.said.name
        ));
    }
    for project in &sketch.projects {
        said.push(format!(
            "To buy for {}, by a plain packing and a guess: {}.",
            project.name,
            project.to_buy.join("; ")
        ));
    }
    if sketch.dust_on_finish().is_some() {
        said.push(
            "Nothing keeps dust from a finish that is wet: the file says how to say it (`tacky`, `dusty`)."
                .to_owned(),
        );
    }
    said.push(
        "Times are told as if the shop never shut: the file shows how to say when it is open (`sessions`)."
            .to_owned(),
    );
    said
}
