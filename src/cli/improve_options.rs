//! What `shopstride improve` is asked for.

use std::path::PathBuf;
use std::time::Duration;

use clap::{Args, ValueHint};

use super::chart_options::ChartOptions;
use super::option_values::{from_1_to, seed};

/// How long it is looked for something better, in seconds, where nothing is said.
const USUAL_SECONDS: &str = "60";

#[derive(Debug, Args)]
#[command(
    override_usage = "shopstride improve [SCENARIO] [OPTIONS]\n       shopstride improve --trips FILE --distances FILE [OPTIONS]"
)]
pub struct ImproveOptions {
    /// Scenario file (YAML); - reads standard input. Without it, the built-in garage. Its stations are moved about, and what
    /// is proposed has no fault that placing can mend.
    #[arg(value_hint = ValueHint::FilePath, conflicts_with_all = ["trips", "distances"])]
    pub scenario: Option<PathBuf>,
    /// The layout from which moves are counted. Default: the first one. The search begins with the others as well.
    #[arg(long, value_name = "NAME", conflicts_with = "trips")]
    pub layout: Option<String>,
    /// A station that stays where it is; once for each of them.
    #[arg(long, value_name = "STATION", conflicts_with = "trips")]
    pub fixed: Vec<String>,
    /// Whether this fits as everything stands, or with one station moved, and where: a kind as `shopstride kinds` has it,
    /// such as "jointer 8 in". The exit code is 1 if it does not.
    #[arg(long, value_name = "KIND", conflicts_with_all = ["trips", "buy"])]
    pub fits: Option<String>,
    /// Where each of these would go, one after the other, and what that costs in walking: kinds as `shopstride kinds` has
    /// them, such as "band saw, drum sander".
    #[arg(long, value_name = "KINDS", conflicts_with = "trips")]
    pub buy: Option<String>,
    /// Lets machines take shorter boards or smaller sheets than where they stand now; what they lose is said.
    #[arg(long, conflicts_with = "trips")]
    pub may_take_less: bool,
    /// Writes the scenario with the proposals as further layouts; everything else in it stays as it is written.
    #[arg(long, value_name = "FILE", conflicts_with = "trips", value_hint = ValueHint::FilePath)]
    pub write: Option<PathBuf>,
    /// How often somebody goes from each station (row) to each other one (column): a square table with names in its first
    /// line and its first column.
    #[arg(long, value_name = "FILE", requires = "distances", value_hint = ValueHint::FilePath)]
    pub trips: Option<PathBuf>,
    /// How far it is from each place (row) to each other one (column), as such a table, all in the same unit. There may be
    /// more places than stations.
    #[arg(long, value_name = "FILE", requires = "trips", value_hint = ValueHint::FilePath)]
    pub distances: Option<PathBuf>,
    /// Writes every figure as JSON; - writes it to standard output instead of the answer.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub json: Option<PathBuf>,
    /// Draws how far is walked with more and more stations moved, and the plans before and after, to this folder.
    #[arg(long, value_name = "DIR", conflicts_with_all = ["trips", "fits", "buy"], value_hint = ValueHint::DirPath)]
    pub charts: Option<PathBuf>,
    #[command(flatten)]
    pub drawn: ChartOptions,
    /// Ends the search after so long at the most, with the best of all whole rounds; it ends by itself when nothing better is
    /// to be expected.
    #[arg(long, value_name = "S", allow_negative_numbers = true, default_value = USUAL_SECONDS, value_parser = seconds)]
    pub seconds: Duration,
    /// Ends the search after so many rounds at the most.
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = from_1_to::<1_000_000>)]
    pub rounds: Option<u32>,
    /// Seed of the random numbers.
    #[arg(long, value_name = "N", allow_negative_numbers = true, default_value_t = 1, value_parser = seed)]
    pub seed: u64,
    /// Threads to use; the figures do not depend on it. Default: one for each core.
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = from_1_to::<1024>)]
    pub threads: Option<u32>,
    /// Neither progress nor notes: only the answer.
    #[arg(long, short)]
    pub quiet: bool,
}

/// A day: nobody waits longer.
const MOST_SECONDS: f64 = 86_400.0;

fn seconds(text: &str) -> Result<Duration, String> {
    let number: Option<f64> = text.parse().ok();
    let number = number.filter(|number| *number > 0.0 && *number <= MOST_SECONDS);
    let duration = number.and_then(|number| Duration::try_from_secs_f64(number).ok());
    duration.ok_or_else(|| format!("it must be more than 0 and at most {MOST_SECONDS} seconds"))
}
