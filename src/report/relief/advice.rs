//! What would help most, in sentences.

use super::edits::{has_several_names, number, phrase, phrase_of_named, resource};
use super::effects::{
    Digits, Number, WORTH_SAYING, amount_and_whole, brings, brings_and_costs, crew, figure, goal,
    goal_unit, helps, is_better, is_worth_saying, with_costs,
};
use super::money::for_the_money;
use super::unexpected::unexpected;
use crate::experiment::{
    BOLD_CUT, Edit, Goal, Relief, ReliefKind, Reliefs, ResourceKind, SMALL_CUT,
};
use crate::report::difference::{is_none, is_shown};
use crate::report::figure::percent;
use crate::report::lines::Line;
use crate::report::overload::{at_capacity, overload};
use crate::report::sentence::{capital, is_plural, listed, with_the};
use crate::statistics::Paired;

/// So many changes that cannot be told apart from the best are named.
const NAMED: usize = 3;

/// The advice with all digits: what to change, what it brings, how sure that is, and what it says of the layout.
pub fn advice(reliefs: &Reliefs) -> String {
    let parts = parts(reliefs, Digits::All).into_iter();
    let sentences: Vec<String> = parts.map(|line| line.says).collect();
    sentences.join(" ")
}

/// Which of several layouts all of it was tried in.
pub fn tried_in(reliefs: &Reliefs) -> Line {
    let name = &reliefs.findings.candidates[0].name;
    Line {
        heading: "Tried in",
        says: format!("\"{name}\", one of several: `--layout` takes another."),
        is_fault: false,
    }
}

/// The same as lines, with the digits that a decision needs.
pub fn lines(reliefs: &Reliefs) -> Vec<Line> {
    parts(reliefs, Digits::Few)
}

fn parts(reliefs: &Reliefs, digits: Digits) -> Vec<Line> {
    let best = (reliefs.list.iter())
        .position(|relief| !relief.trial.edit.is_scale() && helps(reliefs, relief));
    let place = &reliefs.findings.candidates[0].name;
    let none_done = (reliefs.findings.candidates[0].orders_done == 0.0).then(|| {
        "No order is finished in the measured time: a longer run (`until`) would tell.".to_owned()
    });
    let most = match best {
        Some(index) => {
            let relief = &reliefs.list[index];
            let what = phrase(&relief.trial, crew(reliefs));
            let number = number(&relief.trial);
            let (it, brings) = (
                number.pronoun(),
                brings_and_costs(reliefs, relief, number, digits),
            );
            let first = match digits {
                Digits::All => {
                    format!("What would help most in \"{place}\" is {what}: {it} {brings}.")
                }
                Digits::Few => format!("{}: {it} {brings}.", capital(&what)),
            };
            let more = [
                certainty(reliefs, index),
                at_a_cost(reliefs, Some(relief), digits),
            ];
            std::iter::once(first)
                .chain(more.into_iter().flatten())
                .collect()
        }
        None => {
            let better = match reliefs.goal {
                Goal::LeadTime => "shortens lead time",
                Goal::Throughput => "raises throughput",
            };
            let at_a_cost = at_a_cost(reliefs, None, digits);
            let costs = match at_a_cost {
                Some(_) => ", unless fewer orders of some project are finished",
                None => "",
            };
            let first =
                format!("The runs show no single change in \"{place}\" that {better}{costs}.");
            let all: Vec<String> = std::iter::once(first).chain(at_a_cost).collect();
            all
        }
    };
    let is_told = none_done.is_none();
    let parts = [
        ("Overload", overload(&reliefs.findings)),
        ("At capacity", at_capacity(&reliefs.findings)),
        (
            "At hand",
            best.and_then(|best| at_hand(reliefs, best, digits)),
        ),
        ("Helps most", Some(most.join(" "))),
        (
            "Matters",
            best.and_then(|best| matters(reliefs, best, digits)),
        ),
        ("For money", for_the_money(reliefs, digits)),
        (
            "Small step",
            best.and_then(|best| smallest_step(reliefs, best, digits)),
        ),
        (
            "For free",
            best.and_then(|best| free_of_charge(reliefs, best, digits)),
        ),
        ("Finished", none_done),
        (
            "Walking",
            is_told.then(|| layout(reliefs, digits)).flatten(),
        ),
        (
            "Busiest",
            is_told.then(|| busiest(reliefs, best, digits)).flatten(),
        ),
        ("More time", scale(reliefs, ReliefKind::Session, digits)),
        ("Quiet time", scale(reliefs, ReliefKind::Quiet, digits)),
        ("Kept apart", scale(reliefs, ReliefKind::Exclusion, digits)),
        ("Taking off", scale(reliefs, ReliefKind::TakeOff, digits)),
        ("Unexpected", unexpected(reliefs, digits)),
    ];
    let told = parts.into_iter().filter_map(|(heading, says)| {
        Some(Line {
            heading,
            says: says?,
            is_fault: false,
        })
    });
    told.collect()
}

