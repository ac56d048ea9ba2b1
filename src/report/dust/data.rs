//! Dust collection as data: m³/s, m/s, Pa, m and s.

use serde_json::{Value, json};

use super::named;
use crate::experiment::{AirHelp, DustFindings, GatesOpen, PipeHelp};
use crate::services::air::{AirState, SectionAir, StationAir, Supply};

/// The `dust` of a candidate: one for each collector of which the file says what it can do.
pub fn json(all: &[DustFindings]) -> Value {
    all.iter().map(collector).collect()
}

fn collector(dust: &DustFindings) -> Value {
    let slowest = dust.slowest.as_ref().and_then(|slowest| {
        let gates = dust
            .together
            .iter()
            .find(|gates| gates.open == slowest.open)?;
        Some(json!({
            "velocity_m_s": slowest.velocity,
            "section": named::section(dust, &gates.clean.sections[slowest.section]),
            "open": named::open(dust, &slowest.open),
        }))
    });
    json!({
        "collector": dust.collector,
        "runs": dust.runs,
        "pipe_m": dust.pipe,
        "shortest_tree_m": dust.shortest,
        "slowest": slowest,
        "alone": dust.alone.iter().map(|gates| of_gates(dust, gates)).collect::<Vec<Value>>(),
        "together": dust.together.iter().map(|gates| of_gates(dust, gates)).collect::<Vec<Value>>(),
        "would_help": dust.help.iter().map(|help| of_help(dust, help)).collect::<Vec<Value>>(),
        "typical": typical(dust),
    })
}

/// Stations of which nobody says what their ports want.
fn typical(dust: &DustFindings) -> Vec<&str> {
    let wants = dust.air.wants.iter().zip(&dust.names);
    let typical = wants.filter(|(ports, _)| ports.iter().any(|port| port.is_typical));
    typical.map(|(_, name)| name.as_str()).collect()
}

fn of_gates(dust: &DustFindings, gates: &GatesOpen) -> Value {
    json!({
        "open": named::open(dust, &gates.open),
        "share": gates.share,
        "time_s": gates.seconds,
        "clean": state(dust, &gates.clean),
        "dirty": gates.dirty.as_ref().map(|dirty| state(dust, dirty)),
    })
}

fn state(dust: &DustFindings, state: &AirState) -> Value {
    json!({
        "airflow_m3_s": state.point.airflow,
        "fan_pressure_pa": state.point.fan_pressure,
        "inlet_suction_pa": state.point.inlet_suction,
        "beyond_the_makers_curve": state.point.is_beyond_curve,
        "stations": state.stations.iter().map(|of| station(dust, of)).collect::<Vec<Value>>(),
        "sections": state.sections.iter().map(|of| section(dust, of)).collect::<Vec<Value>>(),
    })
}

fn station(dust: &DustFindings, of: &StationAir) -> Value {
    json!({
        "station": named::station(dust, of.station),
        "airflow_m3_s": of.airflow,
        "wants_m3_s": [of.wanted.least, of.wanted.good],
        "supply": match of.supply {
            Supply::Enough => "enough",
            Supply::Short => "short",
            Supply::Starved => "starved",
        },
    })
}

fn section(dust: &DustFindings, of: &SectionAir) -> Value {
    json!({
        "section": named::section(dust, of),
        "diameter_m": of.diameter,
        "airflow_m3_s": of.airflow,
        "velocity_m_s": of.velocity,
        "state": of.state.in_words(),
    })
}

fn of_help(dust: &DustFindings, help: &AirHelp) -> Value {
    match help {
        AirHelp::SecondGate { of, with } => json!({
            "for": dust.station(*of),
            "open_gate_of": dust.station(*with),
        }),
        AirHelp::Mains(pipe) => of_pipe(dust, "mains_m", pipe),
        AirHelp::Branches(pipe) => of_pipe(dust, "branches_m", pipe),
    }
}

fn of_pipe(dust: &DustFindings, what: &str, pipe: &PipeHelp) -> Value {
    let names = |connections: &[usize]| -> Vec<&str> {
        let named = connections.iter().map(|&nth| dust.station(nth));
        named.collect()
    };
    json!({
        what: pipe.diameter,
        "mended": names(&pipe.mended),
        "harmed": names(&pipe.harmed),
        "of": pipe.of,
    })
}
