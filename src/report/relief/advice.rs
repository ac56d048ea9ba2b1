//! What would help most, in sentences.

use super::edits::{phrase, resource, why_not};
use super::effects::{WORTH_SAYING, brings_and_costs, goal, helps, is_better};
use crate::experiment::{
    BOLD_CUT, Edit, Goal, Relief, ReliefKind, Reliefs, ResourceKind, SMALL_CUT, WhyNot,
};
use crate::report::certainty;
use crate::report::figure::percent;

/// So many changes that cannot be told apart from the best are named.
const NAMED: usize = 3;

fn people(reliefs: &Reliefs) -> usize {
    reliefs.findings.candidates[0].crew.len()
}

/// The advice: what to change, what it brings, how sure that is, and what it says of the layout.
pub fn advice(reliefs: &Reliefs) -> String {
    let best = reliefs.list.iter().position(|relief| {
        relief.trial.edit.kind() != ReliefKind::Layout && helps(reliefs, relief)
    });
    let mut sentences = Vec::new();
    match best {
        Some(index) => {
            let relief = &reliefs.list[index];
            let what = phrase(&relief.trial, people(reliefs));
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
    sentences.extend(certainty::unfinished(&reliefs.findings));
    sentences.push(certainty::certainty(&reliefs.findings));
    if reliefs.list.iter().any(Relief::is_at_a_cost) {
        let fewer = "Where fewer of a project are done, lead time counts only those that are.";
        sentences.push(fewer.to_owned());
    }
    let times = "The times of a station are those of its setups, runs, tear-downs and cures.";
    sentences.push(times.to_owned());
    sentences.join(" ")
}

/// Whether the best change is known to be the best, with the error shared by all comparisons.
fn certainty(reliefs: &Reliefs, best: usize) -> Option<String> {
    let people = people(reliefs);
    let tried = reliefs.list.len();
    let at_no_cost = reliefs.list.iter().filter(|relief| !relief.is_at_a_cost());
    let at_no_cost = at_no_cost.count();
    let is_layout = |&index: &usize| reliefs.list[index].trial.edit.kind() == ReliefKind::Layout;
    if reliefs.in_question.iter().all(is_layout) {
        return Some("Only no walking at all would bring more.".to_owned());
    }
    let others: Vec<String> = (reliefs.in_question.iter())
        .filter(|&&other| other != best)
        .map(|&other| phrase(&reliefs.list[other].trial, people))
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
    let index = (reliefs.list.iter())
        .position(|relief| matches!(relief.trial.edit, Edit::Times(_, SMALL_CUT)))?;
    let relief = &reliefs.list[index];
    (index != best && helps(reliefs, relief)).then(|| {
        let mut trial = relief.trial.clone();
        // What most of a station's time is has been said.
        if trial.resource == reliefs.list[best].trial.resource {
            trial.mostly_cure.clear();
        }
        let what = phrase(&trial, people(reliefs));
        let brings = brings_and_costs(reliefs, relief);
        format!("Of small steps, {what} brings most: {brings}.")
    })
}

/// The best rule, which costs nothing.
fn free_of_charge(reliefs: &Reliefs, best: usize) -> Option<String> {
    let index =
        (reliefs.list.iter()).position(|relief| relief.trial.edit.kind() == ReliefKind::Rule)?;
    let relief = &reliefs.list[index];
    let paired = goal(reliefs, relief);
    let brings_something = paired.difference.mean.abs() >= WORTH_SAYING * paired.base_mean.abs();
    (index != best && brings_something && helps(reliefs, relief)).then(|| {
        let rule = phrase(&relief.trial, people(reliefs));
        let brings = brings_and_costs(reliefs, relief);
        format!("Free of charge, with {rule} {brings}.")
    })
}

/// A change that would bring more than the best, were it not that some project is done less.
fn at_a_cost(reliefs: &Reliefs, best: Option<&Relief>) -> Option<String> {
    let towards = |relief: &Relief| relief.towards(reliefs.goal).map(|towards| towards.mean);
    let relief = (reliefs.list.iter())
        .find(|relief| relief.is_at_a_cost() && relief.trial.edit.kind() != ReliefKind::Layout)?;
    let best = best.and_then(towards).unwrap_or(0.0);
    (is_better(reliefs, relief) && towards(relief)? < best).then(|| {
        let what = phrase(&relief.trial, people(reliefs));
        let brings = brings_and_costs(reliefs, relief);
        format!("With {what}, {brings}: that counts as no help.")
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
    let is_busiest =
        |relief: &&Relief| relief.trial.edit.kind() == kind && resource(&relief.trial) == name;
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
    let mut boldest = || all.find(|relief| matches!(relief.trial.edit, Edit::Times(_, BOLD_CUT)));
    let told = match first {
        Some(first) if !is_better(reliefs, first) => boldest().or(Some(first)),
        first => first,
    };
    let but = told.map(|relief| {
        let what = phrase(&relief.trial, people(reliefs));
        format!(", but with {what} {}", brings_and_costs(reliefs, relief))
    });
    Some(format!("{who}, {busy}{}.", but.unwrap_or_default()))
}

/// How much no walking could ever bring.
fn layout(reliefs: &Reliefs) -> Option<String> {
    let relief = reliefs
        .list
        .iter()
        .find(|relief| relief.trial.edit.kind() == ReliefKind::Layout);
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
    let mut reasons: Vec<(WhyNot, Vec<String>)> = Vec::new();
    for untried in &reliefs.untried {
        let what = phrase(&untried.trial, people(reliefs));
        match reasons.iter_mut().find(|(why, _)| *why == untried.why) {
            Some((_, all)) => all.push(what),
            None => reasons.push((untried.why, vec![what])),
        }
    }
    let sentence = |(why, all): (WhyNot, Vec<String>)| {
        format!("Not tried, since {}: {}.", why_not(why), all.join(", "))
    };
    reasons.into_iter().map(sentence).collect()
}
