//! What charts draw on: the SVG backend of plotters, in units of which a chart is a thousand wide at scale 1.

use std::fmt::Write as _;

use plotters::prelude::{DrawingBackend, IntoFont, RGBColor, SVGBackend, ShapeStyle};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontStyle, FontTransform, TextStyle};

use super::style::{self, BODY, Colour, Fill, Hatch, MARGIN, TEXT};
use super::text;

/// Steps in a unit: the backend knows whole steps only.
const STEPS: f64 = 8.0;
/// The backend takes a font size to be 1.24 times what it writes.
const BACKEND_FONT: f64 = 1.24;
/// The backend's distance from the top of a text to its baseline, in font sizes.
const TOP_TO_BASELINE: f64 = 0.76;
/// Half the height of a capital letter, in font sizes: capitals are 1490/2048 high.
const HALF_CAPITAL: f64 = 0.364;

/// Where a text lies to its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    Left,
    Middle,
    Right,
}

/// How a text looks.
#[derive(Debug, Clone, Copy)]
pub struct Font {
    pub size: f64,
    pub bold: bool,
    pub colour: Colour,
    pub align: Align,
}

impl Font {
    pub const BODY: Font = Font {
        size: BODY,
        bold: false,
        colour: TEXT,
        align: Align::Left,
    };

    pub fn size(self, size: f64) -> Font {
        Font { size, ..self }
    }

    pub fn bold(self, bold: bool) -> Font {
        Font { bold, ..self }
    }

    pub fn colour(self, colour: Colour) -> Font {
        Font { colour, ..self }
    }

    pub fn align(self, align: Align) -> Font {
        Font { align, ..self }
    }

    pub fn width(self, text: &str) -> f64 {
        text::width(text, self.size, self.bold)
    }

    /// Its size, and whether it is bold: all that matters to the width of a text.
    pub fn shape(self) -> (f64, bool) {
        (self.size, self.bold)
    }
}

/// A rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    pub x: f64,
    pub y: f64,
    pub width: f64,
    pub height: f64,
}

/// A drawing that grows downward.
pub struct Canvas<'a> {
    /// Of the whole picture.
    pub width: f64,
    backend: SVGBackend<'a>,
    /// The width of each text in the order of drawing.
    texts: Vec<f64>,
}

/// Draws a picture; the drawing says at the end how high it is. `scale` enlarges its texts and strokes.
pub fn picture(title: &str, scale: f64, draw: impl FnOnce(&mut Canvas) -> f64) -> String {
    let mut body = String::new();
    let width = style::width(scale);
    let mut canvas = Canvas {
        width,
        backend: SVGBackend::with_string(&mut body, (1, 1)),
        texts: Vec::new(),
    };
    let height = draw(&mut canvas).ceil();
    let texts = std::mem::take(&mut canvas.texts);
    canvas.backend.present().expect(INFALLIBLE);
    drop(canvas);

    let mut svg = String::with_capacity(body.len() + 4096);
    write!(
        svg,
        concat!(
            "<svg width=\"{}\" height=\"{}\" viewBox=\"0 0 {} {}\" xmlns=\"http://www.w3.org/2000/svg\">\n",
            "<title>{}</title>\n<defs>\n"
        ),
        width * scale,
        height * scale,
        steps(width),
        steps(height),
        escaped(&text::clean(title)),
    )
    .expect(INFALLIBLE);
    for (_, name, shape) in Hatch::DRAWN {
        // Shared by all charts, so that several in one page may have the same names.
        for (ending, transform) in [("", ""), (FINE, " patternTransform=\"scale(0.5)\"")] {
            writeln!(
                svg,
                "<pattern id=\"{name}{ending}\" width=\"48\" height=\"48\" patternUnits=\"userSpaceOnUse\"{transform}>\
                 <path d=\"{shape}\" stroke=\"#000000\" stroke-width=\"7\" fill=\"none\"/></pattern>"
            )
            .expect(INFALLIBLE);
        }
    }
    svg.push_str("</defs>\n<rect width=\"100%\" height=\"100%\" fill=\"#FFFFFF\"/>\n");
    let drawn = body.split_once('\n').map_or("", |(_, drawn)| drawn);
    push_with_lengths(&mut svg, drawn, &texts);
    for (index, (_, name, _)) in Hatch::DRAWN.iter().enumerate() {
        for (is_fine, ending) in [(false, ""), (true, FINE)] {
            let (red, green, blue) = stand_in(index, is_fine);
            svg = svg.replace(
                &format!("fill=\"#{red:02X}{green:02X}{blue:02X}\""),
                &format!("fill=\"url(#{name}{ending})\""),
            );
        }
    }
    svg
}

