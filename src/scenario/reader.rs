//! Reads single values and mappings of the tree; what is wrong goes to the sink, and the reading goes on.

use super::keys::Keys;
use super::misplaced_key;
use super::problem::{Bytes, Problem, Sink, hint_at, meant, nearest};
use super::quantity::Dimension;
use super::tree::{Entry, Key, Node, Value};

/// A quantity in SI units, and how it was written.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    pub value: f64,
    pub text: String,
    pub span: Bytes,
}

/// The entries of a mapping; none of anything else.
pub fn entries(node: &Node) -> &[Entry] {
    match &node.value {
        Value::Map(entries) => entries,
        _ => &[],
    }
}

fn expected(node: &Node, what: &str, sink: &Sink) {
    let problem = match node.value {
        Value::Null => Problem::error(
            &node.span,
            format!("there is nothing, but {what} is needed"),
        ),
        _ => Problem::error(&node.span, format!("{what} is needed, not {}", node.kind())),
    };
    sink.report(problem);
}

pub fn text<'a>(node: &'a Node, what: &str, sink: &Sink) -> Option<&'a str> {
    match &node.value {
        Value::Scalar(text) => Some(text),
        _ => {
            expected(node, what, sink);
            None
        }
    }
}

pub fn list<'a>(node: &'a Node, what: &str, sink: &Sink) -> Option<&'a [Node]> {
    match &node.value {
        Value::List(items) => Some(items),
        Value::Scalar(text) => {
            sink.report(
                Problem::error(&node.span, format!("{what} is needed, not a single value"))
                    .hint(format!("a list stands in brackets: `[{}]`", as_items(text))),
            );
            None
        }
        _ => {
            expected(node, what, sink);
            None
        }
    }
}

/// What somebody wrote as `44 in x 36 in`, with commas; the unit of the last serves those that have none.
fn as_items(text: &str) -> String {
    let parts: Vec<&str> = text.split(['x', '×', '*']).map(str::trim).collect();
    let is_number = |part: &&str| part.starts_with(|c: char| c.is_ascii_digit());
    if parts.len() < 2 || !parts.iter().all(is_number) {
        return text.to_owned();
    }
    let has_unit = |part: &str| part.contains(|c: char| c.is_alphabetic() || c == '"' || c == '\'');
    let unit = parts.last().and_then(|last| {
        let from = last.find(|c: char| c.is_alphabetic() || c == '"' || c == '\'')?;
        Some(&last[from..])
    });
    let items = parts.iter().map(|&part| match unit {
        Some(unit) if !has_unit(part) => format!("{part} {unit}"),
        _ => part.to_owned(),
    });
    items.collect::<Vec<String>>().join(", ")
}

pub fn whole(node: &Node, least: u64, most: u64, sink: &Sink) -> Option<u64> {
    let text = text(node, "a whole number", sink)?;
    let problem = match text.parse::<u64>() {
        Ok(value) if value < least => Problem::error(
            &node.span,
            format!("{value} is too few; at least {least} is needed"),
        ),
        Ok(value) if value > most => Problem::error(
            &node.span,
            format!("{value} is more than the most that is accepted, {most}"),
        ),
        Ok(value) => return Some(value),
        Err(_) => {
            let problem = Problem::error(&node.span, format!("`{text}` is not a whole number"));
            match text.parse::<f64>() {
                Ok(value) if value >= least as f64 && value <= (most as f64).min(1e15) => {
                    problem.hint(format!("did you mean {}?", value.round()))
                }
                _ => problem.hint(format!("write digits only, at least {least}")),
            }
        }
    };
    sink.report(problem);
    None
}

