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
    keep_words_whole(&mut table);
    table
        .to_string()
        .lines()
        .map(|line| format!("{}\n", line.trim_end()))
        .collect()
}

/// Gives each column the room of its longest line, or of its longest figure with its unit, or of its longest word, as
/// far as there is room for that in all columns: left to itself, the table takes it from the widest.
fn keep_words_whole(table: &mut Table) {
    let columns = table.column_count();
    let mut lines = vec![0; columns];
    let mut words = vec![0; columns];
    let mut figures = vec![0; columns];
    for row in table.header().into_iter().chain(table.row_iter()) {
        for (column, cell) in row.cell_iter().enumerate() {
            let content = cell.content();
            let longest = |parts: &mut dyn Iterator<Item = &str>| parts.map(display_width).max();
            let line = longest(&mut content.split('\n')).unwrap_or(0);
            lines[column] = lines[column].max(line);
            let word = longest(&mut content.split([' ', '\n'])).unwrap_or(0);
            words[column] = words[column].max(word);
            let figure = match content
                .starts_with(|first: char| first.is_ascii_digit() || "+−".contains(first))
            {
                true => longest(&mut content.split('\n').flat_map(|line| line.split(" ("))),
                false => None,
            };
            figures[column] = figures[column].max(figure.unwrap_or(word));
        }
    }
    let room = table.width().map_or(0, usize::from);
    let gaps = columns.saturating_sub(1) * GAP;
    let fits = |least: &Vec<usize>| {
        let cells: usize = least.iter().map(|word| word + PADDING).sum();
        cells + gaps <= room
    };
    let Some(longest) = [lines, figures, words].into_iter().find(fits) else {
        return;
    };
    for (column, longest) in table.column_iter_mut().zip(longest) {
        let least = Width::Fixed((longest + PADDING) as u16);
        column.set_constraint(ColumnConstraint::LowerBoundary(least));
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
}
