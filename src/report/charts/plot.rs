//! Axes and series: plotters' chart context over our backend, with what plotters does not have of its own.
//!
//! [`FigureAxis`] and [`RowAxis`] are coordinates as plotters knows them (`Ranged`), so that plotters places everything, draws
//! the mesh and writes the marks. [`Bar`], [`Interval`], [`Curve`], [`Dot`] and [`Label`] are elements of its series.

use std::cell::Cell;
use std::ops::Range;

use plotters::chart::{ChartBuilder, ChartContext};
use plotters::coord::cartesian::Cartesian2d;
use plotters::coord::ranged1d::{KeyPointHint, NoDefaultFormatting, Ranged, ValueFormatter};
use plotters::element::{Drawable, PathElement, PointCollection};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, IntoFont, RGBColor, ShapeStyle, TRANSPARENT, TextStyle};
use plotters_backend::BackendCoord;

use super::backend::{self, Board, DrawnByPlotters, INFALLIBLE, STEPS, steps, units};
use super::canvas::{Area, Canvas, Font};
use super::quantity::{mark, marks};
use super::scene::paint::Colour;
use super::style::{EDGE, FAINT, Fill, GRID, SMALL, TEXT, WHITE};
use crate::report::figure::Shown;

/// A place in a chart, in the coordinates of its axes.
pub type Place = (f64, f64);

/// Figures along an axis, in metres or seconds.
#[derive(Debug, Clone)]
pub struct FigureAxis {
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

/// A chart with figures from left to right.
pub type Plot<'a, Y> = ChartContext<'a, Board<'a>, Cartesian2d<FigureAxis, Y>>;

/// What is written at the axes.
#[derive(Debug, Clone, Copy, Default)]
pub struct AxisMarks<'a> {
    /// What the figures are, below them; nothing is written without it, and no mesh drawn.
    pub figures: &'a str,
    /// Whether lines part the rows.
    pub rows: bool,
    /// Room at the left for the figures of the other axis.
    pub left: f64,
}

/// How much room the marks and the name of the figures take below a chart.
pub const BELOW: f64 = 36.0;

/// Draws a chart into an area with its marks around it: the mesh, what `series` draws, and where the figures are 0.
pub fn plot<Y>(
    canvas: &mut Canvas,
    area: Area,
    (figures, other): (FigureAxis, Y),
    around: AxisMarks,
    series: impl FnOnce(&mut Plot<Y>),
) where
    Y: Ranged<ValueType = f64> + ValueFormatter<f64>,
{
    let is_marked = !around.figures.is_empty();
    let below = if is_marked { BELOW } else { 0.0 };
    let whole = Area {
        x: area.x - around.left,
        width: area.width + around.left,
        height: area.height + below,
        ..area
    };
    let board = backend::area(canvas, whole);
    let ends = other.range();
    let zero = (!figures.is_cut()).then_some([(0.0, ends.start), (0.0, ends.end)]);
    // About a hundred units apart, or nearer where that would be hardly any.
    let marked = |wanted: usize| figures.key_points(wanted).len();
    let [few, more] = [100.0, 75.0].map(|apart| (area.width / apart) as usize);
    let wanted = if marked(few) < 3 { more } else { few };
    let mut chart = ChartBuilder::on(&board)
        .x_label_area_size(steps(below))
        .y_label_area_size(steps(around.left))
        .build_cartesian_2d(figures, other)
        .expect(INFALLIBLE);
    let small = mark_style();
    let mut mesh = chart.configure_mesh();
    // The axes' lines do not show, but without them there would be no marks.
    mesh.axis_style(TRANSPARENT)
        .light_line_style(TRANSPARENT)
        .bold_line_style(line(GRID, 0.75))
        .x_labels(wanted)
        .label_style(small.clone())
        .axis_desc_style(small)
        .set_all_tick_mark_size(steps(3.0))
        .x_desc(around.figures);
    if !is_marked {
        mesh.disable_x_mesh();
    }
    if !around.rows && around.left == 0.0 {
        mesh.disable_y_mesh();
    }
    mesh.draw().expect(INFALLIBLE);
    series(&mut chart);
    if let Some(ends) = zero.filter(|_| is_marked) {
        let zero = PathElement::new(ends, line(EDGE, 1.0));
        chart.plotting_area().draw(&zero).expect(INFALLIBLE);
    }
}

/// A line of plotters.
pub fn line((red, green, blue): Colour, width: f64) -> ShapeStyle {
    RGBColor(red, green, blue).stroke_width(steps(width).max(1) as u32)
}

