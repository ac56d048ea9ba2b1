//! Coordinates as plotters knows them ([`Ranged`]), so that plotters places everything, draws the mesh and writes the
//! marks.

use std::cell::Cell;
use std::ops::Range;

use plotters::coord::ranged1d::{KeyPointHint, NoDefaultFormatting, Ranged, ValueFormatter};

use super::quantity::{mark, marks, multiples};
use crate::report::figure::Shown;

/// Figures along an axis, in metres or seconds.
#[derive(Debug, Clone)]
pub struct FigureAxis {
    /// How far apart the marks are, if that is given.
    fixed_step: Option<f64>,
    /// The ends in the unit that is shown; the second is the larger one.
    least: f64,
    most: f64,
    unit: Shown,
    /// The distance between two marks, once they are known.
    step: Cell<f64>,
}

impl FigureAxis {
    fn between(least: f64, most: f64, unit: Shown) -> FigureAxis {
        FigureAxis {
            fixed_step: None,
            least,
            most,
            unit,
            step: Cell::new(most),
        }
    }

    /// From 0 to `most` metres or seconds.
    pub fn new(most: f64, unit: Shown) -> FigureAxis {
        let most = most / unit.per_unit;
        let is_some = most.is_normal() && most > 0.0;
        FigureAxis::between(0.0, if is_some { most } else { 1.0 }, unit)
    }

    /// From `least` to `most` metres or seconds, both positive. It begins at 0 unless that would leave a third of it
    /// empty.
    pub fn from(least: f64, most: f64, unit: Shown) -> FigureAxis {
        const EMPTY: f64 = 1.0 / 3.0;
        let whole = FigureAxis::new(most, unit);
        let least = least / unit.per_unit;
        if least < whole.most * EMPTY {
            return whole;
        }
        // Figures that are nearly alike still get an axis that shows their size.
        let room = ((whole.most - least) * 0.05).max(whole.most * 0.01);
        FigureAxis::between(least - room, whole.most + room, unit)
    }

    /// For differences, the least not above 0 and the most not below it, with a little room on both sides for the ends
    /// of whiskers.
    pub fn around_zero((least, most): (f64, f64), unit: Shown) -> FigureAxis {
        let room = ((most - least) / unit.per_unit * 0.02).max(f64::MIN_POSITIVE);
        let (least, most) = (least / unit.per_unit - room, most / unit.per_unit + room);
        match (most - least).is_normal() {
            true => FigureAxis::between(least, most, unit),
            false => FigureAxis::between(-1.0, 1.0, unit),
        }
    }

    /// From one place to another in metres.
    pub fn along(least: f64, most: f64, unit: Shown) -> FigureAxis {
        FigureAxis::between(least / unit.per_unit, most / unit.per_unit, unit)
    }

    /// The distance between marks, in the unit, of which there are about so many.
    pub fn step_for(&self, wanted: usize) -> f64 {
        marks(self.least, self.most, wanted).1
    }

    /// The figure of the longest mark with marks so far apart.
    pub fn longest_mark(&self, step: f64) -> String {
        let marks = multiples(self.least, self.most, step);
        let written = marks.map(|at| mark(at, step));
        written
            .max_by_key(|mark| mark.chars().count())
            .unwrap_or_default()
    }

    /// With marks so far apart.
    pub fn every(self, step: f64) -> FigureAxis {
        FigureAxis {
            fixed_step: Some(step),
            ..self
        }
    }

    /// Whether it does not begin at 0.
    pub fn is_cut(&self) -> bool {
        self.least > 0.0
    }

    /// Which part of the axis lies before a figure in metres or seconds.
    pub fn share(&self, value: f64) -> f64 {
        ((value / self.unit.per_unit - self.least) / (self.most - self.least)).clamp(0.0, 1.0)
    }
}

impl Ranged for FigureAxis {
    type FormatOption = NoDefaultFormatting;
    type ValueType = f64;

