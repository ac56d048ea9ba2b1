//! Random numbers that have a name, and durations drawn with them.
//!
//! There is no "next" random number here. Each one is looked up under a [`Key`] that says what it
//! is for (seed, replication, project, nth order, lot, step, kind of duration, piece), so the same
//! piece of work draws the same number whatever else happens in a run. This is the method of common
//! random numbers: candidates then differ by what they are, and not by chance.
//!
//! A [`Distribution`] turns a key into a duration. Where its distribution function can be
//! inverted, the draw is that inverse: with a longer mean each piece then keeps its quantile.
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
pub use kinds::{DistributionKind, Form, KINDS, Parameter, ParameterQuantity};
pub use stream::Stream;
