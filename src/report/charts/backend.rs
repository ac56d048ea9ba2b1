//! The backend through which plotters draws axes and series into a scene.
//!
//! Plotters counts whole pixels, so it is told that a unit of the picture has very many of them ([`STEPS`]), and what
//! it draws is scaled back. Texts are measured with the embedded font, so that plotters lays them out as they will be.
//! An element of our own gets at the canvas itself by [`Board::canvas`], and so at hatches and groups, for which
//! plotters has no words.

use std::convert::Infallible;

use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, IntoDrawingArea};
use plotters_backend::text_anchor::{HPos, VPos};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
    FontStyle, FontTransform,
};

use super::canvas::{Align, Area, Canvas, Font, HALF_CAPITAL};
use super::scene::paint::{Hatch, Paint};
use super::scene::{Outline, SceneShape, Stroke};
use super::text;

/// Steps of plotters in a unit of the picture.
pub const STEPS: f64 = 1000.0;

/// Why a result of plotters is not handed on.
pub const INFALLIBLE: &str = "drawing into a scene cannot fail";

/// So many steps of plotters.
pub fn steps(units: f64) -> i32 {
    (units * STEPS).round() as i32
}

pub fn units(steps: i32) -> f64 {
    f64::from(steps) / STEPS
}

fn point((x, y): BackendCoord) -> (f64, f64) {
    (units(x), units(y))
}

/// A canvas as plotters sees it.
pub struct Board<'a> {
    pub canvas: &'a mut Canvas,
    size: (u32, u32),
}

/// A part of the canvas for plotters to draw on, which reaches from the canvas's upper left corner to that of the area.
pub fn area(canvas: &mut Canvas, area: Area) -> DrawingArea<Board<'_>, Shift> {
    let size = (
        steps(area.x + area.width) as u32,
        steps(area.y + area.height) as u32,
    );
    let root = Board { canvas, size }.into_drawing_area();
    root.shrink(
        (steps(area.x), steps(area.y)),
        (steps(area.width), steps(area.height)),
    )
}

fn paint(colour: BackendColor) -> Paint {
    Paint {
        colour: colour.rgb,
        opacity: colour.alpha,
        hatch: Hatch::Plain,
        fine: false,
    }
}

/// What drawing comes to: it cannot fail.
pub type DrawnByPlotters = Result<(), DrawingErrorKind<Infallible>>;

impl Board<'_> {
    fn draw<S: BackendStyle>(
        &mut self,
        outline: Outline,
        style: &S,
        fill: bool,
    ) -> DrawnByPlotters {
        let colour = style.color();
        if colour.alpha > 0.0 {
            let stroke = Stroke {
                colour: colour.rgb,
                width: f64::from(style.stroke_width()) / STEPS,
                dashes: Vec::new(),
            };
            self.canvas.shape(SceneShape {
                outline,
                fill: fill.then(|| paint(colour)),
                stroke: (!fill).then_some(stroke),
            });
        }
        Ok(())
    }
}

impl DrawingBackend for Board<'_> {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        self.size
    }

    fn ensure_prepared(&mut self) -> DrawnByPlotters {
        Ok(())
    }

    fn present(&mut self) -> DrawnByPlotters {
        Ok(())
    }

    fn draw_pixel(&mut self, (x, y): BackendCoord, colour: BackendColor) -> DrawnByPlotters {
        self.draw_rect((x, y), (x + 1, y + 1), &colour, true)
    }

    fn draw_line<S: BackendStyle>(
        &mut self,
        from: BackendCoord,
        to: BackendCoord,
        style: &S,
    ) -> DrawnByPlotters {
        self.draw_path([from, to], style)
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        from: BackendCoord,
        to: BackendCoord,
        style: &S,
        fill: bool,
    ) -> DrawnByPlotters {
        let (from, to) = (point(from), point(to));
        let area = Area {
            x: from.0.min(to.0),
            y: from.1.min(to.1),
            width: (to.0 - from.0).abs(),
            height: (to.1 - from.1).abs(),
        };
        self.draw(Outline::Rectangle(area), style, fill)
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> DrawnByPlotters {
        let points = path.into_iter().map(point).collect();
        self.draw(
            Outline::Path {
                points,
                closed: false,
            },
            style,
            false,
        )
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        centre: BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> DrawnByPlotters {
        let (centre, radius) = (point(centre), f64::from(radius) / STEPS);
        self.draw(Outline::Circle { centre, radius }, style, fill)
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        corners: I,
        style: &S,
    ) -> DrawnByPlotters {
        let points = corners.into_iter().map(point).collect();
        self.draw(
            Outline::Path {
                points,
                closed: true,
            },
            style,
            true,
        )
    }

    fn draw_text<T: BackendTextStyle>(
        &mut self,
        text: &str,
        style: &T,
        at: BackendCoord,
    ) -> DrawnByPlotters {
        let size = style.size() / STEPS;
        let anchor = style.anchor();
        // From the point to the baseline.
        let below = match anchor.v_pos {
            VPos::Top => 2.0 * HALF_CAPITAL * size,
            VPos::Center => HALF_CAPITAL * size,
            VPos::Bottom => 0.0,
        };
        let (x, y) = point(at);
        let upward = matches!(style.transform(), FontTransform::Rotate270);
        let baseline = if upward {
            (x + below, y)
        } else {
            (x, y + below)
        };
        let font = Font {
            size,
            bold: matches!(style.style(), FontStyle::Bold),
            colour: style.color().rgb,
            align: match anchor.h_pos {
                HPos::Left => Align::Left,
                HPos::Center => Align::Middle,
                HPos::Right => Align::Right,
            },
        };
        self.canvas
            .write(text, baseline, f64::INFINITY, font, upward);
        Ok(())
    }

    fn estimate_text_size<T: BackendTextStyle>(
        &self,
        text: &str,
        style: &T,
    ) -> Result<(u32, u32), DrawingErrorKind<Infallible>> {
        let bold = matches!(style.style(), FontStyle::Bold);
        let width = text::width(text, style.size(), bold);
        Ok((width.ceil() as u32, style.size().ceil() as u32))
    }

    fn blit_bitmap(&mut self, _: BackendCoord, _: (u32, u32), _: &[u8]) -> DrawnByPlotters {
        unreachable!("no chart draws a bitmap")
    }
}
