//! How all charts look: sizes, colours and fillings. What each filling means is in `meaning.rs`.
//!
//! The colours are the palette of Okabe and Ito, "Color Universal Design" (2008).

pub use super::scene::paint::{Colour, Hatch};

pub const BLACK: Colour = (0, 0, 0);
pub const ORANGE: Colour = (230, 159, 0);
pub const SKY: Colour = (86, 180, 233);
pub const GREEN: Colour = (0, 158, 115);
pub const YELLOW: Colour = (240, 228, 66);
pub const BLUE: Colour = (0, 114, 178);
pub const VERMILLION: Colour = (213, 94, 0);
pub const PURPLE: Colour = (204, 121, 167);

pub const WHITE: Colour = (255, 255, 255);
pub const TEXT: Colour = (30, 30, 30);
/// Of texts that matter less.
pub const FAINT: Colour = (90, 90, 90);
pub const GRID: Colour = (221, 221, 221);
pub const EDGE: Colour = (120, 120, 120);

/// The width of every chart at scale 1; heights follow the contents.
const WIDTH: f64 = 1000.0;
/// What the picture gains for each 1 of scale, in parts of its width: at scale 2 a PNG is 1920 pixels wide, as many as
/// most projectors have.
const GROWTH: f64 = 0.28;
/// Free room on all sides.
pub const MARGIN: f64 = 20.0;
/// Font sizes.
pub const TITLE: f64 = 18.0;
pub const BODY: f64 = 12.0;
pub const SMALL: f64 = 10.5;
/// Marks the bottleneck.
pub const MARK: &str = "◆";

/// The width to lay a chart out in, in units that are shown `scale` times as large.
///
/// Texts and strokes have fixed sizes in these units, so a chart of twice the scale has texts and strokes twice as
/// large, in a picture that is hardly larger: there is less room in it, and charts arrange themselves in what there is.
pub fn width(scale: f64) -> f64 {
    (WIDTH * (1.0 + GROWTH * (scale - 1.0)) / scale).round()
}

/// How an area is filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fill {
    pub colour: Colour,
    pub hatch: Hatch,
}

impl Fill {
    pub const fn plain(colour: Colour) -> Fill {
        Fill {
            colour,
            hatch: Hatch::Plain,
        }
    }

    /// The colour below a text: a light tint keeps a hatch off it.
    pub fn plate(self) -> Colour {
        const WHITE_PART: f64 = 0.7;
        let tint = |part: u8| (f64::from(part) + (255.0 - f64::from(part)) * WHITE_PART).round();
        let (red, green, blue) = self.colour;
        match self.hatch {
            Hatch::Plain => self.colour,
            _ => (tint(red) as u8, tint(green) as u8, tint(blue) as u8),
        }
    }
}

/// The colour of a text on a colour: the usual one if it is dark enough for that, else the other.
pub fn ink(below: Colour) -> Colour {
    let inks = [TEXT, BLACK, WHITE];
    let legible = inks
        .into_iter()
        .find(|ink| contrast(*ink, below) >= LEGIBLE);
    legible.unwrap_or(BLACK)
}

/// The least contrast of a text (W3C, Web Content Accessibility Guidelines 2.1, success criterion 1.4.3).
const LEGIBLE: f64 = 4.5;

/// From 1 to 21, by the relative luminance of the two colours (Web Content Accessibility Guidelines 2.1).
fn contrast(one: Colour, other: Colour) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

fn luminance((red, green, blue): Colour) -> f64 {
    let linear = |part: u8| {
        let part = f64::from(part) / 255.0;
        match part <= 0.03928 {
            true => part / 12.92,
            false => libm::pow((part + 0.055) / 1.055, 2.4),
        }
    };
    0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)
}

/// Behind a row that stands out.
pub const BAND: Colour = (240, 240, 240);
pub const WALL: Colour = (70, 70, 70);

/// A curve's colour and dashes: lengths of line and gap in turn, none for a whole line.
pub type CurveStyle = (Colour, &'static [f64]);

/// Curves of a chart in this order, from the start again if there are more: seven colours and five kinds of dashes give
/// thirty-five that differ.
pub fn stroke(index: usize) -> CurveStyle {
    // Yellow lines do not show on white.
    const COLOURS: [Colour; 7] = [BLUE, VERMILLION, GREEN, BLACK, PURPLE, ORANGE, SKY];
    const DASHES: [&[f64]; 5] = [
        &[],
        &[9.0, 4.0],
        &[2.5, 3.0],
        &[10.0, 3.0, 2.5, 3.0],
        &[18.0, 4.0],
    ];
    (COLOURS[index % COLOURS.len()], DASHES[index % DASHES.len()])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The contrasts of the guidelines' own examples: black on white is 21, and #767676 on white is the lightest grey
    /// of 4.5 (from memory).
    #[test]
    fn contrast_is_that_of_the_guidelines() {
        assert!((contrast(BLACK, WHITE) - 21.0).abs() < 1e-9);
        assert!(contrast((118, 118, 118), WHITE) >= LEGIBLE);
        assert!(contrast((119, 119, 119), WHITE) < LEGIBLE);
    }

    #[test]
    fn texts_on_fillings_can_be_read() {
        let fills = super::super::meaning::MEANINGS.map(|meaning| meaning.fill);
        for fill in fills {
            let plate = fill.plate();
            let found = contrast(ink(plate), plate);
            assert!(found >= LEGIBLE, "{fill:?}: {found}");
        }
    }
}
