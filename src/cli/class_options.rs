//! What `shopstride class` is asked for.

use std::path::PathBuf;

use clap::{Args, ValueEnum, ValueHint};

use super::playing_options::PlayingOptions;
use crate::experiment::RankedBy;

#[derive(Debug, Args)]
pub struct ClassOptions {
    /// The folder with the scenarios of the class, one file for each; whose it is is said by its name.
    #[arg(value_hint = ValueHint::DirPath)]
    pub folder: PathBuf,
    /// Where to write the page; - writes it to standard output instead of the ranking.
    #[arg(long, value_name = "FILE.html", value_hint = ValueHint::FilePath)]
    pub out: PathBuf,
    /// The scenario that was handed out: its layouts get no place, and what is not as in it but the layouts is told.
    /// Default: what most files have.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub given: Option<PathBuf>,
    /// What decides.
    #[arg(long, value_name = "WHAT", value_enum, default_value_t = ClassRankedBy::Walking)]
    pub by: ClassRankedBy,
    /// Leaves files out in which something is wrong, and says so on the page.
    #[arg(long)]
    pub leave_out: bool,
    #[command(flatten)]
    pub how: PlayingOptions,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ClassRankedBy {
    /// How far people walk.
    Walking,
    /// From start to finish.
    Time,
}

impl From<ClassRankedBy> for RankedBy {
    fn from(by: ClassRankedBy) -> RankedBy {
        match by {
            ClassRankedBy::Walking => RankedBy::Walking,
            ClassRankedBy::Time => RankedBy::LeadTime,
        }
    }
}
