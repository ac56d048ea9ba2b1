//! A scene as a PNG file, drawn with the embedded font and nothing of the system's.

use std::io;
use std::mem;

use tiny_skia::{
    Color, FillRule, FilterQuality, IntSize, LineCap, Paint as Ink, Path, PathBuilder, Pattern,
    Pixmap, Rect, SpreadMode, Stroke as Pen, StrokeDash, Transform,
};

use super::letters::Letters;
use super::paint::{Colour, Hatch, Paint};
use super::png_file::encode;
use super::{Area, ChartScene, Outline, SceneItem, SceneShape, Stroke};

/// Pixels of a PNG in one of the SVG.
const DENSITY: f64 = 1.5;

/// Draws one picture after the other: what one has taken, letters and memory, is kept for the next.
#[derive(Default)]
pub struct PngPainter {
    letters: Letters,
    pixels: Vec<u8>,
}

impl PngPainter {
    /// The picture as PNG: red, green and blue, 8 bits each.
    ///
    /// # Errors
    /// If there is no memory for it.
    pub fn draw(&mut self, scene: &ChartScene) -> io::Result<Vec<u8>> {
        let factor = scene.scale * DENSITY;
        let (width, height) = scene.pixels();
        let pixmap = self.white(width, height).ok_or_else(|| {
            io::Error::other(format!(
                "no memory for a picture of {width} by {height} pixels"
            ))
        })?;
        let mut board = Raster {
            pixmap,
            factor,
            hatches: Vec::new(),
            letters: &mut self.letters,
        };
        scene.visit(&mut |item| match item {
            SceneItem::Group(_) => {}
            SceneItem::Shape(shape) => board.shape(shape),
            SceneItem::Text(text) => board.letters.write(&mut board.pixmap, text, factor),
        });
        let pixmap = board.pixmap;
        let file = encode(&pixmap);
        self.pixels = pixmap.take();
        file
    }

    /// An empty ground, if there is memory for it.
    fn white(&mut self, width: u32, height: u32) -> Option<Pixmap> {
        let size = IntSize::from_wh(width, height)?;
        let bytes = (width as usize).checked_mul(height as usize)?;
        let bytes = bytes.checked_mul(4)?;
        let mut pixels = mem::take(&mut self.pixels);
        pixels.clear();
        pixels.try_reserve_exact(bytes).ok()?;
        pixels.resize(bytes, u8::MAX);
        Pixmap::from_vec(pixels, size)
    }
}

impl ChartScene {
    /// The picture as PNG; for several, a [`PngPainter`] is faster.
    ///
    /// # Errors
    /// If there is no memory for it.
    pub fn png(&self) -> io::Result<Vec<u8>> {
        PngPainter::default().draw(self)
    }

    /// How large the PNG is.
    fn pixels(&self) -> (u32, u32) {
        let pixels = |length: f64| (length * self.scale * DENSITY).round() as u32;
        (pixels(self.width), pixels(self.height))
    }
}

/// What is drawn on.
struct Raster<'a> {
    pixmap: Pixmap,
    /// Pixels in a unit.
    factor: f64,
    hatches: Vec<(Paint, Pixmap)>,
    letters: &'a mut Letters,
}

