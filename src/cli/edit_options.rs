//! What `shopstride edit` is asked for.

use std::path::PathBuf;
use std::time::Duration;

use clap::{Args, ValueHint};

use super::option_values::from_1_to;
use crate::scenario;

#[derive(Debug, Args)]
pub struct EditOptions {
    /// The scenario file; - reads standard input; without one, the built-in garage shop. It is written only when you save.
    #[arg(value_hint = ValueHint::FilePath)]
    pub scenario: Option<PathBuf>,
    /// A new file in which it is saved, instead of the scenario itself.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: Option<PathBuf>,
    /// The layout that is shown first. Default: the first one.
    #[arg(long, value_name = "NAME")]
    pub layout: Option<String>,
    /// Ends by itself after so long, such as "8 h". Default: when ctrl-C is pressed.
    #[arg(long = "for", value_name = "TIME", allow_hyphen_values = true, value_parser = how_long)]
    pub how_long: Option<Duration>,
    /// The port on this machine. Default: a free one.
    #[arg(
        long,
        value_name = "N",
        allow_negative_numbers = true,
        default_value_t = 0,
        hide_default_value = true
    )]
    pub port: u16,
    /// Threads to use; the figures do not depend on it. Default: one for each core.
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = from_1_to::<1024>)]
    pub threads: Option<u32>,
    /// No notes and no warnings: only the address.
    #[arg(long, short)]
    pub quiet: bool,
}

fn how_long(text: &str) -> Result<Duration, String> {
    scenario::time(text).map(Duration::from_secs_f64)
}
