//! A main with its branches, and what each machine gets.

use super::{ASSUMED, CAUTION, fault, line};
use crate::experiment::Units;
use crate::report::lines::Line;
use crate::report::measures::{airflow, diameter, length, pressure, velocity};
use crate::report::sentence::listed;
use crate::report::tables;
use crate::scenario::sizing::SaidPort;
use crate::services::air::{Collector, Conveying, Supply};
use crate::services::sizing::{DuctProposal, MainRun, PortAlone};
use crate::units::customary::INCH_OF_WATER;

/// What is asked for.
#[derive(Debug, Clone)]
pub struct DustQuestion {
    pub ports: Vec<SaidPort>,
    pub run: MainRun,
    pub collector: Option<Collector>,
    pub units: Units,
}

/// The answer in lines, and a table of ports.
pub fn dust(question: &DustQuestion, found: &DuctProposal, width: u16) -> (Vec<Line>, String) {
    let units = question.units;
    let main = diameter(units, found.diameter);
    let longest = question
        .ports
        .iter()
        .map(|port| port.along)
        .fold(0.0, f64::max);
    let long = length(units, longest);
    let serves = |port: &PortAlone| {
        port.supply != Supply::Starved
            && port.main == Conveying::Conveys
            && port.branch == Conveying::Conveys
    };
    let is_good = found.alone.iter().all(serves) && !is_out_of_reach(question, found);
    let which = match is_good {
        true => "A",
        false => "None does all that is wanted, as it is given. Nearest comes a",
    };
    let mut lines = vec![line(
        "Main",
        format!(
            "{which} straight main of {main} pipe, {long} from the collector along a wall or the ceiling, with a 45° wye, a drop and a gate within reach for each machine.",
        ),
    )];
    lines.extend(match question.collector {
        Some(_) => with_a_fan(question, found),
        None => without_a_fan(question, found),
    });
    lines.extend(settling(question, found));
    lines.push(line(ASSUMED, assumed(question)));
    lines.push(line(
        CAUTION,
        "Air that carries chips is not clean air: fine dust needs more, and a mask. Ground the ducts as their maker says, keep sparks out, and bring no air back over a flame.",
    ));
    (lines, table(question, found, width))
}

fn names<'q>(
    question: &'q DustQuestion,
    found: &DuctProposal,
    is_meant: impl Fn(&PortAlone) -> bool,
) -> Vec<&'q str> {
    let ports = question.ports.iter().zip(&found.alone);
    let meant = ports.filter(|(_, alone)| is_meant(alone));
    meant.map(|(port, _)| port.name.as_str()).collect()
}

fn with_a_fan(question: &DustQuestion, found: &DuctProposal) -> Vec<Line> {
    let starved = names(question, found, |port| port.supply == Supply::Starved);
    let short = names(question, found, |port| port.supply == Supply::Short);
    let mut lines = Vec::new();
    if starved.is_empty() && short.is_empty() {
        lines.push(line(
            "Collector",
            "Each machine gets the air that it wants, with its gate alone open.",
        ));
    }
    if !starved.is_empty() {
        let says = format!(
            "Too little air at the {}, even alone: a shorter way, a wider port, less hose or a larger collector.",
            listed(&starved, "and")
        );
        lines.push(fault("Starved", says));
    }
    if !short.is_empty() {
        lines.push(line(
            "Short",
            format!(
                "Enough, but not what is good, at the {}.",
                listed(&short, "and")
            ),
        ));
    }
    lines
}

/// So much suction in Pa (12 inH2O) few single-stage collectors for small shops have with all gates shut; from memory. One
/// that moves 1200 cfm in free air has about 8 inH2O.
const OUT_OF_REACH: f64 = 12.0 * INCH_OF_WATER;

/// Whether a collector is asked for that is hardly to be had.
fn is_out_of_reach(question: &DustQuestion, found: &DuctProposal) -> bool {
    let needed = found.alone.iter().map(|port| port.suction);
    question.collector.is_none() && needed.fold(0.0, f64::max) > OUT_OF_REACH
}

fn out_of_reach(question: &DustQuestion, found: &DuctProposal) -> Option<Line> {
    let wider = found.wider.filter(|_| is_out_of_reach(question, found));
    let help = wider.map_or_else(String::new, |wider| {
        format!(
            " With {} port and pipe all the way from the {} it would be {}.",
            diameter(question.units, wider.diameter),
            question.ports[wider.port].name,
            pressure(question.units, wider.suction)
        )
    });
    let says = format!(
        "Few collectors for small shops pull so much even with all gates shut: {} at most (from memory). A wider port, a shorter way, less hose, or a collector beside the machine.{help}",
        pressure(question.units, OUT_OF_REACH)
    );
    is_out_of_reach(question, found).then(|| fault("Too much", says))
}

