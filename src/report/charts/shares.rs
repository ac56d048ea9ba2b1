//! Bars of shares side by side: a row for each thing, a column for each layout.

use super::axes::{FigureAxis, RowAxis};
use super::canvas::{Align, Area, Canvas, Font};
use super::elements::{Bar, Frame, Label};
use super::frame::{heading, legend, names_width};
use super::meaning::Meaning;
use super::plot::{AxisMarks, draw as draw_all, plot};
use super::style::{BLACK, BODY, EDGE, FAINT, MARGIN, MARK, SMALL, ink};
use super::text::{clean, fit_apart, wrap};
use super::{Chart, ChartSize, Picture, one};
use crate::experiment::Findings;
use crate::report::figure::{Shown, percent};

const ROW: f64 = 20.0;
const BAR: f64 = 14.0;
/// Room for a line of small parts below a bar.
const SPELLED: f64 = 15.0;
/// Room for the names at most.
const NAMES: f64 = 180.0;
const GAP: f64 = 18.0;
/// Room for the figure to the right of a bar, at least and at most.
const FIGURE: (f64, f64) = (46.0, 130.0);
/// So many columns can still be read beside each other, if each is at least so wide.
const COLUMNS: usize = 3;
const NARROWEST: f64 = 190.0;
/// Bars are drawn over shares.
const SHARE: Shown = Shown {
    per_unit: 1.0,
    sign: "",
};

/// Things whose time is divided into parts, such as stations, on every layout.
pub struct DividedBars<'a> {
    /// What is to be seen, in sentences.
    pub notes: &'a str,
    pub columns: Vec<Column<'a>>,
    /// Whether the parts that are too small for a figure in the bar are written below it.
    pub spelled_out: bool,
}

/// A layout's bars.
pub struct Column<'a> {
    pub name: &'a str,
    /// The bottleneck in words, below the name.
    pub bottleneck: Option<String>,
    pub bars: Vec<DividedBar>,
}

#[derive(Clone)]
pub struct DividedBar {
    pub name: String,
    /// Amounts with what they mean, in any unit and in the order of the legend; the bar is as long as their whole.
    pub parts: Vec<(f64, Meaning)>,
    /// What is written in each part where that has room; without any, its share of the whole.
    pub figures: Vec<String>,
    /// The figure that is written beside it.
    pub beside: String,
    pub bottleneck: bool,
}

impl DividedBars<'_> {
    pub fn draw(&self, chart: &Chart, findings: &Findings, size: ChartSize) -> Vec<Picture> {
        one(chart, size, |canvas| {
            let y = heading(canvas, chart.title, &findings.title, self.notes);
            let y = match self.meanings().as_slice() {
                [] => y,
                meanings => legend(canvas, y, meanings),
            };
            canvas.header_ends(y);
            columns(canvas, y, self.spelled_out, &self.columns)
        })
    }

    /// What occurs anywhere, in the order of the parts.
    fn meanings(&self) -> Vec<Meaning> {
        let bars = || self.columns.iter().flat_map(|column| &column.bars);
        let Some(first) = bars().next() else {
            return Vec::new();
        };
        let occurs = |index: &usize| bars().any(|bar| bar.parts[*index].0 > 0.0);
        let indices = (0..first.parts.len()).filter(occurs);
        indices.map(|index| first.parts[index].1).collect()
    }
}

