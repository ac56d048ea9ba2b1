//! Loads a study, runs it, reports it.

use std::process::ExitCode;

fn main() -> ExitCode {
    shopstride::cli::run(std::env::args_os())
}
