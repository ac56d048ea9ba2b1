//! Currents of circuits from a scenario: worked cases and single runs, each through the command line.

mod cases;
pub mod files;
mod lamps;
mod said;
mod traces;
