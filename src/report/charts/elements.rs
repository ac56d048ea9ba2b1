//! Elements of plotters' series that draw on our canvas, since a hatch is no colour.

use plotters::element::{Drawable, PointCollection};
use plotters_backend::BackendCoord;

use super::backend::{Board, DrawnByPlotters, units};
use super::canvas::{Area, Canvas, Font};
use super::scene::paint::Colour;
use super::style::{EDGE, Fill, TEXT, WHITE};

/// A place in a chart, in the coordinates of its axes.
pub type Place = (f64, f64);

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
        let area = between(from, to);
        canvas.hatched(area, self.fill);
        if area.width > 0.0 && self.edge > 0.0 {
            canvas.outline(area, EDGE, self.edge);
        }
    }
}

/// A line around the rectangle between two corners.
pub struct Frame {
    pub corners: [Place; 2],
    pub colour: Colour,
    pub width: f64,
}

element!(Frame, corners);

impl Frame {
    fn draw_at(&self, points: &[(f64, f64)], canvas: &mut Canvas) {
        let [from, to] = points[..] else { return };
        canvas.outline(between(from, to), self.colour, self.width);
    }
}

fn between(from: (f64, f64), to: (f64, f64)) -> Area {
    Area {
        x: from.0.min(to.0),
        y: from.1.min(to.1),
        width: (to.0 - from.0).abs(),
        height: (to.1 - from.1).abs(),
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
