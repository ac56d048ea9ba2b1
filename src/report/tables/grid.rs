//! How tables are drawn.

use comfy_table::{
    Cell, CellAlignment, ColumnConstraint, ContentArrangement, LineStyle, Row, Table, TableStyle,
    Width,
};

use crate::report::wrap::{display_width, wrap};
use crate::scenario::printable;

/// A line above, below the header and below.
const LINES: TableStyle = TableStyle::new()
    .top_border(LineStyle::none().fill('─').junction('─'))
    .header_separator(LineStyle::none().fill('─').junction('─'))
    .bottom_border(LineStyle::none().fill('─').junction('─'));

/// Columns beside the contents of a cell, and between two cells.
const PADDING: usize = 2;
const GAP: usize = 1;

/// A table whose cells are wrapped to fit into so many columns of a terminal.
pub(in crate::report) fn table(header: &[&str], numbers_from: usize, width: u16) -> Table {
    let mut table = Table::new();
    table.load_style(LINES);
    table.set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(width);
    table.set_header(header);
    for column in table.column_iter_mut().skip(numbers_from) {
        column.set_cell_alignment(CellAlignment::Right);
    }
    table
}

pub(in crate::report) fn text(mut table: Table) -> String {
    for row in table.row_iter_mut() {
        let contents: Vec<String> = row.cell_iter().map(Cell::content).collect();
        if contents.iter().any(|text| printable(text) != text.as_str()) {
            *row = Row::from(contents.iter().map(|text| printable(text)));
        }
    }
    let widest = Widest::of(&table);
    let room = table.width().map_or(usize::MAX, usize::from);
    let parts = groups(&widest.words, room).into_iter();
    parts
        .map(|shown| part(table.clone(), &shown, &widest, room))
        .collect()
}

/// Which columns stand beside each other: all, or where their words have no room, the first with as many of the others as
/// have room, and below that again. A heading that is broken within a word is hard to read.
fn groups(words: &[usize], room: usize) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = vec![vec![0]];
    for column in 1..words.len() {
        let has_room = |group: &&mut Vec<usize>| {
            let with: Vec<usize> = group.iter().copied().chain([column]).collect();
            group.len() == 1 || width(&with, words) <= room
        };
        match groups.last_mut().filter(has_room) {
            Some(group) => group.push(column),
            None => groups.push(vec![0, column]),
        }
    }
    groups
}

/// How wide columns are together, of which the contents are so wide.
fn width(columns: &[usize], contents: &[usize]) -> usize {
    let cells: usize = columns
        .iter()
        .map(|&column| contents[column] + PADDING)
        .sum();
    cells + columns.len().saturating_sub(1) * GAP
}

/// Some columns of a table as text. Each has the room of its longest line, or of its longest figure with its unit, or of its
/// longest word, as far as there is room for that in all: left to itself, the table takes it from the widest.
fn part(mut table: Table, shown: &[usize], widest: &Widest, room: usize) -> String {
    let of = [&widest.lines, &widest.figures, &widest.words];
    let least = of.into_iter().find(|least| width(shown, least) <= room);
    for column in table.column_iter_mut() {
        if !shown.contains(&column.index) {
            column.set_constraint(ColumnConstraint::Hidden);
        } else if let Some(least) = least {
            let least = Width::Fixed((least[column.index] + PADDING) as u16);
            column.set_constraint(ColumnConstraint::LowerBoundary(least));
        }
    }
    let drawn = table.to_string();
    let lines = drawn.lines().map(|line| format!("{}\n", line.trim_end()));
    lines.collect()
}

/// By column, how wide the longest line, the longest figure with its unit and the longest word are.
struct Widest {
    lines: Vec<usize>,
    figures: Vec<usize>,
    words: Vec<usize>,
}

