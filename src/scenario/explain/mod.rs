//! What every key of a scenario means, with lines of an example that loads and where its default comes from: found in
//! the tables of keys that the reader uses.

mod examples;
mod sources;

pub use examples::EXAMPLES;

use super::keys::{KeyDefinition, Keys, OPERATION, PART, PROJECT, SCENARIO, STEP, ValueShape};
use super::problem::nearest;
use super::quantity::Dimension;
use examples::Examples;

/// A key of one kind of mapping.
#[derive(Debug, Clone)]
pub struct ExplainedKey {
    /// What the mapping is, with its article; several where they have these keys in common.
    pub of: String,
    pub name: &'static str,
    pub meaning: &'static str,
    /// What its value looks like, in words.
    pub value: String,
    pub is_required: bool,
    /// Lines of a scenario with it.
    pub example: Option<String>,
    /// Its default, if that is a figure of the checks.
    pub default: Option<String>,
    /// Where its default comes from.
    pub source: Option<&'static str>,
}

/// Every key that is offered, mapping by mapping from the top on, each mapping once.
pub fn explain_all() -> Vec<ExplainedKey> {
    explain(|_| true)
}

/// Those of this name.
pub fn explain_key(name: &str) -> Vec<ExplainedKey> {
    explain(|key| key == name)
}

fn explain(is_wanted: impl Fn(&str) -> bool) -> Vec<ExplainedKey> {
    let examples = Examples::read();
    let wanted = offered().filter(|(_, key)| is_wanted(key.name));
    wanted
        .map(|(keys, key)| explained(&examples, keys, key))
        .collect()
}

/// Every key that is offered, with its mapping.
fn offered() -> impl Iterator<Item = (&'static Keys, &'static KeyDefinition)> {
    let mut tables = Vec::new();
    collect(&SCENARIO, &mut tables);
    (tables.into_iter())
        .flat_map(|keys| keys.offered().map(move |key| (keys, key)))
        .filter(|(keys, key)| !is_elsewhere(keys, key.name))
}

/// A mapping that has keys of its own and all those of another one, where they are explained.
const SHARING: [(&Keys, &Keys); 2] = [(&STEP, &OPERATION), (&PART, &PROJECT)];

/// Whether a key is explained with another mapping that has it as well.
fn is_elsewhere(keys: &'static Keys, name: &str) -> bool {
    let mut sharing = SHARING.iter();
    sharing.any(|(with, of)| std::ptr::eq(*with, keys) && of.find(name).is_some())
}

/// What has this key: the mapping, and those that share it.
fn owners(keys: &'static Keys, name: &str) -> String {
    let sharing = SHARING.iter();
    let with = sharing.filter(|(with, of)| std::ptr::eq(*of, keys) && with.find(name).is_some());
    let with = with.map(|(with, _)| format!(" or {}", with.of));
    std::iter::once(keys.of.to_owned()).chain(with).collect()
}

/// A key, or one of some further words, that is written much like this one.
pub fn near_word(
    name: &str,
    words: impl IntoIterator<Item = &'static str>,
) -> Option<&'static str> {
    let keys = offered().map(|(_, key)| key.name);
    let all: Vec<&'static str> = keys.chain(words).collect();
    // Of `choose next` somebody may know the first word.
    let begun = all.iter().find(|word| {
        let rest = word.strip_prefix(name);
        rest.is_some_and(|rest| rest.starts_with(' '))
    });
    begun
        .copied()
        .or_else(|| nearest(name, all.iter().copied()))
}

fn collect(keys: &'static Keys, tables: &mut Vec<&'static Keys>) {
    if tables.iter().any(|met| std::ptr::eq(*met, keys)) {
        return;
    }
    tables.push(keys);
    for key in keys.offered() {
        inside(&key.shape, tables);
    }
}

/// The mappings that a value has in it.
fn inside(shape: &'static ValueShape, tables: &mut Vec<&'static Keys>) {
    match shape {
        ValueShape::Mapping(keys) => collect(keys, tables),
        ValueShape::Named(of) | ValueShape::List(of) => inside(of, tables),
        ValueShape::Either(shapes) => shapes.iter().for_each(|shape| inside(shape, tables)),
        _ => {}
    }
}

fn explained(
    examples: &Examples,
    keys: &'static Keys,
    key: &'static KeyDefinition,
) -> ExplainedKey {
    ExplainedKey {
        of: owners(keys, key.name),
        name: key.name,
        meaning: key.meaning,
        value: in_words(&key.shape),
        is_required: keys.required.contains(&key.name),
        example: examples.lines(keys, key.name),
        default: sources::figure(keys, key.name),
        source: sources::of(keys, key.name),
    }
}

/// What a value looks like.
fn in_words(shape: &'static ValueShape) -> String {
    match shape {
        ValueShape::Text => "a name or a text".to_owned(),
        ValueShape::Flag => "true or false".to_owned(),
        ValueShape::Whole(least) => format!("a whole number from {least} on"),
        ValueShape::Number => "a number".to_owned(),
        ValueShape::Quantity(dimension) => quantity(*dimension),
        ValueShape::Temperature => "a temperature, as in 18 C or 65 F".to_owned(),
        ValueShape::RatedLoss => "a pressure at an airflow, as in 1 inH2O at 600 cfm".to_owned(),
        ValueShape::Wire => "a wire, as in 12 AWG or 2.5 mm2".to_owned(),
        ValueShape::Clock => "a time of day, as in \"19:30\"".to_owned(),
        ValueShape::Day => "a date, as in 2026-11-30".to_owned(),
        ValueShape::Varied => format!("{}, or one that varies", quantity(Dimension::Time)),
        ValueShape::Lengths(2) => "two lengths, as in [30 cm, 1 m]".to_owned(),
        ValueShape::Lengths(_) => "three lengths, as in [1 m, 10 cm, 20 mm]".to_owned(),
        ValueShape::OneOf([only]) => format!("`{only}`"),
        ValueShape::OneOf(words) => format!("one of {}", words.join(", ")),
        ValueShape::Rule(words) => format!("one of {}", words().join(", ")),
        ValueShape::Zero => "0".to_owned(),
        ValueShape::Mapping(keys) => {
            let names: Vec<&str> = keys.offered().map(|key| key.name).collect();
            format!("{} with the keys {}", keys.of, names.join(", "))
        }
        ValueShape::Named(of) => format!("names, and for each of them {}", in_words(of)),
        ValueShape::List(of) => format!("a list, each of it {}", in_words(of)),
        ValueShape::Either(shapes) => {
            let words: Vec<String> = shapes.iter().map(in_words).collect();
            words.join("; or ")
        }
        ValueShape::Anything => "anything".to_owned(),
        ValueShape::NotYet => "nothing yet".to_owned(),
        ValueShape::Unused(of) => in_words(of),
    }
}

fn quantity(dimension: Dimension) -> String {
    format!("{}, as in {}", dimension.noun(), dimension.examples())
}
