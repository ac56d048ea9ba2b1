//! Stations of a layout that stand elsewhere in the text of a scenario, with everything else kept as it is written.

use super::add_layouts::{coordinate_yaml, place_yaml};
use super::problem::Bytes;
use super::splice::{Splice, added_to, column, spliced};
use super::tree::{self, MapEntry, YamlNode, YamlValue};
use super::yaml_name::yaml_name;
use crate::experiment::Units;
use crate::floor::Pose;

/// What differs by less is roundings, in metres and degrees.
const SAME: f64 = 1e-6;

/// A station that stands elsewhere in a layout.
#[derive(Debug, Clone, PartialEq)]
pub struct MovedStation {
    pub station: String,
    /// Where the layout has it, by itself or as the one that it is like.
    pub from: Pose,
    pub to: Pose,
}

impl MovedStation {
    fn is_turned(&self) -> bool {
        let turned = (self.from.turn - self.to.turn).rem_euclid(360.0);
        turned.min(360.0 - turned) >= SAME
    }

    /// Whether it stands elsewhere at all, but for roundings and whole turns.
    pub fn is_moved(&self) -> bool {
        self.is_turned() || self.from.at.distance(self.to.at) >= SAME
    }
}

/// The text with stations of a layout elsewhere: only lengths and turns that differ are written anew. Nothing where the
/// text does not place them in a way that can be changed by itself, such as behind an alias of a list.
pub fn move_stations(
    text: &str,
    layout: &str,
    moved: &[MovedStation],
    units: Units,
) -> Option<String> {
    let tree = tree::parse(text).ok()?;
    let layout = tree.get("layouts")?.entry(layout)?;
    let places = (layout.node.entry("at")).filter(|at| !is_empty(&at.node));
    let mut splices = Vec::new();
    let mut unplaced = Vec::new();
    for station in moved {
        let entry = places.and_then(|places| places.node.entry(&station.station));
        match entry {
            Some(entry) => splices.extend(place_written(text, entry, station, units)?),
            None => unplaced.push(station),
        }
    }
    if !unplaced.is_empty() {
        splices.push(match places {
            Some(places) => places_added(text, places, &unplaced, units)?,
            None => first_places(text, layout, &unplaced, units)?,
        });
    }
    Some(spliced(text, splices))
}

fn is_empty(node: &YamlNode) -> bool {
    match &node.value {
        YamlValue::Map(entries) => entries.is_empty(),
        YamlValue::Null => true,
        _ => false,
    }
}

/// What changes where a layout places a station.
fn place_written(
    text: &str,
    entry: &MapEntry,
    moved: &MovedStation,
    units: Units,
) -> Option<Vec<Splice>> {
    if let Some(alias) = alias(text, entry) {
        return Some(vec![Splice::over(&alias, place_yaml(moved.to, units))]);
    }
    let turn = format!("{}", moved.to.turn);
    let is_turned = moved.is_turned();
    match &entry.node.value {
        YamlValue::List(_) => {
            let mut splices = lengths_written(text, &entry.node, moved, units)?;
            if is_turned {
                let list = flow_list(text, &entry.node)?;
                splices.push(Splice::at(list.start, "{at: "));
                splices.push(Splice::at(list.end, format!(", turn: {turn}}}")));
                // What is written between them has to stay there.
                splices.sort_by_key(|splice| (splice.bytes.start, splice.bytes.end));
            }
            Some(splices)
        }
        YamlValue::Map(_) => {
            let at = entry.node.entry("at")?;
            if alias(text, at).is_some() {
                return None;
            }
            let mut splices = lengths_written(text, &at.node, moved, units)?;
            match entry.node.entry("turn") {
                _ if !is_turned => {}
                Some(written) => {
                    let of_turn = alias(text, written).unwrap_or(written.node.span.clone());
                    splices.push(Splice::over(&of_turn, turn));
                }
                None => splices.push(turn_added(text, entry, at, &turn)?),
            }
            Some(splices)
        }
        _ => None,
    }
}