    fn map(&self, value: &f64, (from, to): (i32, i32)) -> i32 {
        between(self.share(*value), (from, to))
    }

    /// Round marks of the unit.
    fn key_points<Hint: KeyPointHint>(&self, hint: Hint) -> Vec<f64> {
        if let Some(step) = self.fixed_step {
            self.step.set(step);
            let marked = multiples(self.least, self.most, step);
            return marked.map(|mark| mark * self.unit.per_unit).collect();
        }
        let mut wanted = hint.bold_points();
        let (mut marked, mut step) = marks(self.least, self.most, wanted);
        // Zero alone in the middle would not say how long anything is.
        while self.least < 0.0 && marked.len() < 3 && wanted < 6 {
            wanted += 1;
            (marked, step) = marks(self.least, self.most, wanted);
        }
        self.step.set(step);
        marked
            .iter()
            .map(|mark| mark * self.unit.per_unit)
            .collect()
    }

    fn range(&self) -> Range<f64> {
        self.least * self.unit.per_unit..self.most * self.unit.per_unit
    }
}

impl ValueFormatter<f64> for FigureAxis {
    fn format_ext(&self, value: &f64) -> String {
        mark(value / self.unit.per_unit, self.step.get())
    }
}

/// Rows below each other: the first lies between 0 and 1.
#[derive(Debug, Clone, Copy)]
pub struct RowAxis(pub usize);

impl Ranged for RowAxis {
    type FormatOption = NoDefaultFormatting;
    type ValueType = f64;

    fn map(&self, value: &f64, (bottom, top): (i32, i32)) -> i32 {
        between(value / self.0.max(1) as f64, (top, bottom))
    }

    /// Where one row ends and the next begins.
    fn key_points<Hint: KeyPointHint>(&self, _: Hint) -> Vec<f64> {
        (1..=self.0).map(|row| row as f64).collect()
    }

    fn range(&self) -> Range<f64> {
        0.0..self.0 as f64
    }
}

impl ValueFormatter<f64> for RowAxis {
    fn format_ext(&self, _: &f64) -> String {
        String::new()
    }
}

/// Columns beside each other: the first lies between 0 and 1.
#[derive(Debug, Clone, Copy)]
pub struct ColumnAxis(pub usize);

impl Ranged for ColumnAxis {
    type FormatOption = NoDefaultFormatting;
    type ValueType = f64;

    fn map(&self, value: &f64, limits: (i32, i32)) -> i32 {
        between(value / self.0.max(1) as f64, limits)
    }

    /// Where one column ends and the next begins.
    fn key_points<Hint: KeyPointHint>(&self, _: Hint) -> Vec<f64> {
        (1..=self.0).map(|column| column as f64).collect()
    }

    fn range(&self) -> Range<f64> {
        0.0..self.0 as f64
    }
}

impl ValueFormatter<f64> for ColumnAxis {
    fn format_ext(&self, _: &f64) -> String {
        String::new()
    }
}

/// Shares of 1 upward, with marks at these.
#[derive(Debug, Clone, Copy)]
pub struct LevelAxis(pub &'static [f64], pub fn(f64) -> String);

impl Ranged for LevelAxis {
    type FormatOption = NoDefaultFormatting;
    type ValueType = f64;

    fn map(&self, value: &f64, limits: (i32, i32)) -> i32 {
        between(*value, limits)
    }

    fn key_points<Hint: KeyPointHint>(&self, _: Hint) -> Vec<f64> {
        self.0.to_vec()
    }

    fn range(&self) -> Range<f64> {
        0.0..1.0
    }
}

impl ValueFormatter<f64> for LevelAxis {
    fn format_ext(&self, value: &f64) -> String {
        self.1(*value)
    }
}

fn between(share: f64, (from, to): (i32, i32)) -> i32 {
    (f64::from(from) + share * f64::from(to - from)).round() as i32
}
