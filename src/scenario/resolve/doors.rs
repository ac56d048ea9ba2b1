//! Doors, electrical panels, and how things come in and go out.

use super::geometry::{each, name, point, positive};
use crate::floor::{AccessRoute, Door, Panel, Point, Polygon, Stair, nearest_on_segment, outward};
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::names::Names;
use crate::scenario::problem::{Problem, Sink};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader;
use crate::scenario::tree::{YamlNode, YamlValue};
use crate::units::customary::INCH;

/// Metres by which the coordinates of a door or panel may miss the wall: no tape measures more exactly.
const ON_THE_WALL: f64 = 0.01;

/// The names that the file gives to doors, including doors with errors.
pub fn written<'a>(scenario: &Fields<'a>) -> Vec<&'a str> {
    let doors = scenario.get("room").and_then(|room| room.get("doors"));
    let entries = match doors.map(|doors| &doors.value) {
        Some(YamlValue::List(entries)) => &entries[..],
        _ => &[],
    };
    let names = entries.iter().filter_map(|door| door.get("name"));
    names
        .filter_map(|name| match &name.value {
            YamlValue::Scalar(text) => Some(&text[..]),
            _ => None,
        })
        .collect()
}

pub fn doors<'a>(
    given: &Fields<'a>,
    outline: &Polygon,
    stations: &Names<'a>,
    names: &mut Names<'a>,
) -> Vec<Door> {
    let sink = given.sink;
    let mut doors: Vec<Door> = Vec::new();
    for door in each(given, "doors", &keys::DOOR) {
        let named = name(&door, "the door");
        let between = door
            .get("between")
            .and_then(|node| between(node, outline, sink));
        let swings = door
            .get("swings")
            .and_then(|node| reader::one_of(node, &keys::SWINGS, sink));
        let hinge = door
            .get("hinge")
            .and_then(|node| reader::one_of(node, &keys::HINGES, sink));
        let height = positive(&door, "height");
        let corridor = positive(&door, "corridor");
        let wall = door.quantity("wall", Dimension::Length);
        let (Some(named), Some(between)) = (named, between) else {
            continue;
        };
        if names.index(named.text).is_some() {
            sink.report(
                Problem::error(named.span, format!("two doors are called `{}`", named.text))
                    .hint("give one of them another name"),
            );
            continue;
        }
        if let Some(station) = stations.index(named.text) {
            sink.report(
                Problem::error(
                    named.span,
                    format!("there is also a station called `{}`", named.text),
                )
                .also(stations.key(station).span, "the station")
                .hint("give one of them another name: both are places"),
            );
            continue;
        }
        if let Some(other) = doors.iter().find(|other| overlap(other.between, between)) {
            sink.report(
                Problem::error(
                    named.span,
                    format!(
                        "`{}` and `{}` are in the same place",
                        other.name, named.text
                    ),
                )
                .hint("leave a post between them, or make them one door"),
            );
            continue;
        }
        if swings == Some(2)
            && height.is_none()
            && let Some(entry) = door.entry("swings")
        {
            sink.report(
                Problem::error(
                    &entry.key.span,
                    format!(
                        "nothing says how high `{}` lies while it is open",
                        named.text
                    ),
                )
                .hint("add its clear `height`, for example `height: 7 ft`"),
            );
        }
        if let Some(entry) = door.entry("hinge")
            && !matches!(swings, Some(0 | 1))
            && (swings.is_some() || door.entry("swings").is_none())
        {
            sink.report(
                Problem::error(
                    &entry.key.span,
                    format!("nothing says that `{}` has a leaf on hinges", named.text),
                )
                .hint("add `swings: in` or `swings: out`, or leave `hinge` out"),
            );
        }
        names.add(named);
        let between = match hinge {
            Some(hinge) => from_hinge(between, hinge == 0, outline),
            None => between,
        };
        doors.push(Door {
            name: named.text.to_owned(),
            between,
            hangs_at_first: hinge.is_some(),
            height,
            wall: wall.map_or(0.0, |wall| wall.value),
            corridor,
            swings_in: swings == Some(0),
            overhead: swings == Some(2),
        });
    }
    doors
}

/// The ends of an opening, the one with the hinges first: the left one of somebody who stands in the room and faces the
/// door, or the right one.
fn from_hinge((one, other): (Point, Point), is_left: bool, outline: &Polygon) -> (Point, Point) {
    let nearest = |end: Point, wall: (Point, Point)| nearest_on_segment(end, wall).distance(end);
    let away = |&wall: &(Point, Point)| nearest(one, wall).max(nearest(other, wall));
    let walls = outline.edges();
    let wall = walls.min_by(|a, b| away(a).total_cmp(&away(b)));
    // Whoever faces the door looks out of the room.
    let is_left_end = wall.is_none_or(|wall| (other - one).dot(outward(wall).left()) > 0.0);
    match is_left_end == is_left {
        true => (other, one),
        false => (one, other),
    }
}

