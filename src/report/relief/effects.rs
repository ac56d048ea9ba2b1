//! What one change brings and costs, in words.

use crate::experiment::{Goal, PersonFindings, ProjectRelief, Relief, ReliefKind, Reliefs};
use crate::report::about;
use crate::report::days::Days;
use crate::report::difference::{interval_in_words, is_none, is_shown};
use crate::report::figure::{Shown, fixed, number, percent, rate_unit, time_unit};
use crate::report::projects::one;
use crate::report::sentence::{counted_in_words, listed};
use crate::statistics::Paired;

/// Names of the projects that pass, with what the change brings them.
pub fn projects<'a>(
    reliefs: &'a Reliefs,
    relief: &'a Relief,
    passes: impl Fn(&ProjectRelief) -> bool + 'a,
) -> impl Iterator<Item = (&'a str, &'a ProjectRelief)> {
    let found = reliefs.findings.candidates[0].projects.iter();
    let named = found.map(|project| &project.name[..]).zip(&relief.projects);
    named.filter(move |(_, project)| passes(project))
}

/// Names of the projects of which fewer orders are done with the change.
pub fn fewer<'a>(reliefs: &'a Reliefs, relief: &'a Relief) -> Vec<&'a str> {
    let fewer = projects(reliefs, relief, ProjectRelief::is_fewer);
    fewer.map(|(name, _)| name).collect()
}

/// Whether a change is shown to help, without finishing fewer orders of any project.
pub fn helps(reliefs: &Reliefs, relief: &Relief) -> bool {
    is_better(reliefs, relief) && !relief.is_at_a_cost()
}

pub fn is_better(reliefs: &Reliefs, relief: &Relief) -> bool {
    let difference = relief.towards(reliefs.goal);
    difference.is_some_and(|difference| difference.mean < 0.0 && is_shown(&difference))
}

/// Shares of so few finished orders say little: one order more or less is a large part of them.
const FEW: f64 = 10.0;

/// Whether changes are judged by orders finished, and hardly any are.
pub fn few_orders(reliefs: &Reliefs) -> bool {
    reliefs.goal == Goal::Throughput && reliefs.findings.candidates[0].orders_done < FEW
}

/// "3.9 orders instead of 1.2", in a run.
pub fn orders_instead(reliefs: &Reliefs, relief: &Relief) -> String {
    let paired = relief.throughput;
    let base = reliefs.findings.candidates[0].orders_done;
    let changed = base * (1.0 + paired.difference.mean / paired.base_mean);
    // What is whole but for the rounding of sums is written so.
    let is_whole = |orders: f64| (orders - orders.round()).abs() < 1e-6;
    let digits = usize::from(!is_whole(base) || !is_whole(changed));
    format!(
        "{} orders instead of {}",
        fixed(changed, digits),
        fixed(base, digits)
    )
}

/// What the goal is measured by, with and without the change.
pub fn goal(reliefs: &Reliefs, relief: &Relief) -> Paired {
    match (reliefs.goal, relief.lead_time) {
        (Goal::LeadTime, Some(paired)) => paired,
        _ => relief.throughput,
    }
}

/// How exact sentences are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Digits {
    /// As many as a decision needs.
    Few,
    /// All that are shown, with intervals.
    All,
}

impl Digits {
    /// A time without its sign; from seconds.
    pub fn time(self, seconds: f64) -> String {
        match self {
            Digits::Few => about::time(seconds),
            Digits::All => time_unit(seconds).with_unit(seconds.abs()),
        }
    }

    fn share(self, share: f64) -> String {
        match self {
            Digits::Few => about::share(share),
            Digits::All => percent(share),
        }
    }
}

/// What is said of a change: the verb agrees with what is changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Number {
    Singular,
    Plural,
}

impl Number {
    /// A verb that ends with "s" in the singular.
    fn verb(self, plural: &str) -> String {
        match self {
            Number::Singular => format!("{plural}s"),
            Number::Plural => plural.to_owned(),
        }
    }

    pub fn pronoun(self) -> &'static str {
        match self {
            Number::Singular => "it",
            Number::Plural => "they",
        }
    }
}