pub fn number(node: &Node, sink: &Sink) -> Option<f64> {
    let text = text(node, "a number", sink)?;
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() && value.abs() <= 1e9 => Some(value),
        Ok(_) => {
            sink.report(
                Problem::error(
                    &node.span,
                    format!("`{text}` is no number that makes sense here"),
                )
                .hint("it must be finite, and at most 1e9"),
            );
            None
        }
        Err(_) => {
            // Whoever wrote a unit or a sign of degrees meant the number before it.
            let digits = text.trim_end_matches(|c: char| !c.is_ascii_digit() && c != '.');
            let meant = digits.trim_end().replace(',', ".");
            let hint = match meant.parse::<f64>() {
                Ok(_) => format!("write `{meant}`, without a unit"),
                Err(_) => "write a number without a unit, such as `90`".to_owned(),
            };
            sink.report(
                Problem::error(&node.span, format!("`{text}` is not a plain number")).hint(hint),
            );
            None
        }
    }
}

pub fn flag(node: &Node, sink: &Sink) -> Option<bool> {
    match text(node, "`true` or `false`", sink)? {
        "true" => Some(true),
        "false" => Some(false),
        other => {
            sink.report(
                Problem::error(&node.span, format!("`{other}` is neither true nor false"))
                    .hint("write `true` or `false`"),
            );
            None
        }
    }
}

/// One of these words, as its index.
pub fn one_of(node: &Node, words: &[&str], sink: &Sink) -> Option<usize> {
    let text = text(node, &format!("one of {}", words.join(", ")), sink)?;
    let found = words.iter().position(|word| *word == text);
    if found.is_none() {
        sink.report(
            Problem::error(
                &node.span,
                format!("`{text}` is none of {}", words.join(", ")),
            )
            .maybe_hint(hint_at(text, words.iter().copied())),
        );
    }
    found
}

fn measured(node: &Node, dimension: Dimension, signed: bool, sink: &Sink) -> Option<Measured> {
    let text = text(
        node,
        &format!("{} such as {}", dimension.noun(), dimension.examples()),
        sink,
    )?;
    let read = if signed {
        dimension.read_signed(text)
    } else {
        dimension.read(text)
    };
    match read {
        Ok(value) => Some(Measured {
            value,
            text: text.to_owned(),
            span: node.span.clone(),
        }),
        Err(wrong) => {
            let hint = match sink.suspected_comma(&node.span) {
                Some(hint) => hint,
                None if sink.imperial => dimension.hint_in_imperial(text).unwrap_or(wrong.hint),
                None => wrong.hint,
            };
            sink.report(Problem::error(&node.span, wrong.what).hint(hint));
            None
        }
    }
}

pub fn quantity(node: &Node, dimension: Dimension, sink: &Sink) -> Option<Measured> {
    measured(node, dimension, false, sink)
}

/// A list of exactly `N` lengths.
pub fn lengths<const N: usize>(
    node: &Node,
    what: &str,
    signed: bool,
    sink: &Sink,
) -> Option<[Measured; N]> {
    if let Value::Scalar(text) = &node.value
        && text.starts_with(|c: char| c.is_alphabetic())
    {
        sink.report(
            Problem::error(&node.span, format!("{what} is needed, not a name"))
                .hint(format!("write {N} lengths in brackets")),
        );
        return None;
    }
    let items = list(node, what, sink)?;
    if items.len() != N {
        sink.report(
            Problem::error(
                &node.span,
                format!("{what} is needed, that is {N} lengths, not {}", items.len()),
            )
            .maybe_hint(decimal_comma(items)),
        );
        return None;
    }
    let values: Vec<Option<Measured>> = items
        .iter()
        .map(|item| measured(item, Dimension::Length, signed, sink))
        .collect();
    values
        .into_iter()
        .collect::<Option<Vec<_>>>()?
        .try_into()
        .ok()
}

/// A hint at a number whose decimal comma has cut a list in two, such as `12` and `5 ft`.
pub fn decimal_comma(items: &[Node]) -> Option<String> {
    let mut pairs = items.windows(2);
    pairs.find_map(|pair| match [&pair[0].value, &pair[1].value] {
        [Value::Scalar(whole), Value::Scalar(rest)]
            if whole != "0" || touch(&pair[0], &pair[1].span) =>
        {
            joined(whole, rest).map(|joined| with_a_point(&joined))
        }
        _ => None,
    })
}