/// Draws the columns, below each other where they do not fit, and describes each; returns where they end.
fn columns(canvas: &mut Canvas, top: f64, spelled_out: bool, columns: &[Column]) -> f64 {
    for column in columns {
        let bars = column
            .bars
            .iter()
            .map(|bar| format!("{} {}", bar.name, bar.beside));
        let bars: Vec<String> = bars.collect();
        canvas.describe(&format!("\"{}\": {}.", column.name, bars.join(", ")));
    }
    let rows = rows(columns);
    if rows.is_empty() {
        return top;
    }
    let bold = Font::BODY.bold(true);
    let names = names_width(rows.iter().copied(), bold, NAMES);
    let small = Font::BODY.size(SMALL).bold(true);
    let figures = (columns.iter().flat_map(|column| &column.bars))
        .map(|bar| small.width(&beside(bar)) + 12.0)
        .fold(FIGURE.0, f64::max)
        .min(FIGURE.1);
    let room = canvas.inner() - names;
    let fitting = ((room + GAP) / (NARROWEST + GAP)) as usize;
    let most = fitting.clamp(1, COLUMNS);
    let bands = columns.len().div_ceil(most).max(1);
    let across = columns.len().div_ceil(bands).max(1);
    let width = (room - GAP * (across - 1) as f64) / across as f64;
    let written = fit_apart(&rows, bold.shape(), names - 10.0);
    let mut y = top;
    for band in columns.chunks(across) {
        let drawn: Vec<DrawnColumn> = (band.iter())
            .map(|column| DrawnColumn::new(column, &rows, (width, figures), spelled_out))
            .collect();
        let begin = band
            .iter()
            .enumerate()
            .map(|(index, column)| {
                let x = MARGIN + names + (width + GAP) * index as f64;
                head(canvas, (x, y), width, column)
            })
            .fold(y, f64::max);
        y = begin;
        let lines = (drawn.iter().flat_map(|column| &column.spelled))
            .map(Vec::len)
            .fold(usize::from(spelled_out), usize::max);
        let row_height = ROW + SPELLED * lines as f64;
        for (index, (row, name)) in rows.iter().zip(&written).enumerate() {
            let mut bars = band.iter().flat_map(|column| &column.bars);
            let is_marked = bars.any(|bar| bar.bottleneck && bar.name == *row);
            let middle = y + row_height * index as f64 + ROW / 2.0;
            canvas.text(
                name,
                (MARGIN, middle),
                names - 10.0,
                Font::BODY.bold(is_marked),
            );
        }
        let height = row_height * rows.len() as f64;
        for (index, column) in drawn.into_iter().enumerate() {
            let area = Area {
                x: MARGIN + names + (width + GAP) * index as f64,
                y,
                width: width - figures,
                height,
            };
            column.draw(canvas, area, row_height);
        }
        y += height + 14.0;
        canvas.may_break(y - 4.0);
    }
    y
}

/// The figure beside a bar, with the mark of the bottleneck.
fn beside(bar: &DividedBar) -> String {
    match bar.bottleneck {
        true => format!("{} {MARK}", bar.beside),
        false => bar.beside.clone(),
    }
}

/// A column as it lies in the picture: its bars by row, and what is written below them.
struct DrawnColumn<'a> {
    bars: Vec<Option<&'a DividedBar>>,
    spelled: Vec<Vec<String>>,
    /// Of the bars, and of the figures beside them.
    widths: (f64, f64),
}

impl<'a> DrawnColumn<'a> {
    fn new(
        column: &'a Column,
        rows: &[&str],
        (width, figures): (f64, f64),
        spelled_out: bool,
    ) -> DrawnColumn<'a> {
        let of = |row: &&str| column.bars.iter().find(|bar| bar.name == *row);
        let bars: Vec<Option<&DividedBar>> = rows.iter().map(of).collect();
        let wide = width - figures;
        let font = Font::BODY.size(SMALL);
        let spelled = bars.iter().map(|bar| match (bar, spelled_out) {
            (Some(bar), true) => listed(&unlabelled(bar, wide), font, width),
            _ => Vec::new(),
        });
        DrawnColumn {
            spelled: spelled.collect(),
            bars,
            widths: (wide, figures),
        }
    }

    fn draw(self, canvas: &mut Canvas, area: Area, row_height: f64) {
        let axes = (FigureAxis::new(1.0, SHARE), RowAxis(self.bars.len()));
        let (mut bars, mut plates, mut frames) = (Vec::new(), Vec::new(), Vec::new());
        let (mut shares, mut labels) = (Vec::new(), Vec::new());
        let (wide, figures) = self.widths;
        for (row, (bar, lines)) in self.bars.iter().zip(&self.spelled).enumerate() {
            let Some(bar) = bar else { continue };
            let at = |units: f64| row as f64 + units / row_height;
            let (top, bottom) = (at((ROW - BAR) / 2.0), at((ROW + BAR) / 2.0));
            for (index, (from, to, meaning)) in parts(bar).enumerate() {
                bars.push(Bar {
                    corners: [(from, top), (to, bottom)],
                    fill: meaning.fill,
                    edge: 0.0,
                });
                let own = bar.figures.get(index).map(String::as_str);
                let Some((text, needed)) = figure_in(to - from, own, wide) else {
                    continue;
                };
                // A plate keeps the hatch off the figures.
                let (middle, half) = ((from + to) / 2.0, needed / wide / 2.0);
                let plate = meaning.fill.plate();
                plates.push(Bar {
                    corners: [
                        (middle - half, top + 1.5 / row_height),
                        (middle + half, bottom - 1.5 / row_height),
                    ],
                    fill: super::style::Fill::plain(plate),
                    edge: 0.0,
                });
                shares.push(Label {
                    place: [(middle, at(ROW / 2.0))],
                    aside: (0.0, 0.0),
                    text,
                    room: needed,
                    font: FIGURES.colour(ink(plate)).align(Align::Middle),
                });
            }
            let (colour, width) = match bar.bottleneck {
                true => (BLACK, 2.0),
                false => (EDGE, 0.75),
            };
            frames.push(Frame {
                corners: [(0.0, top), (1.0, bottom)],
                colour,
                width,
            });
            let small = Font::BODY.size(SMALL);
            labels.push(Label {
                place: [(1.0, at(ROW / 2.0))],
                aside: (8.0, 0.0),
                text: beside(bar),
                room: figures - 8.0,
                font: small.bold(bar.bottleneck),
            });
            for (index, line) in lines.iter().enumerate() {
                let below = (ROW + BAR + SPELLED) / 2.0 + SPELLED * index as f64;
                labels.push(Label {
                    place: [(0.0, at(below))],
                    aside: (0.0, 0.0),
                    text: line.clone(),
                    room: wide + figures,
                    font: small.colour(FAINT),
                });
            }
        }
        plot(canvas, area, axes, AxisMarks::default(), |plot| {
            draw_all(plot, bars);
            draw_all(plot, plates);
            draw_all(plot, shares);
            draw_all(plot, frames);
            draw_all(plot, labels);
        });
    }
}

