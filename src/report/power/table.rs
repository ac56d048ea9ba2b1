//! The currents of each circuit side by side.

use super::{amps, percent};
use crate::experiment::{
    CircuitCurrents, CircuitFindings, Findings, LoadFindings, PanelFindings, PowerFindings,
};
use crate::report::about;
use crate::report::figure::fixed;
use crate::report::sentence::{listed, with_the};
use crate::report::tables::{note, of_first_runs, table as grid, text};
use crate::services::power::{AmpsSource, MOST_DROP, MOST_DROP_OF_RUN};

const CAUTION: &str = "Estimates for planning, and no statement that something is safe: loads and headroom are for a \
                       licensed electrician, who designs and installs circuits under the local code.";

/// The circuits of one candidate, with what else is to be said of them; nothing where nobody says anything of current.
pub fn table(findings: &Findings, power: Option<&PowerFindings>, width: u16) -> Option<String> {
    let power = power.filter(|power| !power.circuits.is_empty())?;
    let header = [
        "circuit",
        "loads",
        "together",
        "over the rating",
        "with 25 %\nof continuous",
        "to plan\nwith",
        "drop",
    ];
    let mut table = grid(&header, 2, width);
    for circuit in &power.circuits {
        table.add_row(row(circuit));
    }
    let mut remarks = vec![
        "Together is what ran at one time, held against the breaker; to plan with are amps of the motor table with what the code adds. A machine draws its full current through its whole run."
            .to_owned(),
    ];
    remarks.extend(starting(power));
    remarks.extend(panel(&power.panel));
    remarks.extend(drops(power));
    remarks.extend(not_read(power));
    remarks.extend(of_first_runs(findings, power.runs));
    remarks.push(CAUTION.to_owned());
    Some(format!(
        "{}{}",
        text(table),
        note(&remarks.join(" "), width)
    ))
}

fn row(circuit: &CircuitFindings) -> [String; 7] {
    let rating = match circuit.rating {
        Some(rating) => amps(rating),
        None => "ask".to_owned(),
    };
    let found = &circuit.without;
    let both = |of: &dyn Fn(&CircuitCurrents) -> f64| -> String {
        let with = circuit.with_starting.as_ref().map(of);
        match with.filter(|&with| with > of(found)) {
            Some(with) => format!("{} ({})", amps(of(found)), amps(with)),
            None => amps(of(found)),
        }
    };
    let over = match (&found.over, circuit.rating) {
        (Some(over), _) => format!(
            "{} ×, {}",
            fixed(over.spells.mean, 1).trim_end_matches(".0"),
            about::time(over.seconds.mean)
        ),
        (None, Some(_)) => "no".to_owned(),
        (None, None) => "ask".to_owned(),
    };
    let drop = circuit.drop.as_ref();
    [
        format!("{} ({rating})", circuit.name),
        circuit.loads.join(", "),
        both(&|currents| currents.peak),
        over,
        both(&|currents| currents.with_continuous),
        both(&|currents| currents.planning),
        drop.map_or_else(|| "–".to_owned(), |drop| percent(drop.total_share)),
    ]
}

fn starting(power: &PowerFindings) -> Option<String> {
    let names: Vec<&str> = (power.circuits.iter())
        .flat_map(|circuit| circuit.starting.iter().map(String::as_str))
        .collect();
    (!names.is_empty()).then(|| {
        let (names, starts) = match &names[..] {
            [one] => (with_the(one), "starts"),
            several => (listed(several, "and"), "start"),
        };
        format!("In brackets: if {names} {starts} then.")
    })
}

fn panel(panel: &PanelFindings) -> Option<String> {
    let most = panel.with_starting.unwrap_or(panel.without);
    let of = panel
        .rating
        .map_or_else(String::new, |rating| format!(" of {}", amps(rating)));
    Some(format!(
        "Over the panel's legs run up to {} and {}{of}.",
        amps(most[0]),
        amps(most[1])
    ))
}

/// Circuits and machines at which more is lost than is advised.
fn drops(power: &PowerFindings) -> Option<String> {
    let all = power
        .circuits
        .iter()
        .filter_map(|circuit| Some((circuit, circuit.drop.as_ref()?)));
    let lost = all.filter_map(|(circuit, drop)| {
        let is_much = drop.run_share > MOST_DROP_OF_RUN || drop.total_share > MOST_DROP;
        is_much.then(|| {
            format!(
                "On circuit {} {} are lost in its wires, and {} with feeder and cord up to {}: {} and {} at most are advised.",
                circuit.name,
                percent(drop.run_share),
                percent(drop.total_share),
                with_the(&drop.at),
                percent(MOST_DROP_OF_RUN),
                percent(MOST_DROP)
            )
        })
    });
    let lost: Vec<String> = lost.collect();
    (!lost.is_empty()).then(|| lost.join(" "))
}

/// Machines of which nobody has read the nameplate.
fn not_read(power: &PowerFindings) -> Option<String> {
    let of = |source: AmpsSource| -> Vec<&str> {
        let loads = power
            .loads
            .iter()
            .filter(|load| load.circuit.is_some() && load.source == source);
        loads
            .map(|load: &LoadFindings| load.name.as_str())
            .collect()
    };
    let (typical, estimated) = (of(AmpsSource::Kind), of(AmpsSource::Estimate));
    let mut says = Vec::new();
    if !typical.is_empty() {
        says.push(format!(
            "Typical currents of their kinds, the upper end: {}; read the nameplates.",
            listed(&typical, "and")
        ));
    }
    if !estimated.is_empty() {
        says.push(format!(
            "Currents from the power of motors (0.72 of V × A, ours): {}.",
            listed(&estimated, "and")
        ));
    }
    (!says.is_empty()).then(|| says.join(" "))
}
