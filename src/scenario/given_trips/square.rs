//! A square table with names: the first line and the first cell of each other one say of what.

use std::ops::Range;

use super::NamedBytes;
use super::decimal::Decimal;
use crate::scenario::csv_lines::{CsvLines, CsvRow};
use crate::scenario::problem::{Problem, Problems, hint_at};

/// A square of numbers, row by row in the order of its columns.
#[derive(Debug)]
pub(super) struct NamedSquare {
    pub names: Vec<String>,
    pub cells: Vec<Decimal>,
    /// Of the line with the names.
    pub heading: Range<usize>,
}

/// A larger square is refused.
const MOST_NAMES: usize = 200;

/// While a table is read.
struct CellReading<'t> {
    /// What it is a table of, such as "station", and what its cells are, such as "trips".
    thing: &'static str,
    cell: &'static str,
    decimal_comma: bool,
    /// The names of its columns with their places.
    columns: Vec<(&'t str, &'t Range<usize>)>,
    problems: Vec<Problem>,
}

impl NamedSquare {
    /// Reads a table; rows may come in another order than columns.
    ///
    /// # Errors
    /// All that is wrong in it.
    pub fn read(
        (name, bytes): NamedBytes<'_>,
        thing: &'static str,
        cell: &'static str,
    ) -> Result<NamedSquare, Problems> {
        let lines = CsvLines::read(name, bytes)?;
        let wrong = |problems| Problems::new(name, lines.text, problems);
        let Some((heading, rows)) = lines.rows.split_first() else {
            let hint = format!("its first line names each {thing}, from the second cell on");
            let problem = Problem::error(&(0..0), "the table is empty").hint(hint);
            return Err(wrong(vec![problem]));
        };
        let mut reading = CellReading {
            thing,
            cell,
            decimal_comma: lines.decimal_comma,
            columns: Vec::new(),
            problems: Vec::new(),
        };
        reading.name_columns(heading);
        let numbers = reading.numbers(rows);
        match reading.problems.is_empty() {
            true => Ok(NamedSquare {
                names: (reading.columns.iter())
                    .map(|(name, _)| (*name).to_owned())
                    .collect(),
                cells: numbers.into_iter().flatten().flatten().collect(),
                heading: heading.span.clone(),
            }),
            false => Err(wrong(reading.problems)),
        }
    }
}

impl<'t> CellReading<'t> {
    fn wrong(&mut self, at: &Range<usize>, what: String, hint: String) {
        self.problems.push(Problem::error(at, what).hint(hint));
    }

    fn name_columns(&mut self, heading: &'t CsvRow) {
        let thing = self.thing;
        let cells = heading.cells.get(1..).unwrap_or_default();
        // Spreadsheets write empty cells behind the last one.
        let many = cells.iter().rposition(|(name, _)| !name.is_empty());
        let cells = &cells[..many.map_or(0, |last| last + 1)];
        self.columns = cells.iter().map(|(name, at)| (&name[..], at)).collect();
        if cells.is_empty() {
            let hint = format!("the first cell is free, and each further one names a {thing}");
            self.wrong(&heading.span, format!("no {thing} is named here"), hint);
        }
        if cells.len() > MOST_NAMES {
            let what = format!("there are {} columns", cells.len());
            let hint = format!("at most {MOST_NAMES} are accepted");
            self.wrong(&heading.span, what, hint);
        }
        for (index, (name, at)) in cells.iter().enumerate() {
            if name.is_empty() {
                let hint = format!("write here which {thing} it is for");
                self.wrong(at, "this column has no name".to_owned(), hint);
            } else if let Some((_, first)) = cells[..index].iter().find(|(other, _)| other == name)
            {
                let problem = Problem::error(at, format!("two columns are called `{name}`"));
                let problem = problem.also(first, "the first one");
                self.problems
                    .push(problem.hint(format!("give each {thing} a name of its own")));
            }
        }
    }

    /// The numbers of each column's row; those that could not be read are not there.
    fn numbers(&mut self, rows: &'t [CsvRow]) -> Vec<Vec<Option<Decimal>>> {
        let mut found: Vec<Option<&CsvRow>> = vec![None; self.columns.len()];
        for row in rows {
            let Some(index) = self.row_of(row) else {
                continue;
            };
            match found[index] {
                None => found[index] = Some(row),
                Some(first) => {
                    let what = format!("two rows are called `{}`", self.columns[index].0);
                    let problem =
                        Problem::error(&row.span, what).also(&first.span, "the first one");
                    self.problems.push(problem.hint("leave one of them out"));
                }
            }
        }
        let mut numbers = Vec::new();
        for (from, row) in found.into_iter().enumerate() {
            let (name, at) = self.columns[from];
            match row {
                Some(row) => numbers.push(self.row(from, row)),
                None if name.is_empty() || self.is_named_before(from) => {}
                None => {
                    let hint = format!("write a row for each {}, as there is a column", self.thing);
                    self.wrong(at, format!("no row is called `{name}`"), hint);
                }
            }
        }
        numbers
    }

    /// Whether an earlier column has the same name, which has been said.
    fn is_named_before(&self, column: usize) -> bool {
        let mut before = self.columns[..column].iter();
        before.any(|(name, _)| *name == self.columns[column].0)
    }

    /// The column of the same name as a row.
    fn row_of(&mut self, row: &CsvRow) -> Option<usize> {
        let (name, at) = row.cells.first()?;
        let mut names = self.columns.iter().map(|(name, _)| *name);
        if name.is_empty() {
            let hint = format!("its first cell says which {} it is for", self.thing);
            self.wrong(&row.span, "this row has no name".to_owned(), hint);
            return None;
        }
        let found = names.clone().position(|column| column == name);
        if found.is_none() && names.next().is_some() {
            let problem = Problem::error(at, format!("no column is called `{name}`"));
            let names = self.columns.iter().map(|(name, _)| *name);
            let hint = hint_at(name, names);
            let usual = format!(
                "each {} has a row and a column of the same name",
                self.thing
            );
            self.problems.push(problem.hint(usual).maybe_hint(hint));
        }
        found
    }

    /// The numbers of one row.
    fn row(&mut self, from: usize, row: &CsvRow) -> Vec<Option<Decimal>> {
        let columns = self.columns.len();
        let beyond = row
            .cells
            .iter()
            .skip(columns + 1)
            .find(|(cell, _)| !cell.is_empty());
        if let Some((cell, at)) = beyond {
            let hint = format!(
                "name its column, or leave it out: there are {columns} columns with a name"
            );
            self.wrong(
                at,
                format!("`{cell}` stands in a column without a name"),
                hint,
            );
        }
        (0..columns).map(|to| self.number(row, from, to)).collect()
    }

    fn number(&mut self, row: &CsvRow, from: usize, to: usize) -> Option<Decimal> {
        let cell = row.cells.get(to + 1);
        let end = row.span.end..row.span.end;
        let Some((said, at)) = cell.filter(|(said, _)| !said.is_empty()) else {
            let at = cell.map_or(&end, |(_, at)| at);
            let (is, nothing) = match self.cell {
                "trips" => ("are", "nobody goes"),
                _ => ("is", "nobody has to walk"),
            };
            let (one, other) = (self.columns[from].0, self.columns[to].0);
            let what = format!("the {} from `{one}` to `{other}` {is} missing", self.cell);
            self.wrong(at, what, format!("write 0 where {nothing}"));
            return None;
        };
        Decimal::read((said, at), self.decimal_comma)
            .map_err(|problem| self.problems.push(*problem))
            .ok()
    }
}
