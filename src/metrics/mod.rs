//! What a run leaves behind: a record of totals, or every phase of it.

mod record;
mod totals;
mod trace;

pub use record::{OfGear, OfPerson, OfProject, OfStation, Record};
pub use totals::{Cut, Measured, Totals, Whole};
pub use trace::{Trace, TraceLine, What};