/// What the goal is, and a figure of it in words: "lead time", "9.30 h"; "throughput", "3 orders a day".
pub fn figure(
    reliefs: &Reliefs,
    relief: &Relief,
    value: f64,
    (unit, digits): (Shown, Digits),
) -> (&'static str, String) {
    let is_time = reliefs.goal == Goal::LeadTime && relief.lead_time.is_some();
    match (is_time, unit.sign) {
        (true, _) if digits == Digits::Few => ("lead time", about::time(value)),
        (true, _) => ("lead time", unit.with_unit(value)),
        (false, "/h") => (
            "throughput",
            format!("{} orders an hour", unit.number(value)),
        ),
        (false, _) => ("throughput", format!("{} orders a day", unit.number(value))),
    }
}

/// The unit in which a value of the goal is read most easily.
pub fn goal_unit(reliefs: &Reliefs, relief: &Relief, value: f64, base: f64) -> Shown {
    match reliefs.goal == Goal::LeadTime && relief.lead_time.is_some() {
        true => time_unit(value),
        false => rate_unit(base),
    }
}

/// "shortens the lead time of 9.30 h by 2.10 h (22 %, 95 % interval 2.0 to 2.2 h)".
pub fn brings(reliefs: &Reliefs, relief: &Relief, number: Number, digits: Digits) -> String {
    let paired = goal(reliefs, relief);
    let (by, base) = (paired.difference.mean, paired.base_mean);
    let is_time = reliefs.goal == Goal::LeadTime && relief.lead_time.is_some();
    // Evenings are told of all orders together.
    let keeps_hours = reliefs.findings.candidates[0].hours.is_some();
    if is_time
        && reliefs.findings.has_several_projects()
        && !(keeps_hours && digits == Digits::Few)
        && let Some(brings) = brings_projects(reliefs, relief, number, digits)
    {
        return brings;
    }
    if digits == Digits::Few && is_time {
        return briefly_brings(reliefs, relief, number);
    }
    let (what, of) = figure(
        reliefs,
        relief,
        base,
        (goal_unit(reliefs, relief, base, base), digits),
    );
    if is_none(&paired) {
        return format!("{} the {what} of {of} as it is", number.verb("leave"));
    }
    // A difference whose interval covers zero is not stated as a difference.
    if !is_shown(&paired.difference) {
        let makes = number.verb("make");
        return format!("{makes} no visible difference to the {what} of {of}");
    }
    let verb = number.verb(match (is_time, by < 0.0) {
        (true, true) => "shorten",
        (true, false) => "lengthen",
        (false, true) => "lower",
        (false, false) => "raise",
    });
    let unit = goal_unit(reliefs, relief, by, base);
    let share = match few_orders(reliefs) && base != 0.0 {
        true => Some(orders_instead(reliefs, relief)),
        false => (base != 0.0).then(|| digits.share((by / base).abs())),
    };
    let amount = match is_time {
        true => unit.with_unit(by.abs()),
        false => unit.number(by.abs()),
    };
    let mut in_brackets = Vec::new();
    // A figure in a sentence reads as if it mattered, so a negligible one is put in brackets.
    let amount = if is_time && share.as_deref() == Some("0 %") {
        in_brackets.push(amount);
        "next to nothing".to_owned()
    } else {
        in_brackets.extend(share);
        amount
    };
    if digits == Digits::All {
        let confidence = reliefs.findings.confidence;
        in_brackets.extend(interval_in_words(&paired.difference, unit, confidence));
    }
    let brackets = match in_brackets.is_empty() {
        true => String::new(),
        false => format!(" ({})", in_brackets.join(", ")),
    };
    format!("{verb} the {what} of {of} by {amount}{brackets}")
}

/// "shortens the lead time of a bookcase of 9.30 h by 2.10 h (22 %) and that of a dresser of 4.20 h by 1.00 h (24 %)": of
/// each project for which the runs show it; None if for none.
fn brings_projects(
    reliefs: &Reliefs,
    relief: &Relief,
    number: Number,
    digits: Digits,
) -> Option<String> {
    let changes = |is_wanted: fn(f64) -> bool| -> Vec<String> {
        let all = projects(reliefs, relief, |_| true).filter_map(|(name, project)| {
            let paired = project.lead_time?;
            let (by, base) = (paired.difference.mean, paired.base_mean);
            let share = digits.share((by / base).abs());
            (is_wanted(by) && is_shown(&paired.difference) && base > 0.0).then(|| {
                let (base, by, name) = (digits.time(base), digits.time(by), one(name));
                format!("that of {name} of {base} by {by} ({share})")
            })
        });
        all.collect()
    };
    let shorter = changes(|by| by < 0.0);
    // What is longer although the mean over all orders is shorter is said of the costs.
    let longer = match is_better(reliefs, relief) {
        true => Vec::new(),
        false => changes(|by| by > 0.0),
    };
    // First what the change does over all orders.
    let said = [("lengthen", longer), ("shorten", shorter)];
    let said: Vec<String> = (said.iter())
        .filter(|(_, projects)| !projects.is_empty())
        .map(|(verb, projects)| format!("{} {}", number.verb(verb), listed(projects, "and")))
        .collect();
    let said = said.join(", and ");
    // The first is named in full.
    (!said.is_empty()).then(|| said.replacen("that of", "the lead time of", 1))
}

