//! Points, lengths, blocks and outlines, as rooms, doors and layouts give them.

use crate::floor::{NotAnOutline, Point, Polygon, Room};
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::names::Named;
use crate::scenario::problem::{LEAVE_ONE_OUT, Problem, Sink};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader::{self, GivenQuantity};
use crate::scenario::tree::YamlNode;
use crate::shop::Size;

/// Limits of size, far beyond any shop.
const MOST_CORNERS: usize = 500;
const MOST_THINGS: usize = 300;
/// Metres: what is nearer to a wall is on it.
const ON_WALL: f64 = 0.05;
/// Metres; a coordinate beyond ten kilometres is a typing error.
const FARTHEST: f64 = 10_000.0;

/// The entries of a list, each a mapping with these keys.
pub fn each<'a>(
    given: &Fields<'a>,
    key: &str,
    keys: &'static keys::Keys,
) -> impl Iterator<Item = Fields<'a>> {
    let sink = given.sink;
    let nodes = given.get(key).and_then(|node| {
        let such_as = |_: &str| {
            let needed = keys.required.iter().map(|name| format!("{name}: ..."));
            format!("[{{{}}}]", needed.collect::<Vec<_>>().join(", "))
        };
        let nodes = reader::list_such_as(node, &format!("a list of {key}"), such_as, sink)?;
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

pub fn name<'a>(given: &Fields<'a>, what: &str) -> Option<Named<'a>> {
    let node = given.get("name")?;
    let text = reader::text(node, &format!("the name of {what}"), given.sink)?;
    Some(Named {
        text,
        span: &node.span,
    })
}

/// A length that must not be 0, in metres.
pub fn positive(given: &Fields, key: &str) -> Option<f64> {
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

pub fn point(node: &YamlNode, sink: &Sink) -> Option<Point> {
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

/// Whether a place is in a room or on its walls.
pub fn is_inside(outline: &Polygon, at: Point) -> bool {
    outline.contains(at) || outline.distance_to_outline(at) <= ON_WALL
}

/// Warns of something that is neither in the room nor on its walls.
pub fn warn_outside(room: Option<&Room>, (at, node): (Point, &YamlNode), what: &str, sink: &Sink) {
    let Some(room) = room else { return };
    if !is_inside(&room.outline, at) {
        sink.report(
            Problem::warning(&node.span, what)
                .label("outside the walls")
                .hint("places are counted like those of stations; distances are measured straight through walls"),
        );
    }
}

/// An area from `outline`, or from `size` with `at` and `turn` where the table of keys has them.
pub fn outline(given: &Fields, what: &str) -> Option<Polygon> {
    let sink = given.sink;
    match (given.entry("outline"), given.entry("size")) {
        (Some(outline), Some(size)) => {
            sink.report(
                Problem::error(
                    &size.key.span,
                    format!("{what} has both a size and an outline"),
                )
                .also(&outline.key.span, "the outline")
                .hint(LEAVE_ONE_OUT),
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
                            format!("`{key}` has no effect beside an outline"),
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

fn corners(node: &YamlNode, what: &str, sink: &Sink) -> Option<Polygon> {
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

/// A size of length, width and thickness, none of them 0.
pub fn block(node: &YamlNode, sink: &Sink) -> Option<Size> {
    let size: [GivenQuantity; 3] =
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
