//! What is asked of the places of stations: `place`.

use super::catalogue::Catalogue;
use super::geometry;
use crate::floor::Room;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::problem::{Problem, Sink, hint_at};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader::{self, entries};
use crate::scenario::tree::{MapEntry, YamlNode, YamlValue};
use crate::shop::{
    AskedDistance, AskedNeighbour, AskedPlace, AskedWall, PlaceId, StationId, WALLS,
};

/// Before the length in `keep`.
const UNLESS: &str = "unless it saves ";

/// Reads what is asked of the place of one station.
pub fn read(
    station: &MapEntry,
    catalogue: &Catalogue,
    room: Option<&Room>,
    sink: &Sink,
) -> AskedPlace {
    let is_set = |node: Option<&YamlNode>| {
        // Whether it is a flag at all has been looked at, if it is the station's own.
        node.is_some_and(|node| node.value == YamlValue::Scalar("true".to_owned()))
    };
    let mut asked = AskedPlace {
        is_fixed: is_set(station.node.get("fixed")),
        ..AskedPlace::default()
    };
    let Some(entry) = station.node.entry("place") else {
        return asked;
    };
    let Some(given) = Fields::open(&entry.node, &entry.key.span, &keys::ASKED_PLACE, sink) else {
        return asked;
    };
    let flag = |key| given.get(key).and_then(|node| reader::flag(node, sink));
    asked.is_fixed |= flag("fixed").unwrap_or(false);
    asked.in_corner = flag("in corner").unwrap_or(false);
    if let Some(node) = given.get("turns") {
        let turns = reader::list(node, "a list of turns in degrees", sink).unwrap_or_default();
        asked.turns = turns
            .iter()
            .filter_map(|node| reader::number(node, sink))
            .collect();
        if turns.is_empty() {
            sink.report(
                Problem::error(&node.span, "no turn is left that it may have")
                    .hint("write for example `turns: [0, 90]`, or leave it out"),
            );
        }
    }
    if let Some(node) = given.get("at wall") {
        asked.wall = wall(node, sink).unwrap_or_default();
    }
    if let Some(node) = given.get("within") {
        asked.within = area(node, sink);
    }
    for (key, is_near) in [("near", true), ("away from", false)] {
        for entry in given.named(key).unwrap_or_default() {
            asked
                .distances
                .extend(distance(entry, is_near, catalogue, room, sink));
        }
    }
    if let Some(node) = given.get("together with") {
        let names = reader::list(node, "a list of stations", sink).unwrap_or_default();
        for node in names {
            let Some(other) = catalogue.stations.find(node, sink) else {
                continue;
            };
            if catalogue.stations.name(other) == station.key.text {
                sink.report(
                    Problem::error(&node.span, "a station is always together with itself")
                        .hint("name others"),
                );
                continue;
            }
            asked.together_with.push(StationId(other as u32));
        }
    }
    if let Some(node) = given.get("keep") {
        asked.unless_saves = unless(node, sink);
    }
    asked
}

fn wall(node: &YamlNode, sink: &Sink) -> Option<AskedWall> {
    let text = reader::text(node, "`true` or a wall", sink)?;
    match text {
        "true" => return Some(AskedWall::Any),
        "false" => return Some(AskedWall::Anywhere),
        _ => {}
    }
    let found = WALLS.iter().position(|(name, _)| *name == text);
    if found.is_none() {
        let names = WALLS.iter().map(|(name, _)| *name);
        let hint = hint_at(text, names).unwrap_or_else(|| {
            "write `true` for any wall, or one of north (the +y side of the plan), east, south, west"
                .to_owned()
        });
        sink.report(Problem::error(&node.span, format!("`{text}` is no wall")).hint(hint));
    }
    found.map(AskedWall::Toward)
}

fn area(node: &YamlNode, sink: &Sink) -> Option<[(f64, f64); 2]> {
    let corners = reader::list(node, "two opposite corners [x, y]", sink)?;
    let [one, other] = corners else {
        sink.report(
            Problem::error(
                &node.span,
                format!("an area has two opposite corners, not {}", corners.len()),
            )
            .hint("write for example `within: [[0, 0], [3 m, 6 m]]`"),
        );
        return None;
    };
    let one = geometry::point(one, sink)?;
    let other = geometry::point(other, sink)?;
    Some([
        (one.x.min(other.x), one.y.min(other.y)),
        (one.x.max(other.x), one.y.max(other.y)),
    ])
}

fn distance(
    entry: &MapEntry,
    is_near: bool,
    catalogue: &Catalogue,
    room: Option<&Room>,
    sink: &Sink,
) -> Option<AskedDistance> {
    let metres = reader::quantity(&entry.node, Dimension::Length, sink)?.value;
    let name = entry.key.text.as_str();
    let things = room.map_or(&[][..], |room| &room.blocked);
    let place = catalogue.places.index(name);
    let place = place.map(|place| AskedNeighbour::Place(PlaceId(place as u32)));
    let thing = things.iter().position(|thing| thing.name == name);
    let of = place.or(thing.map(AskedNeighbour::Thing));
    if of.is_none() {
        let places = (0..catalogue.places.len()).map(|place| catalogue.places.name(place));
        let all = places.chain(things.iter().map(|thing| &*thing.name));
        let hint = hint_at(name, all.collect::<Vec<_>>()).unwrap_or_else(|| {
            "write what `stations`, or `doors` or `blocked` of the `room`, call it".to_owned()
        });
        let what = format!("no station, no door and no thing of the room is called `{name}`");
        sink.report(Problem::error(&entry.key.span, what).hint(hint));
    }
    Some(AskedDistance {
        of: of?,
        metres,
        is_near,
    })
}

fn unless(node: &YamlNode, sink: &Sink) -> Option<f64> {
    let text = reader::text(node, "`unless it saves` and a length", sink)?;
    let Some(length) = text.trim().strip_prefix(UNLESS) else {
        sink.report(
            Problem::error(&node.span, format!("`{text}` says not when it may be moved"))
                .hint("write for example `keep: unless it saves 20 m`; what stays in any case is `fixed: true`"),
        );
        return None;
    };
    let length = YamlNode {
        span: node.span.clone(),
        value: YamlValue::Scalar(length.trim().to_owned()),
    };
    Some(reader::quantity(&length, Dimension::Length, sink)?.value)
}

/// Says what nobody could keep: a station that is fixed and asked to be elsewhere is where it is.
pub fn warn_idle(stations: &[MapEntry], sink: &Sink) {
    for station in stations {
        let Some(entry) = station.node.entry("place") else {
            continue;
        };
        let keys = entries(&entry.node);
        let is = |entry: &&MapEntry| {
            entry.key.text == "fixed" && entry.node.value == YamlValue::Scalar("true".to_owned())
        };
        let (Some(fixed), true) = (keys.iter().find(is), keys.len() > 1) else {
            continue;
        };
        sink.report(
            Problem::warning(
                &fixed.key.span,
                format!(
                    "`{}` is fixed, so that nothing else is asked of its place",
                    station.key.text
                ),
            )
            .hint("leave out `fixed`, or all the rest"),
        );
    }
}
