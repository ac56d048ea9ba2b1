//! How the candidates are played.

use crate::experiment::{Replications, Settings, Units};
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::problem::{Problem, Sink};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader;
use crate::scenario::tree::{YamlNode, YamlValue};
use crate::shop::Date;
use crate::units::{Moment, Span};

const MOST_REPLICATIONS: u64 = 1_000_000;

/// The `run` of the scenario.
pub fn settings(tree: &YamlNode, sink: &Sink) -> Settings {
    let mut settings = Settings::default();
    let Some(entry) = tree.entry("run") else {
        return settings;
    };
    let Some(fields) = Fields::open(&entry.node, &entry.key.span, &keys::RUN, sink) else {
        return settings;
    };
    if let (Some(precision), Some(replications)) =
        (fields.entry("precision"), fields.entry("replications"))
    {
        sink.report(
            Problem::error(
                &precision.key.span,
                "`precision` and `replications` exclude each other",
            )
            .also(&replications.key.span, "the number is fixed here")
            .hint("leave one of them out"),
        );
    }
    if let Some(count) = fields.whole("replications", 1, MOST_REPLICATIONS) {
        settings.replications = Replications::Fixed(count as u32);
    }
    if let Some(precision) = fields.quantity("precision", Dimension::Share) {
        if precision.value > 0.0 {
            settings.replications = Replications::Precision(precision.value);
        } else {
            sink.report(
                Problem::error(&precision.span, "no number of runs gives a half-width of 0")
                    .hint("write for example `precision: 2 %`"),
            );
        }
    }
    if let Some(seed) = fields.whole("seed", 0, u64::MAX) {
        settings.seed = seed;
    }
    settings.starts = fields.get("starts").and_then(|node| date(node, sink));
    settings.until = until(&fields);
    if let Some(warm_up) = fields.quantity("warm up", Dimension::Time) {
        settings.warm_up = Span::from_seconds(warm_up.value);
        if let (Some(end), Some(until)) = (settings.until, fields.get("until"))
            && settings.warm_up >= end - Moment::START
        {
            sink.report(
                Problem::error(&warm_up.span, "the warm-up leaves nothing to measure")
                    .also(&until.span, "the run ends here")
                    .hint("write a shorter `warm up` or a longer `until`"),
            );
        }
    }
    if let Some(confidence) = fields.quantity("confidence", Dimension::Share) {
        if (0.01..=0.9999).contains(&confidence.value) {
            settings.confidence = confidence.value;
        } else {
            sink.report(
                Problem::error(
                    &confidence.span,
                    format!("no interval has a confidence of {}", confidence.text),
                )
                .hint("write between 1 % and 99.99 %, for example 95 %"),
            );
        }
    }
    settings
}

/// A day, such as 2026-11-30.
pub fn date(node: &YamlNode, sink: &Sink) -> Option<Date> {
    let text = reader::text(node, "a date such as 2026-11-30", sink)?;
    let date = Date::read(text);
    if date.is_none() {
        sink.report(
            Problem::error(
                &node.span,
                format!("`{text}` is no day of any year from 1900 to 2999"),
            )
            .hint("write year, month and day with dashes, such as 2026-11-30"),
        );
    }
    date
}

fn until(fields: &Fields) -> Option<Moment> {
    let node = fields.get("until")?;
    if let YamlValue::Scalar(text) = &node.value {
        if text == "done" {
            return None;
        }
        if !text.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.')) {
            fields.sink.report(
                Problem::error(&node.span, format!("`{text}` is neither `done` nor a time"))
                    .hint("write `done`, or a horizon such as 90 d"),
            );
            return None;
        }
    }
    let horizon = fields.time_from("until", "the beginning of the run")?;
    let span = Span::from_seconds(horizon.value);
    if span.is_zero() {
        fields.sink.report(
            Problem::error(&horizon.span, "the run would end before it begins")
                .hint("write `done`, or a horizon such as 90 d"),
        );
        return None;
    }
    Some(Moment::START + span)
}

/// Title, description, and the units of the output.
pub fn heading(tree: &YamlNode, sink: &Sink) -> (Option<String>, Option<String>, Units) {
    let text = |key: &str| {
        let node = tree.get(key)?;
        reader::text(node, "a text", sink).map(|text| text.trim_end().to_owned())
    };
    let title = text("title");
    if let (Some(title), Some(node)) = (&title, tree.get("title"))
        && title.trim().is_empty()
    {
        sink.report(
            Problem::error(&node.span, "the title is empty")
                .hint("say in a few words what this is"),
        );
    }
    let units = tree
        .get("show")
        .and_then(|node| reader::one_of(node, &["metric", "imperial"], sink));
    let units = if units == Some(1) {
        Units::Imperial
    } else {
        Units::Metric
    };
    (title, text("about"), units)
}
