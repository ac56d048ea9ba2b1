//! What `shopstride lesson` is asked for.

use std::path::PathBuf;

use clap::{Args, ValueHint};

use super::option_values::{from_1_to, seed};

/// A set is at most so large: a school year would not use up more.
const MOST_PUPILS: u32 = 500;

#[derive(Debug, Args)]
pub struct LessonOptions {
    /// The scenario that the lessons take their names from; - reads standard input; without one, the built-in garage shop.
    #[arg(value_hint = ValueHint::FilePath)]
    pub scenario: Option<PathBuf>,
    /// Where to write the pages; - writes them to standard output.
    #[arg(long, value_name = "FILE.html", value_hint = ValueHint::FilePath)]
    pub out: PathBuf,
    /// Seed of the numbers: another one gives other sheets, just as hard.
    #[arg(long, value_name = "N", allow_negative_numbers = true, default_value_t = 1, value_parser = seed)]
    pub seed: u64,
    /// How many pupils get a sheet of their own; one key for all stands behind them.
    #[arg(long, value_name = "N", allow_negative_numbers = true, default_value_t = 1, value_parser = from_1_to::<MOST_PUPILS>)]
    pub pupils: u32,
    /// How hard: 1, 2 or 3.
    #[arg(long, value_name = "N", allow_negative_numbers = true, default_value_t = 1, value_parser = from_1_to::<3>)]
    pub level: u32,
    /// No notes.
    #[arg(long, short)]
    pub quiet: bool,
}
