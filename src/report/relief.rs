//! What would help most: the relief experiment in a sentence, a table and data.

use serde_json::{Value, json};

use super::answer::{self, interval, is_shown};
use super::data;
use super::figure::{Shown, length_unit, number, percent, time_unit};
use super::tables::{against, is_none, table, text};
use crate::experiment::{
    Detail, Goal, Named, ProjectRelief, Relief, ReliefKind, Reliefs, ResourceKind,
};
use crate::shop::{CHOICES, QUEUE_RULES, Row, SWITCHES};
use crate::statistics::Paired;

/// Columns of a terminal that has room for every figure of a change.
const WIDE: u16 = 140;

/// So many changes that cannot be told apart from the best are named.
const NAMED: usize = 3;

/// The advice: what to change, what it brings, how sure that is, and what it says of the layout.
pub fn advice(reliefs: &Reliefs) -> String {
    let best = reliefs
        .list
        .iter()
        .position(|relief| relief.name.kind != ReliefKind::Layout && helps(reliefs, relief));
    let mut sentences = Vec::new();
    match best {
        Some(index) => {
            let relief = &reliefs.list[index];
            let what = phrase(&relief.name, people(reliefs));
            let place = &reliefs.findings.candidates[0].name;
            let brings = brings_and_costs(reliefs, relief);
            sentences.push(format!(
                "What would help most in \"{place}\" is {what}: {brings}."
            ));
            sentences.extend(certainty(reliefs, index));
            sentences.extend(at_a_cost(reliefs, Some(relief)));
            sentences.extend(smallest_step(reliefs, index));
            sentences.extend(free_of_charge(reliefs, index));
        }
        None => {
            let place = &reliefs.findings.candidates[0].name;
            let better = match reliefs.goal {
                Goal::LeadTime => "shorten lead time",
                Goal::Throughput => "raise throughput",
            };
            let at_a_cost = at_a_cost(reliefs, None);
            let costs = match at_a_cost {
                Some(_) => ", unless fewer orders of some project are done",
                None => "",
            };
            sentences.push(format!(
                "No single change that was tried in \"{place}\" is shown to {better}{costs}."
            ));
            sentences.extend(at_a_cost);
        }
    }
    if reliefs.findings.candidates[0].orders_done == 0.0 {
        sentences.push(
            "No order is done in the measured time: a later horizon would say more.".to_owned(),
        );
        return sentences.join(" ");
    }
    sentences.extend(layout(reliefs));
    sentences.extend(busiest(reliefs, best));
    sentences.join(" ")
}

/// What the figures leave out.
pub fn caution(reliefs: &Reliefs) -> String {
    let mut sentences = untried(reliefs);
    sentences.extend(answer::unfinished(&reliefs.findings));
    sentences.push(answer::certainty(&reliefs.findings));
    if reliefs.list.iter().any(Relief::is_at_a_cost) {
        let fewer = "Where fewer of a project are done, lead time counts only those that are.";
        sentences.push(fewer.to_owned());
    }
    let times = "The times of a station are those of its setups, runs, tear-downs and cures.";
    sentences.push(times.to_owned());
    sentences.join(" ")
}

/// One row a change, best first, those at the cost of some project last; differences with the shop as it is.
pub fn reliefs(reliefs: &Reliefs, width: Option<u16>) -> String {
    // Lines that break are hard to read: what matters less is left to wide terminals and to the JSON.
    let is_wide = width.is_some_and(|columns| columns >= WIDE);
    let shows_throughput = is_wide || reliefs.goal == Goal::Throughput;
    let mut header = vec!["what", "change", "lead time", "walking"];
    if shows_throughput {
        header.insert(3, "throughput");
    }
    if is_wide {
        header.push("hands-on");
    }
    let mut table = table(&header, 2, width);
    let length = length_unit(reliefs.findings.units);
    let unit = |figure: fn(&Relief) -> Option<Paired>| {
        let differences = reliefs.list.iter().filter_map(figure);
        let differences = differences.map(|paired| paired.difference);
        let shown: Vec<f64> = differences
            .filter(is_shown)
            .map(|difference| difference.mean.abs())
            .collect();
        common_unit(&shown)
    };
    let time = unit(|relief| relief.lead_time);
    let hands_on = unit(|relief| Some(relief.hands_on));
    for relief in &reliefs.list {
        let mut lead_time = relief.lead_time.map_or_else(
            || "no order done".to_owned(),
            |paired| against(&paired, time),
        );
        // What is done sooner is only what is done.
        let fewer = fewer(reliefs, relief);
        if !fewer.is_empty() {
            lead_time.push_str(&format!(", fewer {}", fewer.join(", ")));
        }
        let change = match &relief.name.detail {
            Some(Detail::Set(pieces)) => format!("{} ({pieces})", relief.name.change),
            _ => relief.name.change.clone(),
        };
        let mut row = vec![
            relief.name.resource.clone(),
            change,
            lead_time,
            against(&relief.walking, length),
        ];
        if shows_throughput {
            let unit = rate_unit(relief.throughput.base_mean);
            row.insert(3, against(&relief.throughput, unit));
        }
        if is_wide {
            row.push(against(&relief.hands_on, hands_on));
        }
        table.add_row(row);
    }
    text(table)
}

