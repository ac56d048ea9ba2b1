//! When the shop is open.

use crate::random::Distribution;
use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::problem::{Bytes, Problem, Sink, hint_at};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader;
use crate::scenario::tree::{MapEntry, YamlNode, YamlValue};
use crate::shop::{
    Calendar, Choice, Date, OpeningTime, OperationId, OrderLine, OrderLineId, Project, ProjectId,
    Table, WEEKDAYS, WeeklySessions, Work,
};
use crate::units::{Moment, Span};

/// Minutes in a day.
const DAY: u64 = 24 * 60;
/// Far beyond what any shop keeps.
const MOST_SESSIONS: usize = 1000;

/// The calendar of a run that begins on a date, or on a Monday; `None` if something is wrong, which has been reported.
/// `horizon` is in seconds.
pub fn read(fields: &Fields, starts: Option<Date>, horizon: Option<f64>) -> Option<Calendar> {
    let Some(entry) = fields.entry("sessions") else {
        return Some(Calendar::AlwaysOpen);
    };
    let sink = fields.sink;
    let list = match &entry.node.value {
        YamlValue::Map(_) => {
            let more = Fields::open(&entry.node, &entry.key.span, &keys::SESSIONS, sink)?;
            more.get("when")?
        }
        _ => &entry.node,
    };
    let items = reader::list(list, "a list of sessions", sink)?;
    if items.is_empty() || items.len() > MOST_SESSIONS {
        let problem = match items.is_empty() {
            true => Problem::error(&entry.key.span, "there is no session, so nothing is ever done")
                .hint("write for example `- {days: [tue, thu], open: \"19:00\", close: \"21:30\"}`, or leave `sessions` out: then the shop is always open"),
            false => Problem::error(
                &items[MOST_SESSIONS].span,
                format!("at most {MOST_SESSIONS} kinds of sessions are accepted"),
            ),
        };
        sink.report(problem);
        return None;
    }
    let mut opening: Vec<(OpeningTime, &Bytes)> = Vec::new();
    let mut complete = true;
    for item in items {
        match session(item, sink) {
            Some(times) => opening.extend(times.into_iter().map(|time| (time, &item.span))),
            None => complete = false,
        }
    }
    if !complete || !are_apart(&mut opening, sink) {
        return None;
    }
    let times: Vec<OpeningTime> = opening.into_iter().map(|(time, _)| time).collect();
    let starts_on = starts.map_or(0, |date| date.weekday());
    // Whatever makes it no week has been reported.
    let calendar = Calendar::Weekly(WeeklySessions::new(&times, starts_on)?);
    warn_if_never_opened(&calendar, horizon, entry, sink);
    Some(calendar)
}

/// One item of the list: the same times on each of its days.
fn session(node: &YamlNode, sink: &Sink) -> Option<Vec<OpeningTime>> {
    let fields = Fields::open(node, &node.span, &keys::SESSION, sink)?;
    let days = fields.get("days").and_then(|days| weekdays(days, sink));
    let open = fields.get("open").and_then(|node| clock(node, sink));
    let close = fields.get("close").and_then(|node| clock(node, sink));
    let span = |key: &str| match fields.get(key) {
        Some(_) => Some(Span::from_seconds(
            fields.quantity(key, Dimension::Time)?.value,
        )),
        None => Some(Span::ZERO),
    };
    let (set_up, tidy_up) = (span("set up"), span("tidy up"));
    let (days, open, close) = (days?, open?, close?);
    let (set_up, tidy_up) = (set_up?, tidy_up?);
    let (Some(from), Some(to)) = (fields.entry("open"), fields.entry("close")) else {
        return None;
    };
    if close <= open {
        sink.report(
            Problem::error(&to.node.span, "the shop would close before it opens")
                .also(&from.node.span, "it opens here")
                .hint("a session lies within one day, up to 24:00; write what goes on after midnight as a session of the next day, from \"0:00\""),
        );
        return None;
    }
    let between = set_up + tidy_up;
    if between.seconds() >= (close - open).seconds() {
        let at = match fields.entry("set up") {
            Some(entry) if tidy_up.is_zero() => &entry.key.span,
            _ => fields
                .entry("tidy up")
                .map_or(&node.span, |entry| &entry.key.span),
        };
        sink.report(
            Problem::error(at, "setting up and tidying up leave no time for work")
                .also(&to.node.span, "the session ends here")
                .hint("write a longer session, or shorter times"),
        );
        return None;
    }
    let times = days.into_iter().map(|weekday| OpeningTime {
        weekday,
        open,
        close,
        set_up,
        tidy_up,
    });
    Some(times.collect())
}

fn weekdays(node: &YamlNode, sink: &Sink) -> Option<Vec<u32>> {
    let items = reader::list(node, "a list of days", sink)?;
    if items.is_empty() {
        sink.report(
            Problem::error(&node.span, "a session needs a day")
                .hint("write for example `days: [tue, thu]`"),
        );
        return None;
    }
    let mut days = Vec::new();
    let mut complete = true;
    for item in items {
        let Some(text) = reader::text(item, "a day such as tue", sink) else {
            complete = false;
            continue;
        };
        match WEEKDAYS.iter().position(|day| *day == text) {
            Some(day) if days.contains(&(day as u32)) => {
                sink.report(
                    Problem::error(&item.span, format!("`{text}` stands here twice"))
                        .hint("name each day once"),
                );
                complete = false;
            }
            Some(day) => days.push(day as u32),
            None => {
                let short = text.to_lowercase().chars().take(3).collect::<String>();
                let problem = Problem::error(
                    &item.span,
                    format!("`{text}` is none of the days of a week"),
                );
                sink.report(match WEEKDAYS.contains(&&*short) {
                    true => problem.hint(format!("write `{short}`")),
                    false => problem
                        .maybe_hint(hint_at(text, WEEKDAYS))
                        .label(format!("one of {}", WEEKDAYS.join(", "))),
                });
                complete = false;
            }
        }
    }
    complete.then_some(days)
}

