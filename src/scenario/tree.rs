//! YAML as a tree in which every node knows where it stands.

use std::fmt;

use serde::de::{Deserialize, Deserializer, Error as _, MapAccess, SeqAccess, Visitor};
use serde_yaml::budget::BudgetBreach;
use serde_yaml::{Location, Spanned};

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

    /// Every key without a visible letter, in the file's order.
    pub fn blank_keys(&self) -> Vec<&MapKey> {
        match &self.value {
            YamlValue::Null | YamlValue::Scalar(_) => Vec::new(),
            YamlValue::List(items) => items.iter().flat_map(YamlNode::blank_keys).collect(),
            YamlValue::Map(entries) => {
                let of = |entry: &'_ MapEntry| entry.key.text.trim().is_empty();
                let own = entries
                    .iter()
                    .filter(|entry| of(entry))
                    .map(|entry| &entry.key);
                let below = entries.iter().flat_map(|entry| entry.node.blank_keys());
                own.chain(below).collect()
            }
        }
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
    match read.map(|raw| convert(raw, text)) {
        Ok(node) => Ok(node),
        Err(error) => Err(Box::new(explain(text, &error))),
    }
}

/// What the YAML reader refuses for its size, and how that is said here.
const TOO_MUCH: &[(&str, &str)] = &[(
    "too large or too complex",
    "the file has more in it than is accepted: 250 000 values, where each alias counts with all that it stands for",
)];

fn explain(text: &str, error: &serde_yaml::Error) -> Problem {
    let formatter = serde_yaml::UserMessageFormatter;
    let message = serde_yaml::MessageFormatter::format_message(&formatter, error.without_snippet());
    let span = error.location().map_or(0..0, |at| place(text, &at));
    // An empty span shows no caret of its own; one character does.
    let span = if span.is_empty() {
        let rest = text.get(span.start..).unwrap_or_default();
        let next = rest.chars().next().filter(|c| *c != '\n');
        span.start..span.start + next.map_or(0, char::len_utf8)
    } else {
        span
    };
    if is_too_deep(error) {
        return Problem::error(&span, format!("the file is nested more than {DEEPEST} levels deep"))
            .label("this is one level too much")
            .hint("is a bracket or brace before it not closed, or does each line begin farther in than the one above?");
    }
    if let serde_yaml::Error::UnknownAnchor { .. } = error.without_snippet() {
        return unknown_alias(text, span.start);
    }
    let said = TOO_MUCH
        .iter()
        .find(|(theirs, _)| message.contains(theirs))
        .map_or(&*message, |&(_, ours)| ours);
    if let Some(key) = message.strip_prefix("duplicate mapping key `")
        && let Some((key, _)) = key.rsplit_once('`')
    {
        return Problem::error(&span, format!("the key `{key}` is given twice"))
            .label("it has been given before")
            .hint("leave one of the two out, or give one of them another name");
    }
    if let Some(tab) = indenting_tab(text, span.start) {
        return Problem::error(&tab, "a tab stands where a line is indented")
            .label("here")
            .hint("indent with spaces alone; most editors can turn tabs into spaces");
    }
    let problem = Problem::error(&span, said);
    if message.contains("single YAML document") {
        return problem
            .label("a second document begins here")
            .hint("keep one scenario in a file; leave the line `---` out");
    }
    let colon = [
        "expected ':'",
        "mapping values are not allowed",
        "multiline text",
    ];
    if colon.iter().any(|theirs| message.contains(theirs)) {
        if let Some((span, meant)) = unspaced_colon(text, span.start) {
            return Problem::error(&span, "a space is missing between a key and its value")
                .hint(format!("write a space after the colon: `{meant}`"));
        }
        return problem
            .hint("a key and its value have a colon and a space between them: `saw: {}`");
    }
    if message.contains("block") && message.contains("did not find expected") {
        return problem.hint(
            "lines of one mapping begin in the same column: is this line, or the one above it, indented too little or \
             too much?",
        );
    }
    if message.contains("did not find expected") {
        return problem
            .hint("look for a missing comma, bracket or space here or in the line above");
    }
    if message.contains("indentation") {
        return problem.hint("is a bracket or a quote above it not closed?");
    }
    problem
}