/// Both ends of an opening, moved onto the wall that they are meant to be in.
fn between(node: &YamlNode, outline: &Polygon, sink: &Sink) -> Option<(Point, Point)> {
    let ends = reader::list(node, "the two ends of the opening, [[x, y], [x, y]]", sink)?;
    let [first, second] = ends else {
        sink.report(
            Problem::error(
                &node.span,
                format!("an opening has two ends, not {}", ends.len()),
            )
            .hint("write `[[x, y], [x, y]]`"),
        );
        return None;
    };
    let (a, b) = (point(first, sink)?, point(second, sink)?);
    let on = |edge: &(Point, Point)| {
        let moved = (nearest_on_segment(a, *edge), nearest_on_segment(b, *edge));
        (moved.0.distance(a) <= ON_THE_WALL && moved.1.distance(b) <= ON_THE_WALL).then_some(moved)
    };
    let Some(moved) = outline.edges().find_map(|edge| on(&edge)) else {
        let off = [(a, first), (b, second)]
            .into_iter()
            .find(|(end, _)| outline.distance_to_outline(*end) > ON_THE_WALL);
        let problem = match off {
            Some((end, at)) => {
                let nearest = nearest_on(outline, end);
                Problem::error(
                    &at.span,
                    format!(
                        "this end of the door is {} off the wall",
                        sink.length(end.distance(nearest))
                    ),
                )
                .hint(format!(
                    "the nearest place on the wall is [{}, {}]",
                    sink.length(nearest.x),
                    sink.length(nearest.y)
                ))
            }
            None => Problem::error(
                &node.span,
                "the two ends of the door lie on different walls",
            )
            .hint("a door lies on one straight edge of the room's outline"),
        };
        sink.report(problem);
        return None;
    };
    if moved.0.distance(moved.1) < ON_THE_WALL {
        sink.report(
            Problem::error(&node.span, "this opening has no width")
                .hint("give both of its ends, as clear of the frame as they are"),
        );
        return None;
    }
    Some(moved)
}

fn nearest_on(outline: &Polygon, point: Point) -> Point {
    let mut nearest = outline.corners()[0];
    for edge in outline.edges() {
        let here = nearest_on_segment(point, edge);
        if point.distance(here) < point.distance(nearest) {
            nearest = here;
        }
    }
    nearest
}

/// Whether two openings of one wall share a point.
fn overlap(a: (Point, Point), b: (Point, Point)) -> bool {
    let near = |point, segment| nearest_on_segment(point, segment).distance(point) < ON_THE_WALL;
    near(a.0, b) || near(a.1, b) || near(b.0, a) || near(b.1, a)
}

pub fn panels(given: &Fields, outline: &Polygon) -> Vec<Panel> {
    let sink = given.sink;
    let read = |panel: Fields| {
        let name = name(&panel, "the panel")?;
        let width = positive(&panel, "width");
        let node = panel.get("at")?;
        let at = point(node, sink)?;
        let nearest = nearest_on(outline, at);
        if at.distance(nearest) > ON_THE_WALL {
            sink.report(
                Problem::error(
                    &node.span,
                    format!(
                        "`{}` hangs {} off the wall",
                        name.text,
                        sink.length(at.distance(nearest))
                    ),
                )
                .hint(format!(
                    "the nearest place on the wall is [{}, {}]",
                    sink.length(nearest.x),
                    sink.length(nearest.y)
                )),
            );
            return None;
        }
        // The wall on which it hangs; the inside of the room lies to the left of it.
        let wall = outline
            .edges()
            .find(|&edge| nearest_on_segment(at, edge).distance(nearest) <= ON_THE_WALL)?;
        Some(Panel {
            name: name.text.to_owned(),
            at: nearest,
            faces: outward(wall) * -1.0,
            width: width.unwrap_or(0.0),
        })
    };
    each(given, "panels", &keys::PANEL)
        .filter_map(read)
        .collect()
}

pub fn ways(given: &Fields, doors: &Names) -> Vec<AccessRoute> {
    let sink = given.sink;
    let read = |way: Fields| {
        let name = name(&way, "the way")?;
        let door = way.get("door").and_then(|node| doors.find(node, sink));
        let stair = way.entry("stair").and_then(|entry| {
            stair(&Fields::open(
                &entry.node,
                &entry.key.span,
                &keys::STAIR,
                sink,
            )?)
        });
        let corners = way.get("corners").map_or(Some(Vec::new()), |node| {
            let nodes = reader::list(node, "a list of corners [width before, width after]", sink)?;
            let pairs: Vec<Option<(f64, f64)>> =
                nodes.iter().map(|node| widths(node, sink)).collect();
            pairs.into_iter().collect()
        });
        Some(AccessRoute {
            name: name.text.to_owned(),
            door: door?,
            corners: corners?,
            stair,
        })
    };
    each(given, "ways in", &keys::WAY)
        .filter_map(read)
        .collect()
}

fn widths(node: &YamlNode, sink: &Sink) -> Option<(f64, f64)> {
    let [before, after] = reader::lengths(node, "a pair of widths [before, after]", false, sink)?;
    if before.value <= 0.0 || after.value <= 0.0 {
        sink.report(Problem::error(
            &node.span,
            "a corridor cannot have a width of 0",
        ));
        return None;
    }
    Some((before.value, after.value))
}

/// Riser and tread are by default the steepest that the IRC allows (R311.7.5, 2024): 7-3/4 in and 10 in.
fn stair(given: &Fields) -> Option<Stair> {
    Some(Stair {
        width: positive(given, "width")?,
        headroom: positive(given, "headroom")?,
        riser: positive(given, "riser").unwrap_or(7.75 * INCH),
        tread: positive(given, "tread").unwrap_or(10.0 * INCH),
    })
}
