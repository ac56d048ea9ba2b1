//! Single values of a scenario that are written, added or taken away in its text, with every other byte kept.
//!
//! Where something is written is found by its letters, so each change is proved: the text is read again, and nothing may
//! mean anything else than before but what was to be changed.

use serde_json::{Map, Value};

use super::flow_text::{braced, closing, entry_around};
use super::problem::Bytes;
use super::splice::{Splice, added_to, column, end_of_block, spliced};
use super::tree::{self, MapEntry, MapKey, YamlNode, YamlValue};
use super::yaml_name::yaml_name;

/// A step on the way to a value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TextStep {
    Key(String),
    /// The item of a list that has this `name`.
    Named(String),
}

/// A change of one value.
#[derive(Debug, Clone, PartialEq)]
pub enum TextChange {
    /// A value in one line, in place of what is there or as what is not there yet; or lines of a block that is not there
    /// yet, each with its end.
    Set {
        way: Vec<TextStep>,
        yaml: String,
    },
    /// A further item of a list, which may not be there yet.
    Append {
        way: Vec<TextStep>,
        yaml: String,
    },
    Remove {
        way: Vec<TextStep>,
    },
}

impl TextChange {
    /// Writes the value of these keys.
    pub fn set(keys: &[&str], yaml: impl Into<String>) -> TextChange {
        TextChange::Set {
            way: way(keys),
            yaml: yaml.into(),
        }
    }

    pub fn append(keys: &[&str], yaml: impl Into<String>) -> TextChange {
        TextChange::Append {
            way: way(keys),
            yaml: yaml.into(),
        }
    }

    pub fn remove(keys: &[&str]) -> TextChange {
        TextChange::Remove { way: way(keys) }
    }

    /// The same of the item of this name in the list of these keys, and of a key in it if there is one.
    pub fn of_item(self, name: &str, key: Option<&str>) -> TextChange {
        let further = |mut way: Vec<TextStep>| {
            way.push(TextStep::Named(name.to_owned()));
            way.extend(key.map(|key| TextStep::Key(key.to_owned())));
            way
        };
        match self {
            TextChange::Set { way, yaml } => TextChange::Set {
                way: further(way),
                yaml,
            },
            TextChange::Append { way, yaml } => TextChange::Append {
                way: further(way),
                yaml,
            },
            TextChange::Remove { way } => TextChange::Remove { way: further(way) },
        }
    }
}

fn way(keys: &[&str]) -> Vec<TextStep> {
    let keys = keys.iter();
    keys.map(|&key| TextStep::Key(key.to_owned())).collect()
}

/// The text with these changes, one after the other; nothing where one finds no place, or would change anything else.
pub fn changed(text: &str, changes: &[TextChange]) -> Option<String> {
    let mut text = text.to_owned();
    for change in changes {
        text = changed_once(&text, change)?;
    }
    Some(text)
}

fn changed_once(text: &str, change: &TextChange) -> Option<String> {
    let tree = tree::parse(text).ok()?;
    let splice = match change {
        TextChange::Set { way, yaml } => set(text, &tree, way, yaml)?,
        TextChange::Append { way, yaml } => append(text, &tree, way, yaml)?,
        TextChange::Remove { way } => remove(text, &tree, way)?,
    };
    let written = spliced(text, vec![splice]);
    let mut wanted = meaning(&tree);
    mean(&mut wanted, change)?;
    let found = meaning(&tree::parse(&written).ok()?);
    (found == wanted).then_some(written)
}

/// What is written of a value, on one line or several; nothing where there is none.
pub fn text_at<'t>(text: &'t str, keys: &[&str]) -> Option<&'t str> {
    let tree = tree::parse(text).ok()?;
    let way = way(keys);
    let found = deepest(&tree, &way);
    let key = found.key.filter(|_| found.rest.is_empty())?;
    let written = value_of(text, key, found.node)?;
    Some(text[written].trim())
}

/// Whether two texts mean the same but for where the layouts have their stations, and for a layout of this name.
pub fn changes_only_places(before: &str, after: &str, added: &str) -> bool {
    let bare = |text: &str| -> Option<Value> {
        let mut all = meaning(&tree::parse(text).ok()?);
        if let Some(layouts) = all.get_mut("layouts").and_then(Value::as_object_mut) {
            layouts.remove(added);
            for layout in layouts.values_mut().filter_map(Value::as_object_mut) {
                layout.remove("at");
            }
        }
        Some(all)
    };
    matches!((bare(before), bare(after)), (Some(before), Some(after)) if before == after)
}

/// What a text means, whatever it looks like.
fn meaning(node: &YamlNode) -> Value {
    match &node.value {
        YamlValue::Null => Value::Null,
        YamlValue::Scalar(text) => Value::String(text.clone()),
        YamlValue::List(items) => items.iter().map(meaning).collect(),
        YamlValue::Map(entries) => entries
            .iter()
            .map(|entry| (entry.key.text.clone(), meaning(&entry.node)))
            .collect(),
    }
}

