//! Current: what runs together on a circuit, for the electrician who designs it.
//!
//! Loads and headroom only, as estimates for planning. Circuits are designed and installed by a licensed electrician
//! under the local code.

mod account;
mod conductor;
mod motor;
mod wiring;

pub use account::{
    CircuitAccount, CircuitLoad, Continuity, ElectricLeg, LegCurrents, MOST_DROP, MOST_DROP_OF_RUN,
    Supplied, accounts, leg_currents,
};
pub use conductor::{Conductor, WireRun};
pub use motor::{ADDED, Running, conductor_ampacity, resistive_amps, standard_rating, table_amps};
pub use wiring::{AmpsSource, Circuit, Starts, StationLoad, SupplyPanel, Wiring, takes_both_legs};
