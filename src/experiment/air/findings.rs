//! What was found of dust collection: m, m³/s, m/s and Pa.

use crate::services::air::{AirState, CollectorAir};

/// One collector of a candidate, over its first replications.
#[derive(Debug, Clone, PartialEq)]
pub struct DustFindings {
    pub collector: String,
    /// How many were looked at.
    pub runs: u64,
    pub air: CollectorAir,
    /// By connection: the station's name.
    pub names: Vec<String>,
    /// Of rigid pipe, in m.
    pub pipe: f64,
    /// The same of the shortest tree of square runs from the collector to all that hangs on mains, with the same drops; none
    /// of too many.
    pub shortest: Option<f64>,
    /// By connection, with its gate alone open; share 0 where that never happened.
    pub alone: Vec<GatesOpen>,
    /// Gates that were open together while a machine was on, the longest first.
    pub together: Vec<GatesOpen>,
    /// Of all that made up 1 % of the collector's time, clean.
    pub slowest: Option<SlowestAir>,
    pub help: Vec<AirHelp>,
}

impl DustFindings {
    pub fn station(&self, connection: usize) -> &str {
        &self.names[connection]
    }
}

/// Of rigid pipe of all collectors in m, and the least velocity in m/s in a section of gates that were open for 1 % of the
/// time; nothing without ducts.
pub fn duct_figures(all: &[DustFindings]) -> [Option<f64>; 2] {
    let slowest = all.iter().filter_map(|dust| dust.slowest.as_ref());
    let slowest = slowest.map(|slowest| slowest.velocity);
    let pipe = (!all.is_empty()).then(|| all.iter().map(|dust| dust.pipe).sum());
    [pipe, slowest.min_by(f64::total_cmp)]
}

/// What makes up less of a collector's time is not told, nor held against its ducts.
const SELDOM: f64 = 0.01;

/// The air with some gates open.
#[derive(Debug, Clone, PartialEq)]
pub struct GatesOpen {
    /// Connections.
    pub open: Vec<usize>,
    /// Of the time in which a machine of the collector was on.
    pub share: f64,
    /// Mean seconds in a replication.
    pub seconds: f64,
    pub clean: AirState,
    /// Where a dirty filter is said to lose more.
    pub dirty: Option<AirState>,
}

impl GatesOpen {
    /// Whether they are open together for long enough to be told.
    pub fn is_told(&self) -> bool {
        self.share >= SELDOM
    }
}

/// Where air is slowest.
#[derive(Debug, Clone, PartialEq)]
pub struct SlowestAir {
    pub velocity: f64,
    /// The number among the sections of what is open, and which gates are.
    pub section: usize,
    pub open: Vec<usize>,
}

/// What was tried that makes all well for a station whose gate is open alone, clean.
#[derive(Debug, Clone, PartialEq)]
pub enum AirHelp {
    /// The gate of another one opened with it.
    SecondGate { of: usize, with: usize },
    /// All mains of another diameter.
    Mains(PipeHelp),
    /// Likewise all branches.
    Branches(PipeHelp),
}

/// Another diameter, in m, after which more stations are well alone.
#[derive(Debug, Clone, PartialEq)]
pub struct PipeHelp {
    pub diameter: f64,
    /// Connections that are well then and not now.
    pub mended: Vec<usize>,
    /// Those that are well now and not then.
    pub harmed: Vec<usize>,
    /// How many are not well now.
    pub of: usize,
}
