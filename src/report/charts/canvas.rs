//! What charts draw on: a scene, in units of which a chart is a thousand wide at scale 1.

use super::scene::paint::{Colour, Hatch, Paint};
use super::scene::{ChartScene, Group, Outline, SceneItem, SceneShape, Stroke, Text};
use super::size::ChartSize;
use super::style::{BODY, Fill, MARGIN, TEXT, WHITE};
use super::text;

pub use super::scene::{Align, Area};

/// Half the height of a capital letter, in font sizes: capitals are 1490/2048 high.
pub const HALF_CAPITAL: f64 = 0.364;

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

/// A drawing that grows downward.
pub struct Canvas {
    /// Of the whole picture.
    pub width: f64,
    /// Of a page, if it is divided into such.
    pub page: Option<f64>,
    items: Vec<SceneItem>,
    description: String,
    header: f64,
    breaks: Vec<f64>,
}

/// A picture, and where it may be divided.
pub struct Drawn {
    pub scene: ChartScene,
    /// Where heading and legend end, which every page repeats.
    pub header: f64,
    /// Where a page may end.
    pub breaks: Vec<f64>,
}

/// Draws a picture; the drawing says at the end how high it is.
pub fn picture(
    (id, title): (&str, &str),
    size: ChartSize,
    draw: impl FnOnce(&mut Canvas) -> f64,
) -> Drawn {
    let mut canvas = Canvas {
        width: size.width(),
        page: size.height(),
        items: Vec::new(),
        description: String::new(),
        header: 0.0,
        breaks: Vec::new(),
    };
    let height = draw(&mut canvas).ceil();
    let scene = ChartScene {
        id: id.to_owned(),
        title: text::clean(title),
        description: text::clean(&canvas.description),
        width: canvas.width,
        height,
        scale: size.scale,
        items: canvas.items,
    };
    Drawn {
        scene,
        header: canvas.header,
        breaks: canvas.breaks,
    }
}

impl Canvas {
    /// The width inside the margins.
    pub fn inner(&self) -> f64 {
        self.width - 2.0 * MARGIN
    }

    /// Where the right margin begins.
    pub fn right(&self) -> f64 {
        self.width - MARGIN
    }

    /// Heading and legend end here, which every page repeats.
    pub fn header_ends(&mut self, y: f64) {
        self.header = y;
    }

    /// A page may end here.
    pub fn may_break(&mut self, y: f64) {
        self.breaks.push(y);
    }

    /// Adds a sentence to what the picture says to those who do not see it.
    pub fn describe(&mut self, sentence: &str) {
        if !self.description.is_empty() {
            self.description.push(' ');
        }
        self.description.push_str(sentence);
    }

    /// Draws something as a group of a class, with an id that no other group of the picture has, and with what it says
    /// in words.
    pub fn group<T>(
        &mut self,
        class: &'static str,
        (id, title): (Option<String>, Option<String>),
        draw: impl FnOnce(&mut Canvas) -> T,
    ) -> T {
        let around = std::mem::take(&mut self.items);
        let result = draw(self);
        let items = std::mem::replace(&mut self.items, around);
        if !items.is_empty() {
            let title = title.map(|title| text::clean(&title));
            self.items.push(SceneItem::Group(Group {
                class,
                id,
                title,
                items,
            }));
        }
        result
    }

    pub fn shape(&mut self, shape: SceneShape) {
        self.items.push(SceneItem::Shape(shape));
    }

    fn filled(&mut self, outline: Outline, fill: Paint) {
        self.shape(SceneShape {
            outline,
            fill: Some(fill),
            stroke: None,
        });
    }

    fn stroked(&mut self, outline: Outline, colour: Colour, width: f64, dashes: &[f64]) {
        self.shape(SceneShape {
            outline,
            fill: None,
            stroke: Some(Stroke {
                colour,
                width,
                dashes: dashes.to_vec(),
            }),
        });
    }

    pub fn fill(&mut self, area: Area, colour: Colour) {
        self.filled(Outline::Rectangle(area), plain(colour));
    }

    /// A filled area with its hatch, which is finer in a narrow area, and left out where a sliver would show no more
    /// than a stray line of it.
    pub fn hatched(&mut self, area: Area, fill: Fill) {
        const SLIVER: f64 = 3.0;
        const NARROW: f64 = 14.0;
        if area.width > 0.0 {
            let hatch = match area.width < SLIVER {
                true => Hatch::Plain,
                false => fill.hatch,
            };
            let paint = Paint {
                hatch,
                fine: hatch != Hatch::Plain && area.width < NARROW,
                ..plain(fill.colour)
            };
            self.filled(Outline::Rectangle(area), paint);
        }
    }

