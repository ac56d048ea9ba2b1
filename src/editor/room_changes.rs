//! The room, its doors and what stands in the way.

use super::judged::LoadedText;
use super::station_changes::places;
use crate::experiment::Units;
use crate::floor::{Point, Room};
use crate::improve::placement::FloorGrid;
use crate::scenario::new_shop::unused;
use crate::scenario::{TextChange, coordinate, coordinate_yaml, text_at, yaml_name};

/// A point of the floor plan in metres.
pub type Corner = [f64; 2];

/// A room may be so large at the most, in metres: no shop that is walked about in is larger.
const LARGEST_M: f64 = 200.0;
/// The least that stands in the way, in metres.
const THINNEST_M: f64 = 0.01;
const LONGEST_NAME: usize = 80;
/// Roundings put nothing off a wall, in metres.
const SAME_M: f64 = 1e-6;

fn room<'l>(from: &'l LoadedText, layout: &str) -> Option<&'l Room> {
    from.layout(layout)?.plan.as_ref()?.room.as_ref()
}

fn pair(lengths: [f64; 2], units: Units) -> String {
    let [x, y] = lengths.map(|length| coordinate_yaml(length, units));
    format!("[{x}, {y}]")
}

/// Lengths as they are written, each a length of its own: nothing else comes into the file.
fn written(lengths: &[String; 2]) -> Result<String, String> {
    for length in lengths {
        coordinate(length)?;
    }
    Ok(format!("[{}, {}]", lengths[0].trim(), lengths[1].trim()))
}

fn named(name: &str) -> Result<&str, String> {
    let name = name.trim();
    let is_name = !name.is_empty()
        && name.chars().count() <= LONGEST_NAME
        && !name.chars().any(char::is_control);
    match is_name {
        true => Ok(name),
        false => Err(format!("A name has 1 to {LONGEST_NAME} letters.")),
    }
}

/// A room of another size; doors in the right and in the back wall move with it.
///
/// # Errors
/// What is no size of a room.
pub fn resized(
    from: &LoadedText,
    layout: &str,
    size: &[String; 2],
) -> Result<Vec<TextChange>, String> {
    let yaml = written(size)?;
    let lengths = [coordinate(&size[0])?, coordinate(&size[1])?];
    if !lengths
        .iter()
        .all(|length| *length > 0.0 && *length <= LARGEST_M)
    {
        return Err(format!("A room is up to {LARGEST_M} m long and wide."));
    }
    if text_at(&from.text, &["room", "outline"]).is_some() {
        return Err(
            "This room is written by its corners (`outline`): change them in the file.".to_owned(),
        );
    }
    let mut changes = vec![TextChange::set(&["room", "size"], yaml)];
    let Some(room) = room(from, layout) else {
        return Ok(changes);
    };
    let most = |of: fn(&Point) -> f64| {
        let all = room.outline.corners().iter().map(of);
        all.fold(f64::NEG_INFINITY, f64::max)
    };
    let old = [most(|corner| corner.x), most(|corner| corner.y)];
    for door in &room.doors {
        let ends = [door.between.0, door.between.1].map(|end| [end.x, end.y]);
        let mut moved = ends;
        for axis in [0, 1] {
            let is_on_wall = ends
                .iter()
                .all(|end| (end[axis] - old[axis]).abs() < SAME_M);
            if is_on_wall {
                moved.iter_mut().for_each(|end| end[axis] = lengths[axis]);
            }
        }
        if moved != ends {
            changes.push(between(&door.name, moved, from.study.units));
        }
    }
    Ok(changes)
}

fn between(name: &str, ends: [Corner; 2], units: Units) -> TextChange {
    let [one, other] = ends.map(|end| pair(end, units));
    let all = TextChange::set(&["room", "doors"], format!("[{one}, {other}]"));
    all.of_item(name, Some("between"))
}

