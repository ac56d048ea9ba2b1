//! A picture as data: shapes and texts with exact measures, in groups that have names.
//!
//! Charts draw into a scene, through `Canvas` and through plotters (`backend.rs`). What
//! becomes of it is the business of the writers beside this file, each of which walks the scene once: [`ChartScene::svg`],
//! [`ChartScene::json`] and, with the feature `png`, [`ChartScene::png`].
//!
//! All measures are in units of the picture, x to the right and y down. A unit is [`ChartScene::scale`] pixels of the SVG.

mod embedded_font;
pub mod font;
mod json;
#[cfg(feature = "png")]
mod letters;
pub mod paint;
#[cfg(feature = "png")]
mod png;
#[cfg(feature = "png")]
mod png_file;
mod svg;

pub use self::embedded_font::{font_faces, font_faces_with};
#[cfg(feature = "png")]
pub use self::png::PngPainter;
pub use self::svg::pattern;
use paint::{Colour, Paint};

/// A picture.
#[derive(Debug, Clone, PartialEq)]
pub struct ChartScene {
    /// What every id in it begins with, so that several pictures can stand on one page.
    pub id: String,
    pub title: String,
    /// What the picture says, in sentences for those who do not see it.
    pub description: String,
    pub width: f64,
    pub height: f64,
    /// How many pixels a unit is in the SVG; a PNG has half as many again.
    pub scale: f64,
    /// From the lowest to the topmost.
    pub items: Vec<SceneItem>,
}

#[derive(Debug, Clone, PartialEq)]
pub enum SceneItem {
    Group(Group),
    Shape(SceneShape),
    Text(Text),
}

/// Items that belong together, such as all that is drawn of a station.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// What kind of thing it is: `station`, `walk`, `finding`, …
    pub class: &'static str,
    /// Without the scene's own id, which the writers put before it. No two groups of a scene have the same.
    pub id: Option<String>,
    /// What it says in words.
    pub title: Option<String>,
    pub items: Vec<SceneItem>,
}

/// Something with an outline.
#[derive(Debug, Clone, PartialEq)]
pub struct SceneShape {
    pub outline: Outline,
    pub fill: Option<Paint>,
    pub stroke: Option<Stroke>,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Outline {
    Rectangle(Area),
    /// Straight lines from point to point.
    Path {
        points: Vec<(f64, f64)>,
        closed: bool,
    },
    Circle {
        centre: (f64, f64),
        radius: f64,
    },
}

/// A rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    pub x: f64,
    pub y: f64,
    pub width: f64,
    pub height: f64,
}

impl Area {
    pub fn corners(&self) -> [(f64, f64); 4] {
        let (right, bottom) = (self.x + self.width, self.y + self.height);
        [
            (self.x, self.y),
            (right, self.y),
            (right, bottom),
            (self.x, bottom),
        ]
    }

    pub fn middle(&self) -> (f64, f64) {
        (self.x + self.width / 2.0, self.y + self.height / 2.0)
    }
}

/// A line along an outline, half of it to either side.
#[derive(Debug, Clone, PartialEq)]
pub struct Stroke {
    pub colour: Colour,
    pub width: f64,
    /// Lengths of line and gap in turn; none for a whole line.
    pub dashes: Vec<f64>,
}

/// A text on one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    pub text: String,
    /// On its baseline, at the end or in the middle as `align` says.
    pub at: (f64, f64),
    /// How long it is, by the widths of the embedded font.
    pub width: f64,
    pub size: f64,
    pub bold: bool,
    pub colour: Colour,
    pub align: Align,
    /// Whether it reads from the bottom to the top.
    pub upward: bool,
}

/// Where a text lies to its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    Left,
    Middle,
    Right,
}

impl Text {
    /// Where its first letter begins, on the baseline.
    pub fn start(&self) -> (f64, f64) {
        let before = match self.align {
            Align::Left => 0.0,
            Align::Middle => self.width / 2.0,
            Align::Right => self.width,
        };
        match self.upward {
            false => (self.at.0 - before, self.at.1),
            true => (self.at.0, self.at.1 + before),
        }
    }
}

impl ChartScene {
    /// Calls `visit` with every shape and text, in the order of drawing.
    pub fn visit<'a>(&'a self, visit: &mut dyn FnMut(&'a SceneItem)) {
        fn each<'a>(items: &'a [SceneItem], visit: &mut dyn FnMut(&'a SceneItem)) {
            for item in items {
                match item {
                    SceneItem::Group(group) => each(&group.items, visit),
                    item => visit(item),
                }
            }
        }
        each(&self.items, visit);
    }
}
