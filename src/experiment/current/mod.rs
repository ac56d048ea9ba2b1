//! What runs together on each circuit, over the first replications of a candidate, played once more for it alone.

mod cords;
mod findings;
mod replug;
mod sums;
mod unit_loads;

pub use findings::{
    CircuitCurrents, CircuitFindings, Combination, CordFindings, LoadFindings, OverRating,
    PanelFindings, PowerFindings, Replug, VoltageDrop,
};
pub(super) use sums::{CurrentSums, RunCurrents};
pub(super) use unit_loads::UnitLoads;
