//! What the changes of the relief experiment are called, in tables, data and charts, and in sentences.

use crate::experiment::{Edit, ReliefKind, Trial, WhyNot};
use crate::report::sentence::listed;
use crate::shop::{CHOICES, QUEUE_RULES, Row, SWITCHES};

/// What is changed, as tables and data have it.
pub fn resource(trial: &Trial) -> &str {
    match (&trial.resource, trial.edit.kind()) {
        (Some(name), _) => name,
        (None, ReliefKind::Cart) => "carts",
        (None, ReliefKind::Layout) => "distances",
        (None, _) => "rules",
    }
}

/// How it is changed, as tables and data have it.
pub fn change(edit: Edit) -> String {
    match edit {
        Edit::OneMoreUnit(_) | Edit::OneMorePerson(_) | Edit::OneMoreCart => "one more".to_owned(),
        Edit::Times(_, percent) => format!("times −{percent} %"),
        Edit::NoSetup(_) => "no setup".to_owned(),
        Edit::HalfMoreGear(_) => "50 % more".to_owned(),
        Edit::OneMoreSet(..) => "one more set".to_owned(),
        Edit::NoWalking => "no walking".to_owned(),
        Edit::Queue(_) | Edit::Switch(_) | Edit::Choose(_) => {
            let (key, name, _) = rule_row(edit);
            format!("{key} {name}")
        }
    }
}

/// Why a change was not tried.
pub fn why_not(why: WhyNot) -> &'static str {
    match why {
        WhyNot::OneForEachPerson => {
            "there are as many of it as people, and nobody leaves work in it"
        }
        WhyNot::NoTimeThere => "nothing takes time there",
        WhyNot::NothingTheyCanDo => "there is nothing that they can do",
        WhyNot::NoLotAsksForACart => "no lot is large enough to ask for one",
        WhyNot::NobodyIsNeeded => "nobody is needed for anything",
        WhyNot::NothingIsDue => "no order has a due date, so people choose as they do now",
        WhyNot::StandsTogether => "everything stands together",
        WhyNot::NothingNeedsIt => "nothing that is ordered needs it",
        WhyNot::EnoughForEverybody => "there is enough for everybody at once",
    }
}

/// A change as it stands in a sentence, in a shop with so many people.
pub(super) fn phrase(trial: &Trial, people: usize) -> String {
    let resource = resource(trial);
    match trial.edit {
        Edit::OneMoreUnit(_) => format!("one more {resource}"),
        Edit::Times(_, 50) => format!("halving the times at the {resource}{}", cures(trial)),
        Edit::Times(_, percent) => format!(
            "cutting the times at the {resource} by {percent} %{}",
            cures(trial)
        ),
        Edit::NoSetup(_) => format!("no setup at the {resource}"),
        Edit::OneMorePerson(_) if people == 1 => "one more person".to_owned(),
        Edit::OneMorePerson(_) => format!("one more person like {resource}"),
        Edit::HalfMoreGear(_) => format!("50 % more {resource}"),
        Edit::OneMoreSet(_, pieces) => format!("one more set of {pieces} {resource}"),
        Edit::OneMoreCart => "one more cart".to_owned(),
        Edit::NoWalking => "no walking at all".to_owned(),
        Edit::Queue(_) | Edit::Switch(_) | Edit::Choose(_) => rule(trial.edit),
    }
}

/// Key, name and meaning of a rule.
fn rule_row(edit: Edit) -> (&'static str, &'static str, &'static str) {
    fn of<R: PartialEq>(rows: &'static [Row<R>], rule: R) -> (&'static str, &'static str) {
        let row = rows.iter().find(|row| row.rule == rule);
        row.map_or(("", ""), |row| (row.name, row.meaning))
    }
    let (key, (name, meaning)) = match edit {
        Edit::Queue(rule) => ("queue", of(QUEUE_RULES, rule)),
        Edit::Switch(rule) => ("switch station", of(SWITCHES, rule)),
        Edit::Choose(rule) => ("choose next", of(CHOICES, rule)),
        _ => ("", ("", "")),
    };
    (key, name, meaning)
}

/// What a rule does, with its key and name in brackets: "taking first the lot with ... (`queue: spt`)".
fn rule(edit: Edit) -> String {
    let (key, name, meaning) = rule_row(edit);
    let words = match edit {
        Edit::Queue(_) => format!("taking first {meaning}"),
        Edit::Switch(_) => format!("the rule that {meaning}"),
        _ => format!("people going first to {meaning}"),
    };
    format!("{words} (`{key}: {name}`)")
}

/// That a time is mostly one in which nobody works: who hurries gains nothing, who takes a quicker glue does.
fn cures(trial: &Trial) -> String {
    match &trial.mostly_cure[..] {
        [] => String::new(),
        operations => format!(" (mostly the cure after {})", listed(operations, "and")),
    }
}
