//! How all charts look: sizes, colours and fillings.
//!
//! The colours are the palette of Okabe and Ito, "Color Universal Design" (2008), which people with any common kind of
//! colour blindness can tell apart. A filling is a colour and a hatch of its own, so that a print in black and white
//! still says which is which.

/// A colour as red, green and blue.
pub type Colour = (u8, u8, u8);

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
const PALE: Colour = (240, 240, 240);
const GREY: Colour = (200, 200, 200);

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

/// The hatch over a colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hatch {
    Plain,
    Up,
    Down,
    Cross,
    Upright,
    Level,
    Dots,
}

impl Hatch {
    /// All that are drawn, with the name of the pattern and its shape in a square of 48.
    pub const DRAWN: [(Hatch, &str, &str); 6] = [
        (
            Hatch::Up,
            "hatch-up",
            "M-12 12L12 -12M0 48L48 0M36 60L60 36",
        ),
        (
            Hatch::Down,
            "hatch-down",
            "M-12 36L12 60M0 0L48 48M36 -12L60 12",
        ),
        (Hatch::Cross, "hatch-cross", "M0 48L48 0M0 0L48 48"),
        (Hatch::Upright, "hatch-upright", "M24 0V48"),
        (Hatch::Level, "hatch-level", "M0 24H48"),
        (
            Hatch::Dots,
            "hatch-dots",
            "M20 8H28M20 16H28M0 32H4M0 40H4M44 32H48M44 40H48",
        ),
    ];
}

/// How an area is filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fill {
    pub colour: Colour,
    pub hatch: Hatch,
    /// The colour of a text on it.
    pub text: Colour,
}

const fn fill(colour: Colour, hatch: Hatch, text: Colour) -> Fill {
    Fill {
        colour,
        hatch,
        text,
    }
}

pub const EMPTY: Fill = fill(YELLOW, Hatch::Plain, TEXT);
pub const CARRYING: Fill = fill(ORANGE, Hatch::Up, TEXT);
pub const PUSHING: Fill = fill(VERMILLION, Hatch::Cross, TEXT);
pub const HANDLING: Fill = fill(SKY, Hatch::Down, TEXT);
pub const RUNNING: Fill = fill(BLUE, Hatch::Plain, WHITE);
pub const SETTING_UP: Fill = fill(PURPLE, Hatch::Upright, TEXT);
pub const CURING: Fill = fill(GREEN, Hatch::Level, TEXT);
pub const RESERVED: Fill = fill(GREY, Hatch::Dots, TEXT);
pub const BLOCKED: Fill = fill(VERMILLION, Hatch::Cross, TEXT);
pub const SERVICED: Fill = fill(TEXT, Hatch::Plain, WHITE);
/// What work waits for.
pub const FOR_STATION: Fill = fill(VERMILLION, Hatch::Cross, TEXT);
pub const FOR_GEAR: Fill = fill(PURPLE, Hatch::Upright, TEXT);
pub const FOR_PERSON: Fill = fill(SKY, Hatch::Down, TEXT);
pub const FOR_PARTS: Fill = fill(PALE, Hatch::Plain, FAINT);
pub const IDLE: Fill = fill(PALE, Hatch::Plain, FAINT);
/// What stands in the way on a floor, the floor that is to be kept free, and what stations cover.
pub const BLOCKED_FLOOR: Fill = fill(GREY, Hatch::Up, TEXT);
pub const KEPT_FREE: Fill = fill(WHITE, Hatch::Dots, TEXT);
pub const FOOTPRINT: Colour = PALE;
pub const WALL: Colour = (70, 70, 70);
/// Ways on a floor.
pub const LOADED: Colour = VERMILLION;
pub const UNLOADED: Colour = BLUE;
pub const STAYED: Colour = PURPLE;
/// The bottleneck: alone, and while it shifts from one to another.
pub const SOLE: Fill = fill(TEXT, Hatch::Plain, WHITE);
pub const SHIFTING: Fill = fill(GREY, Hatch::Up, TEXT);
pub const SAVED: Fill = fill(BLUE, Hatch::Plain, WHITE);
pub const ADDED: Fill = fill(ORANGE, Hatch::Up, TEXT);
/// A difference that may as well be none.
pub const UNSHOWN: Fill = fill(WHITE, Hatch::Plain, TEXT);

/// A curve's colour and dashes: lengths of line and gap in turn, none for a whole line.
pub type Stroke = (Colour, &'static [f64]);

/// Curves of a chart in this order, from the start again if there are more: seven colours and five kinds of dashes give
/// thirty-five that differ.
pub fn stroke(index: usize) -> Stroke {
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
