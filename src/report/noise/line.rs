//! What an answer says of noise: what the one gets who hears most, and what is heard in the house.

use super::level;
use crate::experiment::{CandidateFindings, DayDoses, HouseNoise, LoudestNoise, PersonNoise};
use crate::report::about;
use crate::report::figure::fixed;
use crate::report::sentence::{capital, listed, with_the};
use crate::services::noise::eight_hour_level;

pub const NOISE: &str = "Noise";

/// What a bedroom should not be louder than at night, in dB(A): guidelines for community noise of the WHO (1999, from
/// memory).
const BEDROOM: f64 = 30.0;

/// Whether somebody gets more in some day than is allowed, behind what they wear.
pub fn is_too_much(found: &CandidateFindings) -> bool {
    let people = found.noise.iter().flat_map(|noise| &noise.people);
    people
        .into_iter()
        .any(|person| person.as_worn().worst > 1.0)
}

/// The line of an answer; nothing where nobody asks for it.
pub fn line(found: &CandidateFindings) -> Option<String> {
    let noise = found.noise.as_ref()?;
    let loudest = noise.people.iter().reduce(|most, person| {
        if person.bare.worst > most.bare.worst {
            person
        } else {
            most
        }
    });
    let mut says: Vec<String> = loudest
        .map(|person| of_person(person, noise.people.len() > 1))
        .into_iter()
        .collect();
    says.extend(noise.house.as_ref().and_then(of_house));
    if !noise.untimed.is_empty() {
        says.push(format!(
            "In no account, since nobody knows when: {}.",
            listed(&noise.untimed, "and")
        ));
    }
    if noise.machines.iter().any(|machine| machine.is_typical) {
        says.push("Some levels are only usual for their kinds: measure yours.".to_owned());
    }
    says.push("Wear hearing protection at all that is louder than 85 dB(A).".to_owned());
    Some(says.join(" "))
}

fn of_person(person: &PersonNoise, are_others: bool) -> String {
    let name = capital(&person.name);
    let Some(peak) = person.peak else {
        return format!("{name} hears no machine.");
    };
    let most = match are_others {
        true => " hears most:",
        false => " hears",
    };
    let behind = person
        .protected
        .as_ref()
        .map_or(String::new(), |(off, doses)| {
            format!(
                "; behind {} dB of protection it is {}",
                fixed(*off, 0),
                dose(doses)
            )
        });
    format!(
        "{name}{most} {} at most. Without protection that is {}{behind}.",
        level(peak),
        dose(&person.bare)
    )
}

/// "102 % of the dose that NIOSH allows in a day, as much as 85 dB(A) for 8 h", "102 % of the dose that NIOSH allows on the
/// worst day and 60 % on the mean one, …"
fn dose(doses: &DayDoses) -> String {
    let Some(over_a_day) = eight_hour_level(doses.worst) else {
        return "nothing that counts".to_owned();
    };
    let worst = about::share(doses.worst);
    let mean = about::share(doses.mean.mean);
    let when = match worst == mean {
        true => "in a day".to_owned(),
        false => format!("on the worst day and {mean} on the mean one"),
    };
    format!(
        "{worst} of the dose that NIOSH allows {when}, as much as {} for 8 h",
        level(over_a_day)
    )
}

fn of_house(house: &HouseNoise) -> Option<String> {
    let loudest = house.loudest.as_ref()?;
    let at_most = format!(
        "The house hears {} at most, from {}",
        level(loudest.level),
        names(loudest)
    );
    let quiet = match &house.quiet {
        None => return Some(format!("{at_most}.")),
        Some(quiet) => quiet,
    };
    Some(match &quiet.loudest {
        None => format!("{at_most}; nothing in quiet time."),
        Some(heard) => {
            let advice = match heard.level > BEDROOM {
                true => {
                    " A bedroom wants 30 dB(A) or less: `loud: true` at a station keeps it still then, and a tighter door helps most."
                }
                false => "",
            };
            format!(
                "{at_most}; in quiet time {}, from {}, for {} in a run.{advice}",
                level(heard.level),
                names(heard),
                about::time(quiet.seconds)
            )
        }
    })
}

fn names(loudest: &LoudestNoise) -> String {
    let names: Vec<String> = loudest.of.iter().map(|name| with_the(name)).collect();
    listed(&names, "and")
}