/// What was drawn between two points: a door where it is called one, and otherwise a thing in the way, on the grid.
///
/// # Errors
/// That it has no size, or no name.
pub fn drawn(
    from: &LoadedText,
    layout: &str,
    name: &str,
    corners: [Corner; 2],
) -> Result<Vec<TextChange>, String> {
    let name = named(name)?;
    if is_door(name) {
        return door_drawn(from, layout, name, corners);
    }
    let step = FloorGrid::of(from.study.units).step;
    let [one, other] = corners.map(|corner| on_floor(corner, step));
    let (one, other) = (one?, other?);
    let low = [one[0].min(other[0]), one[1].min(other[1])];
    let size = [(one[0] - other[0]).abs(), (one[1] - other[1]).abs()];
    // What is thinner than the grid is as thick as that.
    Ok(new_thing(
        from,
        layout,
        name,
        (low, size.map(|side| side.max(step))),
    ))
}

fn is_door(name: &str) -> bool {
    name.split_whitespace()
        .any(|word| word.eq_ignore_ascii_case("door"))
}

/// The same from its left corner, so far along x and along y.
///
/// # Errors
/// What is no length, and that it has no size, or no name.
pub fn put_new(
    from: &LoadedText,
    layout: &str,
    name: &str,
    lengths: &[String; 4],
) -> Result<Vec<TextChange>, String> {
    let name = named(name)?;
    let mut read = [0.0; 4];
    for (read, written) in read.iter_mut().zip(lengths) {
        *read = coordinate(written)?;
    }
    let [x, y, along, deep] = read;
    if !read.iter().all(|length| length.abs() <= LARGEST_M) {
        return Err(BEYOND.to_owned());
    }
    if is_door(name) {
        return Ok(new_door(from, name, [[x, y], [x + along, y + deep]]));
    }
    match along >= THINNEST_M && deep >= THINNEST_M {
        true => Ok(new_thing(from, layout, name, ([x, y], [along, deep]))),
        false => Err(NO_SIZE.to_owned()),
    }
}

const BEYOND: &str = "That is beyond everything.";
const NO_SIZE: &str = "What stands in the way has a size, such as 6 in by 6 in.";

/// A further thing in the way, with its lower left corner there.
fn new_thing(
    from: &LoadedText,
    layout: &str,
    name: &str,
    (low, size): (Corner, Corner),
) -> Vec<TextChange> {
    let units = from.study.units;
    let blocked = room(from, layout).map_or(&[][..], |room| &room.blocked);
    let name = unused(name, |name| blocked.iter().any(|known| known.name == name));
    let at = [low[0] + size[0] / 2.0, low[1] + size[1] / 2.0];
    let thing = format!(
        "{{name: {}, at: {}, size: {}}}",
        yaml_name(&name),
        pair(at, units),
        pair(size, units)
    );
    vec![TextChange::append(&["room", "blocked"], thing)]
}

/// A thing in the way with its lower left corner there, on the grid.
///
/// # Errors
/// That there is no such thing.
pub fn thing_moved(
    from: &LoadedText,
    layout: &str,
    name: &str,
    low: Corner,
) -> Result<Vec<TextChange>, String> {
    let units = from.study.units;
    let blocked = room(from, layout).map_or(&[][..], |room| &room.blocked);
    let thing = blocked.iter().find(|thing| thing.name == name);
    let thing = thing.ok_or("There is no such thing in the way.")?;
    let corners = thing.outline.corners();
    let least = |of: fn(&Point) -> f64| corners.iter().map(of).fold(f64::INFINITY, f64::min);
    let most = |of: fn(&Point) -> f64| corners.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
    let half = [
        (most(|corner| corner.x) - least(|corner| corner.x)) / 2.0,
        (most(|corner| corner.y) - least(|corner| corner.y)) / 2.0,
    ];
    let low = on_floor(low, FloorGrid::of(units).step)?;
    let at = pair([low[0] + half[0], low[1] + half[1]], units);
    let all = TextChange::set(&["room", "blocked"], at);
    Ok(vec![all.of_item(name, Some("at"))])
}

