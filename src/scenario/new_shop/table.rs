//! Tables with a heading as spreadsheets write them, with the place of every cell.

use std::ops::Range;

use super::length::Bare;
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

pub struct CsvRow {
    cells: Vec<(String, Range<usize>)>,
    /// Of the whole line.
    pub span: Range<usize>,
}

/// A larger table than this is refused, in bytes.
const MOST_BYTES: usize = 1 << 20;

/// Signs that part cells.
const PARTERS: [u8; 3] = [b',', b';', b'\t'];

impl CsvTable {
    /// Reads a table; columns may come in any order, and others are passed over.
    ///
    /// # Errors
    /// That it is no text, has no heading, or has a column twice.
    pub fn read(name: &str, bytes: &[u8], columns: &[CsvColumn]) -> Result<CsvTable, Problems> {
        let wrong = |text: &str, problem| Err(Problems::new(name, text, vec![problem]));
        if bytes.len() > MOST_BYTES {
            let what = format!("the table has more than {MOST_BYTES} bytes");
            return wrong("", Problem::error(&(0..0), what));
        }
        let text = match std::str::from_utf8(bytes) {
            Ok(text) => text,
            Err(error) => {
                let at = error.valid_up_to();
                let shown = String::from_utf8_lossy(bytes);
                let problem = Problem::error(&(at..at + 1), "this is not UTF-8 text")
                    .hint("save the table as CSV with the encoding UTF-8");
                return wrong(&shown, problem);
            }
        };
        // The mark with which some spreadsheets begin.
        let start = text.len() - text.trim_start_matches('\u{feff}').len();
        let parter = parter(&text.as_bytes()[start..]);
        let mut lines = lines(text, start, parter).into_iter();
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
            decimal_comma: parter == b';',
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

/// The sign that parts the cells of the first line that holds something: the one that stands there most often.
fn parter(bytes: &[u8]) -> u8 {
    let first = bytes.split(|byte| matches!(byte, b'\n' | b'\r'));
    let mut first = first.filter(|line| line.iter().any(|byte| !byte.is_ascii_whitespace()));
    let first = first.next().unwrap_or_default();
    let times = |parter: u8| first.iter().filter(|byte| **byte == parter).count();
    let mut best = PARTERS[0];
    for parter in PARTERS {
        if times(parter) > times(best) {
            best = parter;
        }
    }
    best
}

/// The lines that hold something, from a place in the text on.
fn lines(text: &str, start: usize, parter: u8) -> Vec<CsvRow> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(parter)
        .from_reader(&text.as_bytes()[start..]);
    let mut rows = Vec::new();
    let mut record = csv::StringRecord::new();
    while reader.read_record(&mut record).unwrap_or(false) {
        let from = record.position().map_or(0, csv::Position::byte) as usize + start;
        let until = reader.position().byte() as usize + start;
        let spans = spans(&text[from..until], from, parter);
        let cells = record.iter().enumerate().map(|(index, cell)| {
            let span = spans.get(index).cloned().unwrap_or(from..from);
            (cell.trim().to_owned(), span)
        });
        let cells: Vec<(String, Range<usize>)> = cells.collect();
        if cells.iter().all(|(cell, _)| cell.is_empty()) {
            continue;
        }
        let line = text[from..until].trim_end();
        let before = text[from..until].len() - text[from..until].trim_start().len();
        rows.push(CsvRow {
            span: from + before..from + line.len(),
            cells,
        });
    }
    rows
}

/// Where the cells of one record stand, without blanks around them.
fn spans(record: &str, from: usize, parter: u8) -> Vec<Range<usize>> {
    let mut spans = Vec::new();
    let mut is_quoted = false;
    let mut begin = record.len() - record.trim_start_matches(['\r', '\n']).len();
    let end = record.trim_end_matches(['\r', '\n']).len();
    for (at, byte) in record.bytes().enumerate().take(end).skip(begin) {
        match byte {
            b'"' => is_quoted = !is_quoted,
            _ if byte == parter && !is_quoted => {
                spans.push(begin..at);
                begin = at + 1;
            }
            _ => {}
        }
    }
    spans.push(begin.min(end)..end);
    let trimmed = spans.into_iter().map(|span| {
        let cell = &record[span.clone()];
        let before = cell.len() - cell.trim_start().len();
        let start = span.start + before;
        from + start..from + start + cell.trim().len()
    });
    trimmed.collect()
}