/// What a collector would have to do.
fn without_a_fan(question: &DustQuestion, found: &DuctProposal) -> Vec<Line> {
    let ports = question.ports.iter().zip(&found.alone);
    let Some((port, hardest)) =
        ports.max_by(|one, other| one.1.suction.total_cmp(&other.1.suction))
    else {
        return Vec::new();
    };
    let units = question.units;
    let most = found
        .alone
        .iter()
        .map(|port| port.airflow)
        .fold(0.0, f64::max);
    vec![line(
        "Collector",
        format!(
            "One that moves {} and still leaves {} in its inlet pipe at {}, behind a dirty filter, for the {}. What it moves in free air says nothing of that: read its curve, and give it with --curve.",
            airflow(units, most),
            pressure(units, hardest.suction),
            airflow(units, hardest.airflow),
            port.name
        ),
    )]
    .into_iter()
    .chain(out_of_reach(question, found))
    .collect()
}

fn settling(question: &DustQuestion, found: &DuctProposal) -> Vec<Line> {
    let mut lines = Vec::new();
    let main = names(question, found, |port| port.main != Conveying::Conveys);
    if !main.is_empty() {
        let help: Vec<String> = (found.opened_along.iter().enumerate())
            .filter_map(|(port, other)| {
                let [name, other] = [port, (*other)?].map(|port| &question.ports[port].name);
                Some(format!("the {other}'s with the {name}'s"))
            })
            .collect();
        let help = match (&question.collector, &help[..]) {
            (None, _) => " They take more air, or a main as narrow as their branch.".to_owned(),
            (Some(_), []) => {
                " No second gate and no other pipe mends that without taking air from some machine."
                    .to_owned()
            }
            (Some(_), help) => format!(
                " A second gate opened carries them: {}.",
                listed(help, "and")
            ),
        };
        let says = format!(
            "In the main chips settle with the gate of the {} alone open.{help}",
            listed(&main, "or")
        );
        lines.push(fault("Settles", says));
    }
    let branch = names(question, found, |port| port.branch != Conveying::Conveys);
    if !branch.is_empty() {
        let says = format!(
            "In the drop to the {} chips do not climb: a narrower branch, or more air.",
            listed(&branch, "and")
        );
        lines.push(fault("Climbs", says));
    }
    lines
}

fn assumed(question: &DustQuestion) -> String {
    let typical: Vec<&str> = (question.ports.iter())
        .filter(|port| port.is_typical)
        .map(|port| port.name.as_str())
        .collect();
    let typical = match typical.is_empty() {
        true => String::new(),
        false => format!(
            " Typical ports and airflows: {}; makers' figures are better.",
            listed(&typical, "and")
        ),
    };
    let filter = match &question.collector {
        Some(collector) if collector.dirt > 1.0 => " The filter as dirty as you said.",
        Some(_) => " A clean filter.",
        None => "",
    };
    format!(
        "One gate open at a time; galvanised pipe; branches as wide as their ports, {} of pipe and {} of hose each, which loses half as much again as straight hose; chips settle below {} in level pipe and do not climb below {}.{filter}{typical}",
        length(question.units, question.run.branch),
        length(question.units, question.run.hose),
        velocity(
            question.units,
            3500.0 * crate::units::customary::FEET_A_MINUTE
        ),
        velocity(
            question.units,
            3700.0 * crate::units::customary::FEET_A_MINUTE
        ),
    )
}

fn table(question: &DustQuestion, found: &DuctProposal, width: u16) -> String {
    let units = question.units;
    let header = [
        "gate open",
        "wants",
        "gets",
        "at the\ninlet",
        "main",
        "branch",
    ];
    let mut table = tables::table(&header, 1, width);
    for (port, alone) in question.ports.iter().zip(&found.alone) {
        let wants = match port.wanted.least < port.wanted.good {
            true => format!(
                "{} to {}",
                airflow(units, port.wanted.least),
                airflow(units, port.wanted.good)
            ),
            false => airflow(units, port.wanted.good),
        };
        let gets = match question.collector {
            Some(_) => airflow(units, alone.airflow),
            None => "-".to_owned(),
        };
        table.add_row([
            port.name.clone(),
            wants,
            gets,
            pressure(units, alone.suction),
            velocity(units, alone.in_main),
            velocity(units, alone.in_branch),
        ]);
    }
    tables::text(table)
}
