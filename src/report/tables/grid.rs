//! How tables are drawn.

use comfy_table::{Cell, CellAlignment, ContentArrangement, LineStyle, Row, Table, TableStyle};

use crate::scenario::printable;

/// Columns of a text that does not go to a terminal.
pub(in crate::report) const PIPED: u16 = 80;

/// A line above, below the header and below.
const LINES: TableStyle = TableStyle::new()
    .top_border(LineStyle::none().fill('─').junction('─'))
    .header_separator(LineStyle::none().fill('─').junction('─'))
    .bottom_border(LineStyle::none().fill('─').junction('─'));

/// With a width, cells are wrapped to fit in.
pub(in crate::report) fn table(header: &[&str], numbers_from: usize, width: Option<u16>) -> Table {
    let mut table = Table::new();
    table.load_style(LINES);
    if let Some(width) = width {
        table.set_content_arrangement(ContentArrangement::Dynamic);
        table.set_width(width);
    }
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
    table
        .to_string()
        .lines()
        .map(|line| format!("{}\n", line.trim_end()))
        .collect()
}
