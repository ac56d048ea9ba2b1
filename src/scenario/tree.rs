//! YAML as a tree in which every node knows where it stands.

use std::fmt;

use serde::de::{Deserialize, Deserializer, Error as _, MapAccess, SeqAccess, Visitor};
use serde_yaml::Spanned;

use super::malformed::{bytes, explain, indented_by, tab_before};
use super::problem::{Bytes, Problem};

/// A value of the file.
#[derive(Debug, Clone, PartialEq)]
pub struct YamlNode {
    /// Where it is written: for an alias, the anchor, so that a problem there is reported once.
    pub span: Bytes,
    pub value: YamlValue,
}

#[derive(Debug, Clone, PartialEq)]
pub enum YamlValue {
    Null,
    /// As written, without quotes: what it means depends on where it stands.
    Scalar(String),
    List(Vec<YamlNode>),
    /// In the file's order, each key once.
    Map(Vec<MapEntry>),
}

#[derive(Debug, Clone, PartialEq)]
pub struct MapEntry {
    pub key: MapKey,
    pub node: YamlNode,
}

#[derive(Debug, Clone, PartialEq)]
pub struct MapKey {
    pub text: String,
    pub span: Bytes,
}

impl YamlNode {
    pub fn get(&self, key: &str) -> Option<&YamlNode> {
        self.entry(key).map(|entry| &entry.node)
    }

    pub fn entry(&self, key: &str) -> Option<&MapEntry> {
        match &self.value {
            YamlValue::Map(entries) => entries.iter().find(|entry| entry.key.text == key),
            _ => None,
        }
    }

    /// How many values it has, itself among them.
    pub fn size(&self) -> usize {
        let inner = match &self.value {
            YamlValue::Null | YamlValue::Scalar(_) => 0,
            YamlValue::List(items) => items.iter().map(YamlNode::size).sum(),
            YamlValue::Map(entries) => entries.iter().map(|entry| entry.node.size()).sum(),
        };
        1 + inner
    }

    /// Whether these bytes stand within one of its keys or values.
    pub fn holds(&self, bytes: &Bytes) -> bool {
        let within = |span: &Bytes| span.start <= bytes.start && bytes.end <= span.end;
        let inner = || match &self.value {
            YamlValue::Null | YamlValue::Scalar(_) => false,
            YamlValue::List(items) => items.iter().any(|item| item.holds(bytes)),
            YamlValue::Map(entries) => {
                (entries.iter()).any(|entry| within(&entry.key.span) || entry.node.holds(bytes))
            }
        };
        within(&self.span) || inner()
    }

    /// The key that stands at these bytes.
    pub fn key_at(&self, bytes: &Bytes) -> Option<&str> {
        match &self.value {
            YamlValue::Null | YamlValue::Scalar(_) => None,
            YamlValue::List(items) => items.iter().find_map(|item| item.key_at(bytes)),
            YamlValue::Map(entries) => entries.iter().find_map(|entry| match &entry.key {
                key if key.span == *bytes => Some(&*key.text),
                _ => entry.node.key_at(bytes),
            }),
        }
    }

    /// Every entry of a mapping for which this holds, in the file's order.
    fn entries_that(&self, is_wanted: fn(&MapEntry) -> bool) -> Vec<&MapEntry> {
        match &self.value {
            YamlValue::Null | YamlValue::Scalar(_) => Vec::new(),
            YamlValue::List(items) => {
                let items = items.iter();
                items
                    .flat_map(|item| item.entries_that(is_wanted))
                    .collect()
            }
            YamlValue::Map(entries) => {
                let own = entries.iter().filter(|entry| is_wanted(entry));
                let below = entries.iter();
                let below = below.flat_map(|entry| entry.node.entries_that(is_wanted));
                own.chain(below).collect()
            }
        }
    }

    /// Every key without a visible letter.
    pub fn blank_keys(&self) -> impl Iterator<Item = &MapKey> {
        let is_blank = |entry: &MapEntry| entry.key.text.trim().is_empty();
        self.entries_that(is_blank)
            .into_iter()
            .map(|entry| &entry.key)
    }

    /// Every key with a name and a brace in it, such as that of `planer {kind: workbench}`: without a colon the brace opens
    /// nothing.
    pub fn keys_with_braces(&self) -> impl Iterator<Item = &MapKey> {
        let has_brace = |entry: &MapEntry| match &entry.node.value {
            YamlValue::Scalar(value) => entry.key.text.contains(" {") && value.ends_with('}'),
            _ => false,
        };
        self.entries_that(has_brace)
            .into_iter()
            .map(|entry| &entry.key)
    }

    /// What kind of value this is, for messages.
    pub fn kind(&self) -> &'static str {
        match self.value {
            YamlValue::Null => "nothing",
            YamlValue::Scalar(_) => "a single value",
            YamlValue::List(_) => "a list",
            YamlValue::Map(_) => "a mapping",
        }
    }
}

