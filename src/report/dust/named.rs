//! Names of ducts and gates.

use crate::experiment::DustFindings;
use crate::services::air::{DuctPart, SectionAir};
use crate::shop::StationId;

/// The names of stations whose gates are open, each once however many ports it has.
pub fn open<'f>(dust: &'f DustFindings, connections: &[usize]) -> Vec<&'f str> {
    let mut names: Vec<&str> = connections.iter().map(|&nth| dust.station(nth)).collect();
    names.dedup();
    names
}

pub fn station(dust: &DustFindings, id: StationId) -> &str {
    let connections = dust.air.connections.iter();
    let mut named = connections
        .zip(&dust.names)
        .filter(|(connection, _)| connection.station == id);
    named.next().map_or("", |(_, name)| name)
}

/// "main main up to table saw", "branch to planer"
pub fn section(dust: &DustFindings, section: &SectionAir) -> String {
    part(dust, section.part)
}

pub fn part(dust: &DustFindings, part: DuctPart) -> String {
    let of = |id| station(dust, id);
    match part {
        DuctPart::Main { main, to } => format!("{} up to {}", dust.air.mains[main].name, of(to)),
        DuctPart::Branch(to) => format!("branch to {}", of(to)),
        DuctPart::PortHose(to, port) => format!("hose {} of {}", port + 1, of(to)),
        DuctPart::Hose { hose, to } => format!("{} at {}", dust.air.hoses[hose].name, of(to)),
    }
}
