//! What a scenario declares by name: stations, doors, operations and gear, which everything else refers to.

use super::doors;
use super::spec::Spec;
use crate::floor::Side;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::names::{Named, Names};
use crate::scenario::problem::{Problem, Sink};
use crate::scenario::reader::{self, GivenQuantity};
use crate::scenario::tree::{MapEntry, MapKey, YamlNode};

/// A station of the file.
pub struct DeclaredStation<'a> {
    pub key: &'a MapKey,
    pub count: u32,
    pub size: (f64, f64),
    pub stand: Option<(f64, f64)>,
    pub feed: Option<Side>,
    pub kickback: bool,
    /// In the order of [`Side::ALL`].
    pub reach_from: [bool; 4],
    /// What its operations take, in the file's order.
    pub does: Vec<Spec>,
}

/// An operation and its defaults.
pub struct DeclaredOperation<'a> {
    pub spec: Spec,
    /// Where the defaults stand, if there are any.
    pub defaults: Option<&'a MapKey>,
    /// Stations that do it, with the place in their list, in the file's order.
    pub doers: Vec<(usize, usize)>,
}

/// What everything else refers to.
pub struct Catalogue<'a> {
    pub stations: Names<'a>,
    /// Stations, then doors.
    pub places: Names<'a>,
    pub declared_stations: Vec<DeclaredStation<'a>>,
    pub operations: Names<'a>,
    pub declared_operations: Vec<DeclaredOperation<'a>>,
    pub gear: Names<'a>,
}

/// Reads stations, the doors' names, operations and gear.
pub fn read<'a>(
    fields: &Fields<'a>,
    station_entries: &'a [MapEntry],
    stations: Names<'a>,
    doors: &[Named<'a>],
) -> Catalogue<'a> {
    let sink = fields.sink;
    let written = doors::written(fields);
    let what = if written.is_empty() {
        "station"
    } else {
        "station or door"
    };
    let station_keys = (0..stations.len()).map(|station| stations.key(station));
    let mut places = Names::of(what, station_keys.chain(doors.iter().copied()));
    places.excuse(&written);
    let gear_entries = fields.named("gear").unwrap_or_default();
    let gear = Names::of("gear", gear_entries.iter().map(|entry| &entry.key));
    let defaults = fields.named("operations").unwrap_or_default();

    let mut opened = Vec::new();
    let mut named: Vec<&MapKey> = defaults.iter().map(|entry| &entry.key).collect();
    for entry in station_entries {
        let station = Fields::open(&entry.node, &entry.key.span, &keys::STATION, sink);
        let does = station
            .and_then(|station| station.named("does"))
            .unwrap_or_default();
        named.extend(does.iter().map(|entry| &entry.key));
        opened.push((entry, station, does));
    }
    named.sort_by_key(|key| key.span.start);
    let operations = Names::of("operation", named);
    let mut declared_operations: Vec<DeclaredOperation> = (0..operations.len())
        .map(|_| DeclaredOperation {
            spec: Spec::default(),
            defaults: None,
            doers: Vec::new(),
        })
        .collect();
    let spec_of = |entry: &'a MapEntry| {
        Fields::open(&entry.node, &entry.key.span, &keys::OPERATION, sink)
            .map(|fields| Spec::read(&fields, &places, &gear))
            .unwrap_or_default()
    };
    for entry in defaults {
        if let Some(index) = operations.index(&entry.key.text) {
            declared_operations[index].spec = spec_of(entry);
            declared_operations[index].defaults = Some(&entry.key);
        }
    }
    let mut declared_stations = Vec::new();
    for (place, (entry, station, does)) in opened.into_iter().enumerate() {
        let mut doings = Vec::new();
        for doing in does {
            if let Some(operation) = operations.index(&doing.key.text) {
                declared_operations[operation]
                    .doers
                    .push((place, doings.len()));
                doings.push(spec_of(doing));
            }
        }
        declared_stations.push(declared_station(&entry.key, station.as_ref(), doings));
    }
    Catalogue {
        stations,
        places,
        declared_stations,
        operations,
        declared_operations,
        gear,
    }
}

fn declared_station<'a>(
    key: &'a MapKey,
    station: Option<&Fields<'a>>,
    does: Vec<Spec>,
) -> DeclaredStation<'a> {
    let mut declared = DeclaredStation {
        key,
        count: 1,
        size: (0.0, 0.0),
        stand: None,
        feed: None,
        kickback: false,
        reach_from: [false; 4],
        does,
    };
    let Some(fields) = station else {
        return declared;
    };
    let sink = fields.sink;
    let metres = |[x, y]: [GivenQuantity; 2]| (x.value, y.value);
    if let Some(node) = fields.get("size")
        && let Some(size) = reader::lengths(node, "a size [along x, along y]", false, sink)
    {
        declared.size = metres(size);
    }
    if let Some(node) = fields.get("stand") {
        declared.stand = reader::lengths(node, "a standing place [x, y]", true, sink).map(metres);
    }
    if let Some(node) = fields.get("feed toward") {
        declared.feed = side(node, sink);
    }
    if let Some(node) = fields.get("kickback") {
        declared.kickback = reader::flag(node, sink).unwrap_or(false);
        if declared.kickback && fields.get("feed toward").is_none() {
            let at = fields
                .entry("kickback")
                .map_or(&node.span, |entry| &entry.key.span);
            sink.report(
                Problem::warning(at, "`kickback` has no effect without `feed toward`")
                    .label("nothing is fed through this station")
                    .hint("say which way the work passes, for example `feed toward: +y`, or leave `kickback` out"),
            );
        }
    }
    if let Some(node) = fields.get("reach from") {
        let sides = reader::list(node, "a list of sides", sink).unwrap_or_default();
        for wanted in sides.iter().filter_map(|node| side(node, sink)) {
            declared.reach_from[wanted as usize] = true;
        }
    }
    if let Some(node) = fields.get("fixed") {
        reader::flag(node, sink);
    }
    if let Some(count) = fields.whole("count", 1, 10_000) {
        declared.count = count as u32;
    }
    declared
}

fn side(node: &YamlNode, sink: &Sink) -> Option<Side> {
    reader::one_of(node, &Side::ALL.map(Side::name), sink).map(|index| Side::ALL[index])
}
