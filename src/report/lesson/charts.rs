//! From–to charts, empty for pupils and filled in for the key.

use super::numbers::by_hand;
use super::plans::letter;
use crate::lesson::FromToCell;
use minijinja::Value;

/// What is written into a cell.
type CellFigure = fn(&FromToCell) -> f64;

/// Trips, and trips times metres on each plan.
const CHARTS: [(&str, CellFigure); 3] = [
    ("Trips", |cell| cell.trips),
    ("Metres today", |cell| cell.metres[0]),
    ("Metres as proposed", |cell| cell.metres[1]),
];

/// The three charts; without cells they are empty. Nothing in them but letters and numbers needs to be escaped.
pub fn from_to(places: usize, cells: &[FromToCell]) -> Value {
    let charts = CHARTS.iter().map(|(caption, figure)| {
        let columns: String = (0..places).map(|to| format!("<th>{}</th>", letter(to))).collect();
        let rows: String = (0..places)
            .map(|from| row(from, places, cells, *figure))
            .collect();
        let kind = if cells.is_empty() { " class=\"fill\"" } else { "" };
        format!(
            "<table{kind}><caption>{caption}</caption><tr><th>from\\to</th>{columns}</tr>{rows}</table>"
        )
    });
    Value::from_safe_string(charts.collect())
}

fn row(from: usize, places: usize, cells: &[FromToCell], figure: CellFigure) -> String {
    let cells = (0..places).map(|to| {
        let mut cell = cells
            .iter()
            .filter(|cell| (cell.from, cell.to) == (from, to));
        match cell.next() {
            _ if from == to => "<td class=\"no\"></td>".to_owned(),
            Some(cell) => format!("<td>{}</td>", by_hand(figure(cell))),
            None => "<td></td>".to_owned(),
        }
    });
    format!(
        "<tr><th>{}</th>{}</tr>",
        letter(from),
        cells.collect::<String>()
    )
}
