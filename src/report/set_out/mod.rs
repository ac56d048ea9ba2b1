//! The set-out sheet: a page to print, by which a layout is taped on the floor before anything is moved.

mod feeding;

use minijinja::{Environment, Error, Value, context};

use super::charts::layout::Layout;
use super::charts::set_out::{PrintedPlan, printed_plan, wall_name};
use super::check::CAUTION;
use super::sentence::{capital, counted, listed};
use super::tape::exact_tape;
use crate::experiment::{LayoutFindings, Units};
use crate::floor::{FindingLevel, Opening, Room, SetOut, TapedFloor, taped_floor};
use crate::scenario::printable_name;
use crate::services::ServicePlan;

/// The page, as HTML with places for what differs.
const PAGE: &str = include_str!("sheet.html");

/// What is printed fits A4 (210 by 297 mm) and Letter (216 by 279 mm) with margins of 11 mm: its width in millimetres.
const WIDTH_MM: f64 = 186.0;
/// Height of a page inside the margins, what a station takes of it, and what headings, steps and cautions take.
const HEIGHT_MM: f64 = 257.0;
const STATION_MM: f64 = 7.0;
const TEXT_MM: f64 = 72.0;
/// A plan is at least and at most so high.
const PLAN_MM: (f64, f64) = (80.0, 125.0);

/// The sheet of a layout as HTML that needs nothing beside it, with what feeds the shop; nothing where it has no room or
/// places nothing.
///
/// # Errors
/// What is wrong with the page that comes with the program.
pub fn html(
    title: &str,
    found: &LayoutFindings,
    services: Option<&ServicePlan>,
    units: Units,
) -> Result<Option<String>, Error> {
    let plan = &found.plan;
    let Some((floor, room)) = taped_floor(plan).zip(plan.room.as_ref()) else {
        return Ok(None);
    };
    let highest = HEIGHT_MM - TEXT_MM - STATION_MM * floor.stations.len() as f64;
    let highest = highest.clamp(PLAN_MM.0, PLAN_MM.1);
    let layout = Layout::of(found, units);
    let Some(drawn) = printed_plan(&floor, &layout, units, (WIDTH_MM, highest)) else {
        return Ok(None);
    };
    let stations: Vec<Value> = (0..floor.stations.len())
        .map(|index| station(&floor, found, index, units))
        .collect();
    let PrintedPlan {
        scene,
        width_mm,
        scale,
    } = drawn;
    let taped = floor.stations.iter().map(|taped| &taped.set_out);
    let mut places = taped.chain(&floor.things).flat_map(|taped| &taped.corners);
    let is_prolonged = places.any(|place| place.is_direct.contains(&false));
    let mut pages = Environment::new();
    // What ends so is escaped.
    pages.add_template("sheet.html", PAGE)?;
    let page = pages.get_template("sheet.html")?;
    let text = page.render(context! {
        title => printable_name(title),
        layout => printable_name(&found.name),
        faults => faults(found),
        svg => Value::from_safe_string(scene.svg()),
        width_mm,
        scale,
        room => room_in_words(&floor, units),
        order => order_in_words(room),
        stations,
        is_prolonged,
        fixed => fixed(&floor, room, units),
        feeding => services.and_then(|services| feeding::feeding(found, services, units)),
        caution => caution(found, room, units),
    })?;
    Ok(Some(text))
}

/// That the layout is not fit to be set out, if it is not.
fn faults(found: &LayoutFindings) -> Option<String> {
    let faults = found.findings.iter();
    let faults = faults.filter(|finding| finding.level == FindingLevel::Fault);
    match faults.count() {
        0 => None,
        count => Some(format!(
            "This layout has {}: `shopstride check` says what to mend before you tape it.",
            counted(count, "fault")
        )),
    }
}

/// The rows of a station.
fn station(floor: &TapedFloor, found: &LayoutFindings, index: usize, units: Units) -> Value {
    let taped = &floor.stations[index];
    let placement = found.plan.placements[taped.station].as_ref();
    let size = placement.map(|placement| placement.size);
    let size = size.filter(|_| taped.diagonal.is_some());
    let rows: Vec<Value> = [0, 1]
        .map(|side| {
            context! {
                wall => wall_name(taped.set_out.walls[side]),
                distances => distances(&taped.set_out, side, units),
            }
        })
        .into();
    context! {
        number => index + 1,
        name => printable_name(&found.shop.stations[taped.station].name),
        size => size.map(|(width, depth)| {
            format!("{} × {}", exact_tape(units, width), exact_tape(units, depth))
        }),
        rows,
        diagonal => taped.diagonal.map_or_else(String::new, |diagonal| exact_tape(units, diagonal)),
    }
}