/// Numbers of a list that may be the halves of one that is written with a decimal comma, such as `[0,5 min]`: nothing
/// stands between comma and digit. Only what has a unit can be a second half.
pub fn halves(items: &[Node]) -> Vec<(&Node, String)> {
    let pairs = items.windows(2).filter_map(|pair| {
        let [Value::Scalar(whole), Value::Scalar(rest)] = [&pair[0].value, &pair[1].value] else {
            return None;
        };
        let has_unit = rest.contains(|c: char| c.is_alphabetic());
        let joined = joined(whole, rest).filter(|_| has_unit && touch(&pair[0], &pair[1].span))?;
        Some((&pair[0], joined))
    });
    pairs.collect()
}

/// Whether nothing but a comma stands between a value and what follows it.
fn touch(value: &Node, next: &Bytes) -> bool {
    value.span.end + 1 == next.start
}

/// The same where the second half has become a key: the entry before it ends with the first half.
fn broken_off<'a>(before: &'a [Entry], key: &Key) -> Option<(&'a Node, String)> {
    let node = &before.last()?.node;
    match &node.value {
        Value::Scalar(whole) if whole != "0" || touch(node, &key.span) => {
            Some((node, joined(whole, &key.text)?))
        }
        _ => None,
    }
}

/// The number that two halves make with a point between them.
fn joined(whole: &str, rest: &str) -> Option<String> {
    let is_whole = !whole.is_empty() && whole.bytes().all(|byte| byte.is_ascii_digit());
    let goes_on = rest.starts_with(|c: char| c.is_ascii_digit());
    (is_whole && goes_on).then(|| format!("{whole}.{rest}"))
}

fn with_a_point(number: &str) -> String {
    format!("decimals are written with a point: `{number}`")
}

/// A key that has swallowed its value for want of a space after the colon, such as `pieces:3`.
fn swallowed(key: &str, keys: &Keys) -> Option<String> {
    let (name, value) = key.split_once(':')?;
    keys.find(name)?;
    Some(format!("write a space after the colon: `{name}: {value}`"))
}

/// A mapping whose keys stand in a table.
#[derive(Clone, Copy)]
pub struct Fields<'a> {
    entries: &'a [Entry],
    /// What messages about the whole mapping point at: the name above it.
    pub at: &'a Bytes,
    pub sink: &'a Sink,
}

impl<'a> Fields<'a> {
    /// Opens a mapping and reports every key that is not in the table and every one that is missing.
    pub fn open(
        node: &'a Node,
        at: &'a Bytes,
        keys: &'static Keys,
        sink: &'a Sink,
    ) -> Option<Fields<'a>> {
        let Value::Map(entries) = &node.value else {
            let problem = match node.value {
                Value::Null => Problem::error(at, format!("{} with nothing in it", keys.of))
                    .hint("write `{}` if nothing is to be said"),
                _ => Problem::error(
                    &node.span,
                    format!("{} is a mapping of keys, not {}", keys.of, node.kind()),
                )
                .hint(format!("it may have the keys {}", known(keys))),
            };
            sink.report(problem);
            return None;
        };
        for (index, entry) in entries.iter().enumerate() {
            let key = &entry.key;
            if keys.find(&key.text).is_none() && !sink.is_full() {
                let names = keys.iter().map(|key| key.name);
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
                            .or_else(|| nearest(&key.text, names.clone()).map(meant))
                            .or_else(|| misplaced_key::hint(&key.text, keys))
                            .or_else(|| hint_at(&key.text, names))
                            .unwrap_or_else(|| format!("it may have the keys {}", known(keys))),
                    ),
                );
            }
        }
        let fields = Fields { entries, at, sink };
        let missing = || {
            keys.required
                .iter()
                .filter(|name| fields.get(name).is_none())
        };
        if let Some(first) = missing().next() {
            let names: Vec<String> = missing().map(|name| format!("`{name}`")).collect();
            let meaning = keys.find(first).map_or("", |key| key.meaning);
            sink.report(
                Problem::error(at, format!("{} needs {}", keys.of, names.join(", ")))
                    .hint(format!("`{first}`: {meaning}")),
            );
        }
        Some(fields)
    }

    pub fn entry(&self, key: &str) -> Option<&'a Entry> {
        self.entries.iter().find(|entry| entry.key.text == key)
    }

    pub fn get(&self, key: &str) -> Option<&'a Node> {
        self.entry(key).map(|entry| &entry.node)
    }

    /// The entries of a mapping from names to something.
    pub fn named(&self, key: &str) -> Option<&'a [Entry]> {
        let entry = self.entry(key)?;
        match &entry.node.value {
            Value::Map(entries) => Some(entries),
            Value::Null => {
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

    pub fn quantity(&self, key: &str, dimension: Dimension) -> Option<Measured> {
        quantity(self.get(key)?, dimension, self.sink)
    }

    pub fn whole(&self, key: &str, least: u64, most: u64) -> Option<u64> {
        whole(self.get(key)?, least, most, self.sink)
    }

    pub fn duration(&self, key: &str) -> Option<crate::random::Distribution> {
        super::duration::read(self.get(key)?, self.sink)
    }
}

fn known(keys: &Keys) -> String {
    let names: Vec<&str> = keys.iter().map(|key| key.name).collect();
    names.join(", ")
}

/// A name, and where it is given.
#[derive(Debug, Clone, Copy)]
pub struct Named<'a> {
    pub text: &'a str,
    pub span: &'a Bytes,
}