/// The coordinates that differ, in a list of two.
fn lengths_written(
    text: &str,
    list: &YamlNode,
    moved: &MovedStation,
    units: Units,
) -> Option<Vec<Splice>> {
    let YamlValue::List(items) = &list.value else {
        return None;
    };
    let [x, y] = &items[..] else { return None };
    let (from, to) = (moved.from.at, moved.to.at);
    let mut splices = Vec::new();
    for (item, from, to) in [(x, from.x, to.x), (y, from.y, to.y)] {
        // An alias stands where it is defined.
        let is_here = list.span.start <= item.span.start;
        if (from - to).abs() < SAME {
            continue;
        }
        if !is_here || text[item.span.clone()].is_empty() {
            return None;
        }
        splices.push(Splice::over(&item.span, coordinate_yaml(to, units)));
    }
    Some(splices)
}

/// A turn beside where a station is.
fn turn_added(text: &str, entry: &MapEntry, at: &MapEntry, turn: &str) -> Option<Splice> {
    let behind_key = &text[entry.key.span.end..at.key.span.start];
    if behind_key.contains('{') {
        let list = flow_list(text, &at.node)?;
        return Some(Splice::at(list.end, format!(", turn: {turn}")));
    }
    let YamlValue::List(items) = &at.node.value else {
        return None;
    };
    let last = items.last()?.span.end;
    let end = text[last..].find('\n').map_or(text.len(), |end| last + end);
    let end = text[..end].trim_end_matches('\r').len();
    let margin = " ".repeat(column(text, at.key.span.start));
    Some(Splice::at(end, format!("\n{margin}turn: {turn}")))
}

/// A list that is written within brackets, with these.
fn flow_list(text: &str, list: &YamlNode) -> Option<Bytes> {
    let YamlValue::List(items) = &list.value else {
        return None;
    };
    let (first, last) = (items.first()?.span.start, items.last()?.span.end);
    let before = text[..first].trim_end();
    let opens = before.strip_suffix('[')?.len();
    let behind = text[last..].find(']')?;
    let between = text[last..last + behind].trim();
    (between.is_empty() || between == ",").then_some(opens..last + behind + 1)
}

/// The alias that stands for a value.
fn alias(text: &str, entry: &MapEntry) -> Option<Bytes> {
    let behind = &text[entry.key.span.end..];
    let value = behind.trim_start_matches([' ', ':']);
    let is_end = |letter: char| letter.is_whitespace() || [',', '}', ']'].contains(&letter);
    let begins = text.len() - value.len();
    let length = value.find(is_end).unwrap_or(value.len());
    value.starts_with('*').then_some(begins..begins + length)
}

/// Stations that a layout has placed as the one has that it is like.
fn places_added(
    text: &str,
    places: &MapEntry,
    stations: &[&MovedStation],
    units: Units,
) -> Option<Splice> {
    let in_block = |indent| place_lines(stations, units, indent);
    let in_braces = || places_in_braces(stations, units);
    added_to(text, places, &in_block, &in_braces)
}

/// The same of a layout that places nothing by itself.
fn first_places(
    text: &str,
    layout: &MapEntry,
    stations: &[&MovedStation],
    units: Units,
) -> Option<Splice> {
    let in_block = |indent: usize| {
        let margin = " ".repeat(indent);
        let places = place_lines(stations, units, indent + 2);
        format!("{margin}at:\n{places}")
    };
    let in_braces = || format!("at: {{{}}}", places_in_braces(stations, units));
    // A key that is there already, with nothing behind it, cannot be given twice.
    if layout.node.entry("at").is_some() {
        return None;
    }
    added_to(text, layout, &in_block, &in_braces)
}

fn place_lines(stations: &[&MovedStation], units: Units, indent: usize) -> String {
    let margin = " ".repeat(indent);
    let lines = stations.iter().map(|moved| {
        let place = place_yaml(moved.to, units);
        format!("{margin}{}: {place}\n", yaml_name(&moved.station))
    });
    lines.collect()
}

fn places_in_braces(stations: &[&MovedStation], units: Units) -> String {
    let places = stations.iter();
    let places: Vec<String> = places
        .map(|moved| {
            let place = place_yaml(moved.to, units);
            format!("{}: {place}", yaml_name(&moved.station))
        })
        .collect();
    places.join(", ")
}
