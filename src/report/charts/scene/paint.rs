//! What areas are filled with.

/// A colour as red, green and blue.
pub type Colour = (u8, u8, u8);

/// A colour as it is written in SVG and JSON.
pub fn hex((red, green, blue): Colour) -> String {
    format!("#{red:02X}{green:02X}{blue:02X}")
}

/// A filling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paint {
    pub colour: Colour,
    /// From 0, which does not show, to 1, through which nothing below shows. A hatch always covers.
    pub opacity: f64,
    pub hatch: Hatch,
    /// Whether the hatch is half as large, for narrow areas.
    pub fine: bool,
}

/// The lines over a colour.
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

/// A straight line from one point to another.
type HatchLine = [(f64, f64); 2];

impl Hatch {
    /// The side of the square that is repeated, and how wide its lines are.
    pub const TILE: f64 = 6.0;
    pub const STROKE: f64 = 0.875;

    pub fn name(self) -> &'static str {
        match self {
            Hatch::Plain => "plain",
            Hatch::Up => "up",
            Hatch::Down => "down",
            Hatch::Cross => "cross",
            Hatch::Upright => "upright",
            Hatch::Level => "level",
            Hatch::Dots => "dots",
        }
    }

    /// The lines in the square that is repeated.
    pub fn lines(self) -> &'static [HatchLine] {
        const UP: &[HatchLine] = &[
            [(-1.5, 1.5), (1.5, -1.5)],
            [(0.0, 6.0), (6.0, 0.0)],
            [(4.5, 7.5), (7.5, 4.5)],
        ];
        const DOWN: &[HatchLine] = &[
            [(-1.5, 4.5), (1.5, 7.5)],
            [(0.0, 0.0), (6.0, 6.0)],
            [(4.5, -1.5), (7.5, 1.5)],
        ];
        // The corners are cut off by the square, and completed by the lines of its neighbours.
        const CROSS: &[HatchLine] = &[
            [(-1.5, 7.5), (7.5, -1.5)],
            [(-1.5, -1.5), (7.5, 7.5)],
            [(-1.5, 1.5), (1.5, -1.5)],
            [(4.5, 7.5), (7.5, 4.5)],
            [(-1.5, 4.5), (1.5, 7.5)],
            [(4.5, -1.5), (7.5, 1.5)],
        ];
        const DOTS: &[HatchLine] = &[
            [(2.5, 1.0), (3.5, 1.0)],
            [(2.5, 2.0), (3.5, 2.0)],
            [(0.0, 4.0), (0.5, 4.0)],
            [(0.0, 5.0), (0.5, 5.0)],
            [(5.5, 4.0), (6.0, 4.0)],
            [(5.5, 5.0), (6.0, 5.0)],
        ];
        match self {
            Hatch::Plain => &[],
            Hatch::Up => UP,
            Hatch::Down => DOWN,
            Hatch::Cross => CROSS,
            Hatch::Upright => &[[(3.0, 0.0), (3.0, 6.0)]],
            Hatch::Level => &[[(0.0, 3.0), (6.0, 3.0)]],
            Hatch::Dots => DOTS,
        }
    }
}
