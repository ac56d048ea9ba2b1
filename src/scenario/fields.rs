//! Reads mappings whose keys stand in a table; what is wrong goes to the sink, and the reading goes on.

use super::decimal_comma::broken_off;
use super::duration;
use super::keys::{Keys, ValueShape};
use super::misplaced_key;
use super::problem::{Bytes, Problem, Sink, hint_at, meant, nearest, nearest_within};
use super::quantity::{Dimension, with_a_point};
use super::reader::{GivenQuantity, quantity, whole};
use super::tree::{MapEntry, YamlNode, YamlValue};
use crate::random::Distribution;
use crate::shop::Date;

/// A key that YAML reads together with its value, because no space follows the colon: `pieces:3`.
fn swallowed(key: &str, keys: &Keys) -> Option<String> {
    let (name, value) = key.split_once(':')?;
    keys.find(name)?;
    Some(format!("write a space after the colon: `{name}: {value}`"))
}

/// A mapping whose keys stand in a table.
#[derive(Clone, Copy)]
pub struct Fields<'a> {
    entries: &'a [MapEntry],
    /// What messages about the whole mapping point at: the name above it.
    pub at: &'a Bytes,
    pub sink: &'a Sink,
}

impl<'a> Fields<'a> {
    /// Opens a mapping and reports every key that is not in the table and every one that is missing.
    pub fn open(
        node: &'a YamlNode,
        at: &'a Bytes,
        keys: &'static Keys,
        sink: &'a Sink,
    ) -> Option<Fields<'a>> {
        let YamlValue::Map(entries) = &node.value else {
            let problem = match node.value {
                YamlValue::Null => Problem::error(at, format!("{} with nothing in it", keys.of))
                    .hint("write `{}` if nothing is to be said"),
                _ => Problem::error(
                    &node.span,
                    format!("{} is a mapping of keys, not {}", keys.of, node.kind()),
                )
                .hint(
                    unspaced(node, keys)
                        .unwrap_or_else(|| format!("it may have the keys {}", known(keys))),
                ),
            };
            sink.report(problem);
            return None;
        };
        for (index, entry) in entries.iter().enumerate() {
            let key = &entry.key;
            if keys.find(&key.text).is_none() && !sink.is_full() {
                let names = keys.offered().map(|key| key.name);
                let comma = broken_off(&entries[..index], key).map(|(whole, number)| {
                    let hint = with_a_point(&number);
                    sink.suspect_comma(&whole.span, hint.clone());
                    hint
                });
                sink.report(
                    Problem::error(
                        &key.span,
                        format!("`{}` is not a key of {}", key.text, keys.of),
                    )
                    .hint(
                        comma
                            .or_else(|| swallowed(&key.text, keys))
                            .or_else(|| nearest_within(&key.text, names.clone(), 1).map(meant))
                            // A key of something else is rather misplaced than misspelt by several letters.
                            .or_else(|| misplaced_key::hint(&key.text, keys))
                            .or_else(|| nearest(&key.text, names.clone()).map(meant))
                            .or_else(|| hint_at(&key.text, names))
                            .unwrap_or_else(|| format!("it may have the keys {}", known(keys))),
                    ),
                );
            }
        }
        let shape = |entry: &MapEntry| keys.find(&entry.key.text).map(|key| key.shape);
        for entry in
            (entries.iter()).filter(|entry| matches!(shape(entry), Some(ValueShape::NotYet)))
        {
            let what = format!("`{}` is not supported yet", entry.key.text);
            sink.report(Problem::error(&entry.key.span, what).hint("leave it out for now"));
        }
        let fields = Fields { entries, at, sink };
        let missing = || {
            keys.required
                .iter()
                .filter(|name| fields.get(name).is_none())
        };
        if missing().next().is_some() {
            let names: Vec<String> = missing().map(|name| format!("`{name}`")).collect();
            let meanings: Vec<String> = missing()
                .filter_map(|name| Some(format!("`{name}`: {}", keys.find(name)?.meaning)))
                .collect();
            sink.report(
                Problem::error(at, format!("{} needs {}", keys.of, names.join(", ")))
                    .hint(meanings.join("; ")),
            );
        }
        Some(fields)
    }

    pub fn entry(&self, key: &str) -> Option<&'a MapEntry> {
        self.entries.iter().find(|entry| entry.key.text == key)
    }

    pub fn get(&self, key: &str) -> Option<&'a YamlNode> {
        self.entry(key).map(|entry| &entry.node)
    }

    /// The entries of a mapping from names to something.
    pub fn named(&self, key: &str) -> Option<&'a [MapEntry]> {
        let entry = self.entry(key)?;
        match &entry.node.value {
            YamlValue::Map(entries) => Some(entries),
            YamlValue::Null => {
                self.sink.report(
                    Problem::error(&entry.key.span, format!("there is nothing under `{key}`"))
                        .hint("write `{}` for none, or leave the key out"),
                );
                None
            }
            _ => {
                self.sink.report(
                    Problem::error(
                        &entry.node.span,
                        format!("`{key}` is a mapping of names, not {}", entry.node.kind()),
                    )
                    .hint(format!(
                        "write `{key}:` and below it one line `name: ...` for each"
                    )),
                );
                None
            }
        }
    }

    pub fn quantity(&self, key: &str, dimension: Dimension) -> Option<GivenQuantity> {
        quantity(self.get(key)?, dimension, self.sink)
    }

    /// A time that is counted from something, as which some write a day.
    pub fn time_from(&self, key: &str, from: &str) -> Option<GivenQuantity> {
        let node = self.get(key)?;
        if let YamlValue::Scalar(text) = &node.value
            && Date::read(text).is_some()
        {
            self.sink.report(
                Problem::error(
                    &node.span,
                    format!("`{text}` is a day, but `{key}` is counted from {from}"),
                )
                .hint(format!("write how long after that, such as `{key}: 5 d`")),
            );
            return None;
        }
        quantity(node, Dimension::Time, self.sink)
    }

    pub fn whole(&self, key: &str, least: u64, most: u64) -> Option<u64> {
        whole(self.get(key)?, least, most, self.sink)
    }

    pub fn duration(&self, key: &str) -> Option<Distribution> {
        duration::read(self.get(key)?, self.sink)
    }
}

/// A hint at a key that is written without a space after its colon, which YAML takes for a part of a text.
fn unspaced(node: &YamlNode, keys: &Keys) -> Option<String> {
    let YamlValue::Scalar(text) = &node.value else {
        return None;
    };
    let (key, value) = text.split_once(':')?;
    let key = key.trim();
    keys.find(key)?;
    Some(format!(
        "write a space after the colon: `{key}: {}`",
        value.trim()
    ))
}

fn known(keys: &Keys) -> String {
    let names: Vec<&str> = keys.offered().map(|key| key.name).collect();
    names.join(", ")
}
