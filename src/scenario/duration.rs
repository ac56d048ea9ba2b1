//! Durations that may vary: a fixed one, or a distribution by its name in [`KINDS`].

use super::decimal_comma;
use super::problem::{LEAVE_ONE_OUT, Problem, Sink, hint_at};
use super::quantity::Dimension;
use super::reader::{self, entries};
use super::tree::{YamlNode, YamlValue};
use crate::random::{
    Distribution, DistributionError, DistributionKind, Form, KINDS, Parameter, ParameterQuantity,
};

/// Reads a duration, fixed or random; problems go to the sink.
pub fn read(node: &YamlNode, sink: &Sink) -> Option<Distribution> {
    match &node.value {
        YamlValue::Scalar(text) => {
            if let Some([least, most]) = Dimension::Time.range(text) {
                sink.report(
                    Problem::error(
                        &node.span,
                        format!("`{text}` is a range, but a time is needed"),
                    )
                    .hint(format!(
                        "write `{{uniform: [{least}, {most}]}}` for anything between them"
                    )),
                );
                return None;
            }
            let seconds = reader::quantity(node, Dimension::Time, sink)?.value;
            build(node, sink, Distribution::fixed(seconds), None)
        }
        YamlValue::Map(fields) => {
            if let [first, second, ..] = &fields[..] {
                sink.report(
                    Problem::error(
                        &second.key.span,
                        format!("a duration has one key, not {}", fields.len()),
                    )
                    .also(&first.key.span, "this one is given too")
                    .hint(LEAVE_ONE_OUT),
                );
                return None;
            }
            let Some(entry) = fields.first() else {
                sink.report(
                    Problem::error(&node.span, "a duration has one key, not 0")
                        .hint("write for example {triangular: [2 min, 3 min, 6 min]}"),
                );
                return None;
            };
            let Some(kind) = KINDS.iter().find(|kind| kind.name == entry.key.text) else {
                let names = KINDS.iter().map(|kind| kind.name);
                sink.report(
                    Problem::error(
                        &entry.key.span,
                        format!("`{}` is not a distribution", entry.key.text),
                    )
                    .maybe_hint(hint_at(&entry.key.text, names)),
                );
                return None;
            };
            let given = parameters(kind, &entry.node, sink)?;
            build(&entry.node, sink, (kind.build)(&given), Some(kind))
        }
        _ => {
            sink.report(
                Problem::error(
                    &node.span,
                    format!("a duration is needed, not {}", node.kind()),
                )
                .hint("write for example 3 min, or {triangular: [2 min, 3 min, 6 min]}"),
            );
            None
        }
    }
}

fn build(
    node: &YamlNode,
    sink: &Sink,
    built: Result<Distribution, DistributionError>,
    kind: Option<&DistributionKind>,
) -> Option<Distribution> {
    match built {
        Ok(distribution) => Some(distribution),
        Err(error) => {
            sink.report(
                Problem::error(&node.span, error.to_string())
                    .maybe_hint(kind.map(|kind| format!("for example {}", kind.example))),
            );
            None
        }
    }
}

/// Looks for decimal commas in a list of times. Where the list can be read either way, one warning says how it is read.
fn look_for_commas(items: &[YamlNode], node: &YamlNode, sink: &Sink) {
    let mut is_warned = false;
    for (whole, number) in decimal_comma::halves(items) {
        match &whole.value {
            YamlValue::Scalar(text) if text == "0" => {
                if std::mem::replace(&mut is_warned, true) {
                    continue;
                }
                let read = items.iter().filter_map(|item| match &item.value {
                    YamlValue::Scalar(text) => Some(text.as_str()),
                    _ => None,
                });
                let read: Vec<&str> = read.collect();
                sink.report(
                    Problem::warning(&node.span, format!("read as {}", read.join(" to ")))
                        .hint(format!("if `{number}` is meant, write it with a point")),
                );
            }
            _ => sink.suspect_comma(
                &whole.span,
                format!(
                    "write the unit with it; or, if `{number}` is meant, write that with a point"
                ),
            ),
        }
    }
}

/// The parameters in the order of the kind's form, durations in seconds.
fn parameters(kind: &DistributionKind, node: &YamlNode, sink: &Sink) -> Option<Vec<f64>> {
    let wrong_form = |expected: String, hint: Option<String>| {
        sink.report(
            Problem::error(&node.span, format!("`{}` takes {expected}", kind.name))
                .hint(hint.unwrap_or_else(|| format!("for example {}", kind.example))),
        );
    };
    match kind.form {
        Form::Single(parameter) => Some(vec![one(&parameter, node, sink)?]),
        Form::List(expected) => match &node.value {
            YamlValue::List(items) if items.len() == expected.len() => {
                look_for_commas(items, node, sink);
                let values: Vec<Option<f64>> = expected
                    .iter()
                    .zip(items)
                    .map(|(parameter, item)| one(parameter, item, sink))
                    .collect();
                values.into_iter().collect()
            }
            other => {
                let names: Vec<&str> = expected.iter().map(|p| p.name).collect();
                let comma = match other {
                    YamlValue::List(items) => decimal_comma::decimal_comma(items),
                    _ => None,
                };
                wrong_form(format!("a list of {}", names.join(", ")), comma);
                None
            }
        },
        Form::Values => match &node.value {
            YamlValue::List(items) => {
                look_for_commas(items, node, sink);
                let values: Vec<Option<f64>> = items
                    .iter()
                    .map(|item| reader::quantity(item, Dimension::Time, sink).map(|q| q.value))
                    .collect();
                values.into_iter().collect()
            }
            _ => {
                wrong_form("a list of times".to_owned(), None);
                None
            }
        },
        Form::Named(expected) => {
            let names = || expected.iter().map(|p| p.name);
            let YamlValue::Map(_) = &node.value else {
                let names: Vec<&str> = names().collect();
                wrong_form(format!("the keys {}", names.join(" and ")), None);
                return None;
            };
            for entry in entries(node) {
                if !names().any(|name| name == entry.key.text) {
                    sink.report(
                        Problem::error(
                            &entry.key.span,
                            format!("`{}` is not a key of `{}`", entry.key.text, kind.name),
                        )
                        .maybe_hint(hint_at(&entry.key.text, names())),
                    );
                }
            }
            let values: Vec<Option<f64>> = expected
                .iter()
                .map(|parameter| match node.get(parameter.name) {
                    Some(value) => one(parameter, value, sink),
                    None => {
                        wrong_form(format!("`{}`, too", parameter.name), None);
                        None
                    }
                })
                .collect();
            values.into_iter().collect()
        }
    }
}

fn one(parameter: &Parameter, node: &YamlNode, sink: &Sink) -> Option<f64> {
    match parameter.quantity {
        ParameterQuantity::Duration => {
            reader::quantity(node, Dimension::Time, sink).map(|q| q.value)
        }
        ParameterQuantity::Count => {
            reader::whole(node, 1, 1_000_000, sink).map(|count| count as f64)
        }
        ParameterQuantity::Number => reader::number(node, sink),
    }
}
