//! Which loads could share a circuit, and what they come to.

use super::{ASSUMED, CAUTION, fault, line};
use crate::report::lines::Line;
use crate::report::power::amps;
use crate::report::sentence::{counted, listed};
use crate::report::tables;
use crate::scenario::sizing::SaidLoad;
use crate::services::power::{AmpsSource, ElectricLeg, Supplied};
use crate::services::sizing::{ProposedCircuit, Sharing, Worked};

/// What is asked for.
#[derive(Debug, Clone)]
pub struct PowerQuestion {
    pub loads: Vec<SaidLoad>,
    pub people: usize,
    /// Of circuits of 120 V that are to be shared, in A.
    pub rating: f64,
}

/// The answer in lines, and a table of circuits.
pub fn power(question: &PowerQuestion, found: &Sharing, width: u16) -> (Vec<Line>, String) {
    let is_shared = |circuit: &ProposedCircuit| circuit.supplied != Supplied::Both;
    let all = found
        .circuits
        .iter()
        .filter(|circuit| is_shared(circuit))
        .count();
    let alone = found.circuits.len() - all;
    let circuits = all
        - found
            .circuits
            .iter()
            .filter(|circuit| is_too_much(question, circuit))
            .count();
    let mut parts = Vec::new();
    if circuits > 0 {
        parts.push(format!(
            "{} of {} at 120 V",
            counted(circuits, "circuit"),
            amps(question.rating)
        ));
    }
    if alone > 0 {
        parts.push(format!("{} at 240 V", counted(alone, "circuit")));
    }
    let people = match question.people {
        1 => "one person works".to_owned(),
        many => format!("{many} people work"),
    };
    let but = if circuits < all {
        ", but for what is too much"
    } else {
        ""
    };
    let says = match parts.is_empty() {
        true => format!(
            "None of {} at 120 V would carry this.",
            amps(question.rating)
        ),
        false => format!(
            "{} would carry what runs together while {people}{but}.",
            listed(&parts, "and")
        ),
    };
    let mut lines = vec![line("Circuits", says)];
    lines.extend(over(question, found));
    lines.push(line(
        "Panel",
        format!(
            "At most {} run over its greater leg at one time ({} and {}).",
            amps(found.legs.greater()),
            amps(found.legs.a),
            amps(found.legs.b),
        ),
    ));
    lines.extend(at_240_volts(question));
    lines.push(line(ASSUMED, assumed(question)));
    lines.push(line(
        CAUTION,
        "An estimate for planning: take loads and headroom to a licensed electrician, who designs circuits, breakers and wire under the local code.",
    ));
    (lines, table(question, found, width))
}

/// Whether a circuit of 120 V does not carry what alone is on it.
fn is_too_much(question: &PowerQuestion, circuit: &ProposedCircuit) -> bool {
    circuit.supplied != Supplied::Both && !circuit.account.carries_continuous(question.rating)
}

/// Loads that no such circuit carries.
fn over(question: &PowerQuestion, found: &Sharing) -> Option<Line> {
    let too_much = found
        .circuits
        .iter()
        .filter(|circuit| is_too_much(question, circuit));
    let names: Vec<&str> = too_much
        .flat_map(|circuit| names(question, circuit))
        .collect();
    let says = format!(
        "{} alone: more than {}, or than 80 % of that for what runs for hours.",
        listed(&names, "and"),
        amps(question.rating)
    );
    (!names.is_empty()).then(|| fault("Too much", says))
}

fn names<'q>(question: &'q PowerQuestion, circuit: &ProposedCircuit) -> Vec<&'q str> {
    let name = |&load: &usize| question.loads[load].name.as_str();
    circuit.loads.iter().map(name).collect()
}

