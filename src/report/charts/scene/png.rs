//! A scene as a PNG file, drawn with the embedded font and nothing of the system's.

use std::io;
use std::sync::{LazyLock, OnceLock};

use png::{BitDepth, ColorType, DeflateCompression, Encoder, Filter};
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::{GlyphId, MetadataProvider};
use tiny_skia::{
    Color, FillRule, FilterQuality, LineCap, Paint as Ink, Path, PathBuilder, PathSegment, Pattern,
    Pixmap, Rect, SpreadMode, Stroke as Pen, StrokeDash, Transform,
};

use super::font::{EM, Face};
use super::paint::{Colour, Hatch, Paint};
use super::{Area, ChartScene, Outline, SceneItem, SceneShape, Stroke, Text};

/// Pixels of a PNG in one of the SVG.
const DENSITY: f64 = 1.5;

impl ChartScene {
    /// The picture as PNG: red, green and blue, 8 bits each.
    ///
    /// # Errors
    /// If there is no memory for it.
    pub fn png(&self) -> io::Result<Vec<u8>> {
        let factor = self.scale * DENSITY;
        let (width, height) = self.pixels();
        let pixmap = Pixmap::new(width, height).ok_or_else(|| {
            io::Error::other(format!(
                "no memory for a picture of {width} by {height} pixels"
            ))
        })?;
        let mut board = Raster {
            pixmap,
            factor,
            hatches: Vec::new(),
        };
        board.pixmap.fill(Color::WHITE);
        self.visit(&mut |item| match item {
            SceneItem::Group(_) => {}
            SceneItem::Shape(shape) => board.shape(shape),
            SceneItem::Text(text) => board.text(text),
        });
        encode(&board.pixmap)
    }

    /// How large the PNG is.
    fn pixels(&self) -> (u32, u32) {
        let pixels = |length: f64| (length * self.scale * DENSITY).round() as u32;
        (pixels(self.width), pixels(self.height))
    }
}

fn encode(pixmap: &Pixmap) -> io::Result<Vec<u8>> {
    // Nothing is transparent, since the ground is white.
    let mut colours = vec![0; pixmap.data().len() / 4 * 3];
    for (colour, pixel) in colours
        .chunks_exact_mut(3)
        .zip(pixmap.data().chunks_exact(4))
    {
        colour.copy_from_slice(&pixel[..3]);
    }
    let mut file = Vec::with_capacity(colours.len() / 16);
    let mut encoder = Encoder::new(&mut file, pixmap.width(), pixmap.height());
    encoder.set_color(ColorType::Rgb);
    encoder.set_depth(BitDepth::Eight);
    // A third of the time of choosing a filter for each row, and files that are as large.
    encoder.set_deflate_compression(DeflateCompression::FdeflateUltraFast);
    encoder.set_filter(Filter::Paeth);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&colours)?;
    writer.finish()?;
    Ok(file)
}

/// What is drawn on.
struct Raster {
    pixmap: Pixmap,
    /// Pixels in a unit.
    factor: f64,
    hatches: Vec<(Paint, Pixmap)>,
}

impl Raster {
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

    fn text(&mut self, text: &Text) {
        let (x, y) = text.start();
        let em = (text.size / EM * self.factor) as f32;
        let mut line = TextOutline {
            path: PathBuilder::new(),
            em,
            at: ((x * self.factor) as f32, (y * self.factor) as f32),
            upward: text.upward,
        };
        for letter in text.text.chars() {
            let glyph = glyph(letter, text.bold);
            line.push(glyph);
            line.advance(match Face::weight(text.bold).glyph(letter) {
                Some(_) => glyph.advance,
                // As wide as the layout takes it to be.
                None => EM as f32,
            });
        }
        if let Some(path) = line.path.finish() {
            let ink = ink(text.colour, 1.0);
            self.pixmap
                .fill_path(&path, &ink, FillRule::Winding, Transform::identity(), None);
        }
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

/// A letter in units of the font, y up, and how far it moves the pen.
struct Glyph {
    path: Option<Path>,
    advance: f32,
}

static REGULAR: LazyLock<Vec<OnceLock<Glyph>>> = LazyLock::new(|| empty(false));
static BOLD: LazyLock<Vec<OnceLock<Glyph>>> = LazyLock::new(|| empty(true));

fn empty(bold: bool) -> Vec<OnceLock<Glyph>> {
    let count = Face::weight(bold).font().glyph_names().num_glyphs();
    (0..count).map(|_| OnceLock::new()).collect()
}

/// What is drawn for a letter; read from the font once.
fn glyph(letter: char, bold: bool) -> &'static Glyph {
    let face = Face::weight(bold);
    let id = face.drawn(letter);
    let known = if bold { &BOLD } else { &REGULAR };
    known[id.to_u32() as usize].get_or_init(|| Glyph {
        path: outline(face, id),
        advance: (face
            .font()
            .glyph_metrics(Size::unscaled(), LocationRef::default())
            .advance_width(id))
        .unwrap_or(0.0),
    })
}

fn outline(face: &Face, glyph: GlyphId) -> Option<Path> {
    let outline = face.font().outline_glyphs().get(glyph)?;
    let mut path = PathBuilder::new();
    let settings = DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
    outline.draw(settings, &mut OutlineOf(&mut path)).ok()?;
    path.finish()
}

/// Hands an outline of the font on to the renderer.
struct OutlineOf<'a>(&'a mut PathBuilder);

impl OutlinePen for OutlineOf<'_> {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to(x, y);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to(x, y);
    }

    fn quad_to(&mut self, cx0: f32, cy0: f32, x: f32, y: f32) {
        self.0.quad_to(cx0, cy0, x, y);
    }

    fn curve_to(&mut self, cx0: f32, cy0: f32, cx1: f32, cy1: f32, x: f32, y: f32) {
        self.0.cubic_to(cx0, cy0, cx1, cy1, x, y);
    }

    fn close(&mut self) {
        self.0.close();
    }
}

/// The outlines of a text, letter by letter.
struct TextOutline {
    path: PathBuilder,
    /// Pixels in a unit of the font.
    em: f32,
    /// Where the next letter begins.
    at: (f32, f32),
    upward: bool,
}

impl TextOutline {
    fn push(&mut self, glyph: &Glyph) {
        let TextOutline {
            path,
            em,
            at,
            upward,
        } = self;
        let place = |point: tiny_skia::Point| {
            let (x, y) = (point.x * *em, point.y * *em);
            match upward {
                false => (at.0 + x, at.1 - y),
                true => (at.0 - y, at.1 - x),
            }
        };
        for segment in glyph.path.iter().flat_map(Path::segments) {
            match segment {
                PathSegment::MoveTo(to) => {
                    let to = place(to);
                    path.move_to(to.0, to.1);
                }
                PathSegment::LineTo(to) => {
                    let to = place(to);
                    path.line_to(to.0, to.1);
                }
                PathSegment::QuadTo(by, to) => {
                    let (by, to) = (place(by), place(to));
                    path.quad_to(by.0, by.1, to.0, to.1);
                }
                PathSegment::CubicTo(by, and, to) => {
                    let (by, and, to) = (place(by), place(and), place(to));
                    path.cubic_to(by.0, by.1, and.0, and.1, to.0, to.1);
                }
                PathSegment::Close => path.close(),
            }
        }
    }

    fn advance(&mut self, by: f32) {
        match self.upward {
            false => self.at.0 += by * self.em,
            true => self.at.1 -= by * self.em,
        }
    }
}
