//! Bars of shares side by side: a row for each thing, a column for each candidate.

use super::canvas::{Align, Area, Canvas, Font};
use super::frame::{heading, legend, names_width, played};
use super::style::{BODY, EDGE, FAINT, Fill, MARGIN, MARK, SMALL, ink};
use super::text::{clean, fit_apart, wrap};
use super::{Chart, Picture, bottleneck, one};
use crate::experiment::{CandidateFindings, Findings};
use crate::report::figure::percent;

const ROW: f64 = 20.0;
const BAR: f64 = 14.0;
/// Room for a line of small parts below a bar.
const SPELLED: f64 = 15.0;
/// Room for the names at most.
const NAMES: f64 = 180.0;
const GAP: f64 = 18.0;
/// Room for the figure to the right of a bar.
const FIGURE: f64 = 54.0;
/// So many columns can still be read beside each other, if each is at least so wide.
const COLUMNS: usize = 3;
const NARROWEST: f64 = 190.0;

/// A part of a bar: its filling, its name, and its amount in seconds.
pub type Slice<T> = (Fill, &'static str, fn(&T) -> f64);

/// Things whose time is divided into parts, such as stations.
pub struct DividedBars<T: 'static> {
    /// All things of a candidate.
    pub of: fn(&CandidateFindings) -> &[T],
    /// What the parts add up to.
    pub whole: &'static str,
    pub name: fn(&T) -> &str,
    /// In the order of a bar.
    pub parts: &'static [Slice<T>],
    /// The figure that is written beside a bar.
    pub beside: fn(&T) -> String,
    /// Whether the parts are means of the replications that were diagnosed only.
    pub diagnosed: bool,
    /// What that figure is, and what is marked, in sentences.
    pub explained: &'static str,
    pub is_bottleneck: fn(&CandidateFindings, &T) -> bool,
    /// Whether the parts that are too small for a figure in the bar are written below it.
    pub spelled_out: bool,
}

impl<T> DividedBars<T> {
    pub fn draw(&self, chart: &Chart, findings: &Findings, scale: f64) -> Vec<Picture> {
        one(chart, scale, |canvas| self.body(chart, findings, canvas))
    }

    fn body(&self, chart: &Chart, findings: &Findings, canvas: &mut Canvas) -> f64 {
        let notes = format!(
            "Share of the {}, {}. {}",
            self.whole,
            match self.diagnosed && findings.replications > findings.diagnosed {
                true => format!(
                    "mean of the first {} of {} replications",
                    findings.diagnosed, findings.replications
                ),
                false => played(findings),
            },
            self.explained,
        );
        let y = heading(canvas, chart.title, findings, &notes);
        let columns: Vec<Column> = findings
            .candidates
            .iter()
            .map(|candidate| self.column(candidate))
            .collect();
        let occurs = |index: usize| {
            let mut bars = columns.iter().flat_map(|column| &column.bars);
            bars.any(|bar| bar.parts[index].0 > 0.0)
        };
        let entries: Vec<(Fill, &str)> = (0..self.parts.len())
            .filter(|&index| occurs(index))
            .map(|index| (self.parts[index].0, self.parts[index].1))
            .collect();
        let y = match entries.as_slice() {
            [] => y,
            entries => legend(canvas, y, entries),
        };
        self::columns(canvas, y, self.spelled_out, &columns)
    }

    fn column<'a>(&self, candidate: &'a CandidateFindings) -> Column<'a> {
        let bars = (self.of)(candidate).iter().map(|thing| DividedBar {
            name: (self.name)(thing),
            parts: (self.parts.iter())
                .map(|(fill, name, seconds)| (seconds(thing), *fill, *name))
                .collect(),
            beside: (self.beside)(thing),
            bottleneck: (self.is_bottleneck)(candidate, thing),
        });
        Column {
            name: &candidate.name,
            bottleneck: bottleneck(candidate),
            bars: bars.collect(),
        }
    }
}

/// A candidate's bars.
pub struct Column<'a> {
    pub name: &'a str,
    /// The bottleneck in words, below the name.
    pub bottleneck: Option<String>,
    pub bars: Vec<DividedBar<'a>>,
}

pub struct DividedBar<'a> {
    pub name: &'a str,
    /// Amounts with their fillings and names, in any unit; the bar is as long as their whole.
    pub parts: Vec<(f64, Fill, &'static str)>,
    /// The figure that is written beside it.
    pub beside: String,
    pub bottleneck: bool,
}

