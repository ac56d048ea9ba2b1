//! The command line: what each command takes, and which library calls it makes.

mod answer;
mod arguments;
mod bottleneck;
mod chart_options;
mod check;
mod class;
mod class_options;
mod compare;
mod edit;
mod edit_begin;
mod edit_options;
mod edit_search;
mod explain;
mod growth;
mod improve;
mod improve_options;
mod interrupt;
mod kinds;
mod lesson;
mod lesson_options;
mod memory;
mod new;
mod option_values;
mod output;
mod page;
mod placements;
mod places;
mod playing_options;
mod present_layout;
mod proven_charts;
mod proven_layouts;
mod questions;
mod run;
mod said_by_rules;
mod scenario;
mod sheet;
mod sheet_options;
mod size;
mod size_options;
mod threads;
mod times;
mod watch;
mod wish;

use std::ffi::OsString;
use std::io::Write;
use std::process::ExitCode;

use clap::FromArgMatches;
use clap::error::{ContextKind, ContextValue, ErrorKind};

use crate::report::listed;
use crate::scenario::{nearest, printable};
use arguments::{Arguments, Command, FIRST_STEPS, command_line};

/// Why a command did not do what it was asked for.
#[derive(Debug)]
enum Refusal {
    /// It has been reported already.
    Said,
    /// What is wrong, and perhaps what would be right.
    Because(String, Option<String>),
}

impl Refusal {
    fn because(what: impl Into<String>) -> Refusal {
        Refusal::Because(what.into(), None)
    }

    fn with_hint(what: impl Into<String>, hint: impl Into<String>) -> Refusal {
        Refusal::Because(what.into(), Some(hint.into()))
    }

    /// Of what fails after an answer has been told, if one has.
    fn after_answer(self, is_told: bool) -> Refusal {
        match self {
            Refusal::Because(what, None) if is_told => {
                Refusal::with_hint(what, "the answer above is whole; only this was not written")
            }
            other => other,
        }
    }
}

impl From<std::io::Error> for Refusal {
    fn from(error: std::io::Error) -> Refusal {
        Refusal::because(error.to_string())
    }
}

/// Runs the program with these arguments, the first of which is its name.
///
/// Ends with 0 when done, with 1 when a check found a fault, and with 2 when the input is wrong; then nothing was
/// written.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    let is_size = arguments.get(1).is_some_and(|command| command == "size");
    let parsed = (command_line().try_get_matches_from(arguments))
        .and_then(|matches| Arguments::from_arg_matches(&matches));
    let command = match parsed.map(|arguments| arguments.command) {
        Ok(Some(command)) => command,
        Ok(None) => {
            let _ = output::print(FIRST_STEPS);
            return ExitCode::SUCCESS;
        }
        Err(mut error) => {
            let refusal = file_too_many(&error, is_size).or_else(|| no_command(&error));
            if let Some(refusal) = refusal {
                tell(&refusal);
                return ExitCode::from(2);
            }
            where_else(&mut error);
            // Help and version are no errors, and neither is a pipe whose reader has ended.
            let _ = error.print();
            return ExitCode::from(error.exit_code() as u8);
        }
    };
    let asked = command.threads();
    let done = memory::check_limit()
        .and_then(|()| threads::on_as_many(asked, || obey(&command)))
        .and_then(|done| done);
    match done {
        Ok(code) => code,
        Err(refusal) => {
            tell(&refusal);
            ExitCode::from(2)
        }
    }
}

/// Says what is wrong, unless that has been done.
fn tell(refusal: &Refusal) {
    let Refusal::Because(what, hint) = refusal else {
        return;
    };
    let mut stderr = anstream::stderr();
    let style = crate::report::style::FAULT;
    let columns = output::message_width();
    let lines = |text: &str, heading: &str| {
        let indent = " ".repeat(heading.len());
        let lines = crate::report::wrap(text, columns, &indent, &indent).join("\n");
        printable(lines.trim_start()).into_owned()
    };
    let what = lines(what, "error: ");
    let _ = writeln!(stderr, "{style}error{style:#}: {what}");
    if let Some(hint) = hint {
        let heading = "  = help: ";
        let _ = writeln!(stderr, "{heading}{}", lines(hint, heading));
    }
}

/// Why a second scenario is refused, or one by a command that takes none, if that is what is wrong.
fn file_too_many(error: &clap::Error, takes_none: bool) -> Option<Refusal> {
    let Some(ContextValue::String(asked)) = error.get(ContextKind::InvalidArg) else {
        return None;
    };
    let file = std::path::Path::new(asked);
    let is_second = error.kind() == ErrorKind::UnknownArgument && !asked.starts_with('-');
    if !is_second || !is_scenario(file) && !file.is_file() {
        return None;
    }
    Some(match takes_none {
        true => Refusal::with_hint(
            format!("`size` reads no file, so {asked} is one too many"),
            "it reckons with what is given on the command line, such as `shopstride size light --room \"20 ft x 17 ft\"`; `shopstride size light --help` says all of it",
        ),
        false => Refusal::with_hint(
            format!("{asked} is one file too many: each command reads one scenario"),
            "what is compared are the layouts of one file: write the other one below `layouts`, with `like` where it is mostly the same, or below `candidates` with what else differs; figures of two files differ by more than their layouts",
        ),
    })
}

