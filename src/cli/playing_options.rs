//! How scenarios are simulated, by whichever command.

use clap::Args;

use super::option_values::{from_1_to, seed};

/// How scenarios are simulated.
#[derive(Debug, Args)]
pub struct PlayingOptions {
    /// Seed of the random numbers, instead of the file's.
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = seed)]
    pub seed: Option<u64>,
    /// How often each layout is simulated, instead of the file's.
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = from_1_to::<1_000_000>)]
    pub replications: Option<u32>,
    /// Threads to use; the figures do not depend on it. Default: one for each core.
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = from_1_to::<1024>)]
    pub threads: Option<u32>,
    /// Neither progress nor notes: only the answer.
    #[arg(long, short)]
    pub quiet: bool,
}