/// How a share is written in a bar.
const FIGURES: Font = Font {
    size: 9.0,
    ..Font::BODY
};

/// Where the parts of a bar begin and end, as shares of the whole; a bar of length 0 has no parts.
fn parts(bar: &DividedBar) -> impl Iterator<Item = (f64, f64, Meaning)> + '_ {
    let whole: f64 = bar.parts.iter().map(|(amount, _)| amount).sum();
    let mut before = 0.0;
    let parts = bar.parts.iter().filter(move |_| whole > 0.0);
    parts.map(move |(amount, meaning)| {
        let from = before / whole;
        before += amount;
        (from, before / whole, *meaning)
    })
}

/// A share as it is written in a bar so many units wide, and the room that it takes; None if the bar is narrower than that.
fn figure_in(share: f64, own: Option<&str>, wide: f64) -> Option<(String, f64)> {
    let text = own.map_or_else(|| percent(share), str::to_owned);
    let needed = FIGURES.width(&text) + 4.0;
    (share * wide >= needed + 8.0).then_some((text, needed))
}

/// The parts that are too small for a figure in the bar, in words.
fn unlabelled(bar: &DividedBar, wide: f64) -> Vec<String> {
    let small = parts(bar).filter_map(|(from, to, meaning)| {
        let share = to - from;
        let is_small = share > 0.0 && figure_in(share, None, wide).is_none();
        is_small.then(|| format!("{} {}", meaning.words, percent(share)))
    });
    small.collect()
}

/// A list in as many lines as it takes, broken between its parts.
fn listed(parts: &[String], font: Font, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        let comma = if index + 1 < parts.len() { "," } else { "" };
        let part = format!("{part}{comma}");
        match lines.last_mut() {
            Some(line) if font.width(&format!("{line} {part}")) <= room => {
                line.push(' ');
                line.push_str(&part);
            }
            _ => lines.push(part),
        }
    }
    lines
}

/// The names of all bars: the first layout's in their order, then what only later ones have.
fn rows<'a>(columns: &'a [Column]) -> Vec<&'a str> {
    let mut rows = Vec::new();
    for bar in columns.iter().flat_map(|column| &column.bars) {
        if !rows.contains(&bar.name.as_str()) {
            rows.push(&bar.name);
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
    let Some(bottleneck) = &column.bottleneck else {
        return y;
    };
    let text = format!("{MARK} {}", clean(bottleneck));
    canvas.text(&text, (x, y), width, Font::BODY.size(SMALL));
    y + BODY
}
