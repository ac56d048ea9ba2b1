//! Bars of shares side by side: a row for each thing, a column for each candidate.

use super::canvas::{Align, Area, Canvas, Font};
use super::frame::{INNER, names_width};
use super::quantity::percent;
use super::style::{BODY, EDGE, Fill, MARGIN, MARK, SMALL, WIDTH};
use super::text::{clean, wrap};

const ROW: f64 = 20.0;
const BAR: f64 = 14.0;
/// Room for the names at most.
const NAMES: f64 = 180.0;
const GAP: f64 = 18.0;
/// Room for the figure to the right of a bar.
const FIGURE: f64 = 54.0;
/// So many columns can still be read beside each other.
const COLUMNS: usize = 3;

/// A candidate's bars.
pub struct Column<'a> {
    pub name: &'a str,
    /// The bottleneck in words, below the name.
    pub bottleneck: Option<String>,
    pub bars: Vec<Bar<'a>>,
}

pub struct Bar<'a> {
    pub name: &'a str,
    /// Amounts with their fillings, in any unit; the bar is as long as their whole.
    pub parts: Vec<(f64, Fill)>,
    /// The share that is written beside it.
    pub busy: f64,
    pub bottleneck: bool,
}

/// Draws the columns below each other where they do not fit; returns where they end.
pub fn draw(canvas: &mut Canvas, top: f64, columns: &[Column]) -> f64 {
    let rows = rows(columns);
    let bands = columns.len().div_ceil(COLUMNS).max(1);
    let across = columns.len().div_ceil(bands).max(1);
    let bold = Font::BODY.bold(true);
    let names = names_width(rows.iter().copied(), bold, NAMES);
    let width = (INNER - names - GAP * (across - 1) as f64) / across as f64;
    let mut y = top;
    for band in columns.chunks(across) {
        let marked = |name: &str| {
            band.iter()
                .flat_map(|column| &column.bars)
                .any(|bar| bar.bottleneck && bar.name == name)
        };
        let begin = band
            .iter()
            .enumerate()
            .map(|(index, column)| {
                let x = MARGIN + names + (width + GAP) * index as f64;
                head(canvas, (x, y), width, column)
            })
            .fold(y, f64::max);
        for (index, row) in rows.iter().enumerate() {
            let middle = begin + ROW * (index as f64 + 0.5);
            let font = Font::BODY.bold(marked(row));
            canvas.text(row, (MARGIN, middle), names - 10.0, font);
        }
        for (index, column) in band.iter().enumerate() {
            let x = MARGIN + names + (width + GAP) * index as f64;
            for (index, row) in rows.iter().enumerate() {
                let middle = begin + ROW * (index as f64 + 0.5);
                if let Some(bar) = column.bars.iter().find(|bar| bar.name == *row) {
                    draw_bar(canvas, (x, middle), width - FIGURE, bar);
                }
            }
        }
        y = begin + ROW * rows.len() as f64 + 14.0;
    }
    y
}

/// The names of all bars: the first candidate's in their order, then what only later ones have.
fn rows<'a>(columns: &[Column<'a>]) -> Vec<&'a str> {
    let mut rows = Vec::new();
    for bar in columns.iter().flat_map(|column| &column.bars) {
        if !rows.contains(&bar.name) {
            rows.push(bar.name);
        }
    }
    rows
}

/// Writes a column's name and bottleneck; returns where they end.
fn head(canvas: &mut Canvas, (x, y): (f64, f64), width: f64, column: &Column) -> f64 {
    let mut y = y + BODY / 2.0;
    let font = Font::BODY.bold(true);
    for line in wrap(column.name, font.size, true, width, 2) {
        canvas.text(&line, (x, y), width, font);
        y += BODY + 4.0;
    }
    if let Some(bottleneck) = &column.bottleneck {
        let text = format!("{MARK} {}", clean(bottleneck));
        canvas.text(&text, (x, y), width, Font::BODY.size(SMALL));
    }
    y + BODY
}

fn draw_bar(canvas: &mut Canvas, (x, middle): (f64, f64), width: f64, bar: &Bar) {
    let whole: f64 = bar.parts.iter().map(|(amount, _)| amount).sum();
    let area = Area {
        x,
        y: middle - BAR / 2.0,
        width,
        height: BAR,
    };
    if whole > 0.0 {
        let mut before = 0.0;
        for (amount, fill) in &bar.parts {
            let left = x + before / whole * width;
            before += amount;
            let part = Area {
                x: left,
                width: x + before / whole * width - left,
                ..area
            };
            canvas.hatched(part, *fill);
            label(canvas, part, amount / whole, *fill);
        }
    }
    let (colour, stroke) = match bar.bottleneck {
        true => (super::style::BLACK, 2.0),
        false => (EDGE, 0.75),
    };
    canvas.outline(area, colour, stroke);
    let busy = percent(bar.busy);
    let busy = match bar.bottleneck {
        true => format!("{busy} {MARK}"),
        false => busy,
    };
    let font = Font::BODY.size(SMALL).bold(bar.bottleneck);
    let right = (x + width + 8.0).min(WIDTH);
    canvas.text(&busy, (right, middle), FIGURE - 8.0, font);
}

/// Writes a part's share in it, where there is room, on a plate that keeps the hatch off the figures.
fn label(canvas: &mut Canvas, part: Area, share: f64, fill: Fill) {
    let text = percent(share);
    let font = Font::BODY.size(9.0).colour(fill.text).align(Align::Middle);
    let needed = font.width(&text) + 4.0;
    if part.width < needed + 8.0 {
        return;
    }
    let middle = part.x + part.width / 2.0;
    let plate = Area {
        x: middle - needed / 2.0,
        y: part.y + 1.5,
        width: needed,
        height: part.height - 3.0,
    };
    canvas.fill(plate, fill.colour);
    canvas.text(&text, (middle, part.y + part.height / 2.0), needed, font);
}
