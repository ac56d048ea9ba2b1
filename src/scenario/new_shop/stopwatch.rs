//! Times that somebody has taken with a watch: a table with a line for each.

use std::ops::Range;

use super::machines::SaidStation;
use super::table::{CsvColumn, CsvTable};
use crate::scenario::problem::{Problem, Problems, hint_at};
use crate::scenario::quantity::Dimension;

/// What was taken of an operation at one station, in seconds.
#[derive(Debug, Clone, PartialEq)]
pub struct TakenTimes {
    /// Index among the stations.
    pub station: usize,
    pub operation: &'static str,
    pub seconds: Vec<f64>,
}

const COLUMNS: [CsvColumn; 3] = [
    CsvColumn {
        name: "operation",
        called: &["op", "work", "task"],
    },
    CsvColumn {
        name: "station",
        called: &["machine", "at", "where"],
    },
    CsvColumn {
        name: "seconds",
        called: &["time", "s", "sec", "secs", "duration"],
    },
];

/// So many times are accepted of one operation.
const MOST: usize = 200;

/// Reads the times taken at stations; `name` is how problems call the table.
///
/// # Errors
/// All that is wrong in it, each with its line and column.
pub fn read_times(
    name: &str,
    bytes: &[u8],
    stations: &[SaidStation],
) -> Result<Vec<TakenTimes>, Problems> {
    let table = CsvTable::read(name, bytes, &COLUMNS)?;
    let text = String::from_utf8_lossy(bytes);
    let mut problems = table.missing(&COLUMNS, &[0, 1, 2], &text[table.heading.clone()]);
    let mut taken: Vec<TakenTimes> = Vec::new();
    let rows = table.rows.iter().filter(|_| problems.is_empty());
    let mut found = Vec::new();
    for row in rows {
        let cells: Option<Vec<(&str, &Range<usize>)>> = (0..COLUMNS.len())
            .map(|column| table.cell(row, column))
            .collect();
        let Some(cells) = cells else {
            found.push(
                Problem::error(&row.span, "this line is not complete")
                    .hint("each line has an operation, a station and seconds"),
            );
            continue;
        };
        let [operation, station, seconds] = cells[..] else {
            continue;
        };
        let station = station_of(station, stations).map_err(|problem| found.push(*problem));
        let seconds = read_seconds(seconds, &table).map_err(|problem| found.push(*problem));
        let Ok(station) = station else { continue };
        let doing = operation_of(operation, &stations[station]);
        let doing = doing.map_err(|problem| found.push(*problem));
        let (Ok(operation), Ok(seconds)) = (doing, seconds) else {
            continue;
        };
        let same =
            |known: &&mut TakenTimes| known.station == station && known.operation == operation;
        match taken.iter_mut().find(same) {
            Some(known) if known.seconds.len() == MOST => found.push(Problem::error(
                &row.span,
                format!("more than {MOST} times of one operation are not accepted"),
            )),
            Some(known) => known.seconds.push(seconds),
            None => taken.push(TakenTimes {
                station,
                operation,
                seconds: vec![seconds],
            }),
        }
    }
    problems.extend(found);
    match problems.is_empty() {
        true => Ok(taken),
        false => Err(Problems::new(name, &text, problems)),
    }
}

fn station_of(
    (said, span): (&str, &Range<usize>),
    stations: &[SaidStation],
) -> Result<usize, Box<Problem>> {
    let plain = said.to_lowercase();
    let named = |station: &SaidStation| station.name.to_lowercase() == plain;
    stations.iter().position(named).ok_or_else(|| {
        let names = stations.iter().map(|station| &station.name[..]);
        let problem = Problem::error(span, format!("there is no station called `{said}`"));
        Box::new(problem.maybe_hint(hint_at(said, names)))
    })
}

fn operation_of(
    (said, span): (&str, &Range<usize>),
    station: &SaidStation,
) -> Result<&'static str, Box<Problem>> {
    let plain = said.to_lowercase();
    let mut does = station.kind.does.iter().map(|does| does.name);
    does.clone().find(|name| *name == plain).ok_or_else(|| {
        let problem = Problem::error(
            span,
            format!("`{said}` is not done at the {}", station.name),
        );
        match does.next() {
            None => Box::new(problem.hint("nothing is done there")),
            Some(_) => {
                let names = station.kind.does.iter().map(|does| does.name);
                Box::new(problem.maybe_hint(hint_at(said, names)))
            }
        }
    })
}

/// Seconds as a number, or any time with its unit.
fn read_seconds(
    (said, span): (&str, &Range<usize>),
    table: &CsvTable,
) -> Result<f64, Box<Problem>> {
    let plain = match table.decimal_comma || said.matches(',').count() == 1 {
        true => said.replace(',', "."),
        false => said.to_owned(),
    };
    let clock = plain.split_once(':').and_then(|(minutes, seconds)| {
        let minutes: f64 = minutes.trim().parse().ok()?;
        let seconds: f64 = seconds
            .trim()
            .parse()
            .ok()
            .filter(|s| (0.0..60.0).contains(s))?;
        Some(60.0 * minutes + seconds)
    });
    let read = |text: &str| Dimension::Time.read(text).ok();
    let seconds = clock
        .or_else(|| read(&plain))
        .or_else(|| read(&format!("{plain} s")));
    /// A day: nobody holds a watch for longer.
    const MOST_S: f64 = 86_400.0;
    let seconds = seconds.filter(|seconds| *seconds > 0.0 && *seconds <= MOST_S);
    seconds.ok_or_else(|| {
        Box::new(Problem::error(span, format!("`{said}` is no time")).hint(
            "write seconds such as `42`, or a time such as `1:30` or `2 min`, of a day at most",
        ))
    })
}