/// The unit of a column of times: that of the largest, or a smaller one for the sake of the smallest, as long as the
/// largest has no more digits than can be read.
fn common_unit(seconds: &[f64]) -> Shown {
    const FEWEST: f64 = 0.01;
    const MOST: f64 = 10_000.0;
    let largest = seconds.iter().copied().fold(0.0, f64::max);
    let visible = seconds.iter().copied().filter(|&size| size > 1e-3);
    let smallest = visible.fold(f64::INFINITY, f64::min);
    let first = time_unit(largest);
    let smaller = [(3_600.0, "h"), (60.0, "min"), (1.0, "s")]
        .map(|(per_unit, sign)| Shown { per_unit, sign })
        .into_iter()
        .filter(|unit| unit.per_unit < first.per_unit && largest / unit.per_unit < MOST);
    let mut unit = first;
    for smaller in smaller {
        if smallest / unit.per_unit < FEWEST {
            unit = smaller;
        }
    }
    unit
}

/// Names of the projects that pass, with what the change brings them.
fn projects<'a>(
    reliefs: &'a Reliefs,
    relief: &'a Relief,
    passes: impl Fn(&ProjectRelief) -> bool + 'a,
) -> impl Iterator<Item = (&'a str, &'a ProjectRelief)> {
    let found = reliefs.findings.candidates[0].projects.iter();
    let named = found.map(|project| &project.name[..]).zip(&relief.projects);
    named.filter(move |(_, project)| passes(project))
}

/// Names of the projects of which fewer orders are done with the change.
fn fewer<'a>(reliefs: &'a Reliefs, relief: &'a Relief) -> Vec<&'a str> {
    let fewer = projects(reliefs, relief, ProjectRelief::is_fewer);
    fewer.map(|(name, _)| name).collect()
}

/// The data of the run of the shop as it is, and those of every change, best first.
pub fn json(reliefs: &Reliefs) -> Value {
    let mut document = data::json(&reliefs.findings);
    document["relief_ranked_by"] = json!(match reliefs.goal {
        Goal::LeadTime => "lead_time",
        Goal::Throughput => "throughput_per_h",
    });
    let rows = reliefs.list.iter().enumerate();
    let rows = rows.map(|(index, relief)| {
        json!({
            "resource": relief.name.resource,
            "kind": relief.name.kind.name(),
            "change": relief.name.change,
            "lead_time": difference(relief.lead_time.as_ref(), "_s"),
            "throughput_per_h": difference(Some(&relief.throughput), ""),
            "walking": difference(Some(&relief.walking), "_m"),
            "hands_on": difference(Some(&relief.hands_on), "_s"),
            "fewer": fewer(reliefs, relief),
            "may_be_best": reliefs.in_question.contains(&index),
        })
    });
    document["relief"] = rows.collect();
    let untried = reliefs.untried.iter().map(|untried| {
        json!({
            "resource": untried.change.name.resource,
            "kind": untried.change.name.kind.name(),
            "change": untried.change.name.change,
            "why": untried.why,
        })
    });
    document["relief_not_tried"] = untried.collect();
    document
}

fn difference(paired: Option<&Paired>, unit: &str) -> Value {
    let estimate = paired.map(|paired| paired.difference);
    let mut value = json!({});
    value[format!("difference{unit}")] = json!(estimate.map(|e| e.mean));
    value[format!("low{unit}")] = json!(estimate.and_then(|e| e.low()));
    value[format!("high{unit}")] = json!(estimate.and_then(|e| e.high()));
    value
}

