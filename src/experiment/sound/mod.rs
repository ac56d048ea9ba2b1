//! What people hear in a day, and what reaches the house, over the first replications of a candidate.

mod findings;
mod listening;
mod sums;

pub use findings::{
    DayDoses, HeardMachine, HouseNoise, LoudestNoise, NoiseFindings, PersonNoise, QuietNoise,
};
pub(super) use listening::Listening;
pub(super) use sums::{NoiseSums, RunNoise};
