//! What a text says of how long work takes, station by station.

use super::flow_text::braced;
use super::kinds;
use super::tree::{self, MapEntry, YamlNode, YamlValue};

/// What takes time at a station, by the keys of a file.
pub const TIME_KEYS: [&str; 5] = ["setup", "per piece", "per lot", "feed speed", "cure"];

/// An operation of a station.
#[derive(Debug, Clone, PartialEq)]
pub struct WrittenTimes {
    pub station: String,
    pub operation: String,
    /// For each of [`TIME_KEYS`], what the station says.
    pub written: [Option<String>; TIME_KEYS.len()],
    /// And what counts where it says nothing: what is written for the operation at any station.
    pub elsewhere: [Option<String>; TIME_KEYS.len()],
    /// The kind that the station is of.
    pub kind: Option<String>,
}

/// The keys below `does` of a station at which a time is written.
pub fn time_way(key: &str) -> &'static [&'static str] {
    match key {
        "setup" => &["setup"],
        "per piece" => &["per piece"],
        "per lot" => &["per lot"],
        "feed speed" => &["feed speed"],
        "cure" => &["cure", "time"],
        _ => &[],
    }
}

/// All operations of all stations, in the order of the text; none where it cannot be read.
pub fn written_times(text: &str) -> Vec<WrittenTimes> {
    let Ok(tree) = tree::parse(text) else {
        return Vec::new();
    };
    let stations = entries(tree.get("stations"));
    let all = stations.iter().flat_map(|station| {
        let kind = scalar(station.node.get("kind"));
        let does = station.node.get("does");
        let operations = operations(kind, does);
        operations.into_iter().map(move |operation| {
            let here = does.and_then(|does| does.get(&operation));
            (station, operation, here, kind)
        })
    });
    let operations = tree.get("operations");
    let all = all.map(|(station, operation, here, kind)| WrittenTimes {
        written: TIME_KEYS.map(|key| written(text, here, key)),
        elsewhere: TIME_KEYS.map(|key| written(text, operations?.get(&operation), key)),
        station: station.key.text.clone(),
        operation,
        kind: kind.map(str::to_owned),
    });
    all.collect()
}

fn entries(node: Option<&YamlNode>) -> &[MapEntry] {
    match node.map(|node| &node.value) {
        Some(YamlValue::Map(entries)) => entries,
        _ => &[],
    }
}

fn scalar(node: Option<&YamlNode>) -> Option<&str> {
    match &node?.value {
        YamlValue::Scalar(text) => Some(text),
        _ => None,
    }
}

/// What a station does by its kind, unless it never does it, and then what else is written.
fn operations(kind: Option<&str>, does: Option<&YamlNode>) -> Vec<String> {
    let kind = kind.and_then(kinds::find);
    let usual = kind.iter().flat_map(|kind| kind.does);
    let mut all: Vec<String> = usual.map(|usual| usual.name.to_owned()).collect();
    for entry in entries(does) {
        if !all.contains(&entry.key.text) {
            all.push(entry.key.text.clone());
        }
    }
    let is_never = |name: &str| scalar(does.and_then(|does| does.get(name))) == Some("never");
    all.retain(|name| !is_never(name));
    all
}

/// A time as it is written, in one line.
fn written(text: &str, operation: Option<&YamlNode>, key: &str) -> Option<String> {
    let (first, rest) = time_way(key).split_first()?;
    let mut entry = operation?.entry(first)?;
    for key in rest {
        entry = entry.node.entry(key)?;
    }
    if let YamlValue::Scalar(plain) = &entry.node.value {
        return Some(plain.clone());
    }
    let value = text
        .get(entry.key.span.end..)?
        .trim_start_matches([' ', ':']);
    let opens = text.len() - value.len();
    let said = match value.starts_with(['{', '[']) {
        true => &text[braced(text, opens)?],
        false => return None,
    };
    Some(said.split_whitespace().collect::<Vec<_>>().join(" "))
}
