//! A scene as a PNG file, drawn with the embedded font and nothing of the system's.

use std::io::{self, Write};
use std::mem;

use png::{BitDepth, ColorType, DeflateCompression, Encoder, Filter};
use tiny_skia::{
    Color, FillRule, FilterQuality, IntSize, LineCap, Paint as Ink, Path, PathBuilder, Pattern,
    Pixmap, Rect, SpreadMode, Stroke as Pen, StrokeDash, Transform,
};

use super::letters::Letters;
use super::paint::{Colour, Hatch, Paint};
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

fn encode(pixmap: &Pixmap) -> io::Result<Vec<u8>> {
    let line = pixmap.width() as usize * 4;
    let mut file = Vec::with_capacity(pixmap.data().len() / 16);
    let mut encoder = Encoder::new(&mut file, pixmap.width(), pixmap.height());
    encoder.set_color(ColorType::Rgb);
    encoder.set_depth(BitDepth::Eight);
    encoder.set_deflate_compression(DeflateCompression::FdeflateUltraFast);
    let mut writer = encoder.write_header()?;
    let mut rows = writer.stream_writer()?;
    // Before the first row there is nothing, which no row is like: all are opaque.
    let (nothing, mut colours) = (vec![0; line], vec![0; line / 4 * 3]);
    let mut above = &nothing[..];
    for row in pixmap.data().chunks_exact(line) {
        // Of a row that is like the one above nothing is left by either filter, and the simpler one takes no time. For
        // the others it takes a third of the time of choosing one for each, and files are as large.
        if row == above {
            rows.set_filter(Filter::Up);
        } else {
            rows.set_filter(Filter::Paeth);
            without_opacity(row, above, &mut colours);
        }
        rows.write_all(&colours)?;
        above = row;
    }
    rows.finish()?;
    writer.finish()?;
    Ok(file)
}

/// Red, green and blue of a row of pixels: nothing is transparent, since the ground is white. `colours` are those of the
/// row above, from which most rows differ in few places.
fn without_opacity(row: &[u8], above: &[u8], colours: &mut [u8]) {
    // Four pixels at a time in three words, which takes half as long as byte by byte.
    let (pixels, last_pixels) = row.as_chunks::<16>();
    let (words, last_colours) = colours.as_chunks_mut::<12>();
    for ((words, pixels), above) in words.iter_mut().zip(pixels).zip(above.as_chunks::<16>().0) {
        if pixels == above {
            continue;
        }
        let pixel = |at: usize| {
            let [red, green, blue, opacity] = [0, 1, 2, 3].map(|byte| pixels[4 * at + byte]);
            u32::from_le_bytes([red, green, blue, opacity])
        };
        let [one, two, three, four] = [0, 1, 2, 3].map(pixel);
        let packed = [
            one & 0x00ff_ffff | two << 24,
            two >> 8 & 0x0000_ffff | three << 16,
            three >> 16 & 0x0000_00ff | four << 8,
        ];
        for (word, packed) in words.as_chunks_mut::<4>().0.iter_mut().zip(packed) {
            *word = packed.to_le_bytes();
        }
    }
    let last_colours = last_colours.as_chunks_mut::<3>().0.iter_mut();
    for (colour, &[red, green, blue, _]) in last_colours.zip(last_pixels.as_chunks::<4>().0) {
        *colour = [red, green, blue];
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