impl Widest {
    fn of(table: &Table) -> Widest {
        let rows = table.header().into_iter().chain(table.row_iter());
        let columns = rows.map(Row::cell_count).max().unwrap_or(0);
        let mut widest = Widest {
            lines: vec![0; columns],
            figures: vec![0; columns],
            words: vec![0; columns],
        };
        for row in table.header().into_iter().chain(table.row_iter()) {
            for (column, cell) in row.cell_iter().enumerate() {
                widest.take_in(column, &cell.content());
            }
        }
        widest
    }

    fn take_in(&mut self, column: usize, content: &str) {
        let longest = |parts: &mut dyn Iterator<Item = &str>| parts.map(display_width).max();
        let line = longest(&mut content.split('\n')).unwrap_or(0);
        let word = longest(&mut content.split([' ', '\n'])).unwrap_or(0);
        let is_figure =
            content.starts_with(|first: char| first.is_ascii_digit() || "+−".contains(first));
        let figure = match is_figure {
            true => longest(&mut content.split('\n').flat_map(|line| line.split(" ("))),
            false => None,
        };
        self.lines[column] = self.lines[column].max(line);
        self.words[column] = self.words[column].max(word);
        self.figures[column] = self.figures[column].max(figure.unwrap_or(word));
    }
}

/// A remark below a table, indented like its cells.
pub(in crate::report) fn note(says: &str, width: u16) -> String {
    let lines = wrap(says, usize::from(width), " ", " ");
    format!("{}\n", lines.join("\n"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_broken_only_where_they_have_no_room() {
        let drawn = |width: u16| {
            let mut table = table(&["station", "busy", "walking", "waiting"], 1, width);
            table.add_row([
                "finishing table (×2)",
                "100 %",
                "1218.6 ± 0.3 ft",
                "34.3 min",
            ]);
            text(table)
        };
        for width in [38, 40, 60, 80] {
            let drawn = drawn(width);
            assert!(
                drawn
                    .lines()
                    .all(|line| display_width(line) <= usize::from(width))
            );
            for word in ["station", "finishing", "1218.6", "walking"] {
                assert!(drawn.contains(word), "{width}: {drawn}");
            }
        }
        assert!(
            drawn(20).lines().all(|line| display_width(line) <= 20),
            "{}",
            drawn(20)
        );
    }

    #[test]
    fn columns_of_wide_letters_stand_below_each_other() {
        let mut table = table(&["station", "busy"], 1, 80);
        table.add_row(["日本", "5 %"]);
        table.add_row(["sa\u{308}ge", "62 %"]);
        let drawn = text(table);
        let rows: Vec<&str> = drawn.lines().skip(3).take(2).collect();
        assert_eq!(
            rows.iter().map(|row| display_width(row)).min(),
            Some(15),
            "{drawn}"
        );
        assert_eq!(
            rows.iter().map(|row| display_width(row)).max(),
            Some(15),
            "{drawn}"
        );
    }

    /// By hand: 7, 11 and 10 letters with 2 columns beside each and 1 between them are 36 columns, and the first two 23.
    #[test]
    fn a_table_without_room_for_its_words_is_drawn_in_parts() {
        let drawn = |width: u16| {
            let mut table = table(&["station", "utilisation", "throughput"], 1, width);
            table.add_row(["saw", "75 %", "12 /h"]);
            text(table)
        };
        let whole = drawn(36);
        assert_eq!(whole.matches("station").count(), 1, "{whole}");
        let parts = drawn(35);
        for (word, times) in [
            ("station", 2),
            ("saw", 2),
            ("utilisation", 1),
            ("throughput", 1),
            ("75 %", 1),
            ("12 /h", 1),
        ] {
            assert_eq!(parts.matches(word).count(), times, "{word}:\n{parts}");
        }
        let first = parts.lines().find(|line| line.contains("station"));
        assert_eq!(first, Some(" station   utilisation"), "{parts}");
        assert!(
            parts.lines().all(|line| display_width(line) <= 35),
            "{parts}"
        );
    }
}
