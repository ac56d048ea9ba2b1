//! What one change brings and costs, in words.

use crate::experiment::{Goal, ProjectRelief, Relief, Reliefs};
use crate::report::difference::{interval, is_none, is_shown};
use crate::report::figure::{Shown, number, percent, time_unit};
use crate::report::sentence::listed;
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

/// Orders an hour, or a day where that would be a small number.
pub fn rate_unit(per_hour: f64) -> Shown {
    if per_hour >= 1.0 {
        Shown {
            per_unit: 1.0,
            sign: "/h",
        }
    } else {
        Shown {
            per_unit: 1.0 / 24.0,
            sign: "/d",
        }
    }
}

/// Whether a change is shown to do good, at the cost of no project.
pub fn helps(reliefs: &Reliefs, relief: &Relief) -> bool {
    is_better(reliefs, relief) && !relief.is_at_a_cost()
}

pub fn is_better(reliefs: &Reliefs, relief: &Relief) -> bool {
    let difference = relief.towards(reliefs.goal);
    difference.is_some_and(|difference| difference.mean < 0.0 && is_shown(&difference))
}

/// What the goal is measured by, with and without the change.
pub fn goal(reliefs: &Reliefs, relief: &Relief) -> Paired {
    match (reliefs.goal, relief.lead_time) {
        (Goal::LeadTime, Some(paired)) => paired,
        _ => relief.throughput,
    }
}

/// "lead time is 2.1 h shorter than 9.3 h (22 %, 95 % interval 2.0 to 2.2 h)".
pub fn brings(reliefs: &Reliefs, relief: &Relief) -> String {
    let paired = goal(reliefs, relief);
    let (by, base) = (paired.difference.mean, paired.base_mean);
    let is_time = reliefs.goal == Goal::LeadTime && relief.lead_time.is_some();
    let unit = if is_time {
        time_unit(by)
    } else {
        rate_unit(base)
    };
    let (what, unit_of) = match (is_time, unit.sign) {
        (true, _) => ("lead time", ""),
        (false, "/h") => ("throughput", " orders an hour"),
        (false, _) => ("throughput", " orders a day"),
    };
    let of = match is_time {
        true => time_unit(base).with_unit(base),
        false => format!("{}{unit_of}", unit.number(base)),
    };
    if is_none(&paired) {
        return format!("{what} stays {of}");
    }
    // A difference that may be none is not said to be one.
    if !is_shown(&paired.difference) {
        return format!("no change in {what} is shown, which is {of}");
    }
    let than = match (is_time, by < 0.0) {
        (true, true) => "shorter",
        (true, false) => "longer",
        (false, true) => "less",
        (false, false) => "more",
    };
    let share = (base != 0.0).then(|| percent((by / base).abs()));
    // A figure in a sentence is read as one that matters.
    let is_next_to_nothing = is_time && share.as_deref() == Some("0 %");
    let what = match is_time {
        true if is_next_to_nothing => format!("{what} is {than} than {of} by next to nothing"),
        true => format!("{what} is {} {than} than {of}", unit.with_unit(by.abs())),
        false => format!(
            "{what} is {}{unit_of} {than} than {}",
            unit.number(by.abs()),
            unit.number(base)
        ),
    };
    let mut in_brackets = Vec::new();
    if is_next_to_nothing {
        in_brackets.push(unit.with_unit(by.abs()));
    } else {
        in_brackets.extend(share);
    }
    if let Some((low, high)) = interval(&paired.difference) {
        let (near, far) = unit.ends(low, high);
        // Ends that look alike say no more than the mean does.
        if near != far {
            let level = percent(reliefs.findings.confidence);
            in_brackets.push(format!("{level} interval {near} to {far} {}", unit.sign));
        }
    }
    if in_brackets.is_empty() {
        what
    } else {
        format!("{what} ({})", in_brackets.join(", "))
    }
}

/// A rule that brings less than this share of the base is not spoken of, nor a loss of throughput.
pub const WORTH_SAYING: f64 = 0.01;

/// What a change brings, and what it costs.
pub fn brings_and_costs(reliefs: &Reliefs, relief: &Relief) -> String {
    let costs = [
        longer(reliefs, relief),
        falls(reliefs, relief),
        fewer_done(reliefs, relief),
    ];
    let costs: Vec<String> = costs.into_iter().flatten().collect();
    let but = if costs.is_empty() { "" } else { ", but " };
    format!("{}{but}{}", brings(reliefs, relief), costs.join(", and "))
}

/// Of which projects fewer orders are done.
pub fn fewer_done(reliefs: &Reliefs, relief: &Relief) -> Option<String> {
    let fewer = projects(reliefs, relief, ProjectRelief::is_fewer).map(|(name, project)| {
        let base = project.orders_done.base_mean;
        let changed = base + project.orders_done.difference.mean;
        format!("{name} ({} instead of {})", number(changed), number(base))
    });
    let fewer: Vec<String> = fewer.collect();
    (!fewer.is_empty()).then(|| format!("fewer are done of {}", listed(&fewer, "and")))
}

/// Of which projects lead time is longer, where there are several: the mean says nothing of that.
pub fn longer(reliefs: &Reliefs, relief: &Relief) -> Option<String> {
    let is_longer = |project: &ProjectRelief| {
        project.lead_time.is_some_and(|paired| {
            let by = paired.difference.mean;
            by >= WORTH_SAYING * paired.base_mean && by > 0.0 && is_shown(&paired.difference)
        })
    };
    // A mean that is longer is said to be longer as it is.
    if reliefs.goal != Goal::LeadTime || !is_better(reliefs, relief) {
        return None;
    }
    let longer = projects(reliefs, relief, is_longer).filter_map(|(name, project)| {
        let paired = project.lead_time?;
        let (by, base) = (paired.difference.mean, paired.base_mean);
        Some(format!(
            "that of {name} is {} longer than {}",
            time_unit(by).with_unit(by),
            time_unit(base).with_unit(base)
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