    /// A filled outline through which what lies below shows, the less the nearer `cover` is to 1.
    pub fn wash(&mut self, corners: &[(f64, f64)], colour: Colour, cover: f64) {
        if cover > 0.0 {
            let paint = Paint {
                opacity: cover,
                ..plain(colour)
            };
            self.filled(path(corners, true), paint);
        }
    }

    /// A light ground around the middle of a text, so that nothing runs through it.
    pub fn plate(&mut self, (x, y): (f64, f64), (width, height): (f64, f64)) {
        let (left, right) = (x - width / 2.0, x + width / 2.0);
        let (top, bottom) = (y - height / 2.0, y + height / 2.0);
        let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
        self.wash(&corners, WHITE, 0.8);
    }

    /// A filled outline with its hatch.
    pub fn hatched_outline(&mut self, corners: &[(f64, f64)], fill: Fill) {
        let paint = Paint {
            hatch: fill.hatch,
            ..plain(fill.colour)
        };
        self.filled(path(corners, true), paint);
    }

    /// A line around an outline; dashed if lengths of line and gap are given.
    pub fn closed(&mut self, corners: &[(f64, f64)], colour: Colour, width: f64, dashes: &[f64]) {
        self.stroked(path(corners, true), colour, width, dashes);
    }

    /// A round area through which what lies below shows, with a line around it.
    pub fn bubble(&mut self, centre: (f64, f64), radius: f64, colour: Colour, cover: f64) {
        self.shape(SceneShape {
            outline: Outline::Circle { centre, radius },
            fill: Some(Paint {
                opacity: cover,
                ..plain(colour)
            }),
            stroke: Some(Stroke {
                colour,
                width: 1.0,
                dashes: Vec::new(),
            }),
        });
    }

    pub fn disc(&mut self, centre: (f64, f64), radius: f64, colour: Colour) {
        self.filled(Outline::Circle { centre, radius }, plain(colour));
    }

    pub fn outline(&mut self, area: Area, colour: Colour, width: f64) {
        self.stroked(Outline::Rectangle(area), colour, width, &[]);
    }

    pub fn line(&mut self, from: (f64, f64), to: (f64, f64), colour: Colour, width: f64) {
        self.path(&[from, to], colour, width);
    }

    pub fn path(&mut self, points: &[(f64, f64)], colour: Colour, width: f64) {
        self.dashed(points, colour, width, &[]);
    }

    /// A path in dashes: lengths of line and gap in turn, none for a whole line.
    pub fn dashed(&mut self, points: &[(f64, f64)], colour: Colour, width: f64, dashes: &[f64]) {
        if points.len() > 1 {
            self.stroked(path(points, false), colour, width, dashes);
        }
    }

    /// A text on one line, cut to the room; `at` is half-way up its capitals. Returns how wide it is.
    pub fn text(&mut self, text: &str, at: (f64, f64), room: f64, font: Font) -> f64 {
        let baseline = at.1 + HALF_CAPITAL * font.size;
        self.write(text, (at.0, baseline), room, font, false)
    }

    /// A text that reads upward; `at` is half-way across its capitals.
    pub fn text_upward(&mut self, text: &str, at: (f64, f64), room: f64, font: Font) -> f64 {
        let baseline = at.0 + HALF_CAPITAL * font.size;
        self.write(text, (baseline, at.1), room, font, true)
    }

    /// A text with a point of its baseline.
    pub fn write(
        &mut self,
        text: &str,
        at: (f64, f64),
        room: f64,
        font: Font,
        upward: bool,
    ) -> f64 {
        let text = text::fit(text, font.size, font.bold, room);
        let width = font.width(&text);
        if !text.is_empty() {
            let Font {
                size,
                bold,
                colour,
                align,
            } = font;
            self.items.push(SceneItem::Text(Text {
                text,
                at,
                width,
                size,
                bold,
                colour,
                align,
                upward,
            }));
        }
        width
    }
}

fn plain(colour: Colour) -> Paint {
    Paint {
        colour,
        opacity: 1.0,
        hatch: Hatch::Plain,
        fine: false,
    }
}

fn path(points: &[(f64, f64)], closed: bool) -> Outline {
    Outline::Path {
        points: points.to_vec(),
        closed,
    }
}
