//! Examples in which every key stands once at least, and the lines of them around one key.

use crate::scenario::keys::{Keys, SCENARIO, ValueShape};
use crate::scenario::tree::{YamlNode, YamlValue, parse};

/// Scenarios that load, by name.
pub const EXAMPLES: [(&str, &str); 3] = [
    ("measured", include_str!("measured.yaml")),
    ("drawn", include_str!("drawn.yaml")),
    ("outlined", include_str!("outlined.yaml")),
];

/// A value that is written out on several lines is cut off after so many of them.
const MOST_LINES: usize = 12;

/// A value of at most so many characters stands on one line.
const LONGEST_VALUE: usize = 60;

/// The examples as they were read, once for all keys.
pub struct Examples(Vec<YamlNode>);

impl Examples {
    pub fn read() -> Examples {
        let trees = EXAMPLES.iter().filter_map(|(_, text)| parse(text).ok());
        Examples(trees.collect())
    }

    /// The first lines of an example that have this key of such a mapping, with what stands around it.
    pub fn lines(&self, keys: &'static Keys, name: &str) -> Option<String> {
        self.0.iter().find_map(|tree| {
            let mut trail = Vec::new();
            in_mapping(&SCENARIO, tree, (keys, name), &mut trail)
        })
    }
}

/// One step from the top of a scenario down.
enum TrailStep {
    Key(String),
    Item,
}

type SoughtKey<'w> = (&'static Keys, &'w str);

fn in_mapping(
    keys: &'static Keys,
    node: &YamlNode,
    wanted: SoughtKey,
    trail: &mut Vec<TrailStep>,
) -> Option<String> {
    let YamlValue::Map(entries) = &node.value else {
        return None;
    };
    if std::ptr::eq(keys, wanted.0)
        && let Some(found) = entries.iter().find(|entry| entry.key.text == wanted.1)
    {
        return Some(written(trail, wanted.1, &found.node));
    }
    entries.iter().find_map(|entry| {
        let shape = &keys.find(&entry.key.text)?.shape;
        trail.push(TrailStep::Key(entry.key.text.clone()));
        let found = in_value(shape, &entry.node, wanted, trail);
        trail.pop();
        found
    })
}

fn in_value(
    shape: &'static ValueShape,
    node: &YamlNode,
    wanted: SoughtKey,
    trail: &mut Vec<TrailStep>,
) -> Option<String> {
    match (shape, &node.value) {
        (ValueShape::Mapping(keys), _) => in_mapping(keys, node, wanted, trail),
        (ValueShape::Named(of), YamlValue::Map(entries)) => entries.iter().find_map(|entry| {
            trail.push(TrailStep::Key(entry.key.text.clone()));
            let found = in_value(of, &entry.node, wanted, trail);
            trail.pop();
            found
        }),
        (ValueShape::List(of), YamlValue::List(items)) => {
            trail.push(TrailStep::Item);
            let found = (items.iter()).find_map(|item| in_value(of, item, wanted, trail));
            trail.pop();
            found
        }
        (ValueShape::Either(shapes), _) => {
            (shapes.iter()).find_map(|shape| in_value(shape, node, wanted, trail))
        }
        _ => None,
    }
}

/// The key with its value, below the keys that lead to it.
fn written(trail: &[TrailStep], name: &str, node: &YamlNode) -> String {
    let mut text = String::new();
    let mut indent = 0;
    // What a list's item begins with stands on the line of its dash.
    let mut dash = "";
    let line = |text: &mut String, indent: usize, dash: &str, rest: &str| {
        let before = " ".repeat(indent - dash.len());
        text.push_str(&format!("{before}{dash}{rest}\n"));
    };
    for step in trail {
        match step {
            TrailStep::Key(key) => {
                line(&mut text, indent, dash, &format!("{}:", plain(key)));
                dash = "";
                indent += 2;
            }
            TrailStep::Item => {
                dash = "- ";
                indent += 2;
            }
        }
    }
    let flow = flow(node);
    let key = plain(name);
    if flow.chars().count() <= LONGEST_VALUE {
        line(&mut text, indent, dash, &format!("{key}: {flow}"));
        return text;
    }
    line(&mut text, indent, dash, &format!("{key}:"));
    let mut block = Vec::new();
    below(node, indent + 2, &mut block);
    let cut = block.len() > MOST_LINES;
    for line in block.iter().take(MOST_LINES) {
        text.push_str(&format!("{line}\n"));
    }
    if cut {
        text.push_str(&format!("{}# ...\n", " ".repeat(indent + 2)));
    }
    text
}

/// A value on lines of its own.
fn below(node: &YamlNode, indent: usize, lines: &mut Vec<String>) {
    let before = " ".repeat(indent);
    match &node.value {
        YamlValue::Map(entries) => {
            for entry in entries {
                let (key, value) = (plain(&entry.key.text), flow(&entry.node));
                if value.chars().count() <= LONGEST_VALUE {
                    lines.push(format!("{before}{key}: {value}"));
                } else {
                    lines.push(format!("{before}{key}:"));
                    below(&entry.node, indent + 2, lines);
                }
            }
        }
        YamlValue::List(items) => {
            lines.extend(items.iter().map(|item| format!("{before}- {}", flow(item))));
        }
        _ => lines.push(format!("{before}{}", flow(node))),
    }
}

/// A value on one line.
fn flow(node: &YamlNode) -> String {
    match &node.value {
        YamlValue::Null => "null".to_owned(),
        YamlValue::Scalar(text) => plain(text),
        YamlValue::List(items) => {
            let items: Vec<String> = items.iter().map(flow).collect();
            format!("[{}]", items.join(", "))
        }
        YamlValue::Map(entries) => {
            let entries: Vec<String> = entries
                .iter()
                .map(|entry| format!("{}: {}", plain(&entry.key.text), flow(&entry.node)))
                .collect();
            format!("{{{}}}", entries.join(", "))
        }
    }
}

/// A scalar as YAML takes it for itself, in quotes where it has to be.
fn plain(text: &str) -> String {
    let has_meaning = |letter: char| ",[]{}:#\"'&*!|>%@`\n".contains(letter);
    let is_plain = !text.is_empty() && !text.contains(has_meaning) && text.trim() == text;
    // A percentage is no directive, since it does not stand first.
    let is_share = text.ends_with(" %") && !text[..text.len() - 1].contains(has_meaning);
    match is_plain || is_share {
        true => text.to_owned(),
        false => format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\"")),
    }
}
