//! When the shop is open.

use crate::scenario::fields::Fields;
use crate::scenario::keys;
use crate::scenario::problem::{Bytes, Problem, Sink, hint_at};
use crate::scenario::quantity::Dimension;
use crate::scenario::reader;
use crate::scenario::tree::{MapEntry, YamlNode, YamlValue};
use crate::shop::{Calendar, Date, OpeningTime, WEEKDAYS, WeeklySessions, WeeklyTimes};
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
    let times = opening_times(list, &SESSIONS, &entry.key.span, sink)?;
    // Whatever makes it no week has been reported.
    let weekly = WeeklySessions::new(&times, weekday(starts))?;
    let calendar = Calendar::Weekly(weekly);
    warn_if_never_opened(&calendar, horizon, entry, sink);
    Some(calendar)
}

fn weekday(starts: Option<Date>) -> u32 {
    starts.map_or(0, |date| date.weekday())
}

/// What own hours of people are read against.
#[derive(Clone, Copy)]
pub struct KeepingHours<'a> {
    /// `None` if something is wrong with it, which has been reported.
    pub calendar: Option<&'a Calendar>,
    pub starts: Option<Date>,
}

impl KeepingHours<'_> {
    /// When somebody is there who has hours of their own; `None` if always, or if something is wrong, which has been
    /// reported.
    pub fn read(self, person: &Fields, name: &str) -> Option<WeeklyTimes> {
        let entry = person.entry("hours")?;
        let times = opening_times(&entry.node, &HOURS, &entry.key.span, person.sink)?;
        let hours = WeeklySessions::new(&times, weekday(self.starts))?;
        let there = self.calendar?.within(&hours);
        if there.are_never() {
            person.sink.report(
                Problem::warning(
                    &entry.key.span,
                    format!("`{name}` is never there while the shop is open"),
                )
                .hint("write hours that lie in a session, or leave this person out"),
            );
        }
        Some(there)
    }
}

/// How a list of opening times is spoken of.
struct TimesWords {
    keys: &'static keys::Keys,
    list: &'static str,
    such_as: &'static str,
    none: &'static str,
    none_hint: &'static str,
    many: &'static str,
    ends_first: &'static str,
    begins: &'static str,
    within: &'static str,
    overlap: &'static str,
    apart: &'static str,
}

const SESSIONS: TimesWords = TimesWords {
    keys: &keys::SESSION,
    list: "a list of sessions",
    such_as: "[{days: [tue, thu], open: \"19:00\", close: \"21:30\"}]",
    none: "there is no session, so nothing is ever done",
    none_hint: "write for example `- {days: [tue, thu], open: \"19:00\", close: \"21:30\"}`, or leave `sessions` out: then the shop is always open",
    many: "kinds of sessions",
    ends_first: "the shop would close before it opens",
    begins: "it opens here",
    within: "a session lies within one day, up to 24:00; write what goes on after midnight as a session of the next day, from \"0:00\"",
    overlap: "two sessions overlap on",
    apart: "let one end before the other begins, or write them as one",
};

const HOURS: TimesWords = TimesWords {
    keys: &keys::PERSON_HOURS,
    list: "a list of hours",
    such_as: "[{days: [sat], open: \"10:00\", close: \"12:00\"}]",
    none: "there are no hours, so this person is never there",
    none_hint: "write for example `hours: [{days: [sat], open: \"10:00\", close: \"12:00\"}]`, or leave `hours` out: then they are there whenever the shop is open",
    many: "kinds of hours",
    ends_first: "this person would go before they come",
    begins: "they come here",
    within: "hours lie within one day, up to 24:00; write what goes on after midnight as hours of the next day, from \"0:00\"",
    overlap: "these hours overlap others on",
    apart: "let one end before the other begins, or write them as one",
};

/// A list of times at which something is open, which do not overlap.
fn opening_times(
    list: &YamlNode,
    words: &TimesWords,
    key: &Bytes,
    sink: &Sink,
) -> Option<Vec<OpeningTime>> {
    let such_as = |_: &str| words.such_as.to_owned();
    let items = reader::list_such_as(list, words.list, such_as, sink)?;
    if items.is_empty() || items.len() > MOST_SESSIONS {
        let problem = match items.is_empty() {
            true => Problem::error(key, words.none).hint(words.none_hint),
            false => Problem::error(
                &items[MOST_SESSIONS].span,
                format!("at most {MOST_SESSIONS} {} are accepted", words.many),
            ),
        };
        sink.report(problem);
        return None;
    }
    let mut opening: Vec<(OpeningTime, &Bytes)> = Vec::new();
    let mut complete = true;
    for item in items {
        match session(item, words, sink) {
            Some(times) => opening.extend(times.into_iter().map(|time| (time, &item.span))),
            None => complete = false,
        }
    }
    if !complete || !are_apart(&mut opening, words, sink) {
        return None;
    }
    Some(opening.into_iter().map(|(time, _)| time).collect())
}

/// One item of the list: the same times on each of its days.
fn session(node: &YamlNode, words: &TimesWords, sink: &Sink) -> Option<Vec<OpeningTime>> {
    let fields = Fields::open(node, &node.span, words.keys, sink)?;
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
            Problem::error(&to.node.span, words.ends_first)
                .also(&from.node.span, words.begins)
                .hint(words.within),
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
pub fn clock(node: &YamlNode, sink: &Sink) -> Option<Span> {
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
fn are_apart(opening: &mut [(OpeningTime, &Bytes)], words: &TimesWords, sink: &Sink) -> bool {
    opening.sort_by_key(|(time, _)| (time.weekday, time.open));
    let overlap = (opening.windows(2))
        .find(|two| two[0].0.weekday == two[1].0.weekday && two[1].0.open < two[0].0.close);
    let Some([(first, before), (_, span)]) = overlap else {
        return true;
    };
    let day = WEEKDAYS[first.weekday as usize % WEEKDAYS.len()];
    let problem = Problem::error(span, format!("{} {day}", words.overlap));
    sink.report(
        match before == span {
            true => problem,
            false => problem.also(before, "this one lasts until after the other has begun"),
        }
        .hint(words.apart),
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
