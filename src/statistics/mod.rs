//! From numbers to estimates.
//!
//! A [`Summary`] takes numbers one by one. An [`Estimate`] is a mean with its uncertainty, a
//! [`Paired`] difference is the estimate for two candidates that shared their luck, and a [`Selection`]
//! says which of several may be the best. A
//! [`TimeWeighted`] level and a [`Histogram`] follow one replication in constant memory.

mod estimate;
mod histogram;
mod paired;
mod selection;
mod summary;
mod time_weighted;

pub use estimate::{Estimate, simultaneous_level, t_quantile};
pub use histogram::Histogram;
pub use paired::Paired;
pub use selection::{KimNelson, LEAST_FIRST_STAGE, Selection, h_squared};
pub use summary::Summary;
pub use time_weighted::TimeWeighted;
