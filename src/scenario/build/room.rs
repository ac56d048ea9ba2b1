//! The room: outline, doors, what is in the way, and how things come in and go out.

use crate::floor::{
    Door, NotAnOutline, Panel, Point, Polygon, Room, Stair, Stock, Thing, Way, nearest_on_segment,
};
use crate::scenario::keys;
use crate::scenario::problem::{Problem, Sink};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader::{self, Fields, Named, Names};
use crate::scenario::tree::Node;
use crate::shop::Size;
use crate::units::Mass;

/// A door or a panel may stand so far off the wall, in metres: a tape is not more exact.
const ON_THE_WALL: f64 = 0.01;
/// Limits of size, far beyond any shop.
const MOST_CORNERS: usize = 500;
const MOST_THINGS: usize = 300;
/// Metres; a hall of ten kilometres is a slip of the pen.
const FARTHEST: f64 = 10_000.0;

/// A room of the file.
pub struct RoomPlan<'a> {
    pub room: Room,
    /// The doors' names, in the same order.
    pub doors: Vec<Named<'a>>,
}

/// The room, if there is one that makes sense.
pub fn read<'a>(fields: &Fields<'a>) -> Option<RoomPlan<'a>> {
    let entry = fields.entry("room")?;
    let sink = fields.sink;
    let given = Fields::open(&entry.node, &entry.key.span, &keys::ROOM, sink)?;
    let outline = outline(&given, "the room");
    let ceiling = positive(&given, "ceiling");
    let blocked = things(&given);
    let stock = stock(&given);
    let outline = outline?;
    let mut names = Names::new("door");
    let doors = doors(&given, &outline, &mut names);
    let panels = panels(&given, &outline);
    let ways = ways(&given, &names);
    Some(RoomPlan {
        doors: (0..names.len()).map(|door| names.key(door)).collect(),
        room: Room {
            outline,
            ceiling,
            doors,
            blocked,
            panels,
            ways,
            stock,
        },
    })
}

/// The entries of a list, each a mapping with these keys.
fn each<'a>(
    given: &Fields<'a>,
    key: &str,
    keys: &'static keys::Keys,
) -> impl Iterator<Item = Fields<'a>> {
    let sink = given.sink;
    let nodes = given.get(key).and_then(|node| {
        let nodes = reader::list(node, &format!("a list of {key}"), sink)?;
        if nodes.len() > MOST_THINGS {
            sink.report(Problem::error(
                &node.span,
                format!(
                    "{} are too many; at most {MOST_THINGS} are accepted",
                    nodes.len()
                ),
            ));
            return None;
        }
        Some(nodes)
    });
    nodes
        .unwrap_or_default()
        .iter()
        .filter_map(move |node| Fields::open(node, &node.span, keys, sink))
}

fn name<'a>(given: &Fields<'a>, what: &str) -> Option<Named<'a>> {
    let node = given.get("name")?;
    let text = reader::text(node, &format!("the name of {what}"), given.sink)?;
    Some(Named {
        text,
        span: &node.span,
    })
}

/// A length that must not be 0, in metres.
fn positive(given: &Fields, key: &str) -> Option<f64> {
    let length = given.quantity(key, Dimension::Length)?;
    if length.value <= 0.0 {
        given.sink.report(
            Problem::error(&length.span, format!("`{key}` cannot be 0"))
                .hint("leave it out if it does not matter"),
        );
        return None;
    }
    Some(length.value)
}

pub fn point(node: &Node, sink: &Sink) -> Option<Point> {
    let [x, y] = reader::lengths(node, "a point [x, y]", true, sink)?;
    for coordinate in [&x, &y] {
        if coordinate.value.abs() > FARTHEST {
            sink.report(
                Problem::error(&coordinate.span, "that is more than 10 km away")
                    .hint("coordinates are counted from a corner of the plan"),
            );
            return None;
        }
    }
    Some(Point::new(x.value, y.value))
}

