//! The room: outline, what is in the way, and what comes in.

use super::doors;
use super::geometry::{block, each, is_inside, name, outline, point, positive};
use super::heights;
use crate::floor::{KeptKind, KeptThing, Point, Polygon, Room, Stock, Thing, segments_meet};
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::names::{Named, Names};
use crate::scenario::problem::Problem;
use crate::scenario::quantity::Dimension;
use crate::units::Mass;

/// A room of the file.
pub struct RoomPlan<'a> {
    pub room: Room,
    /// The doors' names, in the same order.
    pub doors: Vec<Named<'a>>,
}

/// The room, if there is one that makes sense. Stations and doors are both places, so no door has the name of a
/// station.
pub fn read<'a>(fields: &Fields<'a>, stations: &Names<'a>) -> Option<RoomPlan<'a>> {
    let sink = fields.sink;
    let Some(entry) = fields.entry("room") else {
        if let Some(places) = fields.entry("places") {
            sink.report(
                Problem::error(
                    &places.key.span,
                    "nobody knows where in which room these places are",
                )
                .hint("add a `room`, or leave `places` out"),
            );
        }
        return None;
    };
    let given = Fields::open(&entry.node, &entry.key.span, &keys::ROOM, sink)?;
    let outline = outline(&given, "the room");
    let ceiling = high_enough(&given);
    let blocked = things(&given);
    let stock = stock(&given);
    let outline = outline?;
    let mut names = Names::new("door");
    names.excuse(&doors::written(fields));
    let doors = doors::doors(&given, &outline, stations, &mut names);
    let panels = doors::panels(&given, &outline);
    let ways = doors::ways(&given, &names);
    let kept = kept(fields, &outline);
    outside(&given, &outline, &blocked);
    if let Some(ceiling) = ceiling {
        let high = doors
            .iter()
            .zip(0..)
            .find(|(door, _)| door.height.is_some_and(|h| h > ceiling));
        if let Some((door, index)) = high {
            sink.report(
                Problem::warning(
                    names.key(index).span,
                    format!("`{}` is higher than the ceiling", door.name),
                )
                .hint("heights are clear heights, above the floor"),
            );
        }
    }
    Some(RoomPlan {
        doors: (0..names.len()).map(|door| names.key(door)).collect(),
        room: Room {
            outline,
            ceiling,
            doors,
            blocked,
            parks: Vec::new(),
            panels,
            ways,
            stock,
            kept,
        },
    })
}

/// Below so low a ceiling nobody works, in metres.
const LOWEST_CEILING_M: f64 = 1.5;

/// The height of the ceiling, if one is given under which somebody can stand.
fn high_enough(given: &Fields<'_>) -> Option<f64> {
    let ceiling = positive(given, "ceiling")?;
    if ceiling >= LOWEST_CEILING_M {
        return Some(ceiling);
    }
    let entry = given.entry("ceiling")?;
    given.sink.report(
        Problem::error(&entry.node.span, "nobody can stand under so low a ceiling").hint(
            "the clear height above the floor, at least 1.5 m or 5 ft; leave it out if you do not know it",
        ),
    );
    None
}

/// What is kept at hand; what is not in the room is refused.
fn kept(fields: &Fields, outline: &Polygon) -> Vec<KeptThing> {
    let sink = fields.sink;
    let entry = fields.entry("places");
    let given =
        entry.and_then(|entry| Fields::open(&entry.node, &entry.key.span, &keys::PLACES, sink));
    let read = |kind: KeptKind| {
        let node = given.as_ref()?.get(kind.name())?;
        let at = point(node, sink)?;
        let is_inside = is_inside(outline, at);
        if !is_inside {
            sink.report(
                Problem::error(
                    &node.span,
                    format!("the {} is not in the room", kind.name()),
                )
                .hint("places are counted like those of stations"),
            );
        }
        is_inside.then_some(KeptThing { kind, at })
    };
    KeptKind::ALL.into_iter().filter_map(read).collect()
}

/// Warns of things that stand wholly outside the room, where they have no effect.
fn outside(given: &Fields, outline: &Polygon, blocked: &[Thing]) {
    for thing in blocked {
        let corners = thing.outline.corners();
        let touches = |&(from, to): &(Point, Point)| {
            outline.edges().any(|edge| segments_meet((from, to), edge))
        };
        let is_inside = corners.iter().any(|&corner| outline.contains(corner))
            || thing.outline.edges().any(|edge| touches(&edge))
            || outline
                .corners()
                .iter()
                .any(|&corner| thing.outline.contains(corner));
        if !is_inside {
            let at = given
                .entry("blocked")
                .map_or(given.at, |entry| &entry.key.span);
            given.sink.report(
                Problem::warning(at, format!("`{}` stands outside the room", thing.name))
                    .hint("coordinates are counted from the origin of the room's outline"),
            );
        }
    }
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
            heights: heights::of_thing(&thing),
        })
    };
    each(given, "blocked", &keys::BLOCKED)
        .filter_map(read)
        .collect()
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