/// Whether the best change is known to be the best, with the error shared by all comparisons.
fn certainty(reliefs: &Reliefs, best: usize) -> Option<String> {
    let crew = crew(reliefs);
    let tried = reliefs.list.len();
    let at_no_cost = reliefs.list.iter().filter(|relief| !relief.is_at_a_cost());
    let at_no_cost = at_no_cost.count();
    let is_scale = |&&index: &&usize| reliefs.list[index].trial.edit.is_scale();
    let scales = reliefs.in_question.iter().filter(is_scale);
    let scales: Vec<String> = scales
        .map(|&index| phrase(&reliefs.list[index].trial, crew))
        .collect();
    if scales.len() == reliefs.in_question.len() {
        return Some(format!("Only {} would bring more.", listed(&scales, "or")));
    }
    let others: Vec<String> = (reliefs.in_question.iter())
        .filter(|&&other| other != best)
        .map(|&other| phrase(&reliefs.list[other].trial, crew))
        .collect();
    if !others.is_empty() {
        let more = others.len().saturating_sub(NAMED);
        let more = (more > 0).then(|| format!("{more} more"));
        let named: Vec<String> = others.into_iter().take(NAMED).chain(more).collect();
        let named = listed(&named, "and");
        return Some(format!("The runs cannot tell it apart from {named}."));
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

/// What can be bought, built or added with the largest gain, where quicker work at some station would bring more: it comes
/// first, since one knows how to do it.
fn at_hand(reliefs: &Reliefs, best: usize, digits: Digits) -> Option<String> {
    let is_at_hand = |relief: &&Relief| {
        let edit = relief.trial.edit;
        let is_free = edit.is_scale() || edit.kind() == ReliefKind::Rule;
        !is_free && !relief.trial.edit.saves_times()
    };
    if !reliefs.list[best].trial.edit.saves_times() {
        return None;
    }
    let doable = || {
        reliefs
            .list
            .iter()
            .filter(|relief| relief.trial.edit.is_doable())
    };
    if doable().next().is_some() && !doable().any(|relief| is_worth_saying(reliefs, relief)) {
        let none =
            "Nothing that can be bought, added or put in another order helps by 1 % or more.";
        return Some(none.to_owned());
    }
    let relief = reliefs.list.iter().find(is_at_hand)?;
    is_worth_saying(reliefs, relief).then(|| {
        let what = phrase(&relief.trial, crew(reliefs));
        let number = number(&relief.trial);
        let brings = brings_and_costs(reliefs, relief, number, digits);
        match digits {
            Digits::All => format!("Of what is at hand, {what} {brings}."),
            Digits::Few => format!("{}: {} {brings}.", capital(&what), number.pronoun()),
        }
    })
}

/// The station whose times matter most, where something that can be done would bring more than half of them.
fn matters(reliefs: &Reliefs, best: usize, digits: Digits) -> Option<String> {
    if reliefs.list[best].trial.edit.saves_times() {
        return None;
    }
    let mut all = reliefs.list.iter();
    let relief = all.find(|relief| matches!(relief.trial.edit, Edit::Times(_, BOLD_CUT)))?;
    is_worth_saying(reliefs, relief).then(|| {
        let what = phrase(&relief.trial, crew(reliefs));
        let brings = brings_and_costs(reliefs, relief, Number::Singular, digits);
        match digits {
            Digits::All => format!("Of the times, {what} matters most: it {brings}."),
            Digits::Few => format!("{}: it {brings}.", capital(&what)),
        }
    })
}

/// The station where a small cut of the times helps most: often easier than a second machine.
fn smallest_step(reliefs: &Reliefs, best: usize, digits: Digits) -> Option<String> {
    let index = (reliefs.list.iter())
        .position(|relief| matches!(relief.trial.edit, Edit::Times(_, SMALL_CUT)))?;
    let relief = &reliefs.list[index];
    (index != best && helps(reliefs, relief)).then(|| {
        let mut trial = relief.trial.clone();
        // The first sentence has already said that most of this station's time is a cure.
        if trial.resource == reliefs.list[best].trial.resource {
            trial.mostly_cure.clear();
        }
        let what = phrase(&trial, crew(reliefs));
        let brings = brings_and_costs(reliefs, relief, Number::Singular, digits);
        match digits {
            Digits::All => format!("Of the small steps, {what} helps most: it {brings}."),
            Digits::Few => format!("{}: it {brings}.", capital(&what)),
        }
    })
}

/// The best rule, which costs nothing.
fn free_of_charge(reliefs: &Reliefs, best: usize, digits: Digits) -> Option<String> {
    let rules = reliefs.list.iter().enumerate();
    let mut rules = rules.filter(|(_, relief)| relief.trial.edit.kind() == ReliefKind::Rule);
    let (first, most) = rules.next()?;
    // Of rules that bring the same, gluing last is done at once; the others mean sorting every pile.
    let amount = |relief: &Relief| relief.towards(reliefs.goal).map(|towards| towards.mean);
    let is_alike = |relief: &Relief| {
        amount(relief) == amount(most) && relief.is_at_a_cost() == most.is_at_a_cost()
    };
    let glued_last =
        rules.find(|(_, relief)| is_alike(relief) && matches!(relief.trial.edit, Edit::Cures(_)));
    let (index, relief) = glued_last.unwrap_or((first, most));
    (index != best && is_worth_saying(reliefs, relief)).then(|| {
        let rule = phrase(&relief.trial, crew(reliefs));
        let brings = brings_and_costs(reliefs, relief, Number::Singular, digits);
        match digits {
            Digits::All => format!("Free of charge, {rule} {brings}."),
            Digits::Few => format!("{}: it {brings}.", capital(&rule)),
        }
    })
}

/// A change that would bring more than the best, but finishes fewer orders of some project.
fn at_a_cost(reliefs: &Reliefs, best: Option<&Relief>, digits: Digits) -> Option<String> {
    let towards = |relief: &Relief| relief.towards(reliefs.goal).map(|towards| towards.mean);
    let relief = (reliefs.list.iter())
        .find(|relief| relief.is_at_a_cost() && !relief.trial.edit.is_scale())?;
    let best = best.and_then(towards).unwrap_or(0.0);
    (is_better(reliefs, relief) && towards(relief)? < best).then(|| {
        let what = capital(&phrase(&relief.trial, crew(reliefs)));
        let brings = brings_and_costs(reliefs, relief, number(&relief.trial), digits);
        format!("{what} {brings}: that does not count as help.")
    })
}

/// The busiest resource, which need not be the one whose relief helps most.
fn busiest(reliefs: &Reliefs, best: Option<usize>, digits: Digits) -> Option<String> {
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
    let are_several = match busiest.kind {
        ResourceKind::Person => has_several_names(&busiest.name, &found.crew),
        ResourceKind::Station | ResourceKind::Gear => is_plural(&busiest.name),
    };
    let is = if are_several { "are" } else { "is" };
    let who = match busiest.kind {
        ResourceKind::Person if found.crew.len() == 1 => None,
        ResourceKind::Person => Some(busiest.name.clone()),
        ResourceKind::Station | ResourceKind::Gear => Some(with_the(&busiest.name)),
    };
    let busy = match busiest.kind {
        ResourceKind::Gear => format!("{busy} of them in use on average"),
        _ => format!("{busy} of the time"),
    };
    if best.is_some_and(|best| is_busiest(&&reliefs.list[best])) {
        return Some(match (who, busiest.kind) {
            (None, _) => format!("You are also the busiest, {busy}."),
            (Some(who), ResourceKind::Person) => {
                format!("\"{who}\" {is} also the busiest, {busy}.")
            }
            (Some(who), _) => format!("{} {is} also the busiest, {busy}.", capital(&who)),
        });
    }
    let who = match who {
        None => "You are the busiest".to_owned(),
        Some(who) => format!("The busiest {is} {who}"),
    };
    // Of its changes the one that helps most; if none helps, the boldest, which tells more than a small one.
    let mut all = reliefs.list.iter().filter(is_busiest);
    let first = all.next();
    let mut boldest = || all.find(|relief| matches!(relief.trial.edit, Edit::Times(_, BOLD_CUT)));
    let told = match first {
        Some(first) if !is_better(reliefs, first) => boldest().or(Some(first)),
        first => first,
    };
    let best = best.map(|best| &reliefs.list[best]);
    let but = told.map(|relief| {
        let what = phrase_of_named(&relief.trial, crew(reliefs));
        let number = number(&relief.trial);
        format!(
            "; {what} {}",
            would_bring(reliefs, relief, number, best, digits)
        )
    });
    Some(format!("{who}, {busy}{}.", but.unwrap_or_default()))
}

/// A gain of less than this share of the best one is called little.
const LITTLE: f64 = 0.5;

/// What a change of the busiest brings, which may be little beside the best: "would save only 16.9 min".
fn would_bring(
    reliefs: &Reliefs,
    relief: &Relief,
    number: Number,
    best: Option<&Relief>,
    digits: Digits,
) -> String {
    let paired = goal(reliefs, relief);
    if !is_shown(&paired.difference) || is_none(&paired) || !is_better(reliefs, relief) {
        return with_costs(
            reliefs,
            relief,
            brings(reliefs, relief, number, digits),
            digits,
        );
    }
    let (by, base) = (paired.difference.mean, paired.base_mean);
    let (what, amount) = figure(
        reliefs,
        relief,
        by.abs(),
        (goal_unit(reliefs, relief, by, base), digits),
    );
    let best = best.map(|best| goal(reliefs, best).difference.mean.abs());
    let only = match best {
        Some(best) if by.abs() < LITTLE * best => "only ",
        _ => "",
    };
    let amount = match digits {
        Digits::Few if reliefs.findings.candidates[0].hours.is_some() => {
            amount_and_whole(reliefs, relief).0
        }
        _ => amount,
    };
    let would = match what {
        "lead time" => format!("would save {only}{}", amount.trim_end_matches(',')),
        _ => format!("would add {only}{amount}"),
    };
    with_costs(reliefs, relief, would, digits)
}

/// What no walking at all would bring, which no layout can much exceed.
fn layout(reliefs: &Reliefs, digits: Digits) -> Option<String> {
    let relief = reliefs
        .list
        .iter()
        .find(|relief| relief.trial.edit.kind() == ReliefKind::Layout);
    let Some(relief) = relief else {
        let sentence = "Everything already stands together: no layout can bring more.";
        return Some(sentence.to_owned());
    };
    let brings = brings_and_costs(reliefs, relief, Number::Singular, digits);
    if !is_better(reliefs, relief) && digits == Digits::Few && is_nothing(reliefs, relief) {
        let sentence = "Walking does not visibly hold the work up, so no layout is likely to help.";
        return Some(sentence.to_owned());
    }
    Some(if is_better(reliefs, relief) {
        format!("No layout can bring much more than no walking at all, which {brings}.")
    } else {
        format!(
            "Walking does not visibly hold the work up, so no layout is likely to help: no walking at all {brings}."
        )
    })
}

/// What one more session a week would bring, or no quiet time, against which all else may be held.
fn scale(reliefs: &Reliefs, kind: ReliefKind, digits: Digits) -> Option<String> {
    let mut all = reliefs.list.iter();
    let relief = all.find(|relief| relief.trial.edit.kind() == kind)?;
    let what = capital(&phrase(&relief.trial, crew(reliefs)));
    let brings = brings_and_costs(reliefs, relief, Number::Singular, digits);
    Some(format!("{what} {brings}."))
}

/// Whether a change makes no difference that is worth saying, to any project.
fn is_nothing(reliefs: &Reliefs, relief: &Relief) -> bool {
    let is_little =
        |paired: &Paired| paired.difference.mean.abs() < WORTH_SAYING * paired.base_mean.abs();
    let mut of_projects = relief
        .projects
        .iter()
        .filter_map(|of| of.lead_time.as_ref());
    is_little(&goal(reliefs, relief)) && of_projects.all(is_little)
}
