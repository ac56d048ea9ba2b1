//! By which day somebody wants what is ordered.

use super::run;
use crate::scenario::fields::Fields;
use crate::scenario::problem::Problem;
use crate::scenario::quantity::Dimension;
use crate::scenario::reader;
use crate::scenario::tree::{MapEntry, YamlValue};
use crate::shop::{Arrivals, Calendar, Date};
use crate::units::{Moment, Span};

const DAY: i64 = 86_400_000_000;

/// What a day by which something is wanted is held against.
pub struct When<'c> {
    pub starts: Option<Date>,
    /// Nothing where it could not be read.
    pub calendar: Option<&'c Calendar>,
    pub horizon: Option<Moment>,
}

/// The moment at which the day or the time of `by` is over; `Err` if something is wrong, which has been reported.
pub fn by(fields: &Fields, arrivals: &Arrivals, when: &When<'_>) -> Result<Option<Moment>, ()> {
    let Some(entry) = fields.entry("by") else {
        return Ok(None);
    };
    let by = moment(entry, fields, when).ok_or(())?;
    match refusal(entry, fields, arrivals, by, when) {
        None => Ok(Some(by)),
        Some(problem) => {
            fields.sink.report(problem);
            Err(())
        }
    }
}

fn moment(entry: &MapEntry, fields: &Fields, when: &When<'_>) -> Option<Moment> {
    let node = &entry.node;
    if let Some(said) = day_in_words(&node.value) {
        fields.sink.report(
            Problem::error(&node.span, format!("`{said}` is no day that can be read here"))
                .hint("write year, month and day with dashes, such as 2026-12-24, or a time from the start such as `by: 25 d`"),
        );
        return None;
    }
    if !is_meant_as_date(&node.value) {
        let time = reader::quantity(node, Dimension::Time, fields.sink)?;
        return Some(Moment::START + Span::from_seconds(time.value));
    }
    let date = run::date(node, fields.sink)?;
    let Some(starts) = when.starts else {
        fields.sink.report(
            Problem::error(&node.span, "a date needs the day on which the run begins").hint(
                "write for example `run: {starts: 2026-11-30}`, or a time from the start such as `by: 25 d`",
            ),
        );
        return None;
    };
    let days = date.days_since(starts);
    if days < 0 {
        fields.sink.report(
            Problem::error(
                &node.span,
                format!("{date} is before the run begins, on {starts}"),
            )
            .hint("write a later day, or an earlier `starts` under `run`"),
        );
        return None;
    }
    Some(Moment::from_micros((days + 1) * DAY))
}

/// Whether a value is written as a day rather than as a time: three parts with dashes, strokes or points between them.
fn is_meant_as_date(value: &YamlValue) -> bool {
    let YamlValue::Scalar(text) = value else {
        return false;
    };
    let parts = |mark: char| text.split(mark).filter(|part| !part.is_empty()).count();
    let starts_with_digit = text.starts_with(|c: char| c.is_ascii_digit());
    starts_with_digit && (parts('-') == 3 || parts('/') == 3 || parts('.') == 3)
}

/// A value that names a month or a day of the week, as in `12 Dec`.
fn day_in_words(value: &YamlValue) -> Option<&str> {
    const NAMES: [&str; 19] = [
        "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec", "mon",
        "tue", "wed", "thu", "fri", "sat", "sun",
    ];
    let YamlValue::Scalar(text) = value else {
        return None;
    };
    let mut words = text.split(|c: char| !c.is_alphabetic());
    let names_one = |word: &str| {
        let begins = word.get(..3).map(str::to_lowercase);
        begins.is_some_and(|begins| NAMES.contains(&&begins[..]))
    };
    let is_span = |word: &str| word.to_lowercase().starts_with("month");
    words
        .any(|word| names_one(word) && !is_span(word))
        .then_some(text)
}

/// Why a line cannot be done by a moment whatever happens, or nobody could say whether it is.
fn refusal(
    entry: &MapEntry,
    fields: &Fields,
    arrivals: &Arrivals,
    by: Moment,
    when: &When<'_>,
) -> Option<Problem> {
    let at = &entry.node.span;
    if let Some(other) = fields.entry("in progress") {
        return Some(
            Problem::error(&entry.key.span, "`by` and `in progress` exclude each other")
                .also(&other.key.span, "a new one comes whenever one is done")
                .hint("leave `by` out: of orders that never end, nobody knows which is the last"),
        );
    }
    if when.horizon.is_some_and(|horizon| horizon < by) {
        return Some(
            Problem::error(at, "the run ends before this day is over")
                .hint("write a longer `until` under `run`, or leave it out: then it lasts until all is done"),
        );
    }
    let first = when.calendar.map(Calendar::first_opening);
    if first.is_some_and(|first| by <= first) {
        let what = "nothing can be done by then: the shop has not been opened yet";
        return Some(Problem::error(at, what).hint("write a later day"));
    }
    let Arrivals::Every {
        first,
        count,
        until,
        ..
    } = arrivals
    else {
        return None;
    };
    let first = first.map(|first| Moment::START + first);
    if first.is_some_and(|first| first >= by) {
        let what = "nothing can be done by then: the first of these orders comes later";
        return Some(Problem::error(at, what).hint("write a later day, or an earlier `first`"));
    }
    (count.is_none() && until.is_none_or(|until| until > by)).then(|| {
        Problem::error(
            at,
            "orders go on coming after this day, so that they are never all done by then",
        )
        .hint("write how many there are with `count`, or an `until` that is no later")
    })
}
