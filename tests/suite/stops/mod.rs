//! Shops in which work stops for more than the night: machines are set up for one thing after another, gear goes by the
//! length of the work, and what else keeps a lot, a unit or a person waiting.

mod agreement;
mod books;
mod catches;
mod kept_apart;
mod open_time;
pub mod refused;
mod rolling;
mod take_off;
mod wet_finish;