/// Seconds in a day.
const DAY: f64 = 86_400.0;

/// The evenings from start to finish with and without a change of a shop that keeps hours; None where there are more of them
/// in a week, or the goal is another one.
pub fn evenings(reliefs: &Reliefs, relief: &Relief) -> Option<Paired> {
    let keeps_hours = reliefs.findings.candidates[0].hours.is_some();
    let is_time = reliefs.goal == Goal::LeadTime;
    let same_week = relief.trial.edit.kind() != ReliefKind::Session;
    relief
        .sessions
        .filter(|_| keeps_hours && is_time && same_week)
}

/// The figure in which it is told what a change brings: evenings, unless they come to nothing, or else what the goal is
/// measured by. Amount, whole and share are all of this one.
fn told(reliefs: &Reliefs, relief: &Relief) -> Paired {
    let is_some = |paired: &Paired| about::count(paired.difference.mean.abs()) != "0";
    let evenings = evenings(reliefs, relief).filter(is_some);
    evenings.unwrap_or_else(|| goal(reliefs, relief))
}

/// The share of its base by which a change alters that figure; None of nothing.
pub fn told_share(reliefs: &Reliefs, relief: &Relief) -> Option<f64> {
    let paired = told(reliefs, relief);
    (paired.base_mean > 0.0).then(|| paired.difference.mean / paired.base_mean)
}

/// By how much a change alters the time from start to finish, without a sign, and what that is without the change: "2 h",
/// "10¾ h from start to finish". In a shop that keeps hours these are evenings, since less work need not be an earlier
/// evening; with more evenings in a week they are days.
pub fn amount_and_whole(reliefs: &Reliefs, relief: &Relief) -> (String, String) {
    let paired = goal(reliefs, relief);
    let (by, base) = (paired.difference.mean.abs(), paired.base_mean);
    let hours = reliefs.findings.candidates[0].hours.as_ref();
    let Some((hours, sessions)) = hours.zip(relief.sessions) else {
        let of = format!("{} from start to finish", about::time(base));
        return (about::time(by), of);
    };
    if relief.trial.edit.kind() == ReliefKind::Session {
        let of = format!("{} from start to finish", about::count(base / DAY));
        // Evenings would not tell: there are more of them in a week.
        return (
            counted_in_words(&about::count(by / DAY), "calendar day"),
            of,
        );
    }
    let days = Days::of(hours);
    let all = match reliefs.findings.has_several_projects() {
        true => ", over all projects",
        false => "",
    };
    let of = days.sessions(sessions.base_mean);
    let of = format!("{of} from start to finish{all}");
    let amount = match about::count(sessions.difference.mean.abs()).as_str() {
        "0" => format!("{}, but no {},", about::time(by), days.session()),
        some => counted_in_words(some, days.session()),
    };
    (amount, of)
}

/// Below this share of the whole a change is not worth a figure.
const NEXT_TO_NOTHING: f64 = 5e-4;

/// "saves 2 h of 10¾ h from start to finish (18 %)".
fn briefly_brings(reliefs: &Reliefs, relief: &Relief, number: Number) -> String {
    let paired = goal(reliefs, relief);
    let (amount, whole) = amount_and_whole(reliefs, relief);
    if is_none(&paired) {
        return format!("{} the {whole} as they are", number.verb("leave"));
    }
    if !is_shown(&paired.difference) {
        return format!(
            "{} no visible difference to the {whole}",
            number.verb("make")
        );
    }
    let share = told_share(reliefs, relief);
    if share.is_some_and(|share| share.abs() < NEXT_TO_NOTHING) {
        return format!("{} next to nothing of {whole}", number.verb("change"));
    }
    let share = share.map_or_else(String::new, |share| {
        format!(" ({})", about::share(share.abs()))
    });
    match paired.difference.mean < 0.0 {
        true => format!("{} {amount} of {whole}{share}", number.verb("save")),
        false => format!("{} {amount} to {whole}{share}", number.verb("add")),
    }
}