fn is_scenario(file: &std::path::Path) -> bool {
    let endings = ["yaml", "yml"];
    file.extension()
        .is_some_and(|ending| endings.into_iter().any(|known| ending == known))
}

/// Why a scenario is no command, if that is what is wrong.
fn no_command(error: &clap::Error) -> Option<Refusal> {
    let Some(ContextValue::String(asked)) = error.get(ContextKind::InvalidSubcommand) else {
        return None;
    };
    let file = std::path::Path::new(asked);
    (is_scenario(file) || file.is_file()).then(|| {
        Refusal::with_hint(
            format!("{asked} is a file, and no command says what to do with it"),
            format!("write `shopstride compare {asked}`, or `check` in place of `compare`"),
        )
    })
}

/// Says which commands take an option that this one does not, or which one is misspelt, in place of a hint at how to write
/// a value.
fn where_else(error: &mut clap::Error) {
    if error.kind() != ErrorKind::UnknownArgument {
        return;
    }
    let Some(ContextValue::String(asked)) = error.get(ContextKind::InvalidArg) else {
        return;
    };
    if !asked.starts_with("--") {
        return;
    }
    let asked = asked.clone();
    error.remove(ContextKind::Suggested);
    let command_line = command_line();
    let asked = asked.trim_start_matches('-');
    let asked = asked.split(['=', ' ']).next().unwrap_or_default();
    let is_near_here = error.get(ContextKind::SuggestedArg).is_some();
    let asked = match is_near_here {
        true => asked,
        false => nearest_option(&command_line, asked).unwrap_or(asked),
    };
    let takes = |command: &&clap::Command| {
        let mut options = command.get_arguments();
        !asked.is_empty() && options.any(|option| option.get_long() == Some(asked))
    };
    let all = command_line.get_subcommands().filter(takes);
    let names: Vec<String> = all
        .map(|command| format!("`{}`", command.get_name()))
        .collect();
    if names.is_empty() {
        return;
    }
    let instead = match asked {
        "layout" => "; `compare` has --base, the layout that others are compared with",
        "base" => "; the others have --layout",
        _ => "",
    };
    let hint = format!(
        "--{asked} is an option of {}{instead}",
        listed(&names, "and")
    );
    error.remove(ContextKind::SuggestedArg);
    let hint = ContextValue::StyledStrs(vec![hint.into()]);
    error.insert(ContextKind::Suggested, hint);
}

/// The option of some command that is written almost so.
fn nearest_option<'c>(command_line: &'c clap::Command, asked: &str) -> Option<&'c str> {
    let commands = command_line.get_subcommands();
    let options = commands.flat_map(|command| command.get_arguments());
    nearest(asked, options.filter_map(|option| option.get_long()))
}

/// Does what a command asks for.
fn obey(command: &Command) -> Result<ExitCode, Refusal> {
    match command {
        Command::Check(options) if options.watch => {
            let scenario = options.scenario.as_deref();
            let check = || check::check(options).map(drop);
            match watch::whenever_saved(scenario, options.quiet, check)? {}
        }
        Command::Compare(options) if options.watch => {
            let played = &options.played;
            let compare = || compare::compare(options);
            match watch::whenever_saved(played.scenario.as_deref(), played.how.quiet, compare)? {}
        }
        Command::Check(options) => {
            let code = match check::check(options)? {
                true => ExitCode::SUCCESS,
                false => ExitCode::FAILURE,
            };
            return Ok(code);
        }
        Command::Run(options) => run::run(options),
        Command::Compare(options) => compare::compare(options),
        Command::Bottleneck(options) => bottleneck::bottleneck(options),
        Command::Improve(options) => {
            let code = match improve::improve(options)? {
                true => ExitCode::SUCCESS,
                false => ExitCode::FAILURE,
            };
            return Ok(code);
        }
        Command::Edit(options) => edit::edit(options),
        Command::Times(options) => times::times(options),
        Command::New(options) => new::new(options),
        Command::Explain(options) => explain::explain(options),
        Command::Kinds(options) => kinds::kinds(options),
        Command::Page(options) => page::page(options),
        Command::Sheet(options) => sheet::sheet(options),
        Command::Lesson(options) => lesson::lesson(options),
        Command::Class(options) => class::class(options),
        Command::Size(options) => size::size(options),
        Command::Schema => output::print(&format!("{:#}\n", crate::scenario::schema())),
        Command::Completions { shell } => {
            let mut text = Vec::new();
            clap_complete::generate(*shell, &mut command_line(), "shopstride", &mut text);
            output::print_exactly(&String::from_utf8_lossy(&text))
        }
    }?;
    Ok(ExitCode::SUCCESS)
}