/// A time of day, after midnight.
fn clock(node: &YamlNode, sink: &Sink) -> Option<Span> {
    let text = reader::text(node, "a time of day such as \"19:00\"", sink)?;
    let minutes = minutes(text);
    if minutes.is_none() {
        sink.report(
            Problem::error(&node.span, format!("`{text}` is no time of day"))
                .hint("write hours and minutes from \"0:00\" to \"24:00\", such as \"19:30\""),
        );
    }
    Some(Span::from_seconds(60.0 * minutes? as f64))
}

fn minutes(text: &str) -> Option<u64> {
    let (hours, minutes) = text.split_once(':')?;
    let number = |text: &str, digits: std::ops::RangeInclusive<usize>| {
        let is_number =
            digits.contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
        is_number.then(|| text.parse::<u64>().ok()).flatten()
    };
    let (hours, minutes) = (number(hours, 1..=2)?, number(minutes, 2..=2)?);
    let all = 60 * hours + minutes;
    (minutes < 60 && all <= DAY).then_some(all)
}

/// Sorts the sessions and reports the first that begins before the one before it has ended.
fn are_apart(opening: &mut [(OpeningTime, &Bytes)], sink: &Sink) -> bool {
    opening.sort_by_key(|(time, _)| (time.weekday, time.open));
    let overlap = (opening.windows(2))
        .find(|two| two[0].0.weekday == two[1].0.weekday && two[1].0.open < two[0].0.close);
    let Some([(first, before), (_, span)]) = overlap else {
        return true;
    };
    let day = WEEKDAYS[first.weekday as usize % WEEKDAYS.len()];
    let problem = Problem::error(span, format!("two sessions overlap on {day}"));
    sink.report(
        match before == span {
            true => problem,
            false => problem.also(before, "this one lasts until after the other has begun"),
        }
        .hint("let one end before the other begins, or write them as one"),
    );
    false
}

/// Warns of a run that ends before the shop is opened, which shows nothing.
fn warn_if_never_opened(calendar: &Calendar, horizon: Option<f64>, entry: &MapEntry, sink: &Sink) {
    let end = horizon.map(|horizon| Moment::START + Span::from_seconds(horizon));
    let in_time = end.is_none_or(|end| end > calendar.first_opening());
    if !in_time {
        sink.report(
            Problem::warning(
                &entry.key.span,
                "the run ends before the shop is first opened",
            )
            .hint("write a longer `until` under `run`, or an earlier session"),
        );
    }
}

/// Reports the first work that may not be interrupted and lasts longer, as expected, than any time between two
/// interruptions; `None` if there is one.
pub fn all_fits(
    fields: &Fields,
    calendar: &Calendar,
    orders: &Table<OrderLineId, OrderLine>,
    spans: &[Bytes],
    (projects, operations): (&Table<ProjectId, Project>, &Table<OperationId, String>),
) -> Option<()> {
    let Some(longest) = calendar.longest_stretch() else {
        return Some(());
    };
    for (line, span) in orders.iter().zip(spans) {
        for item in &projects[line.project].items {
            let lot = item.largest_lot(item.pieces * line.together);
            let expected = |choice: &Choice| Span::from_seconds(expected(&choice.work, lot));
            let fits = |choice: &Choice| choice.work.pausable || expected(choice) <= longest;
            let Some(step) = item
                .route
                .iter()
                .find(|step| !step.choices.iter().any(fits))
            else {
                continue;
            };
            let shortest = step
                .choices
                .iter()
                .map(expected)
                .min()
                .unwrap_or(Span::ZERO);
            let first = step.choices.first();
            let name = first.map_or("", |choice| &operations[choice.work.operation]);
            let mut problem = Problem::error(
                span,
                format!(
                    "`{name}` of `{}` takes {} and is not to be paused, but no session is that long",
                    item.name,
                    words(shortest)
                ),
            )
            .hint(format!(
                "there are {} to work without a break at the most: write a longer session, a smaller `batch`, or \
                 `pausable: true` if it may be left half done",
                words(longest)
            ));
            if let Some(entry) = fields.entry("sessions") {
                problem = problem.also(&entry.key.span, "the sessions stand here");
            }
            fields.sink.report(problem);
            return None;
        }
    }
    Some(())
}

/// Setup, run and tear-down of a lot as expected, in seconds.
fn expected(work: &Work, pieces: u32) -> f64 {
    let mean = |time: &Option<Distribution>| time.as_ref().map_or(0.0, Distribution::mean);
    mean(&work.setup) + work.expected_run(pieces) + mean(&work.teardown)
}

fn words(span: Span) -> String {
    let minutes = span.seconds() / 60.0;
    match minutes {
        short if short < 120.0 => format!("{:.1} min", short),
        long => format!("{:.1} h", long / 60.0),
    }
}
