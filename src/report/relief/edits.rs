//! What the changes of the relief experiment are called, in tables, data and charts, and in sentences.

use super::effects::Number;
use crate::experiment::{Edit, PersonFindings, ReliefKind, Trial, WhyNot, half_more};
use crate::report::days;
use crate::report::sentence::{is_plural, listed, with_the};
use crate::shop::{CHOICES, CURES, CureRule, QUEUE_RULES, QueueRule, RuleRow, SWITCHES};

/// What is changed, as tables and data have it.
pub fn resource(trial: &Trial) -> &str {
    match (&trial.resource, trial.edit.kind()) {
        (Some(name), _) => name,
        (None, ReliefKind::Cart) => "carts",
        (None, ReliefKind::Layout) => "distances",
        (None, ReliefKind::Session) => "sessions",
        (None, ReliefKind::Quiet) => "quiet time",
        (None, ReliefKind::TakeOff) => "clamps",
        (None, _) => "rules",
    }
}

/// What is changed, as tables and charts have it: who is alone in the shop reads it.
pub fn resource_in_words<'a>(trial: &'a Trial, crew: &[PersonFindings]) -> &'a str {
    match trial.edit {
        Edit::OneMorePerson(_) if crew.len() == 1 => "people",
        _ => resource(trial),
    }
}

/// How it is changed, as data have it.
pub fn change(edit: Edit) -> String {
    match edit {
        Edit::OneMoreUnit(_) | Edit::OneMorePerson(_) | Edit::OneMoreCart => "one more".to_owned(),
        Edit::OneMoreManned(..) => "one more, with a person".to_owned(),
        Edit::Times(_, percent) => format!("times −{percent} %"),
        Edit::NoSetup(_) => "no setup".to_owned(),
        Edit::HalfMoreGear(_) => "50 % more".to_owned(),
        Edit::OneMoreSet(..) => "one more set".to_owned(),
        Edit::NoWalking => "no walking".to_owned(),
        Edit::OneMoreSession(time) => format!("one more, {}", days::opening(&time)),
        Edit::NoQuietTime => "none".to_owned(),
        Edit::LastsLonger(..) => "upkeep half as often".to_owned(),
        Edit::SpareAtHand(..) => "spare at hand".to_owned(),
        Edit::MoreRoom(_) => "room for one more lot".to_owned(),
        Edit::GoTogether(_) => "together".to_owned(),
        Edit::NoTakeOff => "no taking off".to_owned(),
        Edit::Queue(_) | Edit::Switch(_) | Edit::Choose(_) | Edit::Cures(_) => {
            let (key, name, _) = rule_row(edit);
            format!("{key} {name}")
        }
    }
}

/// Why a change was not tried.
pub fn why_not(why: WhyNot) -> &'static str {
    match why {
        WhyNot::OneForEachPerson => "there is already one for each person",
        WhyNot::NoTimeThere => "nothing takes time there",
        WhyNot::NothingTheyCanDo => "there is nothing that they can do",
        WhyNot::NoLotAsksForACart => "no lot is large enough for a cart",
        WhyNot::NobodyIsNeeded => "nobody is needed for anything",
        WhyNot::NothingIsDue => "no order has a due date, so people choose as they do now",
        WhyNot::StandsTogether => "everything stands together",
        WhyNot::NothingNeedsIt => "nothing that is ordered needs it",
        WhyNot::EnoughForEverybody => "there is enough for everybody at once",
        WhyNot::OpenEveryDay => "the shop is open on every day of the week",
        WhyNot::NothingIsLoud => "nothing that is ordered is done at a loud station",
        WhyNot::RolledAbout => "it is rolled about, and nobody says where a second one would stand",
    }
}

/// How it is changed, as tables and charts have it: rules by what they do, and that a time is mostly a cure, since a
/// quicker glue shortens it, but working faster does not.
pub fn change_in_words(trial: &Trial) -> String {
    let change = match trial.edit {
        Edit::Queue(QueueRule::Edd) if trial.nothing_is_due => {
            "queue: oldest order first".to_owned()
        }
        edit => format!("{}{}", edit_in_words(edit), counts(trial)),
    };
    // Several things may wear at one station.
    let change = match &trial.part {
        Some(part) => format!("{part}: {change}"),
        None => change,
    };
    match trial.mostly_cure.is_empty() {
        true => change,
        false => format!("{change}, mostly drying"),
    }
}

fn edit_in_words(edit: Edit) -> String {
    match edit {
        Edit::Queue(rule) => format!("queue: {}", queue_in_words(rule)),
        Edit::OneMoreSet(_, pieces) => format!("{} ({pieces})", change(edit)),
        Edit::Times(_, 50) => "half the time".to_owned(),
        Edit::Times(_, percent) => format!("{percent} % less time"),
        Edit::OneMorePerson(_) => "one more, trained".to_owned(),
        Edit::Cures(rule) => cures_in_words(rule).to_owned(),
        Edit::MoreRoom(_) => "room for one more".to_owned(),
        _ => change(edit),
    }
}

fn cures_in_words(rule: CureRule) -> &'static str {
    match rule {
        CureRule::LikeOtherWork => "what cures like other work",
        CureRule::LastInASession => "what cures last in a session",
    }
}

fn queue_in_words(rule: QueueRule) -> &'static str {
    match rule {
        QueueRule::Fifo => "first in, first out",
        QueueRule::Spt => "shortest work first",
        QueueRule::Lpt => "longest work first",
        QueueRule::Mwkr => "most work left first",
        QueueRule::Edd => "earliest due date first",
    }
}

