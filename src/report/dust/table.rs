//! The air of each set of gates that were open together, side by side.

use super::named;
use crate::experiment::{DustFindings, Findings, GatesOpen, Units};
use crate::report::about;
use crate::report::measures::{airflow, length, pressure, velocity};
use crate::report::sentence::listed;
use crate::report::tables::{note, of_first_runs, table as grid, text};
use crate::services::air::{AirState, Conveying, Supply};

const CAUTION: &str = "A good velocity is not clean air: it says nothing of the fine dust that people breathe. Planning \
                       figures, no design for safety: keep sparks out, bond ducts as their maker says, and vent no flame \
                       into the same air.";

/// One table for each collector; nothing where nobody says what it can do.
pub fn table(findings: &Findings, all: &[DustFindings], width: u16) -> Option<String> {
    let tables: Vec<String> = all
        .iter()
        .map(|dust| of_collector(findings, dust, width))
        .collect();
    (!tables.is_empty()).then(|| tables.join("\n"))
}

fn of_collector(findings: &Findings, dust: &DustFindings, width: u16) -> String {
    let units = findings.units;
    let header = [
        "open gates",
        "of its\ntime",
        "air",
        "suction",
        "supply",
        "slowest",
        "chips",
    ];
    let mut table = grid(&header, 1, width);
    for gates in &dust.together {
        table.add_row(row(dust, gates, units));
    }
    let seldom: Vec<&GatesOpen> = (dust.alone.iter())
        .filter(|alone| !dust.together.iter().any(|gates| gates.open == alone.open))
        .collect();
    for gates in &seldom {
        table.add_row(row(dust, gates, units));
    }
    let mut remarks = vec![format!(
        "{}, with a clean filter: the airflow at which its fan's curve meets what the open ducts need, suction at its inlet, and the section in which air is slowest. {} of pipe{}.",
        dust.collector,
        length(units, dust.pipe),
        dust.shortest.map_or_else(String::new, |shortest| format!(
            "; the shortest tree of square runs would take {}, with a bend at each turn",
            length(units, shortest)
        )),
    )];
    if dust.together.iter().any(|gates| gates.dirty.is_some()) {
        remarks.push("In brackets: with a dirty filter.".to_owned());
    }
    if dust
        .together
        .iter()
        .any(|gates| gates.clean.point.is_beyond_curve)
    {
        remarks.push("Some airflow is beyond the maker's curve.".to_owned());
    }
    let typical: Vec<&str> = (dust.air.wants.iter().zip(&dust.names))
        .filter(|(ports, _)| ports.iter().any(|port| port.is_typical))
        .map(|(_, name)| name.as_str())
        .collect();
    if !typical.is_empty() {
        remarks.push(format!(
            "What ports of {} want is typical for their kinds.",
            listed(&typical, "and")
        ));
    }
    remarks.extend(of_first_runs(findings, dust.runs));
    remarks.push(CAUTION.to_owned());
    format!("{}{}", text(table), note(&remarks.join(" "), width))
}

fn row(dust: &DustFindings, gates: &GatesOpen, units: Units) -> [String; 7] {
    let (clean, dirty) = (&gates.clean, gates.dirty.as_ref());
    let both = |own: String, dirty: Option<String>| match dirty {
        Some(dirty) if dirty != own => format!("{own}\n({dirty})"),
        _ => own,
    };
    let supply = |state: &AirState| {
        let worst = state.stations.iter().map(|station| station.supply).max();
        match worst {
            Some(Supply::Starved) => "starved",
            Some(Supply::Short) => "short",
            Some(Supply::Enough) => "enough",
            None => "–",
        }
        .to_owned()
    };
    let slowest = |state: &AirState| match state.slowest() {
        Some(section) => velocity(units, section.velocity),
        None => "–".to_owned(),
    };
    let chips = |state: &AirState| {
        let worst = state.sections.iter().map(|section| section.state).max();
        worst.unwrap_or(Conveying::Shut).in_words().to_owned()
    };
    let open = named::open(dust, &gates.open).join(", ");
    [
        open,
        if gates.share > 0.0 {
            about::share(gates.share)
        } else {
            "never".to_owned()
        },
        both(
            airflow(units, clean.point.airflow),
            dirty.map(|state| airflow(units, state.point.airflow)),
        ),
        pressure(units, clean.point.inlet_suction),
        both(supply(clean), dirty.map(supply)),
        both(slowest(clean), dirty.map(slowest)),
        both(chips(clean), dirty.map(chips)),
    ]
}
