//! Letters of the embedded font on a picture of pixels: each is drawn once and stamped wherever it occurs.

use std::collections::BTreeMap;
use std::sync::{LazyLock, OnceLock};

use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::{GlyphId, MetadataProvider};
use tiny_skia::{FillRule, Mask, Path, PathBuilder, Pixmap, Rect, Transform};

use super::Text;
use super::font::{EM, Face};
use super::paint::Colour;

/// A letter stands at one of so many places in a pixel along its line: closer than the eye sees. The line itself stands
/// on whole pixels, which keeps letters sharp.
const PLACES: f32 = 4.0;

/// The letters drawn so far.
#[derive(Default)]
pub struct Letters {
    stamps: BTreeMap<Look, Option<Stamp>>,
}

/// What decides how a letter looks.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Look {
    glyph: u32,
    is_bold: bool,
    is_upward: bool,
    /// The bits of the pixels in a unit of the font.
    em: u32,
    /// At which of the places of a pixel it begins.
    place: u8,
}

/// How much of each pixel a letter covers.
struct Stamp {
    covered: Mask,
    /// Of the first pixel, from the pixel in which the origin of the letter is.
    left: i32,
    top: i32,
}

impl Letters {
    /// Writes a text onto a picture that is transparent nowhere, with so many pixels to a unit of the scene.
    pub fn write(&mut self, pixmap: &mut Pixmap, text: &Text, factor: f64) {
        let (x, y) = text.start();
        let em = (text.size / EM * factor) as f32;
        let (across, down) = ((x * factor) as f32, (y * factor) as f32);
        // How far along the line the next letter begins, and on which row or column of pixels.
        let (mut along, line) = match text.upward {
            false => (across, down.round() as i32),
            true => (down, across.round() as i32),
        };
        let face = Face::weight(text.bold);
        for letter in text.text.chars() {
            let id = face.drawn(letter);
            let glyph = glyph(id, text.bold);
            let (pixel, place) = pixel(along);
            let look = Look {
                glyph: id.to_u32(),
                is_bold: text.bold,
                is_upward: text.upward,
                em: em.to_bits(),
                place,
            };
            let stamp = self.stamps.entry(look);
            let stamp = stamp.or_insert_with(|| Stamp::of(glyph.path.as_ref()?, &look));
            if let Some(stamp) = stamp {
                let at = match text.upward {
                    false => (pixel, line),
                    true => (line, pixel),
                };
                stamp.press(pixmap, at, text.colour);
            }
            let advance = match face.glyph(letter) {
                Some(_) => glyph.advance,
                // As wide as the layout takes it to be.
                None => EM as f32,
            };
            match text.upward {
                false => along += advance * em,
                true => along -= advance * em,
            }
        }
    }
}

/// The pixel nearest to a place in which a letter may stand, and which of its places that is.
fn pixel(at: f32) -> (i32, u8) {
    let places = (at * PLACES).round();
    let pixel = (places / PLACES).floor();
    (pixel as i32, (places - pixel * PLACES) as u8)
}

impl Stamp {
    fn of(path: &Path, look: &Look) -> Option<Stamp> {
        let em = f32::from_bits(look.em);
        let along = f32::from(look.place) / PLACES;
        // The font counts upwards.
        let placed = match look.is_upward {
            false => Transform::from_row(em, 0.0, 0.0, -em, along, 0.0),
            true => Transform::from_row(0.0, -em, -em, 0.0, 0.0, along),
        };
        let path = path.clone().transform(placed)?;
        let bounds: Rect = path.bounds();
        let (left, top) = (bounds.left().floor(), bounds.top().floor());
        let (width, height) = (bounds.right().ceil() - left, bounds.bottom().ceil() - top);
        let mut covered = Mask::new(width as u32, height as u32)?;
        let moved = Transform::from_translate(-left, -top);
        covered.fill_path(&path, FillRule::Winding, true, moved);
        Some(Stamp {
            covered,
            left: left as i32,
            top: top as i32,
        })
    }

    /// Covers what is on the picture with a colour, where the letter is on the picture.
    fn press(&self, pixmap: &mut Pixmap, (column, row): (i32, i32), (red, green, blue): Colour) {
        let wide = self.covered.width() as usize;
        let line = pixmap.width() as usize;
        let (left, top) = (column + self.left, row + self.top);
        // What lies before the left edge, or behind the right one.
        let skipped = usize::try_from(-left).unwrap_or(0).min(wide);
        let begin = usize::try_from(left).unwrap_or(0).min(line);
        let shown = wide.min(skipped + line - begin);
        let lines = self.covered.data().chunks_exact(wide);
        for (nth, covered) in lines.enumerate() {
            let Ok(y) = usize::try_from(top + nth as i32) else {
                continue;
            };
            let Some(pixels) = pixmap.data_mut().chunks_exact_mut(line * 4).nth(y) else {
                break;
            };
            let pixels = pixels[begin * 4..].chunks_exact_mut(4);
            for (pixel, &covered) in pixels.zip(&covered[skipped..shown]) {
                // Most of what is around a letter.
                if covered == 0 {
                    continue;
                }
                for (part, colour) in pixel.iter_mut().zip([red, green, blue]) {
                    *part = between(*part, colour, covered);
                }
            }
        }
    }
}

/// From one part of a colour to another, by a share in 255, rounded.
fn between(from: u8, to: u8, share: u8) -> u8 {
    let (from, to, share) = (u32::from(from), u32::from(to), u32::from(share));
    ((from * (255 - share) + to * share + 127) / 255) as u8
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

/// What the font has for a letter; read once.
fn glyph(id: GlyphId, bold: bool) -> &'static Glyph {
    let known = if bold { &BOLD } else { &REGULAR };
    let face = Face::weight(bold);
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