/// Does to the meaning what a change does to the text.
fn mean(all: &mut Value, change: &TextChange) -> Option<()> {
    let (way, written) = match change {
        TextChange::Set { way, yaml } | TextChange::Append { way, yaml } => (way, Some(yaml)),
        TextChange::Remove { way } => (way, None),
    };
    let written = match written {
        Some(yaml) => Some(meaning(&tree::parse(yaml).ok()?)),
        None => None,
    };
    let (last, before) = way.split_last()?;
    let is_set = matches!(change, TextChange::Set { .. });
    let mut at = all;
    for step in before {
        at = stepped(at, step)?;
    }
    match (change, last) {
        (TextChange::Remove { .. }, TextStep::Key(key)) => {
            at.as_object_mut()?.shift_remove(key)?;
        }
        (TextChange::Remove { .. }, TextStep::Named(name)) => {
            let items = at.as_array_mut()?;
            let nth = items.iter().position(|item| item["name"] == **name)?;
            items.remove(nth);
        }
        (_, TextStep::Key(_)) if is_set => *stepped(at, last)? = written?,
        _ => {
            let list = stepped(at, last)?;
            if list.is_null() {
                *list = Value::Array(Vec::new());
            }
            list.as_array_mut()?.push(written?);
        }
    }
    Some(())
}

/// One step on, into what is made where it is not there yet.
fn stepped<'v>(at: &'v mut Value, step: &TextStep) -> Option<&'v mut Value> {
    match step {
        TextStep::Key(key) => {
            if at.is_null() {
                *at = Value::Object(Map::new());
            }
            Some(at.as_object_mut()?.entry(key).or_insert(Value::Null))
        }
        TextStep::Named(name) => {
            let mut items = at.as_array_mut()?.iter_mut();
            items.find(|item| item["name"] == **name)
        }
    }
}

/// How far a way is written already.
struct Deepest<'t, 'w> {
    node: &'t YamlNode,
    /// The key that has this value; nothing for the file itself and for an item.
    key: Option<&'t MapKey>,
    entry: Option<&'t MapEntry>,
    rest: &'w [TextStep],
}

fn deepest<'t, 'w>(tree: &'t YamlNode, way: &'w [TextStep]) -> Deepest<'t, 'w> {
    let mut found = Deepest {
        node: tree,
        key: None,
        entry: None,
        rest: way,
    };
    while let Some((step, rest)) = found.rest.split_first() {
        let (node, entry) = match step {
            TextStep::Key(key) => match found.node.entry(key) {
                Some(entry) => (&entry.node, Some(entry)),
                None => break,
            },
            TextStep::Named(name) => match item_named(found.node, name) {
                Some(item) => (item, None),
                None => break,
            },
        };
        found = Deepest {
            node,
            key: entry.map(|entry| &entry.key),
            entry,
            rest,
        };
    }
    found
}

fn item_named<'t>(list: &'t YamlNode, name: &str) -> Option<&'t YamlNode> {
    let YamlValue::List(items) = &list.value else {
        return None;
    };
    let is_called = |item: &&YamlNode| match item.get("name").map(|name| &name.value) {
        Some(YamlValue::Scalar(called)) => called == name,
        _ => false,
    };
    items.iter().find(is_called)
}

fn set(text: &str, tree: &YamlNode, way: &[TextStep], yaml: &str) -> Option<Splice> {
    let found = deepest(tree, way);
    let Some((TextStep::Key(key), rest)) = found.rest.split_first() else {
        if !found.rest.is_empty() || yaml.contains('\n') {
            return None;
        }
        return in_place(text, found.key?, found.node, yaml);
    };
    let inner = nested(rest, yaml)?;
    let name = yaml_name(key);
    let is_empty = match &found.node.value {
        YamlValue::Null => true,
        YamlValue::Map(entries) => entries.is_empty(),
        _ => return None,
    };
    let block = |indent: usize| {
        let margin = " ".repeat(indent);
        match inner.contains('\n') {
            true => {
                let lines = inner.lines().map(|line| format!("{margin}  {line}\n"));
                format!("{margin}{name}:\n{}", lines.collect::<String>())
            }
            false => format!("{margin}{name}: {inner}\n"),
        }
    };
    match (found.key, found.entry) {
        (Some(key), _) if is_empty => {
            in_place(text, key, found.node, &format!("{{{name}: {inner}}}"))
        }
        (_, Some(entry)) => {
            // Lines have no place within braces.
            let in_braces = || format!("{name}: {inner}");
            added_to(text, entry, &block, &in_braces)
        }
        (None, None) if std::ptr::eq(found.node, tree) => {
            let end = if text.ends_with('\n') { "" } else { "\n" };
            Some(Splice::at(text.len(), format!("{end}{}", block(0))))
        }
        _ => None,
    }
}