/// Draws the columns, below each other where they do not fit, and describes each; returns where they end.
pub fn columns(canvas: &mut Canvas, top: f64, spelled_out: bool, columns: &[Column]) -> f64 {
    for column in columns {
        let bars = column
            .bars
            .iter()
            .map(|bar| format!("{} {}", bar.name, bar.beside));
        let bars: Vec<String> = bars.collect();
        canvas.describe(&format!("\"{}\": {}.", column.name, bars.join(", ")));
    }
    let rows = rows(columns);
    let bold = Font::BODY.bold(true);
    let names = names_width(rows.iter().copied(), bold, NAMES);
    let room = canvas.inner() - names;
    let fitting = ((room + GAP) / (NARROWEST + GAP)) as usize;
    let most = fitting.clamp(1, COLUMNS);
    let bands = columns.len().div_ceil(most).max(1);
    let across = columns.len().div_ceil(bands).max(1);
    let width = (room - GAP * (across - 1) as f64) / across as f64;
    let written = fit_apart(&rows, bold.shape(), names - 10.0);
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
        y = begin;
        for (row, name) in rows.iter().zip(&written) {
            let middle = y + ROW / 2.0;
            let font = Font::BODY.bold(marked(row));
            canvas.text(name, (MARGIN, middle), names - 10.0, font);
            let mut most = usize::from(spelled_out);
            for (index, column) in band.iter().enumerate() {
                let Some(bar) = column.bars.iter().find(|bar| bar.name == *row) else {
                    continue;
                };
                let x = MARGIN + names + (width + GAP) * index as f64;
                let unlabelled = draw_bar(canvas, (x, middle), width - FIGURE, bar);
                if !spelled_out {
                    continue;
                }
                let font = Font::BODY.size(SMALL).colour(FAINT);
                let lines = listed(&unlabelled, font, width);
                for (index, line) in lines.iter().enumerate() {
                    let below = middle + (BAR + SPELLED) / 2.0 + SPELLED * index as f64;
                    canvas.text(line, (x, below), width, font);
                }
                most = most.max(lines.len());
            }
            y += ROW + SPELLED * most as f64;
        }
        y += 14.0;
    }
    y
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
    let Some(bottleneck) = &column.bottleneck else {
        return y;
    };
    let text = format!("{MARK} {}", clean(bottleneck));
    canvas.text(&text, (x, y), width, Font::BODY.size(SMALL));
    y + BODY
}

/// Draws a bar, and returns in words which parts are too small for a figure in it.
fn draw_bar(
    canvas: &mut Canvas,
    (x, middle): (f64, f64),
    width: f64,
    bar: &DividedBar,
) -> Vec<String> {
    let whole: f64 = bar.parts.iter().map(|(amount, ..)| amount).sum();
    let mut unlabelled = Vec::new();
    let area = Area {
        x,
        y: middle - BAR / 2.0,
        width,
        height: BAR,
    };
    if whole > 0.0 {
        let mut before = 0.0;
        for (amount, fill, name) in &bar.parts {
            let left = x + before / whole * width;
            before += amount;
            let part = Area {
                x: left,
                width: x + before / whole * width - left,
                ..area
            };
            canvas.hatched(part, *fill);
            let share = amount / whole;
            if !label(canvas, part, share, *fill) && share > 0.0 {
                unlabelled.push(format!("{name} {}", percent(share)));
            }
        }
    }
    let (colour, stroke) = match bar.bottleneck {
        true => (super::style::BLACK, 2.0),
        false => (EDGE, 0.75),
    };
    canvas.outline(area, colour, stroke);
    let beside = match bar.bottleneck {
        true => format!("{} {MARK}", bar.beside),
        false => bar.beside.clone(),
    };
    let font = Font::BODY.size(SMALL).bold(bar.bottleneck);
    canvas.text(&beside, (x + width + 8.0, middle), FIGURE - 8.0, font);
    unlabelled
}

/// Writes a part's share in it, on a plate that keeps the hatch off the figures. Returns whether there was room.
fn label(canvas: &mut Canvas, part: Area, share: f64, fill: Fill) -> bool {
    let text = percent(share);
    let font = Font::BODY
        .size(9.0)
        .colour(ink(fill.plate()))
        .align(Align::Middle);
    let needed = font.width(&text) + 4.0;
    if part.width < needed + 8.0 {
        return false;
    }
    let middle = part.x + part.width / 2.0;
    let plate = Area {
        x: middle - needed / 2.0,
        y: part.y + 1.5,
        width: needed,
        height: part.height - 3.0,
    };
    canvas.fill(plate, fill.plate());
    canvas.text(&text, (middle, part.y + part.height / 2.0), needed, font);
    true
}