/// A gain by a rule, or a loss of throughput, of less than this share of the base is not mentioned.
pub const WORTH_SAYING: f64 = 0.01;

/// What a change brings, and what it costs.
pub fn brings_and_costs(
    reliefs: &Reliefs,
    relief: &Relief,
    number: Number,
    digits: Digits,
) -> String {
    let brings = brings(reliefs, relief, number, digits);
    with_costs(reliefs, relief, brings, digits)
}

pub fn with_costs(reliefs: &Reliefs, relief: &Relief, brings: String, digits: Digits) -> String {
    let costs = [
        longer(reliefs, relief, digits),
        falls(reliefs, relief),
        fewer_done(reliefs, relief),
    ];
    let costs: Vec<String> = costs.into_iter().flatten().collect();
    let joined = match (costs.is_empty(), is_better(reliefs, relief)) {
        (true, _) => "",
        (false, true) => ", but ",
        // One harm after another.
        (false, false) => ", and ",
    };
    format!("{brings}{joined}{}", costs.join(", and "))
}

/// Of which projects fewer orders are done.
pub fn fewer_done(reliefs: &Reliefs, relief: &Relief) -> Option<String> {
    let fewer = projects(reliefs, relief, ProjectRelief::is_fewer).map(|(name, project)| {
        let base = project.orders_done.base_mean;
        let changed = base + project.orders_done.difference.mean;
        format!("{name} ({} instead of {})", number(changed), number(base))
    });
    let fewer: Vec<String> = fewer.collect();
    (!fewer.is_empty()).then(|| format!("fewer orders are finished of {}", listed(&fewer, "and")))
}

/// The projects whose lead time is longer although the mean over all orders is shorter.
pub fn longer(reliefs: &Reliefs, relief: &Relief, digits: Digits) -> Option<String> {
    let is_longer = |project: &ProjectRelief| {
        project.lead_time.is_some_and(|paired| {
            let by = paired.difference.mean;
            by >= WORTH_SAYING * paired.base_mean && by > 0.0 && is_shown(&paired.difference)
        })
    };
    // Where the mean lead time itself is longer, the sentence says so already.
    if reliefs.goal != Goal::LeadTime || !is_better(reliefs, relief) {
        return None;
    }
    let longer = projects(reliefs, relief, is_longer).filter_map(|(name, project)| {
        let paired = project.lead_time?;
        let (by, base) = (paired.difference.mean, paired.base_mean);
        Some(format!(
            "that of {} is {} longer than {}",
            one(name),
            digits.time(by),
            digits.time(base)
        ))
    });
    let longer: Vec<String> = longer.collect();
    (!longer.is_empty()).then(|| listed(&longer, "and"))
}

/// What shorter lead times may cost: orders that are started later, or never.
pub fn falls(reliefs: &Reliefs, relief: &Relief) -> Option<String> {
    let throughput = relief.throughput.difference;
    let least = WORTH_SAYING * relief.throughput.base_mean;
    let falls = throughput.mean <= -least && is_shown(&throughput);
    (reliefs.goal == Goal::LeadTime && falls).then(|| {
        let unit = rate_unit(relief.throughput.base_mean);
        let per = if unit.sign == "/h" {
            "an hour"
        } else {
            "a day"
        };
        let (by, base) = (throughput.mean.abs(), relief.throughput.base_mean);
        format!(
            "throughput falls by {} from {} orders {per}",
            unit.number(by),
            unit.number(base)
        )
    })
}

/// Who works in the layout as it is.
pub fn crew(reliefs: &Reliefs) -> &[PersonFindings] {
    &reliefs.findings.candidates[0].crew
}

/// Whether a change is shown to help by enough to speak of it where something else would bring more.
pub fn is_worth_saying(reliefs: &Reliefs, relief: &Relief) -> bool {
    let paired = goal(reliefs, relief);
    let is_much = paired.difference.mean.abs() >= WORTH_SAYING * paired.base_mean.abs();
    is_much && helps(reliefs, relief)
}
