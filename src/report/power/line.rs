//! What an answer says of current: only what is over a rating, and what is in no account.

use super::{amps, percent};
use crate::experiment::{
    CandidateFindings, CircuitCurrents, CircuitFindings, CordFindings, OverRating, PanelFindings,
    PowerFindings, Units,
};
use crate::report::about;
use crate::report::per_order::per_order;
use crate::report::sentence::{capital, counted, listed, with_the};
use crate::report::tape::exact_tape;
use crate::services::power::MOST_DROP;

pub const POWER: &str = "Power";

/// Names told at most where any number may stand.
const TOLD: usize = 4;

/// Spells that are so short of a whole number are told as that.
const WHOLE: f64 = 0.05;

/// The line of an answer; nothing where all is well and all is known.
pub fn line(found: &CandidateFindings, units: Units) -> Option<String> {
    let power = found.power.as_ref()?;
    let circuits = power.circuits.iter();
    let mut says: Vec<String> = (circuits.clone())
        .filter_map(|circuit| of_circuit(found, circuit))
        .collect();
    says.extend(advice(power));
    says.extend(of_panel(&power.panel));
    says.extend(circuits.filter_map(lost_on_the_way));
    says.extend(power.short_cords.iter().map(|cord| short(cord, units)));
    let is_asked = !says.is_empty();
    says.extend(in_no_account(&power.without_circuit));
    if is_asked {
        says.push(
            "Planning figures: ask a licensed electrician before anything is changed.".to_owned(),
        );
    }
    (!says.is_empty()).then(|| says.join(" "))
}

fn of_circuit(found: &CandidateFindings, circuit: &CircuitFindings) -> Option<String> {
    let rating = circuit.rating?;
    let name = format!("Circuit {} ({})", circuit.name, amps(rating));
    let without = &circuit.without;
    let with = circuit.with_starting.as_ref();
    if let Some(over) = &without.over {
        let starts = with.filter(|with| with.peak > without.peak);
        let starts = starts.map_or_else(String::new, |with| {
            format!(", and {} if {}", amps(with.peak), starting(circuit))
        });
        return Some(format!(
            "{name} is over its rating {}: {}, {} too much{starts}.",
            how_often(found, over),
            together(without),
            amps(without.peak - rating),
        ));
    }
    if let Some(with) = with.filter(|with| with.over.is_some()) {
        return Some(format!(
            "{name} carries what runs together, {} at most, but not if {} then: {}, {} too much.",
            amps(without.peak),
            starting(circuit),
            amps(with.peak),
            amps(with.peak - rating),
        ));
    }
    let most = circuit.most();
    (most.with_continuous > rating * (1.0 + 1e-9)).then(|| {
        format!(
            "{name} has to carry {} for hours ({}): with the 25 % that the code adds for that it counts as {}, {} too much.",
            amps(most.peak),
            listed(&most.continuous, "and"),
            amps(most.with_continuous),
            amps(most.with_continuous - rating),
        )
    })
}

/// Where so much is lost on the way that motors start badly and run hot.
fn lost_on_the_way(circuit: &CircuitFindings) -> Option<String> {
    let drop = (circuit.drop.as_ref()).filter(|drop| drop.total_share > MOST_DROP)?;
    let name = capital(&with_the(&drop.at));
    let circuit = &circuit.name;
    Some(match drop.total_share < 1.0 {
        true => format!(
            "{name} loses {} of its voltage in the wires and cords of circuit {circuit}: {} at most is advised, since a motor that gets too little starts badly and runs hot.",
            percent(drop.total_share),
            percent(MOST_DROP),
        ),
        false => format!(
            "{name} cannot run: all of its voltage would be lost in the wires and cords of circuit {circuit}."
        ),
    })
}

/// "the air compressor starts"
fn starting(circuit: &CircuitFindings) -> String {
    match &circuit.starting[..] {
        [one] => format!("{} starts", with_the(one)),
        several => format!("{} start", listed(several, "and")),
    }
}

fn together(currents: &CircuitCurrents) -> String {
    match &currents.peak_of[..] {
        [one] if !one.contains('×') => {
            format!("{} alone draws {}", with_the(one), amps(currents.peak))
        }
        several => format!(
            "{} together draw {}",
            listed(several, "and"),
            amps(currents.peak)
        ),
    }
}

/// "14 times per side table, 40 min in all"
fn how_often(found: &CandidateFindings, over: &OverRating) -> String {
    let per = per_order(found);
    let spells = over.spells.mean / per.orders;
    let times = match spells {
        s if (s - 1.0).abs() < WHOLE => "once".to_owned(),
        s if s < 1.0 - WHOLE => format!(
            "in {} of {}",
            over.runs,
            counted(over.spells.n as usize, "run")
        ),
        s => format!("{} times", about::count(s)),
    };
    match times.starts_with("in ") {
        true => format!("{times}, {} on average", about::time(over.seconds.mean)),
        false => format!(
            "{times} {}, {} in all",
            per.unit,
            about::time(over.seconds.mean / per.orders)
        ),
    }
}

/// Where to plug what in.
fn advice(power: &PowerFindings) -> Option<String> {
    let over = power
        .circuits
        .iter()
        .find(|circuit| circuit.without.over.is_some())?;
    let Some(replug) = &power.replug else {
        return Some(match over.loads.len() {
            1 => "That is for an electrician.".to_owned(),
            _ => "No other circuit of this voltage has room for one of these: an electrician can say what a circuit of its own takes.".to_owned(),
        });
    };
    let both = match replug.holds_with_starting {
        true => "at most",
        false => {
            "at most, while nothing starts by itself; with that it is still too much, and takes a circuit of its own"
        }
    };
    Some(format!(
        "Plug {} into circuit {}: then circuit {} carries {} and {} {} {both}.",
        with_the(&replug.name),
        replug.to,
        replug.from,
        amps(replug.peak_from),
        replug.to,
        amps(replug.peak_to),
    ))
}

fn of_panel(panel: &PanelFindings) -> Option<String> {
    let rating = panel.rating.filter(|_| panel.is_over())?;
    let most = PanelFindings::greater(panel.without);
    Some(format!(
        "The panel ({}) is over its rating: {} run over one leg together, {} too much.",
        amps(rating),
        amps(most),
        amps(most - rating)
    ))
}

fn short(cord: &CordFindings, units: Units) -> String {
    format!(
        "The cord of {} is {} short of the nearest outlet of circuit {}.",
        with_the(&cord.name),
        exact_tape(units, cord.needed - cord.length),
        cord.circuit
    )
}

fn in_no_account(names: &[String]) -> Option<String> {
    let told = match names.len() {
        0 => return None,
        count if count <= TOLD => listed(names, "and"),
        count => format!(
            "{} and {} more",
            names[..TOLD - 1].join(", "),
            count + 1 - TOLD
        ),
    };
    Some(format!(
        "In no account, since nothing says on which circuit: {told}."
    ))
}