/// Reads one document.
///
/// # Errors
/// Why this is no YAML, or too much of it: more than 250 000 nodes, deeper than 64, too many aliases.
pub fn parse(text: &str) -> Result<YamlNode, Box<Problem>> {
    let options = serde_yaml::options! {
        with_snippet: false,
        strict_indentation: true,
        strict_booleans: true,
        non_finite_float_policy: serde_yaml::options::NonFiniteFloatPolicy::PassThrough,
    };
    let read = serde_yaml::from_str_with_options::<Spanned<Raw>>(text, options);
    let node = match read.map(|raw| convert(raw, text)) {
        Ok(node) => node,
        Err(error) => return Err(Box::new(explain(text, &error))),
    };
    // The reader lets one pass before what begins the file.
    match tab_before(text, node.span.start) {
        Some(tab) => Err(Box::new(indented_by(&tab))),
        None => Ok(node),
    }
}

/// What the YAML reader gives. It does not keep how a number was spelt; that is looked up in the file.
enum Raw {
    Null,
    Text(String),
    Plain(String),
    List(Vec<Spanned<Raw>>),
    Map(Vec<(Spanned<String>, Spanned<Raw>)>),
}

impl<'de> Deserialize<'de> for Raw {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Raw, D::Error> {
        deserializer.deserialize_any(RawVisitor)
    }
}

struct RawVisitor;

impl<'de> Visitor<'de> for RawVisitor {
    type Value = Raw;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a mapping, a list or a single value")
    }

    fn visit_bool<E>(self, value: bool) -> Result<Raw, E> {
        Ok(Raw::Plain(value.to_string()))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Raw, E> {
        Ok(Raw::Plain(value.to_string()))
    }

    fn visit_u64<E>(self, value: u64) -> Result<Raw, E> {
        Ok(Raw::Plain(value.to_string()))
    }

    fn visit_i128<E>(self, value: i128) -> Result<Raw, E> {
        Ok(Raw::Plain(value.to_string()))
    }

    fn visit_u128<E>(self, value: u128) -> Result<Raw, E> {
        Ok(Raw::Plain(value.to_string()))
    }

    fn visit_f64<E>(self, value: f64) -> Result<Raw, E> {
        Ok(Raw::Plain(value.to_string()))
    }

    fn visit_str<E>(self, value: &str) -> Result<Raw, E> {
        Ok(Raw::Text(value.to_owned()))
    }

    fn visit_string<E>(self, value: String) -> Result<Raw, E> {
        Ok(Raw::Text(value))
    }

    fn visit_unit<E>(self) -> Result<Raw, E> {
        Ok(Raw::Null)
    }

    fn visit_none<E>(self) -> Result<Raw, E> {
        Ok(Raw::Null)
    }

    fn visit_some<D: Deserializer<'de>>(self, deserializer: D) -> Result<Raw, D::Error> {
        deserializer.deserialize_any(RawVisitor)
    }

    fn visit_bytes<E: serde::de::Error>(self, _: &[u8]) -> Result<Raw, E> {
        Err(E::custom("binary data has no meaning in a scenario"))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Raw, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = list.next_element()? {
            items.push(item);
        }
        Ok(Raw::List(items))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Raw, A::Error> {
        let mut entries: Vec<(Spanned<String>, Spanned<Raw>)> = Vec::new();
        let mut seen = std::collections::BTreeSet::new();
        while let Some(key) = map.next_key::<Spanned<String>>()? {
            if !seen.insert(key.value.clone()) {
                return Err(A::Error::custom(format!(
                    "the key `{}` is given twice",
                    key.value
                )));
            }
            let value = map.next_value()?;
            entries.push((key, value));
        }
        Ok(Raw::Map(entries))
    }
}

fn convert(raw: Spanned<Raw>, text: &str) -> YamlNode {
    let span = bytes(&raw.defined);
    let value = match raw.value {
        Raw::Null => YamlValue::Null,
        Raw::Text(value) => YamlValue::Scalar(value),
        Raw::Plain(fallback) => {
            // Messages quote `1e3` and `007` as they were written, so the spelling is taken from the file.
            let written = text.get(bytes(&raw.defined)).map(str::trim);
            let plain = written.filter(|t| !t.is_empty() && !t.starts_with(['!', '&', '"', '\'']));
            YamlValue::Scalar(plain.map_or(fallback, str::to_owned))
        }
        Raw::List(items) => {
            YamlValue::List(items.into_iter().map(|item| convert(item, text)).collect())
        }
        Raw::Map(entries) => YamlValue::Map(
            entries
                .into_iter()
                .map(|(key, node)| MapEntry {
                    key: MapKey {
                        span: bytes(&key.defined),
                        text: key.value,
                    },
                    node: convert(node, text),
                })
                .collect(),
        ),
    };
    // The reader gives a block-style collection no span of its own; its first key stands for it.
    let span = match &value {
        YamlValue::Map(entries) if span.is_empty() => {
            entries.first().map_or(span, |entry| entry.key.span.clone())
        }
        YamlValue::List(items) if span.is_empty() => {
            items.first().map_or(span, |item| item.span.clone())
        }
        _ => span,
    };
    YamlNode { span, value }
}
