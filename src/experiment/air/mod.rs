//! What a collector moves with the gates that were open together, over the first replications.

mod findings;
mod help;
mod sums;

pub use findings::{AirHelp, DustFindings, GatesOpen, PipeHelp, SlowestAir, duct_figures};
pub(super) use sums::{AirSums, RunAir};