/// Near to there, on the grid.
fn on_floor(corner: Corner, step: f64) -> Result<Corner, String> {
    match corner.iter().all(|length| length.abs() <= LARGEST_M) {
        true => Ok(corner.map(|length| (length / step).round() * step)),
        false => Err(BEYOND.to_owned()),
    }
}

/// A thing in the way of this size, with its middle there.
///
/// # Errors
/// What is no length.
pub fn thing_put(
    name: &str,
    at: &[String; 2],
    size: &[String; 2],
) -> Result<Vec<TextChange>, String> {
    let (middle, sides) = (written(at)?, written(size)?);
    for side in size {
        if !(THINNEST_M..=LARGEST_M).contains(&coordinate(side)?) {
            return Err(NO_SIZE.to_owned());
        }
    }
    let all = |yaml: String| TextChange::set(&["room", "blocked"], yaml);
    Ok(vec![
        all(middle).of_item(name, Some("at")),
        all(sides).of_item(name, Some("size")),
    ])
}

/// A door that was drawn: a new one, or that of this name elsewhere.
///
/// # Errors
/// That there is no wall, or no width.
fn door_drawn(
    from: &LoadedText,
    layout: &str,
    name: &str,
    ends: [Corner; 2],
) -> Result<Vec<TextChange>, String> {
    let units = from.study.units;
    let room = room(from, layout).ok_or("There is no room whose wall a door could be in.")?;
    let [one, other] = ends.map(|end| Point::new(end[0], end[1]));
    let middle = (one + other) * 0.5;
    let step = FloorGrid::of(units).step;
    let away = |wall: &(Point, Point)| on_wall(*wall, middle, None).distance(middle);
    let walls = room.outline.edges();
    let wall = walls.min_by(|a, b| away(a).total_cmp(&away(b)));
    let wall = wall.ok_or("This room has no wall.")?;
    let ends = [one, other].map(|end| on_wall(wall, end, Some(step)));
    if ends[0].distance(ends[1]) < SAME_M {
        return Err(
            "Draw a door along its wall, from one end of the opening to the other.".to_owned(),
        );
    }
    let ends = ends.map(|end| [end.x, end.y]);
    if room.doors.iter().any(|door| door.name == name) {
        return Ok(vec![between(name, ends, units)]);
    }
    Ok(new_door(from, name, ends))
}

fn new_door(from: &LoadedText, name: &str, ends: [Corner; 2]) -> Vec<TextChange> {
    let names = places(from);
    let name = unused(name, |name| names.iter().any(|known| known == name));
    let [one, other] = ends.map(|end| pair(end, from.study.units));
    let door = format!("{{name: {}, between: [{one}, {other}]}}", yaml_name(&name));
    vec![TextChange::append(&["room", "doors"], door)]
}

/// The nearest point of a wall, a whole number of steps from its beginning where there are steps.
fn on_wall((from, to): (Point, Point), point: Point, step: Option<f64>) -> Point {
    let long = from.distance(to);
    let along = (to - from) * (1.0 / long);
    let mut away = (point - from).dot(along);
    if let Some(step) = step {
        away = (away / step).round() * step;
    }
    from + along * away.clamp(0.0, long)
}

/// A door between two points of a wall.
///
/// # Errors
/// What is no length.
pub fn door_put(name: &str, ends: &[[String; 2]; 2]) -> Result<Vec<TextChange>, String> {
    let (one, other) = (written(&ends[0])?, written(&ends[1])?);
    let all = TextChange::set(&["room", "doors"], format!("[{one}, {other}]"));
    Ok(vec![all.of_item(name, Some("between"))])
}

/// Takes away what has this name in a list of the room.
pub fn removed(list: &str, name: &str) -> Vec<TextChange> {
    vec![TextChange::remove(&["room", list]).of_item(name, None)]
}
