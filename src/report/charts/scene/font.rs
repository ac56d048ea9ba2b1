//! The embedded font: which glyph draws a letter, and what it looks like.

use std::sync::LazyLock;

use skrifa::{FontRef, GlyphId, MetadataProvider};

/// Units of the font in one font size.
pub const EM: f64 = 2048.0;

pub static REGULAR: LazyLock<Face> =
    LazyLock::new(|| Face::of(include_bytes!("../font/Inter-Regular.ttf")));
pub static BOLD: LazyLock<Face> =
    LazyLock::new(|| Face::of(include_bytes!("../font/Inter-Bold.ttf")));

/// A letter that the font lacks is drawn as this one, since nothing at all would leave no trace.
const MISSING: char = '□';

/// One of the two weights.
pub struct Face {
    pub bytes: &'static [u8],
    font: FontRef<'static>,
}

impl Face {
    fn of(bytes: &'static [u8]) -> Face {
        let font = FontRef::new(bytes).expect("the font comes with the program");
        Face { bytes, font }
    }

    pub fn weight(bold: bool) -> &'static Face {
        if bold { &BOLD } else { &REGULAR }
    }

    /// The glyph of a letter, if the font has it.
    pub fn glyph(&self, letter: char) -> Option<GlyphId> {
        self.font.charmap().map(letter)
    }

    /// The glyph that is drawn for a letter.
    pub fn drawn(&self, letter: char) -> GlyphId {
        let glyph = self.glyph(letter).or_else(|| self.glyph(MISSING));
        glyph.unwrap_or_default()
    }

    pub fn font(&self) -> &FontRef<'static> {
        &self.font
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_that_the_font_lacks_leave_a_trace() {
        for face in [&REGULAR, &BOLD] {
            let is_boxed = |letter: char| face.drawn(letter) == face.drawn(MISSING);
            assert!(face.glyph(MISSING).is_some());
            assert_eq!(
                ['S', 'ä', '日', '本'].map(is_boxed),
                [false, false, true, true]
            );
        }
    }
}