/// The tab at the beginning of the line in which reading ended, or else of the one after or before it: what reads YAML
/// notices some of them late, and some early.
fn indenting_tab(text: &str, at: usize) -> Option<Bytes> {
    let mut lines = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        lines.push((start, line));
        start += line.len();
    }
    let here = lines.iter().rposition(|&(start, _)| start <= at)?;
    let near = [Some(here), here.checked_add(1), here.checked_sub(1)];
    let near = near
        .into_iter()
        .flatten()
        .filter_map(|index| lines.get(index));
    let tab = |&(start, line): &(usize, &str)| {
        let indent = line.find(|letter| !matches!(letter, ' ' | '\t'))?;
        let tab = line[..indent].find('\t')?;
        Some(start + tab..start + tab + 1)
    };
    near.into_iter().find_map(tab)
}

/// How deep mappings and lists may stand in each other, as the YAML reader has it.
const DEEPEST: usize = 64;

fn is_too_deep(error: &serde_yaml::Error) -> bool {
    let breach = match error.without_snippet() {
        serde_yaml::Error::Budget { breach, .. } => breach,
        other => return other.to_string().contains("recursion limit"),
    };
    matches!(breach, BudgetBreach::Depth { .. })
}

/// What begins with an asterisk is an alias, whether its writer knows that or not.
fn unknown_alias(text: &str, at: usize) -> Problem {
    let rest = text.get(at..).unwrap_or_default();
    let name = rest.strip_prefix('*').unwrap_or(rest);
    let ends = |letter: char| letter.is_whitespace() || ",[]{}".contains(letter);
    let name = &name[..name.find(ends).unwrap_or(name.len())];
    let span = at..at + (rest.len() - rest.trim_start_matches('*').len()).min(1) + name.len();
    Problem::error(
        &span,
        format!("`*{name}` stands for what is marked `&{name}` before it, and nothing is"),
    )
    .hint(format!(
        "mark the value that is meant, such as `&{name} 5 min`; a name that begins with an asterisk stands in quotes: \"*{name}\""
    ))
}

/// Lines above a problem in which a colon without a space is looked for.
const LINES_ABOVE: usize = 3;

/// A line such as `pieces:3`, at this place or a little above it: where it stands, and how it is meant.
fn unspaced_colon(text: &str, at: usize) -> Option<(Bytes, String)> {
    let end = text
        .get(at..)?
        .find('\n')
        .map_or(text.len(), |more| at + more);
    let lines = text.get(..end)?.rsplit('\n').take(1 + LINES_ABOVE);
    let mut after = end;
    for line in lines {
        let start = after - line.len();
        after = start.saturating_sub(1);
        let content = line.split(" #").next().unwrap_or(line).trim();
        let content = content.strip_prefix("- ").unwrap_or(content).trim_start();
        let has_colon = content.contains(": ") || content.ends_with(':');
        if let Some((name, value)) = content.split_once(':')
            && !has_colon
            && !name.is_empty()
        {
            let from = start + line.find(content).unwrap_or(0);
            return Some((from..from + content.len(), format!("{name}: {value}")));
        }
    }
    None
}

/// Where a problem of the reader is: some of them have a line and a column only.
fn place(text: &str, location: &Location) -> Bytes {
    if location.span().byte_offset().is_some() {
        return bytes(location);
    }
    let line = location.line().saturating_sub(1) as usize;
    let column = location.column().saturating_sub(1) as usize;
    let start = text
        .split_inclusive('\n')
        .take(line)
        .map(str::len)
        .sum::<usize>();
    let rest = text.get(start..).unwrap_or_default();
    let inside = rest.char_indices().nth(column).map_or(0, |(at, _)| at);
    start + inside..start + inside
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

fn bytes(location: &Location) -> Bytes {
    let span = location.span();
    let start = span.byte_offset().unwrap_or(0) as usize;
    start..start + span.byte_len().unwrap_or(0) as usize
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
