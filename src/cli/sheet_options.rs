//! What `shopstride sheet` is asked for.

use std::path::PathBuf;

use clap::{Args, ValueHint};

#[derive(Debug, Args)]
pub struct SheetOptions {
    /// Scenario file; - reads standard input. Default: the built-in scenario.
    #[arg(value_hint = ValueHint::FilePath)]
    pub scenario: Option<PathBuf>,
    /// The layout to tape; default: the first in a room.
    #[arg(long, value_name = "NAME")]
    pub layout: Option<String>,
    /// Where to write the page; - writes it to standard output.
    #[arg(long, value_name = "FILE.html", value_hint = ValueHint::FilePath)]
    pub out: PathBuf,
    /// No notes.
    #[arg(long, short)]
    pub quiet: bool,
}
