//! Changes that do harm against expectation: what they bring, and why.

use super::edits::{number, phrase};
use super::effects::{Digits, brings_and_costs, goal};
use crate::experiment::{
    Blocker, Delayed, Departure, FirstDifference, LITTLE, Relief, Reliefs, TaskName,
};
use crate::report::sentence::{capital, listed, with_the};

/// With all digits, harm of a smaller share than this is not explained: it is next to nothing.
const NEXT_TO_NOTHING: f64 = 0.001;

/// So many of them are explained where all digits are shown.
const EXPLAINED: usize = 3;

/// The change that does most harm against expectation, or some of them; a little harm is told with all digits alone.
pub fn unexpected(reliefs: &Reliefs, digits: Digits) -> Option<String> {
    let is_told = |relief: &&Relief| {
        let paired = goal(reliefs, relief);
        let share = paired.difference.mean.abs() / paired.base_mean.abs();
        share
            >= match digits {
                Digits::Few => LITTLE,
                Digits::All => NEXT_TO_NOTHING,
            }
    };
    let most = match digits {
        Digits::Few => 1,
        Digits::All => EXPLAINED,
    };
    // The list has the best first.
    let worst = reliefs.list.iter().rev().filter(is_told);
    let explained = worst.filter_map(|relief| {
        let found = relief.against_expectation.as_ref()?;
        Some(sentence(reliefs, relief, found, digits))
    });
    let all: Vec<String> = explained.take(most).collect();
    (!all.is_empty()).then(|| all.join(" "))
}

fn sentence(reliefs: &Reliefs, relief: &Relief, found: &FirstDifference, digits: Digits) -> String {
    let crew = &reliefs.findings.candidates[0].crew;
    let what = phrase(&relief.trial, crew);
    let brings = brings_and_costs(reliefs, relief, number(&relief.trial), digits);
    let harm = match digits {
        Digits::All => format!("Against expectation, {what} {brings}."),
        Digits::Few => format!("{} {brings}.", capital(&what)),
    };
    let how = departure(found, reliefs.findings.varies, crew.len() == 1, digits);
    format!("{harm} {how}")
}

/// Where two runs part and what then has to wait, in sentences.
pub(in crate::report) fn departure(
    found: &FirstDifference,
    varies: bool,
    is_alone: bool,
    digits: Digits,
) -> String {
    let when = match varies {
        true => format!("In run {} the", found.replication),
        false => "The".to_owned(),
    };
    let task = task(&found.task);
    let at = match found.at_s == 0.0 {
        true => "at the start".to_owned(),
        false => format!("{} from the start", digits.time(found.at_s)),
    };
    let how = match &found.how {
        Departure::Sooner(by) => {
            let than = if *by > 0.0 { "sooner" } else { "later" };
            format!("begins {} {than}, {at}", digits.time(*by))
        }
        Departure::Longer(by) => {
            let than = if *by > 0.0 { "longer" } else { "less" };
            format!("takes {} {than}, {at}", digits.time(*by))
        }
        Departure::InPlaceOf(Some(other)) => {
            format!("comes before {}, {at}", self::task(other))
        }
        Departure::InPlaceOf(None) => format!("is one more, {at}"),
        Departure::Elsewhere { person, station } => {
            let person = person.iter().map(|name| format!("is taken by {name}"));
            let station = station
                .iter()
                .map(|name| format!("is done at {}", with_the(name)));
            let all: Vec<String> = person.chain(station).collect();
            format!("{}, {at}", listed(&all, "and"))
        }
    };
    let waits = found.delayed.as_ref().map_or_else(String::new, |delayed| {
        format!(" {}", waits(delayed, is_alone, digits))
    });
    format!("{when} first task that differs is {task}: it {how}.{waits}")
}

fn waits(delayed: &Delayed, is_alone: bool, digits: Digits) -> String {
    let mut says = capital(&task(&delayed.task));
    says.push_str(&match delayed.by_s {
        Some(by) => format!(" then has to wait {} longer", digits.time(by)),
        None => " then does not begin before the end".to_owned(),
    });
    says.push_str(&match &delayed.by_whom {
        None => String::new(),
        Some(Blocker::Person { at, .. }) if is_alone => {
            format!(", because you are at {}", task(at))
        }
        Some(Blocker::Person { name, at }) => format!(", because {name} is at {}", task(at)),
        Some(Blocker::Station { name, taken_by }) => {
            format!(
                ", because {} is taken by {}",
                with_the(name),
                task(taken_by)
            )
        }
    });
    format!("{says}.")
}

/// As in: "glue-up" of lid in order 2.
pub fn task(name: &TaskName) -> String {
    let item = &name.item;
    let what = match &name.operation {
        Some(operation) => format!("\"{operation}\" of {item}"),
        None => format!("the delivery of {item}"),
    };
    match name.order {
        Some(order) => format!("{what} in order {order}"),
        None => what,
    }
}
