//! What bounds work besides hours: upkeep, settings, room, and what does not go on together.

use serde_json::{Map, Value};

use super::super::quantity::{length_nm, micros, whole};
use super::super::shop::{Amount, Every, Group, Upkeep};
use super::sizes::{Dimensions, Reached, cut_names, passes};
use super::{Names, mapping, text};

/// Gear by number, or by length and spacing.
///
/// Reading: the length is that which a feed speed takes, and each piece has its own unless the file says otherwise.
pub(super) fn amount(value: &Value, sizes: &Dimensions) -> Amount {
    let Some(spacing) = value.get("spacing").map(length_nm) else {
        return Amount::OfLot(whole(value));
    };
    let length = sizes.rough.expect("a spacing needs a length")[0];
    let n = (length + spacing - 1) / spacing + 1;
    match value.get("per").map_or("piece", text) {
        "piece" => Amount::OfPiece(n),
        "lot" => Amount::OfLot(n),
        other => panic!("gear per {other}"),
    }
}

/// Whether a cure ties up the station, and which of the gear.
pub(super) fn ties_up(
    names: &Names,
    cure: &Map<String, Value>,
    gear: &[(usize, Amount)],
) -> (bool, Vec<usize>) {
    let gear = gear.iter().map(|g| g.0);
    let Some(list) = cure.get("ties up") else {
        return (true, gear.collect());
    };
    let list = list.as_array().expect("ties up is a list");
    let list: Vec<&str> = list.iter().map(text).collect();
    let tied = gear.filter(|&g| list.contains(&names.gear[g].as_str()));
    (list.contains(&"station"), tied.collect())
}

/// Reading: what has no sizes wears nothing.
pub(super) fn length_cut(keys: &Map<String, Value>, sizes: &Dimensions) -> i64 {
    let Some(rough) = sizes.rough else {
        return 0;
    };
    let across = keys
        .get("along")
        .is_some_and(|along| text(along) == "width");
    rough[if across { 1 } else { 0 }] * passes(keys, sizes)
}

/// What of a piece becomes chips in a step, in picolitres as they lie loose.
///
/// Reading: all that goes off the thickness; of what is cut off the length or the width an eighth of an inch for the saw.
/// Without a bulk of its own 4 and 2.5 times the room.
pub(super) fn chips(keys: &Map<String, Value>, before: &Reached) -> i64 {
    let after = before.after(&keys.get("cuts").map_or(Vec::new(), cut_names));
    let (Some(before), Some(after)) = (before.size(), after.size()) else {
        return 0;
    };
    let metres = |nanometres: i64| nanometres as f64 / 1e9;
    let off = |side: usize| (before[side] - after[side]).max(0);
    let face = |one: usize, other: usize| metres(before[one]) * metres(before[other]);
    let saw = |side: usize| metres(off(side).min(3_175_000));
    let bulk = |usual: f64| {
        keys.get("bulk")
            .map_or(usual, |bulk| bulk.as_f64().expect("a number"))
    };
    let sawn = saw(0) * face(1, 2) + saw(1) * face(0, 2);
    let planed = metres(off(2)) * face(0, 1);
    (1e15 * (bulk(2.5) * sawn + bulk(4.0) * planed)).round() as i64
}

fn picolitres(value: &Value) -> i64 {
    let litres = text(value).trim_end_matches(" l");
    (1e12 * litres.parse::<f64>().expect("litres")).round() as i64
}

/// Where what comes out is taken, and after how many passes of each piece.
pub(super) fn catches(
    names: &Names,
    keys: &Map<String, Value>,
    sizes: &Dimensions,
) -> Option<(usize, i64)> {
    let at = names.station(text(keys.get("catches")?));
    Some((at, passes(keys, sizes)))
}

pub(super) fn upkeep(names: &Names, station: &Value) -> Vec<Upkeep> {
    let all = mapping(station.get("upkeep"));
    all.values()
        .map(|keys| {
            let unit = text(&keys["every"]).rsplit(' ').next().expect("a unit");
            let every = match unit {
                "mm" | "cm" | "m" | "in" | "ft" => Every::Length(length_nm(&keys["every"])),
                "s" | "min" | "h" => Every::RunTime(micros(&keys["every"])),
                "l" => Every::Chips(picolitres(&keys["every"])),
                other => panic!("{other} of upkeep is not known here"),
            };
            Upkeep {
                every,
                time: micros(&keys["time"]),
                fetch_from: keys.get("fetch from").map(|s| names.station(text(s))),
                shared: keys.get("shared").map(|s| text(s).to_string()),
            }
        })
        .collect()
}

pub(super) fn setup_from(station: &Value) -> Vec<(String, Vec<(String, i64)>)> {
    let rows = mapping(station.get("setup from")).into_iter();
    let row = |row: &Value| {
        let times = mapping(Some(row)).into_iter();
        times.map(|(name, time)| (name, micros(&time))).collect()
    };
    rows.map(|(name, times)| (name, row(&times))).collect()
}

pub(super) fn not_together(names: &Names) -> Vec<Group> {
    let list = names.root.get("not together").and_then(Value::as_array);
    let list = list.into_iter().flatten();
    list.map(|group| {
        let of: Vec<&str> = group["of"]
            .as_array()
            .expect("a list")
            .iter()
            .map(text)
            .collect();
        let cures = of.iter().filter_map(|name| name.strip_prefix("cure of "));
        let is_station = |name: &&&str| names.stations.iter().any(|station| station == **name);
        let rest = || of.iter().filter(|name| !name.starts_with("cure of "));
        Group {
            stations: rest()
                .filter(is_station)
                .map(|name| names.station(name))
                .collect(),
            operations: rest()
                .filter(|name| !is_station(name))
                .map(|name| name.to_string())
                .collect(),
            cures: cures.map(str::to_string).collect(),
            at_most: group.get("at most").map_or(1, whole),
        }
    })
    .collect()
}
