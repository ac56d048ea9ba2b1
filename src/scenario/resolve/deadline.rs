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
