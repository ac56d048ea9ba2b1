//! What runs together on each circuit, over the first replications of a candidate, played once more for it alone.

mod cords;
mod curves;
mod findings;
mod replug;
mod sums;
mod unit_loads;

pub(super) use curves::circuit_curves;
pub use curves::{CircuitCurve, CurrentStep};
pub use findings::{
    CircuitCurrents, CircuitFindings, Combination, CordFindings, LoadFindings, OverRating,
    PanelFindings, PowerFindings, Replug, VoltageDrop,
};
pub(super) use sums::{CurrentSums, RunCurrents};
pub(super) use unit_loads::UnitLoads;