/// Whether what is changed is several things.
pub(in crate::report) fn number(trial: &Trial) -> Number {
    match trial.edit {
        Edit::HalfMoreGear(_) if is_plural(resource(trial)) => Number::Plural,
        Edit::OneMoreManned(..) => Number::Plural,
        _ => Number::Singular,
    }
}

/// Whether a group of people is called by the names of all of them: "ann and bob".
pub(super) fn has_several_names(group: &str, crew: &[PersonFindings]) -> bool {
    let mut members = crew.iter().filter(|person| person.group == group);
    members.any(|person| !person.name.starts_with(group))
}

/// A change as it stands in a sentence, in a shop with these people.
pub(in crate::report) fn phrase(trial: &Trial, crew: &[PersonFindings]) -> String {
    let resource = resource(trial);
    match trial.edit {
        Edit::OneMoreUnit(_) => format!("one more {resource}"),
        Edit::OneMoreManned(..) => format!("one more {resource} and one more person"),
        Edit::Times(..) => times(trial, &format!("the times at {}", with_the(resource))),
        Edit::NoSetup(_) => format!("no setup at {}", with_the(resource)),
        Edit::OneMorePerson(_) if crew.len() == 1 => {
            "one more person who can do all that you do".to_owned()
        }
        Edit::OneMorePerson(_) if has_several_names(resource, crew) => {
            format!("one more person who can do what {resource} do")
        }
        Edit::OneMorePerson(_) => format!("one more person like {resource}"),
        Edit::HalfMoreGear(_) => format!("50 % more {resource}{}", counts(trial)),
        Edit::OneMoreSet(_, pieces) => format!("one more set of {pieces} {resource}"),
        Edit::OneMoreCart => "one more cart".to_owned(),
        Edit::NoWalking => "no walking at all".to_owned(),
        Edit::OneMoreSession(time) => {
            let (session, at) = (days::called(&time), days::opening(&time));
            format!("one more {session} a week ({at})")
        }
        Edit::NoQuietTime => "no quiet time at all".to_owned(),
        Edit::LastsLonger(..) => {
            format!(
                "half as much upkeep ({}) at {}",
                part(trial),
                with_the(resource)
            )
        }
        Edit::SpareAtHand(..) => {
            format!(
                "a spare ({}) at hand at {}",
                part(trial),
                with_the(resource)
            )
        }
        Edit::MoreRoom(_) => format!("room for one more finished lot at {}", with_the(resource)),
        Edit::GoTogether(_) => format!("letting go on together what is kept apart ({resource})"),
        Edit::NoTakeOff => "nothing to take off after a cure".to_owned(),
        Edit::Queue(_) | Edit::Switch(_) | Edit::Choose(_) | Edit::Cures(_) => rule(trial),
    }
}

/// What wears or fills up.
fn part(trial: &Trial) -> &str {
    trial.part.as_deref().unwrap_or_default()
}

/// " (9 → 14)": how many of some gear there are, and how many with half as many again.
fn counts(trial: &Trial) -> String {
    match (trial.edit, trial.gear_count) {
        (Edit::HalfMoreGear(_), Some(count)) => format!(" ({count} → {})", half_more(count)),
        _ => String::new(),
    }
}

/// The same behind a sentence that has named the resource.
pub(super) fn phrase_of_named(trial: &Trial, crew: &[PersonFindings]) -> String {
    match trial.edit {
        Edit::OneMoreUnit(_) => "one more of it".to_owned(),
        Edit::OneMoreManned(..) => "one more of it and one more person".to_owned(),
        Edit::Times(..) => times(trial, "its times"),
        Edit::NoSetup(_) => "no setup there".to_owned(),
        _ => phrase(trial, crew),
    }
}

fn times(trial: &Trial, times: &str) -> String {
    match trial.edit {
        Edit::Times(_, 50) => format!("halving {times}{}", cures(trial)),
        Edit::Times(_, percent) => format!("cutting {times} by {percent} %{}", cures(trial)),
        _ => times.to_owned(),
    }
}

/// Key, name and meaning of a rule.
fn rule_row(edit: Edit) -> (&'static str, &'static str, &'static str) {
    fn of<R: PartialEq>(rows: &'static [RuleRow<R>], rule: R) -> (&'static str, &'static str) {
        let row = rows.iter().find(|row| row.rule == rule);
        row.map_or(("", ""), |row| (row.name, row.meaning))
    }
    let (key, (name, meaning)) = match edit {
        Edit::Queue(rule) => ("queue", of(QUEUE_RULES, rule)),
        Edit::Switch(rule) => ("switch station", of(SWITCHES, rule)),
        Edit::Choose(rule) => ("choose next", of(CHOICES, rule)),
        Edit::Cures(rule) => ("cures", of(CURES, rule)),
        _ => ("", ("", "")),
    };
    (key, name, meaning)
}

/// What a rule does, with its key and name in brackets: "longest work first (`queue: lpt`)".
fn rule(trial: &Trial) -> String {
    let (key, name, meaning) = rule_row(trial.edit);
    let words = match trial.edit {
        Edit::Queue(QueueRule::Edd) if trial.nothing_is_due => "oldest order first".to_owned(),
        Edit::Queue(rule) => queue_in_words(rule).to_owned(),
        Edit::Switch(_) => format!("the rule that {meaning}"),
        Edit::Cures(rule) => format!("doing {}", cures_in_words(rule)),
        _ => format!("people going first to {meaning}"),
    };
    format!("{words} (`{key}: {name}`)")
}

/// That a time is mostly a cure, in which nobody works: a quicker glue shortens it, working faster does not.
fn cures(trial: &Trial) -> String {
    match &trial.mostly_cure[..] {
        [] => String::new(),
        operations => format!(" (mostly the cure after {})", listed(operations, "and")),
    }
}
