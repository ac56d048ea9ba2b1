//! Tables as spreadsheets write them, with the place of every cell.

use std::ops::Range;

use super::problem::{Problem, Problems};

/// The lines of a table that hold something.
pub struct CsvLines<'b> {
    pub text: &'b str,
    pub rows: Vec<CsvRow>,
    /// Whether a semicolon parts cells, so that a comma parts decimals.
    pub decimal_comma: bool,
}

pub struct CsvRow {
    /// Without blanks around them, each with its place.
    pub cells: Vec<(String, Range<usize>)>,
    /// Of the whole line.
    pub span: Range<usize>,
}

/// A larger table than this is refused, in bytes.
const MOST_BYTES: usize = 1 << 20;

/// Signs that part cells.
pub const PARTERS: [u8; 3] = [b',', b';', b'\t'];

impl<'b> CsvLines<'b> {
    /// Reads a table; `name` is how problems call it.
    ///
    /// # Errors
    /// That it is no text, too large, or has a quotation mark that is never closed.
    pub fn read(name: &str, bytes: &'b [u8]) -> Result<CsvLines<'b>, Problems> {
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
        if let Some(at) = unclosed_quote(&text[start..], parter) {
            let at = start + at;
            let problem = Problem::error(&(at..at + 1), "this quotation mark is never closed")
                .label("all that follows is read as one cell")
                .hint("put another one behind the cell, or leave this one out; inches may be written `in`");
            return wrong(text, problem);
        }
        Ok(CsvLines {
            text,
            rows: lines(text, start, parter),
            decimal_comma: parter == b';',
        })
    }
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

/// The quotation mark that begins the last cell, if nothing ends that: one within a cell is doubled.
fn unclosed_quote(text: &str, parter: u8) -> Option<usize> {
    let mut opened = None;
    let mut closed = None;
    let mut begins_cell = true;
    for (at, byte) in text.bytes().enumerate() {
        match (byte, opened) {
            (b'"', Some(begin)) => {
                opened = None;
                closed = Some((at, begin));
            }
            (b'"', None) if begins_cell => opened = Some(at),
            // A doubled mark goes on with the cell that the first of the two has closed.
            (b'"', None) => {
                let doubled = closed.filter(|(before, _)| before + 1 == at);
                opened = doubled.map(|(_, begin)| begin);
            }
            _ => {}
        }
        begins_cell = opened.is_none() && (byte == parter || matches!(byte, b'\n' | b'\r'));
    }
    opened
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quotation_mark_that_is_never_closed_is_told_and_others_are_not() {
        let refused = |text: &str| {
            let problems = CsvLines::read("list.csv", text.as_bytes()).err();
            problems.map(|problems| problems.render(false))
        };
        let said = refused("part,length\nside,30 in\nend,\"10 in\n").expect("refused");
        assert!(
            said.starts_with("error: this quotation mark is never closed\n --> list.csv:3:5\n"),
            "{said}"
        );
        // A cell may have line breaks, doubled marks and marks of inches in it.
        for fine in [
            "part,length\n\"side, left\",30 in\n",
            "part,length\n\"side\nleft\",30 in\n",
            "part,length\nside,\"30\"\"\"\n",
            "part,length\nside,30\"\nend,10\"\n",
            "part,length\n\"\",30 in\n",
        ] {
            assert_eq!(refused(fine), None, "{fine}");
        }
    }
}
