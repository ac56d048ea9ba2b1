//! From numbers to estimates.
//!
//! A [`Summary`] takes numbers one by one. An [`Estimate`] is a mean with its uncertainty, a
//! [`Paired`] difference is the estimate for two candidates that shared their luck, and a [`Selection`]
//! says which of several may be the best. A
//! [`Histogram`] follows one replication in constant memory.

mod estimate;
mod histogram;
mod interval;
mod paired;
mod proportion;
mod ranking;
mod selection;
mod student;
mod summary;

pub use estimate::{Estimate, simultaneous_level};
pub use histogram::Histogram;
pub use interval::{IntervalMethod, suffices};
pub use paired::{Paired, PairedSummary};
pub use proportion::wilson;
pub use ranking::shared_places;
pub use selection::{KimNelson, LEAST_FIRST_STAGE, Selection, h_squared};
pub use student::t_quantile;
pub use summary::Summary;
