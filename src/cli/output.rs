//! What the user is told, and what is written.

use std::fmt;
use std::io::{BufWriter, ErrorKind, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use indicatif::{HumanDuration, ProgressBar, ProgressState, ProgressStyle};
use serde_json::Value;

use super::Refusal;
use super::arguments::OutputOptions;
use crate::experiment::Findings;
use crate::report::Line;
use crate::report::charts::{self, ChartFiles, ChartSize, Format, Subject};
use crate::report::{
    Replacement, data, display_width, style, wrap, write_atomically, write_in_folder,
};
use crate::scenario::{printable, printable_json};

/// Prints to standard output, without obeying what stands in names.
pub fn print(text: &str) -> Result<(), Refusal> {
    print_exactly(&printable(text))
}

/// Prints a text that holds no names, or has been made printable. That a reader such as `head` ends early is no
/// error.
pub fn print_exactly(text: &str) -> Result<(), Refusal> {
    match anstream::stdout().lock().write_all(text.as_bytes()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(error.into()),
        _ => Ok(()),
    }
}

/// Columns of the terminal, or of what goes to a file or another program.
pub fn width() -> u16 {
    terminal_size::terminal_size_of(std::io::stdout())
        .map_or(PIPED, |(terminal_size::Width(columns), _)| columns.max(40))
}

/// Columns of a text that does not go to a terminal.
const PIPED: u16 = 80;

/// Longer lines than this are hard to read, however wide the terminal is.
const LONGEST_LINE: u16 = 100;

/// Columns of what is read from left to right, unlike tables.
pub fn reading_width() -> usize {
    usize::from(width().min(LONGEST_LINE))
}

/// Columns of what goes to standard error.
pub fn message_width() -> usize {
    let columns = terminal_size::terminal_size_of(std::io::stderr())
        .map_or(PIPED, |(terminal_size::Width(columns), _)| columns.max(40));
    usize::from(columns.min(LONGEST_LINE))
}

/// Wraps a text to the terminal, or so that it can be read in a file or a message.
pub fn wrapped(text: &str) -> String {
    wrap(text, usize::from(width()), "", "").join("\n")
}

/// The heading of a line is at most so wide.
const HEADING: usize = 14;

/// Prints the lines of an answer, with their headings in bold on a terminal, in the colour of faults where they tell of
/// some, and what stands below them.
pub fn print_answer(lines: &[Line], below: &str) -> Result<(), Refusal> {
    let columns = reading_width();
    let mut text = String::new();
    for line in lines {
        let indent = " ".repeat(HEADING);
        let wrapped = wrap(&line.says, columns, &indent, &indent);
        for (index, written) in wrapped.iter().enumerate() {
            // Names are made harmless before anything is added that a terminal is to obey.
            let written = printable(written);
            match index {
                0 => {
                    let says = written.trim_start();
                    let space = " ".repeat(HEADING.saturating_sub(display_width(line.heading)));
                    let style = match line.is_fault {
                        true => style::FAULT,
                        false => style::HEADING,
                    };
                    text.push_str(&format!("{style}{}{style:#}{space}{says}\n", line.heading));
                }
                _ => text.push_str(&format!("{written}\n")),
            }
        }
    }
    text.push_str(&printable(below));
    print_exactly(&text)
}

/// Says something beside the answer.
pub fn note(quiet: bool, text: &str) {
    if !quiet {
        let _ = writeln!(anstream::stderr(), "{}", printable(text));
    }
}

/// How often a bar is drawn again, though nothing may have been played since.
const TICK: Duration = Duration::from_millis(200);

/// A bar on standard error, if that is a terminal; hidden otherwise. It is there from the first moment.
pub fn progress(quiet: bool, length: u64) -> ProgressBar {
    if quiet || !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    // Where nobody knows how many it takes, the bar counts.
    match length {
        0 => drawn(ProgressBar::no_length(), "{spinner} {pos} runs, {elapsed}"),
        _ => drawn(ProgressBar::new(length), "{bar:40} {pos}/{len} runs{left}"),
    }
}

/// Likewise of rounds, of which nobody knows how many it takes.
pub fn rounds(quiet: bool) -> ProgressBar {
    match quiet || !std::io::stderr().is_terminal() {
        true => ProgressBar::hidden(),
        false => drawn(
            ProgressBar::no_length(),
            "{spinner} {pos} rounds, {elapsed} {msg}",
        ),
    }
}

/// A sign of life on standard error while something takes long; where that is no terminal, a line if it is `worth_a_line`.
pub fn waiting(text: &str, worth_a_line: bool) -> ProgressBar {
    if std::io::stderr().is_terminal() {
        return drawn(
            ProgressBar::no_length().with_message(text.to_owned()),
            "{spinner} {msg}, {elapsed}",
        );
    }
    note(!worth_a_line, text);
    ProgressBar::hidden()
}

fn drawn(bar: ProgressBar, template: &str) -> ProgressBar {
    if let Ok(style) = ProgressStyle::with_template(template) {
        bar.set_style(style.with_key("left", write_time_left));
    }
    // The first replication may take long.
    bar.tick();
    bar.enable_steady_tick(TICK);
    bar
}

/// Nothing before anything has been played, since then nobody knows.
fn write_time_left(state: &ProgressState, out: &mut dyn fmt::Write) {
    if state.pos() > 0 {
        // A bar that cannot be written is missed by nobody.
        let _ = write!(out, ", {:#} left", HumanDuration(state.eta()));
    }
}

/// Whether standard output is for the JSON or the trace alone.
pub fn is_standard_output(file: &Option<PathBuf>) -> bool {
    file.as_deref() == Some(Path::new("-"))
}

/// Writes JSON and CSV as asked for.
///
/// `more` is what the JSON holds besides the findings, by name.
pub fn write_data(
    findings: &Findings,
    more: Vec<(&str, Value)>,
    written: &OutputOptions,
    quiet: bool,
) -> Result<(), Refusal> {
    let tables = match &written.csv {
        Some(folder) => Some((folder, tables_for(findings, folder)?)),
        None => None,
    };
    if let Some(file) = &written.json {
        let mut document = data::json(findings);
        for (name, value) in more {
            document[name] = value;
        }
        write_or_print(file, &format!("{document:#}\n"), quiet)?;
    }
    if let Some((folder, tables)) = tables {
        for csv in tables {
            write_in_folder(folder, csv.name, &csv.contents)
                .map_err(|error| cannot_write(&folder.join(csv.name), &error))?;
        }
        note(quiet, &format!("Tables: {}", folder.display()));
    }
    Ok(())
}

/// The tables for a folder, unless a file that stands in the place of one is something else.
fn tables_for(findings: &Findings, folder: &Path) -> Result<Vec<data::Csv>, Refusal> {
    let tables = data::csv(findings).map_err(|error| Refusal::because(error.to_string()))?;
    for table in &tables {
        let file = folder.join(table.name);
        if file.is_file() {
            let there = std::fs::read(&file).map_err(|error| cannot_write(&file, &error))?;
            if !there.is_empty() && !table.replaces(&there) {
                return Err(Refusal::with_hint(
                    format!(
                        "{} is there already, and it is no table of this program",
                        file.display()
                    ),
                    "move it, or name another folder",
                ));
            }
        }
    }
    Ok(tables)
}

/// Writes JSON to a file, or prints it if the file is `-`.
pub fn write_or_print(file: &Path, json: &str, quiet: bool) -> Result<(), Refusal> {
    let text = printable_json(json);
    if file == Path::new("-") {
        return print_exactly(&text);
    }
    write_atomically(file, text.as_bytes()).map_err(|error| cannot_write(file, &error))?;
    note(quiet, &format!("Written: {}", file.display()));
    Ok(())
}

/// Likewise, what `write` writes bit by bit.
pub fn write_or_print_by(
    file: &Path,
    quiet: bool,
    write: impl FnOnce(&mut dyn Write) -> std::io::Result<()>,
) -> Result<(), Refusal> {
    if file == Path::new("-") {
        let mut out = BufWriter::new(anstream::stdout().lock());
        return match write(&mut out).and_then(|()| out.flush()) {
            Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(error.into()),
            _ => Ok(()),
        };
    }
    let whole = || {
        let mut out = BufWriter::new(Replacement::begin(file)?);
        write(&mut out)?;
        out.into_inner()
            .map_err(std::io::IntoInnerError::into_error)?
            .finish()
    };
    whole().map_err(|error| cannot_write(file, &error))?;
    note(quiet, &format!("Written: {}", file.display()));
    Ok(())
}

/// Draws all charts to a folder.
pub fn write_charts(
    subject: &Subject,
    (scenario, folder): (Option<&Path>, &Path),
    (size, formats): (ChartSize, &[Format]),
    quiet: bool,
) -> Result<(), Refusal> {
    draw((scenario, folder), quiet, || {
        charts::write(subject, folder, size, formats)
    })
}

/// Has charts of a scenario written to a folder, and tells of them, which to look at first and whose place they take, or
/// why they were not.
pub fn draw(
    (scenario, folder): (Option<&Path>, &Path),
    quiet: bool,
    write: impl FnOnce() -> std::io::Result<ChartFiles>,
) -> Result<(), Refusal> {
    let source = charts::ChartSource::of(scenario);
    let (ChartFiles { files, missing }, others) =
        charts::signed(folder, &source, write).map_err(|error| cannot_write(folder, &error))?;
    let is_summary = |file: &&PathBuf| file.file_stem().is_some_and(|stem| stem == "summary");
    let names = files
        .iter()
        .find(is_summary)
        .and_then(|file| file.file_name());
    let first = names.map_or_else(String::new, |name| {
        format!("; look at {} first", name.display())
    });
    let count = files.len();
    note(
        quiet,
        &format!("Charts: {count} files in {}{first}", folder.display()),
    );
    if let Some(missing) = missing.note() {
        note(quiet, &wrap(&missing, message_width(), "", "").join("\n"));
    }
    if let Some(other) = others {
        note(
            quiet,
            &format!(
                "They take the place of charts of {other}; --charts names a folder for each scenario"
            ),
        );
    }
    Ok(())
}

pub fn cannot_write(path: &Path, error: &std::io::Error) -> Refusal {
    Refusal::because(format!("{} cannot be written: {error}", path.display()))
}

/// Writes a page, or prints it; `which` says in the note what it is of.
pub fn write_page(out: &Path, page: &str, which: &str, quiet: bool) -> Result<(), Refusal> {
    let page = printable(page);
    if out == Path::new("-") {
        return print_exactly(&page);
    }
    write_atomically(out, page.as_bytes()).map_err(|error| cannot_write(out, &error))?;
    note(quiet, &format!("Written: {}{which}", out.display()));
    Ok(())
}