/// How marks are written.
fn mark_style() -> TextStyle<'static> {
    const INK: RGBColor = RGBColor(FAINT.0, FAINT.1, FAINT.2);
    let family = ("Inter", SMALL * STEPS).into_font();
    TextStyle::from(family)
        .color(&INK)
        .pos(Pos::new(HPos::Center, VPos::Top))
}

/// Draws elements of a series.
pub fn draw<'a, 'b, E, Y>(plot: &mut Plot<'a, Y>, elements: impl IntoIterator<Item = E>)
where
    Y: Ranged<ValueType = f64>,
    for<'p> &'p E: PointCollection<'p, Place>,
    E: Drawable<Board<'a>>,
{
    plot.draw_series(elements).expect(INFALLIBLE);
}

/// What an element that is given by places does with them on the canvas.
macro_rules! element {
    ($element:ident, $points:ident) => {
        impl<'a> PointCollection<'a, Place> for &'a $element {
            type Point = &'a Place;
            type IntoIter = std::slice::Iter<'a, Place>;

            fn point_iter(self) -> Self::IntoIter {
                self.$points.iter()
            }
        }

        impl Drawable<Board<'_>> for $element {
            fn draw<I: Iterator<Item = BackendCoord>>(
                &self,
                points: I,
                board: &mut Board,
                _: (u32, u32),
            ) -> DrawnByPlotters {
                let points: Vec<(f64, f64)> = points.map(|(x, y)| (units(x), units(y))).collect();
                self.draw_at(&points, board.canvas);
                Ok(())
            }
        }
    };
}

/// A filled rectangle between two corners, with an edge of so much width around it if it is not empty.
pub struct Bar {
    pub corners: [Place; 2],
    pub fill: Fill,
    pub edge: f64,
}

element!(Bar, corners);

impl Bar {
    /// A bar in the middle of a row, of so much of its height.
    pub fn level((from, to): (f64, f64), row: usize, high: f64, fill: Fill) -> Bar {
        let middle = row as f64 + 0.5;
        Bar {
            corners: [(from, middle - high / 2.0), (to, middle + high / 2.0)],
            fill,
            edge: 0.75,
        }
    }

    fn draw_at(&self, points: &[(f64, f64)], canvas: &mut Canvas) {
        let [from, to] = points[..] else { return };
        let area = Area {
            x: from.0.min(to.0),
            y: from.1.min(to.1),
            width: (to.0 - from.0).abs(),
            height: (to.1 - from.1).abs(),
        };
        canvas.hatched(area, self.fill);
        if area.width > 0.0 && self.edge > 0.0 {
            canvas.outline(area, EDGE, self.edge);
        }
    }
}

/// An interval as a whisker, with ends that reach so many units above and below it.
pub struct Interval {
    pub ends: [Place; 2],
    pub half: f64,
}

element!(Interval, ends);

impl Interval {
    fn draw_at(&self, points: &[(f64, f64)], canvas: &mut Canvas) {
        let [(low, middle), (high, _)] = points[..] else {
            return;
        };
        // A light rim keeps it apart from the hatch below it.
        for (colour, width) in [(WHITE, 5.0), (TEXT, 2.0)] {
            let rim = (width - 2.0) / 2.0;
            canvas.line((low - rim, middle), (high + rim, middle), colour, width);
            for end in [low, high] {
                let (top, bottom) = (middle - self.half - rim, middle + self.half + rim);
                canvas.line((end, top), (end, bottom), colour, width);
            }
        }
    }
}

/// A line through places.
pub struct Curve {
    pub places: Vec<Place>,
    pub colour: Colour,
    pub width: f64,
    pub dashes: &'static [f64],
}

element!(Curve, places);

impl Curve {
    fn draw_at(&self, points: &[(f64, f64)], canvas: &mut Canvas) {
        canvas.dashed(points, self.colour, self.width, self.dashes);
    }
}

/// A text beside a place, so many units away.
pub struct Label {
    pub place: [Place; 1],
    pub aside: (f64, f64),
    pub text: String,
    pub room: f64,
    pub font: Font,
}

element!(Label, place);

impl Label {
    fn draw_at(&self, points: &[(f64, f64)], canvas: &mut Canvas) {
        let [(x, y)] = points[..] else { return };
        canvas.text(
            &self.text,
            (x + self.aside.0, y + self.aside.1),
            self.room,
            self.font,
        );
    }
}