/// Of all corners from one of the two walls. What covers nothing has one place only.
fn distances(taped: &SetOut, side: usize, units: Units) -> Vec<String> {
    const CORNERS: usize = 4;
    let of = taped.corners.iter().map(|place| {
        let mark = if place.is_direct[side] { "" } else { " *" };
        format!("{}{mark}", exact_tape(units, place.distances[side]))
    });
    let mut of: Vec<String> = of.take(CORNERS).collect();
    of.resize(CORNERS, String::new());
    of
}

/// How long the walls are, and the diagonals.
fn room_in_words(floor: &TapedFloor, units: Units) -> String {
    let walls = floor.walls.iter().enumerate();
    let walls: Vec<String> = walls
        .map(|(index, wall)| format!("{} {}", wall_name(index), exact_tape(units, wall.length())))
        .collect();
    let diagonals = match floor.diagonals {
        Some([one, other]) if (one - other).abs() < 1e-6 => {
            format!(", and both diagonals {}", exact_tape(units, one))
        }
        Some([one, other]) => format!(
            ", and the diagonals {} and {}",
            exact_tape(units, one),
            exact_tape(units, other)
        ),
        None => String::new(),
    };
    format!("Measure the walls: {}{diagonals}.", walls.join(", "))
}

/// In which order to tape.
fn order_in_words(room: &Room) -> String {
    match room.widest_door() {
        Some(door) => format!(
            "Tape in the order of the numbers: it ends at {}, so that nobody walks over fresh tape.",
            printable_name(&door.name)
        ),
        None => "Tape in the order of the numbers.".to_owned(),
    }
}

/// Where doors, panels and things are that belong to the room.
fn fixed(floor: &TapedFloor, room: &Room, units: Units) -> Vec<String> {
    let length = |metres: f64| exact_tape(units, metres);
    // A wall begins at the corner with the one before it.
    let corner = |wall: usize| {
        let before = (wall + floor.walls.len() - 1) % floor.walls.len();
        format!(
            "the corner of {} and {}",
            wall_name(before),
            wall_name(wall)
        )
    };
    let doors = room.doors.iter().zip(&floor.doors);
    let doors = doors.filter_map(|(door, opening)| {
        let Opening { wall, from, to } = (*opening)?;
        Some(format!(
            "{}: in wall {}, from {} to {} from {}.",
            capital(&printable_name(&door.name)),
            wall_name(wall),
            length(from),
            length(to),
            corner(wall)
        ))
    });
    let panels = room.panels.iter().zip(&floor.panels);
    let panels = panels.filter_map(|(panel, place)| {
        let Opening { wall, from, .. } = (*place)?;
        Some(format!(
            "{}: on wall {}, its middle {} from {}.",
            capital(&printable_name(&panel.name)),
            wall_name(wall),
            length(from),
            corner(wall)
        ))
    });
    let things = room.blocked.iter().zip(&floor.things);
    let things = things.filter_map(|(thing, taped)| {
        let place = taped.corners.first()?;
        let [one, other] = taped.walls.map(wall_name);
        let [a, b] = place.distances.map(length);
        Some(format!(
            "{}: its nearest corner {a} from wall {one} and {b} from wall {other}.",
            capital(&printable_name(&thing.name))
        ))
    });
    doors.chain(panels).chain(things).collect()
}

/// What is to be kept in mind before anything moves.
fn caution(found: &LayoutFindings, room: &Room, units: Units) -> String {
    let names = |names: Vec<String>| listed(&names, "and");
    let panels = room
        .panels
        .iter()
        .map(|panel| printable_name(&panel.name).into_owned());
    let panels: Vec<String> = panels.collect();
    let doors = room
        .doors
        .iter()
        .map(|door| printable_name(&door.name).into_owned());
    let doors: Vec<String> = doors.collect();
    let (wide, deep) = found.before_panels;
    let mut says = vec![
        "Machines are heavy and tip: unplug them, two people or a mover, and no lifting by tables or fences.".to_owned(),
    ];
    if !panels.is_empty() {
        says.push(format!(
            "Keep at least {} by {} before {} free, always.",
            exact_tape(units, wide),
            exact_tape(units, deep),
            names(panels)
        ));
    }
    if !doors.is_empty() {
        says.push(format!("Keep the way to {} open.", names(doors)));
    }
    says.push(CAUTION.to_owned());
    says.join(" ")
}