/// Orders an hour, or a day where that would be a small number.
fn rate_unit(per_hour: f64) -> Shown {
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

fn people(reliefs: &Reliefs) -> usize {
    reliefs.findings.candidates[0].crew.len()
}

/// Whether a change is shown to do good, at the cost of no project.
fn helps(reliefs: &Reliefs, relief: &Relief) -> bool {
    is_better(reliefs, relief) && !relief.is_at_a_cost()
}

fn is_better(reliefs: &Reliefs, relief: &Relief) -> bool {
    let difference = relief.towards(reliefs.goal);
    difference.is_some_and(|difference| difference.mean < 0.0 && is_shown(&difference))
}

/// A change as it stands in a sentence.
fn phrase(name: &Named, people: usize) -> String {
    let Named {
        resource,
        kind,
        change,
        detail,
    } = name;
    match (kind, change.as_str()) {
        (ReliefKind::Station, "times −10 %") => {
            format!(
                "cutting the times at the {resource} by 10 %{}",
                cures(detail)
            )
        }
        (ReliefKind::Station, "times −50 %") => {
            format!("halving the times at the {resource}{}", cures(detail))
        }
        (ReliefKind::Station, "no setup") => format!("no setup at the {resource}"),
        (ReliefKind::Person, _) if people == 1 => "one more person".to_owned(),
        (ReliefKind::Person, _) => format!("one more person like {resource}"),
        (ReliefKind::Cart, _) => "one more cart".to_owned(),
        (ReliefKind::Rule, _) => rule(change),
        (ReliefKind::Layout, _) => "no walking at all".to_owned(),
        (ReliefKind::Gear, _) => match detail {
            Some(Detail::Set(pieces)) => format!("one more set of {pieces} {resource}"),
            _ => format!("{change} {resource}"),
        },
        _ => format!("{change} {resource}"),
    }
}

/// What a rule does, with its key and name in brackets: "taking first the lot with ... (`queue: spt`)".
fn rule(change: &str) -> String {
    fn meaning<R>(rows: &[Row<R>], name: &str) -> Option<&'static str> {
        let row = rows.iter().find(|row| row.name == name);
        row.map(|row| row.meaning)
    }
    let split = |key: &str| change.strip_prefix(key).map(str::trim_start);
    let takes = |what: &str| format!("taking first {what}");
    let told = [
        (
            "queue",
            split("queue")
                .and_then(|name| meaning(QUEUE_RULES, name))
                .map(takes),
        ),
        (
            "switch station",
            split("switch station")
                .and_then(|name| meaning(SWITCHES, name))
                .map(|what| format!("the rule that {what}")),
        ),
        (
            "choose next",
            split("choose next")
                .and_then(|name| meaning(CHOICES, name))
                .map(|what| format!("people going first to {what}")),
        ),
    ];
    let found = told
        .into_iter()
        .find_map(|(key, words)| Some((key, split(key)?, words?)));
    match found {
        Some((key, name, words)) => format!("{words} (`{key}: {name}`)"),
        None => format!("the rule `{change}`"),
    }
}

/// "a, b and c".
fn listed(names: &[String]) -> String {
    match names {
        [first @ .., before, last] => {
            let first: String = first.iter().map(|name| format!("{name}, ")).collect();
            format!("{first}{before} and {last}")
        }
        _ => names.concat(),
    }
}

/// That a time is mostly one in which nobody works: who hurries gains nothing, who takes a quicker glue does.
fn cures(detail: &Option<Detail>) -> String {
    match detail {
        Some(Detail::MostlyCure(operations)) => {
            format!(" (mostly the cure after {})", listed(operations))
        }
        _ => String::new(),
    }
}

/// What the goal is measured by, with and without the change.
fn goal(reliefs: &Reliefs, relief: &Relief) -> Paired {
    match (reliefs.goal, relief.lead_time) {
        (Goal::LeadTime, Some(paired)) => paired,
        _ => relief.throughput,
    }
}