impl Raster<'_> {
    fn shape(&mut self, shape: &SceneShape) {
        if let Some(fill) = shape.fill {
            self.fill(&shape.outline, fill);
        }
        if let Some(stroke) = &shape.stroke {
            self.stroke(&shape.outline, stroke);
        }
    }

    fn fill(&mut self, outline: &Outline, fill: Paint) {
        let hatch = (fill.hatch != Hatch::Plain).then(|| self.hatch(fill));
        let Raster {
            pixmap,
            factor,
            hatches,
            ..
        } = self;
        let factor = *factor as f32;
        let ink = match hatch {
            None => ink(fill.colour, fill.opacity),
            Some(index) => {
                let tile = &hatches[index].1;
                let side = Hatch::TILE as f32 * if fill.fine { 0.5 } else { 1.0 } * factor;
                let shrink = side / tile.width() as f32;
                let quality = match shrink == 1.0 {
                    true => FilterQuality::Nearest,
                    false => FilterQuality::Bilinear,
                };
                let transform = Transform::from_scale(shrink, shrink);
                let shader =
                    Pattern::new(tile.as_ref(), SpreadMode::Repeat, quality, 1.0, transform);
                Ink {
                    shader,
                    anti_alias: true,
                    ..Ink::default()
                }
            }
        };
        match outline {
            Outline::Rectangle(area) => {
                if let Some(area) = rectangle(area, factor) {
                    pixmap.fill_rect(area, &ink, Transform::identity(), None);
                }
            }
            outline => {
                if let Some(path) = path(outline, factor) {
                    pixmap.fill_path(&path, &ink, FillRule::Winding, Transform::identity(), None);
                }
            }
        }
    }

    /// The square of a hatch, in whole pixels; drawn once.
    fn hatch(&mut self, fill: Paint) -> usize {
        if let Some(known) = self.hatches.iter().position(|(drawn, _)| *drawn == fill) {
            return known;
        }
        let side = Hatch::TILE * self.factor * if fill.fine { 0.5 } else { 1.0 };
        let pixels = side.ceil().max(1.0);
        let factor = (pixels / Hatch::TILE) as f32;
        let mut tile = Pixmap::new(pixels as u32, pixels as u32).expect("a few pixels");
        let (red, green, blue) = fill.colour;
        tile.fill(Color::from_rgba8(red, green, blue, 255));
        let mut lines = PathBuilder::new();
        for [from, to] in fill.hatch.lines() {
            lines.move_to(from.0 as f32 * factor, from.1 as f32 * factor);
            lines.line_to(to.0 as f32 * factor, to.1 as f32 * factor);
        }
        if let Some(lines) = lines.finish() {
            let pen = Pen {
                width: Hatch::STROKE as f32 * factor,
                ..Pen::default()
            };
            tile.stroke_path(
                &lines,
                &ink((0, 0, 0), 1.0),
                &pen,
                Transform::identity(),
                None,
            );
        }
        self.hatches.push((fill, tile));
        self.hatches.len() - 1
    }

    fn stroke(&mut self, outline: &Outline, stroke: &Stroke) {
        let factor = self.factor as f32;
        let Some(path) = path(outline, factor) else {
            return;
        };
        let dashes = stroke
            .dashes
            .iter()
            .map(|length| *length as f32 * factor)
            .collect();
        let pen = Pen {
            width: stroke.width as f32 * factor,
            line_cap: LineCap::Butt,
            dash: StrokeDash::new(dashes, 0.0),
            ..Pen::default()
        };
        let ink = ink(stroke.colour, 1.0);
        self.pixmap
            .stroke_path(&path, &ink, &pen, Transform::identity(), None);
    }
}

fn ink(colour: Colour, opacity: f64) -> Ink<'static> {
    let (red, green, blue) = colour;
    let mut ink = Ink::default();
    ink.set_color_rgba8(red, green, blue, (opacity * 255.0).round() as u8);
    ink
}

fn rectangle(area: &Area, factor: f32) -> Option<Rect> {
    let [x, y, width, height] =
        [area.x, area.y, area.width, area.height].map(|length| length as f32 * factor);
    Rect::from_xywh(x, y, width, height)
}

fn path(outline: &Outline, factor: f32) -> Option<Path> {
    let at = |(x, y): (f64, f64)| (x as f32 * factor, y as f32 * factor);
    match outline {
        Outline::Rectangle(area) => rectangle(area, factor).map(PathBuilder::from_rect),
        Outline::Circle { centre, radius } => {
            let (x, y) = at(*centre);
            PathBuilder::from_circle(x, y, *radius as f32 * factor)
        }
        Outline::Path { points, closed } => {
            let mut path = PathBuilder::new();
            for (index, point) in points.iter().enumerate() {
                let (x, y) = at(*point);
                match index {
                    0 => path.move_to(x, y),
                    _ => path.line_to(x, y),
                }
            }
            if *closed {
                path.close();
            }
            path.finish()
        }
    }
}