/// An area from `outline`, or from `size` with `at` and `turn` where the table of keys has them.
fn outline(given: &Fields, what: &str) -> Option<Polygon> {
    let sink = given.sink;
    match (given.entry("outline"), given.entry("size")) {
        (Some(outline), Some(size)) => {
            sink.report(
                Problem::error(
                    &size.key.span,
                    format!("{what} has both a size and an outline"),
                )
                .also(&outline.key.span, "the outline")
                .hint("leave one of them out"),
            );
            None
        }
        (None, None) => {
            sink.report(
                Problem::error(given.at, format!("nothing says how large {what} is"))
                    .hint("add `size: [6 m, 4 m]`, or an `outline` of corners"),
            );
            None
        }
        (Some(outline), None) => {
            for key in ["at", "turn"] {
                if let Some(entry) = given.entry(key) {
                    sink.report(
                        Problem::error(
                            &entry.key.span,
                            format!("`{key}` means nothing beside an outline"),
                        )
                        .also(&outline.key.span, "the outline says where it is")
                        .hint("leave it out"),
                    );
                }
            }
            corners(&outline.node, what, sink)
        }
        (None, Some(size)) => {
            let [x, y] = reader::lengths(&size.node, "a size [along x, along y]", false, sink)?;
            if x.value > FARTHEST || y.value > FARTHEST {
                sink.report(Problem::error(&size.node.span, "that is more than 10 km"));
                return None;
            }
            let size_m = (x.value, y.value);
            let turn = match given.get("turn") {
                Some(node) => reader::number(node, sink)?,
                None => 0.0,
            };
            let centre = match given.get("at") {
                Some(node) => point(node, sink)?,
                // The room itself has a corner at the origin.
                None => Point::new(size_m.0, size_m.1) * 0.5,
            };
            let area = Polygon::rectangle(centre, size_m, turn);
            if area.is_none() {
                sink.report(
                    Problem::error(&size.node.span, format!("{what} has no area"))
                        .hint("both lengths must be more than 0"),
                );
            }
            area
        }
    }
}

fn corners(node: &Node, what: &str, sink: &Sink) -> Option<Polygon> {
    let nodes = reader::list(node, "a list of corners [x, y]", sink)?;
    if nodes.len() > MOST_CORNERS {
        sink.report(Problem::error(
            &node.span,
            format!(
                "an outline of {} corners; at most {MOST_CORNERS} are accepted",
                nodes.len()
            ),
        ));
        return None;
    }
    let points: Vec<Option<Point>> = nodes.iter().map(|node| point(node, sink)).collect();
    let points: Vec<Point> = points.into_iter().collect::<Option<_>>()?;
    let wrong = match Polygon::new(&points) {
        Ok(outline) => return Some(outline),
        Err(wrong) => wrong,
    };
    let problem = match wrong {
        NotAnOutline::Crosses(first, second) => Problem::error(
            &nodes[second].span,
            format!("the outline of {what} crosses or touches itself: {wrong}"),
        )
        .also(&nodes[first].span, "the other edge begins here")
        .hint("list the corners in the order in which one would walk along the wall"),
        NotAnOutline::NoArea | NotAnOutline::NotFinite(_) => Problem::error(
            &node.span,
            format!("the outline of {what} has no area: {wrong}"),
        )
        .hint("write for example `[[0, 0], [6 m, 0], [6 m, 4 m], [0, 4 m]]`"),
    };
    sink.report(problem);
    None
}

fn things(given: &Fields) -> Vec<Thing> {
    let sink = given.sink;
    let read = |thing: Fields| {
        let name = name(&thing, "the thing")?;
        let what = format!("`{}`", name.text);
        if thing.entry("size").is_some() && thing.entry("at").is_none() {
            sink.report(
                Problem::error(name.span, format!("nothing says where {what} is"))
                    .hint("add `at: [x, y]`, its centre"),
            );
            return None;
        }
        Some(Thing {
            name: name.text.to_owned(),
            outline: outline(&thing, &what)?,
        })
    };
    each(given, "blocked", &keys::BLOCKED)
        .filter_map(read)
        .collect()
}

fn doors<'a>(given: &Fields<'a>, outline: &Polygon, names: &mut Names<'a>) -> Vec<Door> {
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
        names.add(named);
        doors.push(Door {
            name: named.text.to_owned(),
            between,
            height,
            wall: wall.map_or(0.0, |wall| wall.value),
            corridor,
            swings_in: swings == Some(0),
        });
    }
    doors
}