/// "lead time is 2.1 h shorter than 9.3 h (22 %, 95 % interval 2.0 to 2.2 h)".
fn brings(reliefs: &Reliefs, relief: &Relief) -> String {
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

/// Whether the best change is known to be the best, with the error shared by all comparisons.
fn certainty(reliefs: &Reliefs, best: usize) -> Option<String> {
    let people = people(reliefs);
    let tried = reliefs.list.len();
    let at_no_cost = reliefs.list.iter().filter(|relief| !relief.is_at_a_cost());
    let at_no_cost = at_no_cost.count();
    let is_layout = |&index: &usize| reliefs.list[index].name.kind == ReliefKind::Layout;
    if reliefs.in_question.iter().all(is_layout) {
        return Some("Only no walking at all would bring more.".to_owned());
    }
    let others: Vec<String> = (reliefs.in_question.iter())
        .filter(|&&other| other != best)
        .map(|&other| phrase(&reliefs.list[other].name, people))
        .collect();
    if !others.is_empty() {
        let mut named = others[..others.len().min(NAMED)].join(", ");
        if others.len() > NAMED {
            named.push_str(&format!(" and {} more", others.len() - NAMED));
        }
        return Some(format!("It cannot be told apart from {named}."));
    }
    let is_tested = reliefs.findings.varies && reliefs.findings.replications > 1;
    let of_these = match at_no_cost == tried {
        true => "",
        false => " that cost no project orders",
    };
    (is_tested && at_no_cost > 1).then(|| {
        format!(
            "Of the {at_no_cost} changes tried{of_these} it is the best, with {} confidence over all comparisons together.",
            percent(reliefs.findings.confidence)
        )
    })
}

/// Where a little less time brings most: a step that is easier than a second machine.
fn smallest_step(reliefs: &Reliefs, best: usize) -> Option<String> {
    let index = (reliefs.list.iter()).position(|relief| relief.name.change == "times −10 %")?;
    let relief = &reliefs.list[index];
    (index != best && helps(reliefs, relief)).then(|| {
        let mut name = relief.name.clone();
        // What most of a station's time is has been said.
        if name.resource == reliefs.list[best].name.resource {
            name.detail = None;
        }
        let what = phrase(&name, people(reliefs));
        let brings = brings_and_costs(reliefs, relief);
        format!("Of small steps, {what} brings most: {brings}.")
    })
}

/// A rule that brings less than this share of the base is not spoken of, nor a loss of throughput.
const WORTH_SAYING: f64 = 0.01;

/// The best rule, which costs nothing.
fn free_of_charge(reliefs: &Reliefs, best: usize) -> Option<String> {
    let index = (reliefs.list.iter()).position(|relief| relief.name.kind == ReliefKind::Rule)?;
    let relief = &reliefs.list[index];
    let paired = goal(reliefs, relief);
    let brings_something = paired.difference.mean.abs() >= WORTH_SAYING * paired.base_mean.abs();
    (index != best && brings_something && helps(reliefs, relief)).then(|| {
        let rule = phrase(&relief.name, people(reliefs));
        let brings = brings_and_costs(reliefs, relief);
        format!("Free of charge, with {rule} {brings}.")
    })
}

/// What a change brings, and what it costs.
fn brings_and_costs(reliefs: &Reliefs, relief: &Relief) -> String {
    let costs = [
        longer(reliefs, relief),
        falls(reliefs, relief),
        fewer_done(reliefs, relief),
    ];
    let costs: Vec<String> = costs.into_iter().flatten().collect();
    let but = if costs.is_empty() { "" } else { ", but " };
    format!("{}{but}{}", brings(reliefs, relief), costs.join(", and "))
}

/// A change that would bring more than the best, were it not that some project is done less.
fn at_a_cost(reliefs: &Reliefs, best: Option<&Relief>) -> Option<String> {
    let towards = |relief: &Relief| relief.towards(reliefs.goal).map(|towards| towards.mean);
    let relief = (reliefs.list.iter())
        .find(|relief| relief.is_at_a_cost() && relief.name.kind != ReliefKind::Layout)?;
    let best = best.and_then(towards).unwrap_or(0.0);
    (is_better(reliefs, relief) && towards(relief)? < best).then(|| {
        let what = phrase(&relief.name, people(reliefs));
        let brings = brings_and_costs(reliefs, relief);
        format!("With {what}, {brings}: that counts as no help.")
    })
}

/// Of which projects fewer orders are done.
fn fewer_done(reliefs: &Reliefs, relief: &Relief) -> Option<String> {
    let fewer = projects(reliefs, relief, ProjectRelief::is_fewer).map(|(name, project)| {
        let base = project.orders_done.base_mean;
        let changed = base + project.orders_done.difference.mean;
        format!("{name} ({} instead of {})", number(changed), number(base))
    });
    let fewer: Vec<String> = fewer.collect();
    (!fewer.is_empty()).then(|| format!("fewer are done of {}", listed(&fewer)))
}

/// Of which projects lead time is longer, where there are several: the mean says nothing of that.
fn longer(reliefs: &Reliefs, relief: &Relief) -> Option<String> {
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
    (!longer.is_empty()).then(|| listed(&longer))
}

/// What shorter lead times may cost: orders that are started later, or never.
fn falls(reliefs: &Reliefs, relief: &Relief) -> Option<String> {
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

/// The busiest resource, which need not be where a change helps.
fn busiest(reliefs: &Reliefs, best: Option<usize>) -> Option<String> {
    let found = &reliefs.findings.candidates[0];
    let busiest = found.bottleneck.as_ref()?;
    let kind = match busiest.kind {
        ResourceKind::Station => ReliefKind::Station,
        ResourceKind::Person => ReliefKind::Person,
        ResourceKind::Gear => ReliefKind::Gear,
    };
    let person = found.crew.iter().find(|person| person.name == busiest.name);
    let name = match (busiest.kind, person) {
        (ResourceKind::Person, Some(person)) => &person.group,
        _ => &busiest.name,
    };
    let is_busiest = |relief: &&Relief| relief.name.kind == kind && relief.name.resource == *name;
    let busy = percent(busiest.utilisation);
    let who = match busiest.kind {
        ResourceKind::Person if found.crew.len() == 1 => "You are the busiest".to_owned(),
        ResourceKind::Person => format!("The busiest is {}", busiest.name),
        ResourceKind::Station => format!("The busiest is the {}", busiest.name),
        ResourceKind::Gear => format!("The busiest are the {}", busiest.name),
    };
    let busy = match busiest.kind {
        ResourceKind::Gear => format!("{busy} of them taken on average"),
        _ => format!("{busy} of the time"),
    };
    if best.is_some_and(|best| is_busiest(&&reliefs.list[best])) {
        return Some(format!("{who} too, {busy}."));
    }
    // What helps most of it; if nothing does, the boldest change says more than a small one.
    let mut all = reliefs.list.iter().filter(is_busiest);
    let first = all.next();
    let mut boldest = || all.find(|relief| relief.name.change == "times −50 %");
    let told = match first {
        Some(first) if !is_better(reliefs, first) => boldest().or(Some(first)),
        first => first,
    };
    let but = told.map(|relief| {
        let what = phrase(&relief.name, people(reliefs));
        format!(", but with {what} {}", brings_and_costs(reliefs, relief))
    });
    Some(format!("{who}, {busy}{}.", but.unwrap_or_default()))
}

/// How much no walking could ever bring.
fn layout(reliefs: &Reliefs) -> Option<String> {
    let relief = reliefs
        .list
        .iter()
        .find(|relief| relief.name.kind == ReliefKind::Layout);
    let Some(relief) = relief else {
        let sentence = "Everything stands together already: no layout can bring more.";
        return Some(sentence.to_owned());
    };
    let brings = brings_and_costs(reliefs, relief);
    Some(if is_better(reliefs, relief) {
        format!(
            "About the most that any layout could bring is what no walking at all brings: {brings}."
        )
    } else {
        format!(
            "Walking is not shown to hold the work up, so no layout is likely to help: without any, {brings}."
        )
    })
}

/// What was left out, by reason.
fn untried(reliefs: &Reliefs) -> Vec<String> {
    let mut reasons: Vec<(&str, Vec<String>)> = Vec::new();
    for untried in &reliefs.untried {
        let what = phrase(&untried.change.name, people(reliefs));
        match reasons.iter_mut().find(|(why, _)| *why == untried.why) {
            Some((_, all)) => all.push(what),
            None => reasons.push((untried.why, vec![what])),
        }
    }
    let sentence =
        |(why, all): (&str, Vec<String>)| format!("Not tried, since {why}: {}.", all.join(", "));
    reasons.into_iter().map(sentence).collect()
}