/// A value below keys that are not there yet.
fn nested(keys: &[TextStep], yaml: &str) -> Option<String> {
    keys.iter()
        .rev()
        .try_fold(yaml.to_owned(), |inner, step| match step {
            TextStep::Key(key) if !inner.contains('\n') => {
                Some(format!("{{{}: {inner}}}", yaml_name(key)))
            }
            _ => None,
        })
}

/// Another value behind a key.
fn in_place(text: &str, key: &MapKey, node: &YamlNode, yaml: &str) -> Option<Splice> {
    let written = value_of(text, key, node)?;
    let is_joined = !text[..written.start].ends_with([' ', '\n']);
    let space = if is_joined { " " } else { "" };
    Some(Splice::over(&written, format!("{space}{yaml}")))
}

/// Where the value of a key is written, without the comment behind it.
fn value_of(text: &str, key: &MapKey, node: &YamlNode) -> Option<Bytes> {
    let behind_key = text.get(key.span.end..)?;
    let colon = key.span.end + behind_key.find(':')? + 1;
    let line = text[colon..].split('\n').next()?;
    let value = line.trim_start_matches(' ');
    let begins = colon + line.len() - value.len();
    let first = value.chars().next();
    Some(match (first, &node.value) {
        (Some('{' | '['), _) => braced(text, begins)?,
        (Some('"' | '\''), _) => {
            let closes = value[1..].find(value.chars().next()?)? + 1;
            begins..begins + closes + 1
        }
        (None | Some('#' | '\r'), YamlValue::Null) => colon..colon,
        (None | Some('#' | '\r'), _) => {
            let (end, _) = end_of_block(text, key.span.start);
            let end = text[..end].trim_end_matches(['\n', '\r']).len();
            colon..end
        }
        // Plain, or an alias, which stands where it is defined.
        (Some(_), _) => {
            let is_here = node.span.start == begins && node.span.end <= begins + value.len();
            let length = match is_here {
                true => node.span.end - begins,
                false => value
                    .find([' ', ',', '}', ']', '\r'])
                    .unwrap_or(value.len()),
            };
            begins..begins + value[..length].trim_end().len()
        }
    })
}

/// Where the brace or bracket opens behind a key, if it does.
fn opening(text: &str, key: &MapKey) -> Option<usize> {
    let value = text
        .get(key.span.end..)?
        .trim_start_matches([' ', ':', '\r', '\n']);
    value
        .starts_with(['{', '['])
        .then_some(text.len() - value.len())
}

fn append(text: &str, tree: &YamlNode, way: &[TextStep], yaml: &str) -> Option<Splice> {
    let found = deepest(tree, way);
    let YamlValue::List(items) = &found.node.value else {
        let is_none = !found.rest.is_empty() || found.node.value == YamlValue::Null;
        return is_none.then(|| set(text, tree, way, &format!("[{yaml}]")))?;
    };
    let (key, Some(last)) = (found.key?, items.last()) else {
        return set(text, tree, way, &format!("[{yaml}]"));
    };
    if let Some(opens) = opening(text, key) {
        let before = text[..closing(text, opens)?].trim_end();
        let comma = if before.ends_with(',') { " " } else { ", " };
        return Some(Splice::at(before.len(), format!("{comma}{yaml}")));
    }
    let dash = dash_of(text, last)?;
    let margin = " ".repeat(column(text, dash));
    let (place, begins_line) = end_of_block(text, dash);
    let before = if begins_line { "" } else { "\n" };
    Some(Splice::at(place, format!("{before}{margin}- {yaml}\n")))
}

/// The dash of an item that begins its line.
fn dash_of(text: &str, item: &YamlNode) -> Option<usize> {
    let line = item.span.start - column(text, item.span.start);
    let said = text[line..].trim_start_matches(' ');
    said.starts_with('-').then_some(text.len() - said.len())
}

fn remove(text: &str, tree: &YamlNode, way: &[TextStep]) -> Option<Splice> {
    let (last, before) = way.split_last()?;
    let parent = deepest(tree, before);
    if !parent.rest.is_empty() {
        return None;
    }
    let (begins, count, empty) = match (last, &parent.node.value) {
        (TextStep::Key(key), YamlValue::Map(entries)) => {
            (parent.node.entry(key)?.key.span.start, entries.len(), "{}")
        }
        (TextStep::Named(name), YamlValue::List(items)) => {
            (item_named(parent.node, name)?.span.start, items.len(), "[]")
        }
        _ => return None,
    };
    if let Some(opens) = parent.key.and_then(|key| opening(text, key)) {
        return Some(Splice::over(&entry_around(text, opens, begins)?, ""));
    }
    if count == 1 {
        return in_place(text, parent.key?, parent.node, empty);
    }
    let first = match last {
        TextStep::Key(_) => begins,
        TextStep::Named(name) => dash_of(text, item_named(parent.node, name)?)?,
    };
    let (end, _) = end_of_block(text, first);
    let line = first - column(text, first);
    // What begins its line with something else, such as a dash, is no line by itself.
    text[line..first]
        .trim()
        .is_empty()
        .then(|| Splice::over(&(line..end), ""))
}
