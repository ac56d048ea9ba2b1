//! The busiest resource, in a sentence: it need not be what holds the work up.

use super::figure::percent;
use super::sentence::{capital, is_plural, listed, with_the};
use crate::experiment::{CandidateFindings, PersonFindings, Resource, ResourceKind};

/// So many of those who can do the same work are called by their names.
const NAMED: usize = 3;

/// What is in use for the largest share of the time, what is in use as long, and if the first is people, where their
/// work takes most of it.
pub fn busiest(found: &CandidateFindings) -> Option<String> {
    let Resource {
        name,
        kind,
        utilisation,
    } = found.bottleneck.as_ref()?;
    let busy = percent(*utilisation);
    let candidate = &found.name;
    let the_name = capital(&with_the(name));
    let is = if is_plural(name) { "are" } else { "is" };
    let as_long = as_long(found);
    let sentence = match kind {
        ResourceKind::Person => {
            let members = members(found, name);
            let who = who(found, name, &members);
            let not_a_machine = match (&members[..], found.crew.len()) {
                ([_], 1) => "You, not a machine, are".to_owned(),
                ([_], _) => format!("{who}, not a machine, is"),
                _ if are_called_alike(name, &members) => {
                    format!("{}, not a machine, are", capital(&who))
                }
                _ => format!("{who}, who can do the same work, and not a machine, are"),
            };
            let work =
                most_work(found, name, &members).map_or_else(String::new, |w| format!("; {w}"));
            format!(
                "{not_a_machine} the busiest in \"{candidate}\", busy {busy} of the time{as_long}{work}"
            )
        }
        ResourceKind::Station => {
            format!(
                "{the_name} {is} the busiest in \"{candidate}\", in use {busy} of the time{as_long}"
            )
        }
        ResourceKind::Gear => format!(
            "{the_name} {is} the busiest in \"{candidate}\", {busy} of them in use on average{as_long}"
        ),
    };
    Some(format!("{sentence}."))
}

/// The people of that name, or of the group of that name.
fn members<'a>(found: &'a CandidateFindings, name: &str) -> Vec<&'a PersonFindings> {
    let crew = found.crew.iter();
    crew.filter(|person| person.name == *name || person.group == *name)
        .collect()
}

/// Whether people are told apart by a number alone.
fn are_called_alike(name: &str, members: &[&PersonFindings]) -> bool {
    members.len() > 1 && members.iter().all(|member| member.name.starts_with(name))
}

/// "you", the names of people, or what all of them are called.
fn who(found: &CandidateFindings, name: &str, members: &[&PersonFindings]) -> String {
    if found.crew.len() == 1 {
        return "you".to_owned();
    }
    if are_called_alike(name, members) {
        return format!("the {} people called \"{name}\"", members.len());
    }
    // Which of them is busier follows from the order of their names alone.
    let quoted = members
        .iter()
        .take(NAMED)
        .map(|member| format!("\"{}\"", member.name));
    let more = members.len().saturating_sub(NAMED);
    let more = (more > 0).then(|| format!("{more} more"));
    let all: Vec<String> = quoted.chain(more).collect();
    listed(&all, "and")
}

/// ", and you are busy as long": where all work is done at one machine, the one who does it is in use whenever it is.
fn as_long(found: &CandidateFindings) -> String {
    let others = found.busy_as_long();
    let (mut names, mut are) = (Vec::new(), others.len() > 1);
    for other in &others {
        names.push(match other.kind {
            ResourceKind::Person => {
                let members = members(found, &other.name);
                are |= members.len() > 1 || found.crew.len() == 1;
                who(found, &other.name, &members)
            }
            ResourceKind::Station | ResourceKind::Gear => {
                are |= is_plural(&other.name);
                with_the(&other.name)
            }
        });
    }
    match names.is_empty() {
        true => String::new(),
        false => format!(
            ", and {} {} busy as long",
            listed(&names, "and"),
            if are { "are" } else { "is" }
        ),
    }
}

/// "work at the bench takes 39 % of your time"
fn most_work(found: &CandidateFindings, name: &str, members: &[&PersonFindings]) -> Option<String> {
    let whose = match members {
        [_] if found.crew.len() == 1 => "your time".to_owned(),
        [_] => format!("the time of {name}"),
        _ => "their time".to_owned(),
    };
    let times = members.iter();
    let time: f64 = times
        .map(|person| person.walking + person.handling + person.working + person.waiting)
        .sum();
    let at = |station: usize| -> f64 {
        let times = members.iter().map(|person| person.working_at[station]);
        times.sum()
    };
    let most = (0..found.stations.len()).map(|station| (station, at(station)));
    let (station, seconds) = most.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))?;
    (seconds > 0.0 && time > 0.0).then(|| {
        format!(
            "work at {} takes {} of {whose}",
            with_the(&found.stations[station].name),
            percent(seconds / time)
        )
    })
}
