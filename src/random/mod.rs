//! Random numbers that have a name, and durations drawn with them.
//!
//! There is no "next" random number here. Each one is looked up under a [`Key`] that says what it
//! is for (seed, replication, project, nth order, lot, step, kind of duration, piece), so the same
//! piece of work has the same luck whatever else happens in a run. This is the method of common
//! random numbers, which makes differences between candidates differences of the candidates.
//!
//! A [`Distribution`] turns a key into a duration. Where its distribution function can be
//! inverted, the draw is that inverse: a longer mean then keeps the luck of each piece.
//! [`KINDS`] lists the distributions for help texts, schemas and tests.

mod distribution;
mod error;
mod key;
mod kinds;
mod laws;
mod parameters;
mod stream;

pub use distribution::Distribution;
pub use error::{DistributionError, LONGEST_S};
pub use key::Key;
pub use kinds::{Form, KINDS, Kind, Parameter, Quantity};
pub use stream::Stream;