/// Both ends of an opening, moved onto the wall that they are meant to be in.
fn between(node: &Node, outline: &Polygon, sink: &Sink) -> Option<(Point, Point)> {
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
                        "this end of the door is {:.2} m off the wall",
                        end.distance(nearest)
                    ),
                )
                .hint(format!(
                    "the nearest place on the wall is [{:.2} m, {:.2} m]",
                    nearest.x, nearest.y
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

fn panels(given: &Fields, outline: &Polygon) -> Vec<Panel> {
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
                        "`{}` hangs {:.2} m off the wall",
                        name.text,
                        at.distance(nearest)
                    ),
                )
                .hint(format!(
                    "the nearest place on the wall is [{:.2} m, {:.2} m]",
                    nearest.x, nearest.y
                )),
            );
            return None;
        }
        // The wall on which it hangs; the inside of the room lies to the left of it.
        let wall = outline
            .edges()
            .find(|&edge| nearest_on_segment(at, edge).distance(nearest) <= ON_THE_WALL)?;
        let along = wall.1 - wall.0;
        Some(Panel {
            name: name.text.to_owned(),
            at: nearest,
            faces: along.left() * (1.0 / along.length()),
            width: width.unwrap_or(0.0),
        })
    };
    each(given, "panels", &keys::PANEL)
        .filter_map(read)
        .collect()
}

fn ways(given: &Fields, doors: &Names) -> Vec<Way> {
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
        Some(Way {
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

fn widths(node: &Node, sink: &Sink) -> Option<(f64, f64)> {
    let [before, after] = reader::lengths(node, "a pair of widths [before, after]", false, sink)?;
    if before.value <= 0.0 || after.value <= 0.0 {
        sink.report(Problem::error(
            &node.span,
            "a corridor of no width lets nothing pass",
        ));
        return None;
    }
    Some((before.value, after.value))
}

/// Riser and tread are by default the steepest that the IRC allows (R311.7.5, 2024): 7-3/4 in and 10 in.
fn stair(given: &Fields) -> Option<Stair> {
    const INCH: f64 = 0.0254;
    Some(Stair {
        width: positive(given, "width")?,
        headroom: positive(given, "headroom")?,
        riser: positive(given, "riser").unwrap_or(7.75 * INCH),
        tread: positive(given, "tread").unwrap_or(10.0 * INCH),
    })
}

fn stock(given: &Fields) -> Vec<Stock> {
    let sink = given.sink;
    let mut read = Vec::new();
    for entry in given.named("stock").unwrap_or_default() {
        let Some(fields) = Fields::open(&entry.node, &entry.key.span, &keys::STOCK, sink) else {
            continue;
        };
        let mass = fields.quantity("mass", Dimension::Mass);
        let Some(size) = fields.get("size").and_then(|node| block(node, sink)) else {
            continue;
        };
        read.push(Stock {
            name: entry.key.text.clone(),
            size,
            mass: mass.map(|mass| Mass::from_kilograms(mass.value)),
        });
    }
    read
}

/// A size of length, width and thickness, none of them 0.
pub fn block(node: &Node, sink: &Sink) -> Option<Size> {
    let size: [reader::Measured; 3] =
        reader::lengths(node, "a size [length, width, thickness]", false, sink)?;
    if let Some(zero) = size.iter().find(|length| length.value <= 0.0) {
        sink.report(
            Problem::error(&zero.span, "a size of 0 leaves nothing to work on")
                .hint("sizes are length, width, thickness"),
        );
        return None;
    }
    let [length, width, thickness] = size.map(|length| length.value);
    Some(Size {
        length,
        width,
        thickness,
    })
}

/// Reports doors that have the name of a station: both are places.
pub fn clash(doors: &[Named], stations: &Names, sink: &Sink) {
    for door in doors {
        if let Some(station) = stations.index(door.text) {
            sink.report(
                Problem::error(
                    door.span,
                    format!("a station is called `{}`, too", door.text),
                )
                .also(stations.key(station).span, "the station")
                .hint("give one of them another name: both are places"),
            );
        }
    }
}