/// What the motors of 120 V would draw at twice that.
fn at_240_volts(question: &PowerQuestion) -> Option<Line> {
    let could = |load: &&SaidLoad| load.volts < 200.0 && load.table_amps.is_some();
    let largest = (question.loads.iter().filter(could))
        .max_by(|one, other| one.amps.total_cmp(&other.amps))?;
    let says = format!(
        "A motor that can be wired for either draws half at 240 V: the {} about {} instead of {}, on a circuit of its own, over both legs.",
        largest.name,
        amps(largest.amps / 2.0),
        amps(largest.amps)
    );
    Some(line("At 240 V", says))
}

fn assumed(question: &PowerQuestion) -> String {
    let of = |source: AmpsSource| -> Vec<&str> {
        let loads = question.loads.iter().filter(|load| load.source == source);
        loads.map(|load| load.name.as_str()).collect()
    };
    let mut says = vec![
        "A supply of 120 and 240 V as in North America.".to_owned(),
        format!(
            "Each person works at one machine at a time; {} whatever else does.",
            running_along(question)
        ),
        "Every machine draws its full current through its whole run.".to_owned(),
    ];
    if question.loads.iter().any(|load| load.is_continuous) {
        says.push("25 % is added for what is on for hours, as every heater may be.".to_owned());
    }
    if found_lights(question) {
        says.push("Lamps share no circuit with machines, so that nobody stands in the dark beside a blade that still turns.".to_owned());
    }
    let unsaid: Vec<&str> = (question.loads.iter())
        .filter(|load| !load.says_volts && load.source != AmpsSource::Kind && load.volts < 200.0)
        .map(|load| load.name.as_str())
        .collect();
    if !unsaid.is_empty() {
        says.push(format!(
            "120 V, since nothing else is said: {}.",
            listed(&unsaid, "and")
        ));
    }
    if question.loads.iter().any(|load| load.table_amps.is_some()) {
        says.push("What the electrician plans with is the code's table of motors with 25 % of the largest of them, whatever nameplates say: it may be more than runs together, or less.".to_owned());
    }
    let kinds = of(AmpsSource::Kind);
    if !kinds.is_empty() {
        says.push(format!(
            "Typical currents, the upper end: {}. Read the nameplates.",
            listed(&kinds, "and")
        ));
    }
    let estimates = of(AmpsSource::Estimate);
    if !estimates.is_empty() {
        says.push(format!(
            "Currents from the power of motors (0.72 of V × A, ours): {}.",
            listed(&estimates, "and")
        ));
    }
    says.join(" ")
}

fn found_lights(question: &PowerQuestion) -> bool {
    let is_machine = |load: &SaidLoad| !load.is_light;
    question.loads.iter().any(|load| load.is_light) && question.loads.iter().any(is_machine)
}

fn running_along(question: &PowerQuestion) -> String {
    let along = question
        .loads
        .iter()
        .filter(|load| load.worked == Worked::Along);
    let names: Vec<&str> = along.map(|load| load.name.as_str()).collect();
    match &names[..] {
        [] => "nothing runs along with".to_owned(),
        [one] => format!("{one} runs along with"),
        several => format!("{} run along with", listed(several, "and")),
    }
}

fn table(question: &PowerQuestion, found: &Sharing, width: u16) -> String {
    let header = [
        "circuit",
        "loads",
        "together",
        "with 25 %\nof continuous",
        "electrician\nplans with",
        "headroom",
    ];
    let mut table = tables::table(&header, 2, width);
    for (number, circuit) in found.circuits.iter().enumerate() {
        let account = &circuit.account;
        let (supply, headroom) = match circuit.supplied {
            Supplied::Both => ("240 V", "ask".to_owned()),
            Supplied::One(leg) => {
                let supply = match leg {
                    ElectricLeg::A => "leg a",
                    ElectricLeg::B => "leg b",
                };
                (supply, amps(question.rating - account.peak))
            }
        };
        table.add_row([
            format!("{} ({supply})", number + 1),
            names(question, circuit).join(", "),
            amps(account.peak),
            amps(account.with_continuous),
            amps(account.planning),
            headroom,
        ]);
    }
    tables::text(table)
}
