//! Changes of a text whose other bytes stay as they are.

use super::flow_text::closing;
use super::problem::Bytes;
use super::tree::{MapEntry, YamlValue};

/// What is written in place of some bytes, or between two of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Splice {
    pub bytes: Bytes,
    pub written: String,
}

impl Splice {
    pub fn at(place: usize, written: impl Into<String>) -> Splice {
        Splice {
            bytes: place..place,
            written: written.into(),
        }
    }

    pub fn over(bytes: &Bytes, written: impl Into<String>) -> Splice {
        Splice {
            bytes: bytes.clone(),
            written: written.into(),
        }
    }
}

/// The text with these changes, no two of which touch the same bytes; lines end as they do in the text.
pub fn spliced(text: &str, mut splices: Vec<Splice>) -> String {
    // Those at one place keep their order.
    splices.sort_by_key(|splice| splice.bytes.start);
    let mut all = String::with_capacity(text.len());
    let mut done = 0;
    for Splice { bytes, written } in splices {
        all.push_str(&text[done..bytes.start]);
        match text.contains("\r\n") {
            true => all.push_str(&written.replace('\n', "\r\n")),
            false => all.push_str(&written),
        }
        done = bytes.end;
    }
    all.push_str(&text[done..]);
    all
}

/// How far something stands from the left.
pub fn column(text: &str, at: usize) -> usize {
    at - text[..at].rfind('\n').map_or(0, |end| end + 1)
}

/// What adds further keys behind the last one of a mapping: as lines that are indented by so many spaces, or within its
/// braces. Nothing where it is no mapping, or has nothing in it.
pub fn added_to(
    text: &str,
    mapping: &MapEntry,
    in_block: &dyn Fn(usize) -> String,
    in_braces: &dyn Fn() -> String,
) -> Option<Splice> {
    let YamlValue::Map(known) = &mapping.node.value else {
        return None;
    };
    let first = known.first()?;
    let behind_key = text.get(mapping.key.span.end..)?;
    let value = behind_key.trim_start_matches([' ', ':', '\r', '\n']);
    if value.starts_with('{') {
        let opens = text.len() - value.len();
        let before = text[..closing(text, opens)?].trim_end();
        let separator = match before.ends_with(',') {
            true => " ",
            false => ", ",
        };
        return Some(Splice::at(
            before.len(),
            format!("{separator}{}", in_braces()),
        ));
    }
    let indent = column(text, first.key.span.start);
    let (place, begins_line) = end_of_block(text, mapping.key.span.start);
    let before = if begins_line { "" } else { "\n" };
    Some(Splice::at(place, format!("{before}{}", in_block(indent))))
}

/// Where the block ends whose key stands there, behind the last of its lines that says something; and whether a line
/// begins there.
pub fn end_of_block(text: &str, key: usize) -> (usize, bool) {
    let indent = column(text, key);
    let mut at = key;
    let mut end = key;
    for (nth, line) in text[key..].split_inclusive('\n').enumerate() {
        let said = line.trim_end();
        let own_indent = said.len() - said.trim_start().len();
        let is_comment = said.trim_start().starts_with('#');
        if nth > 0 && !said.is_empty() && own_indent <= indent && !is_comment {
            break;
        }
        at += line.len();
        if nth == 0 || (!said.is_empty() && own_indent > indent) {
            end = at;
        }
    }
    (end, text[..end].ends_with('\n'))
}