impl<'a> From<&'a Key> for Named<'a> {
    fn from(key: &'a Key) -> Named<'a> {
        Named {
            text: &key.text,
            span: &key.span,
        }
    }
}

/// Names that other parts of the file refer to.
pub struct Names<'a> {
    /// What they name, without an article.
    what: &'static str,
    list: Vec<Named<'a>>,
    /// For look-up only; nothing goes through it in its order.
    index: std::collections::BTreeMap<&'a str, usize>,
    /// Written in the file, but of something that is wrong and has been reported.
    excused: Vec<&'a str>,
}

impl<'a> Names<'a> {
    pub fn new(what: &'static str) -> Names<'a> {
        Names {
            what,
            list: Vec::new(),
            index: std::collections::BTreeMap::new(),
            excused: Vec::new(),
        }
    }

    pub fn of(
        what: &'static str,
        named: impl IntoIterator<Item = impl Into<Named<'a>>>,
    ) -> Names<'a> {
        let mut names = Names::new(what);
        for name in named {
            names.add(name);
        }
        names
    }

    /// The index of the name, which is added if it is new.
    pub fn add(&mut self, name: impl Into<Named<'a>>) -> usize {
        let name = name.into();
        let next = self.list.len();
        let index = *self.index.entry(name.text).or_insert(next);
        if index == next {
            self.list.push(name);
        }
        index
    }

    /// Takes names that stand in the file: where one of them names nothing because its entry is wrong, that has been
    /// said once, and whoever refers to it is not to blame.
    pub fn excuse(&mut self, written: &[&'a str]) {
        self.excused.extend_from_slice(written);
    }

    pub fn len(&self) -> usize {
        self.list.len()
    }

    pub fn key(&self, index: usize) -> Named<'a> {
        self.list[index]
    }

    pub fn name(&self, index: usize) -> &'a str {
        self.list[index].text
    }

    pub fn index(&self, name: &str) -> Option<usize> {
        self.index.get(name).copied()
    }

    pub fn hint(&self, name: &str) -> Option<String> {
        hint_at(name, self.list.iter().map(|name| name.text))
    }

    /// The index of what this node names.
    pub fn find(&self, node: &Node, sink: &Sink) -> Option<usize> {
        let name = text(node, &format!("the name of a {}", self.what), sink)?;
        self.find_text(name, &node.span, sink)
    }

    pub fn find_text(&self, name: &str, span: &Bytes, sink: &Sink) -> Option<usize> {
        let found = self.index(name);
        if found.is_none() && !self.excused.contains(&name) {
            let hint = if sink.is_full() {
                None
            } else {
                self.hint(name)
            };
            sink.report(
                Problem::error(span, format!("there is no {} called `{name}`", self.what))
                    .maybe_hint(hint),
            );
        }
        found
    }
}
