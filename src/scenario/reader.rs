//! Reads single values of the tree; what is wrong goes to the sink, and the reading goes on.

use super::decimal_comma::decimal_comma;
use super::problem::{Bytes, Problem, Sink, hint_at};
use super::quantity::Dimension;
use super::tree::{MapEntry, YamlNode, YamlValue};
use crate::services::power::Conductor;

/// A quantity in SI units, and how it was written.
#[derive(Debug, Clone, PartialEq)]
pub struct GivenQuantity {
    pub value: f64,
    pub text: String,
    pub span: Bytes,
}

/// The entries of a mapping; none of anything else.
pub fn entries(node: &YamlNode) -> &[MapEntry] {
    match &node.value {
        YamlValue::Map(entries) => entries,
        _ => &[],
    }
}

fn expected(node: &YamlNode, what: &str, sink: &Sink) {
    let problem = match node.value {
        YamlValue::Null => Problem::error(
            &node.span,
            format!("{what} is needed, but nothing is given"),
        ),
        _ => Problem::error(&node.span, format!("{what} is needed, not {}", node.kind())),
    };
    sink.report(problem);
}

pub fn text<'a>(node: &'a YamlNode, what: &str, sink: &Sink) -> Option<&'a str> {
    match &node.value {
        YamlValue::Scalar(text) => Some(text),
        _ => {
            expected(node, what, sink);
            None
        }
    }
}

pub fn list<'a>(node: &'a YamlNode, what: &str, sink: &Sink) -> Option<&'a [YamlNode]> {
    list_such_as(node, what, |text| format!("[{}]", as_items(text)), sink)
}

/// A list, and how somebody writes it who gave a single value.
pub fn list_such_as<'a>(
    node: &'a YamlNode,
    what: &str,
    such_as: impl FnOnce(&str) -> String,
    sink: &Sink,
) -> Option<&'a [YamlNode]> {
    match &node.value {
        YamlValue::List(items) => Some(items),
        YamlValue::Scalar(text) => {
            sink.report(
                Problem::error(&node.span, format!("{what} is needed, not a single value"))
                    .hint(format!("a list stands in brackets: `{}`", such_as(text))),
            );
            None
        }
        _ => {
            expected(node, what, sink);
            None
        }
    }
}

/// What somebody wrote as `44 in x 36 in`, as list items; items without a unit get that of the last.
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

fn is_of_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

fn from_to(least: u64, most: u64) -> String {
    format!("write a whole number from {least} to {most}")
}

pub fn whole(node: &YamlNode, least: u64, most: u64, sink: &Sink) -> Option<u64> {
    let text = text(node, "a whole number", sink)?;
    let problem = match text.parse::<u64>() {
        Ok(value) if value < least => Problem::error(
            &node.span,
            format!("{value} is too few; at least {least} is needed"),
        )
        .hint(from_to(least, most)),
        Ok(value) if value > most => Problem::error(
            &node.span,
            format!("{value} is more than the most that is accepted, {most}"),
        )
        .hint(from_to(least, most)),
        Ok(value) => return Some(value),
        Err(_) if is_of_digits(text) => Problem::error(
            &node.span,
            format!("{text} is more than the most that is accepted, {most}"),
        )
        .hint(from_to(least, most)),
        Err(_) if text.strip_prefix('-').is_some_and(is_of_digits) => Problem::error(
            &node.span,
            format!("{text} is too few; at least {least} is needed"),
        )
        .hint(from_to(least, most)),
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

/// Whether three digits follow the comma of a number, as where commas part thousands.
fn parts_thousands(number: &str) -> bool {
    let after = number.rsplit_once(',').map(|(_, after)| after);
    after.is_some_and(|after| after.len() == 3 && after.bytes().all(|byte| byte.is_ascii_digit()))
}

pub fn number(node: &YamlNode, sink: &Sink) -> Option<f64> {
    let text = text(node, "a number", sink)?;
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() && value.abs() <= 1e9 => Some(value),
        Ok(_) => {
            sink.report(
                Problem::error(
                    &node.span,
                    format!("`{text}` is not a number that can stand here"),
                )
                .hint("it must be finite, and at most 1e9"),
            );
            None
        }
        Err(_) => {
            // The hint keeps the number and drops a unit or degree sign behind it.
            let digits = text.trim_end_matches(|c: char| !c.is_ascii_digit() && c != '.');
            let digits = digits.trim_end();
            let meant = digits.replace(',', ".");
            let hint = match meant.parse::<f64>() {
                Ok(_) if parts_thousands(digits) => format!(
                    "write `{}`, or `{meant}` if the comma is a decimal point",
                    digits.replace(',', "")
                ),
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

/// A copper wire.
pub fn wire(node: &YamlNode, sink: &Sink) -> Option<Conductor> {
    let given = text(node, "a wire such as 12 AWG or 2.5 mm2", sink)?;
    let wrong = match super::wire::wire(given) {
        Ok(conductor) => return Some(conductor),
        Err(wrong) => wrong,
    };
    sink.report(Problem::error(&node.span, wrong.what).hint(wrong.hint));
    None
}

/// Degrees Celsius.
pub fn celsius(node: &YamlNode, sink: &Sink) -> Option<f64> {
    let given = text(node, "a temperature such as 18 C or 65 F", sink)?;
    let wrong = match super::temperature::celsius(given) {
        Ok(celsius) => return Some(celsius),
        Err(wrong) => wrong,
    };
    sink.report(Problem::error(&node.span, wrong.what).hint(wrong.hint));
    None
}

pub fn flag(node: &YamlNode, sink: &Sink) -> Option<bool> {
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
pub fn one_of(node: &YamlNode, words: &[&str], sink: &Sink) -> Option<usize> {
    let text = text(node, &format!("one of {}", words.join(", ")), sink)?;
    let found = words.iter().position(|word| *word == text);
    if found.is_none() {
        let mut begun = words.iter().filter(|word| begins_with_word(word, text));
        let meant = match (begun.next(), begun.next()) {
            (Some(only), None) => Some(format!("did you mean `{only}`?")),
            _ => hint_at(text, words.iter().copied()),
        };
        sink.report(
            Problem::error(
                &node.span,
                format!("`{text}` is none of {}", words.join(", ")),
            )
            .maybe_hint(meant),
        );
    }
    found
}

/// Whether the first words of several are these: `last` of `last in a session`.
fn begins_with_word(words: &str, beginning: &str) -> bool {
    !beginning.is_empty()
        && (words.strip_prefix(beginning)).is_some_and(|rest| rest.starts_with(' '))
}

fn measured(
    node: &YamlNode,
    dimension: Dimension,
    signed: bool,
    sink: &Sink,
) -> Option<GivenQuantity> {
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
        Ok(value) => Some(GivenQuantity {
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

pub fn quantity(node: &YamlNode, dimension: Dimension, sink: &Sink) -> Option<GivenQuantity> {
    measured(node, dimension, false, sink)
}

/// A list of exactly `N` lengths.
pub fn lengths<const N: usize>(
    node: &YamlNode,
    what: &str,
    signed: bool,
    sink: &Sink,
) -> Option<[GivenQuantity; N]> {
    if let YamlValue::Scalar(text) = &node.value
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
    let values: Vec<Option<GivenQuantity>> = items
        .iter()
        .map(|item| measured(item, Dimension::Length, signed, sink))
        .collect();
    values
        .into_iter()
        .collect::<Option<Vec<_>>>()?
        .try_into()
        .ok()
}
