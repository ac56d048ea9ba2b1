//! What stands around the stations, and how long work takes, as data for the page of `shopstride edit`.

use serde_json::{Value, json};

use crate::experiment::{Candidate, Units};
use crate::floor::{Point, Polygon, Room};
use crate::report::kinds::usual;
use crate::scenario::kinds::{find, kinds};
use crate::scenario::{
    TIME_KEYS, coordinate_yaml, printable, printable_name, text_at, written_times,
};

/// The room, what can be added to it, and the times of all stations, as this text has them.
pub fn shop_data(shown: &Candidate, text: &str, units: Units) -> Value {
    let room = shown.plan.as_ref().and_then(|plan| plan.room.as_ref());
    let names: Vec<&str> = kinds().map(|kind| kind.name).collect();
    json!({
        "kinds": names,
        "room": room.map(|room| room_data(room, text, units)),
        "time_keys": TIME_KEYS,
        "times": times(text, units),
        "is_always_open": text_at(text, &["sessions"]).is_none(),
    })
}

fn room_data(room: &Room, text: &str, units: Units) -> Value {
    let is_sized = text_at(text, &["room", "size"]).is_some();
    let (low, high) = extent(&room.outline);
    let doors = room.doors.iter().map(|door| {
        json!({
            "name": door.name,
            "shown": printable_name(&door.name),
            "ends": [written(door.between.0, units), written(door.between.1, units)],
        })
    });
    let things = room.blocked.iter().map(|thing| {
        let (low, high) = extent(&thing.outline);
        json!({
            "name": thing.name,
            "shown": printable_name(&thing.name),
            "at": written((low + high) * 0.5, units),
            "size": written(high - low, units),
            "low": [low.x, low.y],
            "high": [high.x, high.y],
        })
    });
    json!({
        "size": is_sized.then(|| written(high - low, units)),
        "doors": doors.collect::<Vec<_>>(),
        "things": things.collect::<Vec<_>>(),
    })
}

fn written(point: Point, units: Units) -> [String; 2] {
    [point.x, point.y].map(|metres| coordinate_yaml(metres, units))
}

/// The lower left and the upper right corner of what encloses it.
fn extent(outline: &Polygon) -> (Point, Point) {
    let corners = outline.corners();
    let over = |pick: fn(f64, f64) -> f64| {
        let all = corners.iter().copied();
        all.reduce(|a, b| Point::new(pick(a.x, b.x), pick(a.y, b.y)))
            .unwrap_or(Point::ORIGIN)
    };
    (over(f64::min), over(f64::max))
}

/// For each operation of a station, what is written of each time, or else what counts.
fn times(text: &str, units: Units) -> Vec<Value> {
    let rows = written_times(text).into_iter().map(|row| {
        let kind = row.kind.as_deref().and_then(find);
        let cells = TIME_KEYS.iter().zip(&row.written).zip(&row.elsewhere);
        let cells = cells.map(|((key, written), elsewhere)| {
            let of_kind = || usual(kind?, &row.operation, key, units);
            json!({
                "written": written.as_ref().map(|written| printable(written)),
                "usual": elsewhere.clone().or_else(of_kind),
            })
        });
        json!({
            "station": row.station,
            "operation": row.operation,
            "shown": printable_name(&format!("{}: {}", row.station, row.operation)),
            "cells": cells.collect::<Vec<_>>(),
        })
    });
    rows.collect()
}
