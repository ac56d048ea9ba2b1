//! The busiest resource, in a sentence.

use super::figure::percent;
use crate::experiment::{CandidateFindings, PersonFindings, Resource, ResourceKind};

/// What is in use for the largest share of the time, and if that is people, where their work takes most of it.
pub fn bottleneck(found: &CandidateFindings) -> Option<String> {
    let Resource {
        name,
        kind,
        utilisation,
    } = found.bottleneck.as_ref()?;
    let busy = percent(*utilisation);
    let candidate = &found.name;
    let sentence = match kind {
        ResourceKind::Person => {
            let members: Vec<&PersonFindings> = found
                .crew
                .iter()
                .filter(|person| person.name == *name || person.group == *name)
                .collect();
            let (who, whose) = match members.len() {
                1 if found.crew.len() == 1 => {
                    ("You, not a machine, are".to_owned(), "your time".to_owned())
                }
                1 => (
                    format!("{name}, not a machine, is"),
                    format!("the time of {name}"),
                ),
                count
                    if members
                        .iter()
                        .any(|person| !person.name.starts_with(name.as_str())) =>
                {
                    // Nobody is busier than the others but by the order of their names.
                    let all = if count == found.crew.len() {
                        "All"
                    } else {
                        "The"
                    };
                    (
                        format!(
                            "{all} {count} people who do the same ({name}), not a machine, are"
                        ),
                        "their time".to_owned(),
                    )
                }
                count => (
                    format!("The {count} people called \"{name}\", not a machine, are"),
                    "their time".to_owned(),
                ),
            };
            let mut sentence =
                format!("{who} the bottleneck in \"{candidate}\", busy {busy} of the time");
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
                    "; work at the {station} takes {} of {whose}",
                    percent(seconds / time)
                ));
            }
            sentence
        }
        ResourceKind::Station => {
            format!("The {name} is the bottleneck in \"{candidate}\", in use {busy} of the time")
        }
        ResourceKind::Gear => format!(
            "The {name} are the bottleneck in \"{candidate}\", {busy} of them taken on average"
        ),
    };
    Some(format!("{sentence}."))
}
