//! The busiest resource, in a sentence.

use super::figure::percent;
use super::sentence::{capital, is_plural, listed, with_the};
use crate::experiment::{CandidateFindings, PersonFindings, Resource, ResourceKind};

/// So many of those who can do the same work are called by their names.
const NAMED: usize = 3;

/// What is in use for the largest share of the time, and if that is people, where their work takes most of it.
pub fn bottleneck(found: &CandidateFindings) -> Option<String> {
    said(found, "bottleneck")
}

/// The same in an answer that says beside it what would help: the busiest need not be what holds the work up.
pub fn busiest(found: &CandidateFindings) -> Option<String> {
    said(found, "busiest")
}

fn said(found: &CandidateFindings, what: &str) -> Option<String> {
    let Resource {
        name,
        kind,
        utilisation,
    } = found.bottleneck.as_ref()?;
    let busy = percent(*utilisation);
    let candidate = &found.name;
    let the_name = capital(&with_the(name));
    let sentence = match kind {
        ResourceKind::Person => {
            let members: Vec<&PersonFindings> = found
                .crew
                .iter()
                .filter(|person| person.name == *name || person.group == *name)
                .collect();
            let names: Vec<&str> = members.iter().map(|person| &person.name[..]).collect();
            let are_called_alike = names.iter().all(|member| member.starts_with(&name[..]));
            let (who, whose) = match names[..] {
                [_] if found.crew.len() == 1 => {
                    ("You, not a machine, are".to_owned(), "your time".to_owned())
                }
                [name] => (
                    format!("\"{name}\", not a machine, is"),
                    format!("the time of {name}"),
                ),
                _ if are_called_alike => (
                    format!(
                        "The {} people called \"{name}\", not a machine, are",
                        names.len()
                    ),
                    "their time".to_owned(),
                ),
                // Which of them is busier follows from the order of their names alone.
                _ => {
                    let quoted = names.iter().take(NAMED).map(|name| format!("\"{name}\""));
                    let more = names.len().saturating_sub(NAMED);
                    let more = (more > 0).then(|| format!("{more} more"));
                    let all: Vec<String> = quoted.chain(more).collect();
                    (
                        format!(
                            "{}, who can do the same work, and not a machine, are",
                            listed(&all, "and")
                        ),
                        "their time".to_owned(),
                    )
                }
            };
            let mut sentence =
                format!("{who} the {what} in \"{candidate}\", busy {busy} of the time");
            let time: f64 = members
                .iter()
                .map(|p| p.walking + p.handling + p.working + p.waiting)
                .sum();
            let at = |station: usize| {
                members
                    .iter()
                    .map(|person| person.working_at[station])
                    .sum::<f64>()
            };
            let most = (0..found.stations.len()).map(|station| (station, at(station)));
            let most = most.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
            if let Some((station, seconds)) = most
                && seconds > 0.0
                && time > 0.0
            {
                let station = &found.stations[station].name;
                sentence.push_str(&format!(
                    "; work at {} takes {} of {whose}",
                    with_the(station),
                    percent(seconds / time)
                ));
            }
            sentence
        }
        ResourceKind::Station => {
            let is = if is_plural(name) { "are" } else { "is" };
            // Where all work is done there, the one who does it is in use whenever it is.
            let as_long = match &found.crew[..] {
                [only] if percent(only.utilisation) == busy => ", and you are busy as long",
                _ => "",
            };
            format!(
                "{the_name} {is} the {what} in \"{candidate}\", in use {busy} of the time{as_long}"
            )
        }
        ResourceKind::Gear => format!(
            "{the_name} {} the {what} in \"{candidate}\", {busy} of them in use on average",
            if is_plural(name) { "are" } else { "is" },
        ),
    };
    Some(format!("{sentence}."))
}