/// Why a result of the backend is not handed on.
const INFALLIBLE: &str = "drawing into a string cannot fail";

/// Tells each text how long it is, so that a program without the font keeps it to its room.
fn push_with_lengths(svg: &mut String, drawn: &str, texts: &[f64]) {
    const OPENING: &str = "<text ";
    let mut parts = drawn.split(OPENING);
    svg.push_str(parts.next().unwrap_or_default());
    for (part, width) in parts.zip(texts) {
        svg.push_str(OPENING);
        if *width > 0.0 {
            let length = steps(*width);
            write!(
                svg,
                "textLength=\"{length}\" lengthAdjust=\"spacingAndGlyphs\" "
            )
            .expect(INFALLIBLE);
        }
        svg.push_str(part);
    }
}

/// What the name of a pattern ends in that is half as large, for narrow areas.
const FINE: &str = "-fine";

/// The colour that is replaced by a pattern; no chart uses it otherwise.
fn stand_in(index: usize, is_fine: bool) -> Colour {
    (1, if is_fine { 3 } else { 2 }, 3 + index as u8)
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

fn steps(units: f64) -> i32 {
    (units * STEPS).round() as i32
}

fn point((x, y): (f64, f64)) -> (i32, i32) {
    (steps(x), steps(y))
}

fn stroke(colour: Colour, width: f64) -> ShapeStyle {
    let (red, green, blue) = colour;
    RGBColor(red, green, blue).stroke_width(steps(width).max(1) as u32)
}

impl Canvas<'_> {
    /// The width inside the margins.
    pub fn inner(&self) -> f64 {
        self.width - 2.0 * MARGIN
    }

    /// Where the right margin begins.
    pub fn right(&self) -> f64 {
        self.width - MARGIN
    }

    pub fn fill(&mut self, area: Area, colour: Colour) {
        let (red, green, blue) = colour;
        let style = RGBColor(red, green, blue).filled();
        let from = point((area.x, area.y));
        let to = point((area.x + area.width, area.y + area.height));
        self.backend
            .draw_rect(from, to, &style, true)
            .expect(INFALLIBLE);
    }

    /// A filled area with its hatch, which is finer in a narrow area, and left out where a sliver would show no more
    /// than a stray line of it.
    pub fn hatched(&mut self, area: Area, fill: Fill) {
        const SLIVER: f64 = 3.0;
        const NARROW: f64 = 14.0;
        if steps(area.x) >= steps(area.x + area.width) {
            return;
        }
        self.fill(area, fill.colour);
        if area.width < SLIVER {
            return;
        }
        let hatch = Hatch::DRAWN.iter().position(|drawn| drawn.0 == fill.hatch);
        if let Some(index) = hatch {
            self.fill(area, stand_in(index, area.width < NARROW));
        }
    }

    /// A filled outline through which what lies below shows, the less the nearer `cover` is to 1.
    pub fn wash(&mut self, corners: &[(f64, f64)], colour: Colour, cover: f64) {
        let (red, green, blue) = colour;
        let style = RGBColor(red, green, blue).mix(cover).filled();
        let corners = corners.iter().copied().map(point);
        self.backend
            .fill_polygon(corners, &style)
            .expect(INFALLIBLE);
    }

    /// A filled outline with its hatch.
    pub fn hatched_outline(&mut self, corners: &[(f64, f64)], fill: Fill) {
        self.wash(corners, fill.colour, 1.0);
        let hatch = Hatch::DRAWN.iter().position(|drawn| drawn.0 == fill.hatch);
        if let Some(index) = hatch {
            self.wash(corners, stand_in(index, false), 1.0);
        }
    }

    /// A line around an outline; dashed if lengths of line and gap are given.
    pub fn closed(&mut self, corners: &[(f64, f64)], colour: Colour, width: f64, dashes: &[f64]) {
        // Beyond the first corner, so that it is joined like the others.
        let around: Vec<(f64, f64)> = corners
            .iter()
            .chain(corners.iter().take(2))
            .copied()
            .collect();
        let last = if dashes.is_empty() {
            around.len()
        } else {
            corners.len() + 1
        };
        self.dashed(&around[..last.min(around.len())], colour, width, dashes);
    }

    /// A round area through which what lies below shows, with a line around it.
    pub fn bubble(&mut self, centre: (f64, f64), radius: f64, colour: Colour, cover: f64) {
        const CORNERS: u32 = 48;
        let corners: Vec<(f64, f64)> = (0..CORNERS)
            .map(|corner| {
                let angle = f64::from(corner) / f64::from(CORNERS) * std::f64::consts::TAU;
                let (sin, cos) = (libm::sin(angle), libm::cos(angle));
                (centre.0 + radius * cos, centre.1 + radius * sin)
            })
            .collect();
        self.wash(&corners, colour, cover);
        self.closed(&corners, colour, 1.0, &[]);
    }

    pub fn disc(&mut self, centre: (f64, f64), radius: f64, colour: Colour) {
        let (red, green, blue) = colour;
        let style = RGBColor(red, green, blue).filled();
        self.backend
            .draw_circle(point(centre), steps(radius) as u32, &style, true)
            .expect(INFALLIBLE);
    }

    pub fn outline(&mut self, area: Area, colour: Colour, width: f64) {
        let (right, bottom) = (area.x + area.width, area.y + area.height);
        let corners = [
            (area.x, area.y),
            (right, area.y),
            (right, bottom),
            (area.x, bottom),
            (area.x, area.y - width / 2.0),
        ];
        self.path(&corners, colour, width);
    }

    pub fn line(&mut self, from: (f64, f64), to: (f64, f64), colour: Colour, width: f64) {
        self.backend
            .draw_line(point(from), point(to), &stroke(colour, width))
            .expect(INFALLIBLE);
    }

    pub fn path(&mut self, points: &[(f64, f64)], colour: Colour, width: f64) {
        let points = points.iter().copied().map(point);
        self.backend
            .draw_path(points, &stroke(colour, width))
            .expect(INFALLIBLE);
    }

    /// A path in dashes: lengths of line and gap in turn, none for a whole line.
    pub fn dashed(&mut self, points: &[(f64, f64)], colour: Colour, width: f64, dashes: &[f64]) {
        let Some(&first) = points.first() else { return };
        if dashes.is_empty() {
            self.path(points, colour, width);
            return;
        }
        let (mut turn, mut left) = (0, dashes[0]);
        let mut dash = vec![first];
        for pair in points.windows(2) {
            let (mut from, to) = (pair[0], pair[1]);
            loop {
                let (dx, dy) = (to.0 - from.0, to.1 - from.1);
                let length = dx.hypot(dy);
                if length <= left {
                    left -= length;
                    dash.push(to);
                    break;
                }
                from = (from.0 + dx / length * left, from.1 + dy / length * left);
                dash.push(from);
                if turn % 2 == 0 {
                    self.path(&dash, colour, width);
                }
                turn += 1;
                left = dashes[turn % dashes.len()];
                dash = vec![from];
            }
        }
        if turn % 2 == 0 {
            self.path(&dash, colour, width);
        }
    }

    /// A text on one line, cut to the room; `at` is half-way up its capitals. Returns how wide it is.
    pub fn text(&mut self, text: &str, at: (f64, f64), room: f64, font: Font) -> f64 {
        let (x, y) = at;
        let top = y + (HALF_CAPITAL - TOP_TO_BASELINE) * font.size;
        self.write(text, (x, top), room, font, FontTransform::None)
    }

    /// A text that reads upward; `at` is half-way across its capitals.
    pub fn text_upward(&mut self, text: &str, at: (f64, f64), room: f64, font: Font) -> f64 {
        let (x, y) = at;
        let left = x + (HALF_CAPITAL - TOP_TO_BASELINE) * font.size;
        self.write(text, (left, y), room, font, FontTransform::Rotate270)
    }

    fn write(
        &mut self,
        text: &str,
        at: (f64, f64),
        room: f64,
        font: Font,
        transform: FontTransform,
    ) -> f64 {
        let text = text::fit(text, font.size, font.bold, room);
        let width = font.width(&text);
        if text.is_empty() {
            return width;
        }
        let (red, green, blue) = font.colour;
        let colour = RGBColor(red, green, blue);
        let anchor = match font.align {
            Align::Left => HPos::Left,
            Align::Middle => HPos::Center,
            Align::Right => HPos::Right,
        };
        let family = ("Inter, Arial, sans-serif", font.size * STEPS * BACKEND_FONT).into_font();
        let family = if font.bold {
            family.style(FontStyle::Bold)
        } else {
            family
        };
        let style = TextStyle::from(family.transform(transform))
            .color(&colour)
            .pos(Pos::new(anchor, VPos::Top));
        self.backend
            .draw_text(&text, &style, point(at))
            .expect(INFALLIBLE);
        self.texts.push(width);
        width
    }
}
