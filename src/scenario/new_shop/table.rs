//! Tables with a heading whose columns are looked for by name.

use std::ops::Range;

use super::length::Bare;
use crate::scenario::csv_lines::{CsvLines, CsvRow, PARTERS};
use crate::scenario::problem::{Problem, Problems, nearest};

/// A column that is looked for, and what else people call it; all in small letters.
pub struct CsvColumn {
    pub name: &'static str,
    pub called: &'static [&'static str],
}

/// A table as it was read.
pub struct CsvTable {
    /// For each column that is looked for, its place among those of the file, and what stands in brackets in its heading.
    places: Vec<Option<(usize, String)>>,
    pub rows: Vec<CsvRow>,
    /// Whether a semicolon parts cells, so that a comma parts decimals.
    pub decimal_comma: bool,
    pub heading: Range<usize>,
}

impl CsvTable {
    /// Reads a table; columns may come in any order, and others are passed over.
    ///
    /// # Errors
    /// That it is no text, has no heading, or has a column twice.
    pub fn read(name: &str, bytes: &[u8], columns: &[CsvColumn]) -> Result<CsvTable, Problems> {
        let wrong = |text: &str, problem| Err(Problems::new(name, text, vec![problem]));
        let CsvLines {
            text,
            rows,
            decimal_comma,
        } = CsvLines::read(name, bytes)?;
        let mut lines = rows.into_iter();
        let Some(heading) = lines.next() else {
            let names: Vec<&str> = columns.iter().map(|column| column.name).collect();
            let problem = Problem::error(&(0..0), "the table is empty").hint(format!(
                "its first line names its columns: {}",
                names.join(", ")
            ));
            return wrong(text, problem);
        };
        let mut problems = Vec::new();
        let mut places: Vec<Option<(usize, String)>> = vec![None; columns.len()];
        for (place, (cell, span)) in heading.cells.iter().enumerate() {
            let (said, bracket) = parted(cell);
            let Some(column) = columns
                .iter()
                .position(|column| column.name == said || column.called.contains(&&said[..]))
            else {
                continue;
            };
            match &places[column] {
                None => places[column] = Some((place, bracket)),
                Some((first, _)) => problems.push(
                    Problem::error(
                        span,
                        format!("there are two columns for {}", columns[column].name),
                    )
                    .also(&heading.cells[*first].1, "the first one")
                    .hint("leave one of them out"),
                ),
            }
        }
        if !problems.is_empty() {
            return Err(Problems::new(name, text, problems));
        }
        Ok(CsvTable {
            places,
            rows: lines.collect(),
            decimal_comma,
            heading: heading.span,
        })
    }

    /// Reports columns that are needed and not there.
    pub fn missing(&self, columns: &[CsvColumn], needed: &[usize], heads: &str) -> Vec<Problem> {
        let missing = needed
            .iter()
            .filter(|&&column| self.places[column].is_none());
        let problems = missing.map(|&column| {
            let CsvColumn { name, called } = &columns[column];
            let words = heads.split(PARTERS.map(char::from));
            let words: Vec<String> = words.map(|word| parted(word).0).collect();
            let near = nearest(name, words.iter().map(String::as_str));
            let also = called
                .first()
                .map_or(String::new(), |other| format!(" or `{other}`"));
            Problem::error(&self.heading, format!("no column is called `{name}`")).hint(
                match near {
                    Some(near) => format!("is it `{near}`? call it `{name}`{also}"),
                    None => format!("call it `{name}`{also}"),
                },
            )
        });
        problems.collect()
    }

    /// A cell and its place; an empty one is nothing.
    pub fn cell<'t>(&self, row: &'t CsvRow, column: usize) -> Option<(&'t str, &'t Range<usize>)> {
        let (place, _) = self.places[column].as_ref()?;
        let (text, span) = row.cells.get(*place)?;
        (!text.is_empty()).then_some((text, span))
    }

    /// What stands in brackets in a column's heading.
    pub fn bracket(&self, column: usize) -> &str {
        self.places[column]
            .as_ref()
            .map_or("", |(_, bracket)| bracket)
    }

    /// The unit of lengths that a column's heading says.
    pub fn unit(&self, column: usize) -> Option<&'static str> {
        let said = crate::scenario::quantity::in_units(self.bracket(column));
        let mut units = ["mm", "cm", "m", "in", "ft"].into_iter();
        units.find(|unit| *unit == said)
    }

    /// How lengths of a column are written without a unit, unless its heading says one.
    pub fn bare(&self, column: usize, usual: &'static str) -> Bare {
        Bare {
            unit: self.unit(column).unwrap_or(usual),
            decimal_comma: self.decimal_comma,
        }
    }
}

/// A heading in small letters, and what stands in brackets behind it.
fn parted(heading: &str) -> (String, String) {
    let plain = heading.trim().trim_matches('"').to_lowercase();
    let brackets = ['(', '[', '{'];
    let (name, rest) = match plain.split_once(brackets) {
        Some((name, rest)) => (name, rest),
        None => (&plain[..], ""),
    };
    let rest = rest.trim_end().trim_end_matches([')', ']', '}']);
    let name = name.trim().trim_end_matches(['.', ':']).replace('_', " ");
    (name, rest.trim().to_owned())
}
