//! What an answer says of dust collection: what gets too little air, and where chips settle.

use super::named;
use crate::experiment::{AirHelp, CandidateFindings, DustFindings, GatesOpen, PipeHelp, Units};
use crate::report::about;
use crate::report::measures::{airflow, diameter, velocity};
use crate::report::sentence::{capital, counted, listed, with_the};
use crate::services::air::{AirState, Conveying, SectionAir, StationAir, Supply};

pub const DUST: &str = "Dust";

/// Sets of gates that are told at most.
const TOLD: usize = 3;

/// Whether some station gets too little air, or chips settle, while it runs.
pub fn is_unwell(found: &CandidateFindings) -> bool {
    let sets = found.dust.iter().flat_map(|dust| &dust.together);
    let mut told = sets.filter(|gates| gates.is_told());
    told.any(|gates| !gates.clean.is_well())
}

/// The line of an answer; nothing where all is well.
pub fn line(found: &CandidateFindings, units: Units) -> Option<String> {
    let says: Vec<String> = found
        .dust
        .iter()
        .filter_map(|dust| of_collector(dust, units))
        .collect();
    (!says.is_empty()).then(|| format!("{} A good velocity is not clean air.", says.join(" ")))
}

fn of_collector(dust: &DustFindings, units: Units) -> Option<String> {
    let sets = dust.together.iter().filter(|gates| gates.is_told());
    let wrong: Vec<&GatesOpen> = sets.filter(|gates| !gates.clean.is_well()).collect();
    let mut says: Vec<String> = wrong
        .iter()
        .take(TOLD)
        .map(|gates| of_gates(dust, gates, units))
        .collect();
    let first = says.first_mut()?;
    *first = capital(first);
    if wrong.len() > TOLD {
        says.push(format!(
            "{} more are not well either.",
            counted(wrong.len() - TOLD, "set of open gates")
        ));
    }
    says.extend(advice(dust, &wrong, units));
    Some(says.join(" "))
}

/// "with the gate of the planer alone open (52 % of the time), the planer is starved (380 of 400 cfm), and chips settle in
/// main up to planer (2216 ft/min)."
fn of_gates(dust: &DustFindings, gates: &GatesOpen, units: Units) -> String {
    let names = named::open(dust, &gates.open);
    let when = match &names[..] {
        [one] => format!("with the gate of {} alone open", with_the(one)),
        several => format!("with the gates of {} open", listed(several, "and")),
    };
    let mut wrong = starved(dust, &gates.clean, units);
    wrong.extend(slow(dust, &gates.clean, units));
    capital(&format!(
        "{when} ({} of its time), {}.",
        about::share(gates.share),
        listed(&wrong, "and")
    ))
}

fn starved(dust: &DustFindings, state: &AirState, units: Units) -> Vec<String> {
    let starved = state
        .stations
        .iter()
        .filter(|station| station.supply == Supply::Starved);
    let told = |station: &StationAir| {
        format!(
            "{} is starved ({} of {})",
            with_the(named::station(dust, station.station)),
            airflow(units, station.airflow),
            airflow(units, station.wanted.least)
        )
    };
    starved.map(told).collect()
}

/// The slowest of the sections in which chips do not go on.
fn slow(dust: &DustFindings, state: &AirState, units: Units) -> Option<String> {
    let slow = state
        .sections
        .iter()
        .filter(|section| section.state != Conveying::Conveys);
    let slowest: &SectionAir = slow.min_by(|one, other| one.velocity.total_cmp(&other.velocity))?;
    let what = match slowest.state {
        Conveying::DoesNotClimb => "large chips do not climb",
        Conveying::BeginsToSettle => "chips begin to settle",
        Conveying::Settles | Conveying::Conveys | Conveying::Shut => "chips settle",
    };
    Some(format!(
        "{what} in {} ({})",
        named::section(dust, slowest),
        velocity(units, slowest.velocity)
    ))
}

/// What was tried that helps; of second gates those for stations that are told.
fn advice(dust: &DustFindings, wrong: &[&GatesOpen], units: Units) -> Option<String> {
    let told = |of: usize| wrong.iter().take(TOLD).any(|gates| gates.open == [of]);
    let helps = dust.help.iter().filter_map(|help| match help {
        AirHelp::SecondGate { of, with } => told(*of).then(|| {
            format!(
                "opening the gate of {} as well helps {}",
                with_the(dust.station(*with)),
                with_the(dust.station(*of))
            )
        }),
        AirHelp::Mains(pipe) => Some(of_pipe(dust, "mains", pipe, units)),
        AirHelp::Branches(pipe) => Some(of_pipe(dust, "branches", pipe, units)),
    });
    let helps: Vec<String> = helps.collect();
    match helps.is_empty() {
        true => Some("Neither another pipe nor a second gate mends that: a shorter way, less hose or a stronger fan would be next.".to_owned()),
        false => Some(format!("{}.", capital(&listed(&helps, "and")))),
    }
}

/// "4-in mains mend the saw, one of 2 stations that are not well alone"
fn of_pipe(dust: &DustFindings, what: &str, pipe: &PipeHelp, units: Units) -> String {
    let names = |connections: &[usize]| {
        let named = connections.iter().map(|&nth| with_the(dust.station(nth)));
        listed(&named.collect::<Vec<_>>(), "and")
    };
    let size = diameter(units, pipe.diameter);
    let all = match pipe.mended.len() {
        all if all == pipe.of => String::new(),
        some => format!(" ({some} of {} stations that are not well alone)", pipe.of),
    };
    let harm = match pipe.harmed.is_empty() {
        true => String::new(),
        false => format!(", but not {}", names(&pipe.harmed)),
    };
    format!("{size} {what} mend {}{all}{harm}", names(&pipe.mended))
}
