//! Rows over the time of one run: what goes up and down at each of several things, with its name before the row and a
//! figure behind it.

use super::axes::{FigureAxis, RowAxis};
use super::canvas::{Area, Canvas, Font};
use super::elements::{Bar, Curve, Label};
use super::plot::{AxisMarks, BELOW, draw as draw_all, plot};
use super::style::{MARGIN, TEXT};
use super::text::fit_apart;
use super::timeline::{DAYS, openings};
use super::timeline_bars::CLOSING;
use crate::experiment::Timeline;
use crate::report::figure::time_unit;

/// Columns for each unit of the picture's width, where something changes too often to draw every change.
const COLUMNS: f64 = 2.0;

/// What all rows of a chart have in common.
pub struct TimelineRows<'t> {
    pub timeline: &'t Timeline,
    /// Up to when all runs are drawn, in s.
    pub end_s: f64,
    /// The height of a row.
    pub high: f64,
    /// Room for the names, and for the figures behind the rows.
    pub names: f64,
    pub behind: f64,
}

/// Where a row is drawn.
pub struct RowBase {
    /// What rises from it rises from here, by less than 1.
    pub base: f64,
    /// So many columns can be told apart.
    pub columns: usize,
}

/// What is drawn in the rows: bars, lines over them, and labels.
#[derive(Default)]
pub struct RowMarks {
    pub bars: Vec<Bar>,
    pub lines: Vec<Curve>,
    pub labels: Vec<Label>,
}

impl TimelineRows<'_> {
    /// So many rows have room below a place on a page, but `least`.
    pub fn on_page(&self, canvas: &Canvas, top: f64, least: usize) -> usize {
        const FOOT: f64 = 22.0;
        let Some(page) = canvas.page else {
            return usize::MAX;
        };
        let room = page - top - DAYS - BELOW - MARGIN / 2.0 - FOOT;
        ((room / self.high) as usize).max(least)
    }

    /// Draws a row for each of these over one axis; returns where they end.
    pub fn draw<T>(
        &self,
        canvas: &mut Canvas,
        top: f64,
        rows: &[T],
        name: impl Fn(&T) -> String,
        mark: impl Fn(&T, &RowBase, &mut RowMarks),
    ) -> f64 {
        let (timeline, end_s) = (self.timeline, self.end_s);
        let days = if timeline.openings.is_empty() {
            0.0
        } else {
            DAYS
        };
        let area = Area {
            x: MARGIN + self.names,
            y: top + days,
            width: canvas.inner() - self.names - self.behind,
            height: self.high * rows.len() as f64,
        };
        let closings = openings(canvas, area, timeline, end_s);
        let written: Vec<String> = rows.iter().map(name).collect();
        let written: Vec<&str> = written.iter().map(String::as_str).collect();
        let written = fit_apart(&written, Font::BODY.shape(), self.names - 10.0);
        let mut marks = RowMarks::default();
        for (number, (row, name)) in rows.iter().zip(&written).enumerate() {
            let base = number as f64 + 1.0;
            let middle = area.y + self.high * (base - 0.5);
            canvas.text(name, (MARGIN, middle), self.names - 10.0, Font::BODY);
            let columns = (area.width * COLUMNS) as usize;
            mark(row, &RowBase { base, columns }, &mut marks);
        }
        marks.lines.extend(closings.iter().map(|&at_s| Curve {
            places: vec![(at_s, 0.0), (at_s, rows.len() as f64)],
            colour: TEXT,
            width: CLOSING,
            dashes: &[],
        }));
        let unit = time_unit(end_s);
        let figures = match timeline.openings.is_empty() {
            true => format!("{} from the start", unit.sign),
            false => format!("{} of open time from the start", unit.sign),
        };
        let axis = AxisMarks {
            figures: &figures,
            rows: true,
            ..AxisMarks::default()
        };
        let axes = (FigureAxis::new(end_s, unit), RowAxis(rows.len()));
        plot(canvas, area, axes, axis, |plot| {
            draw_all(plot, marks.bars);
            draw_all(plot, marks.lines);
            draw_all(plot, marks.labels);
        });
        area.y + area.height + BELOW + MARGIN / 2.0
    }
}

/// A stretch of time in s with what is reached in it.
pub type LevelStretch<T> = (f64, f64, T);

/// The greatest level of each of so many columns, without those in which there is none.
pub fn greatest_by_column<T: Copy + Default + PartialOrd>(
    stretches: impl IntoIterator<Item = LevelStretch<T>>,
    end_s: f64,
    columns: usize,
) -> Vec<LevelStretch<T>> {
    let wide = end_s / columns as f64;
    let mut greatest = vec![T::default(); columns];
    for (from, to, level) in stretches {
        let first = ((from / wide) as usize).min(columns - 1);
        let beyond = ((to / wide).ceil() as usize).clamp(first + 1, columns);
        for column in &mut greatest[first..beyond] {
            if level > *column {
                *column = level;
            }
        }
    }
    let reached = greatest.into_iter().enumerate();
    let reached = reached.filter(|(_, level)| *level > T::default());
    let stretch = |(column, level)| (wide * column as f64, wide * (column + 1) as f64, level);
    reached.map(stretch).collect()
}
