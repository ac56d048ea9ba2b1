//! Units in which shops and handbooks of the United States write, in SI units.

/// Exact by definition since the international yard and pound agreement of 1959, as is the pound.
pub const INCH: f64 = 0.0254;
pub const FOOT: f64 = 0.3048;
pub const SQUARE_INCH: f64 = INCH * INCH;
pub const SQUARE_FOOT: f64 = FOOT * FOOT;
pub const CUBIC_FOOT: f64 = FOOT * FOOT * FOOT;
pub const POUND: f64 = 0.453_592_37;
/// 231 cubic inches.
pub const GALLON: f64 = 231.0 * INCH * INCH * INCH;
/// 144 cubic inches.
pub const BOARD_FOOT: f64 = 144.0 * INCH * INCH * INCH;
/// Cubic feet a minute, in m³/s.
pub const CFM: f64 = CUBIC_FOOT / 60.0;
/// Feet a minute, in m/s.
pub const FEET_A_MINUTE: f64 = FOOT / 60.0;
/// Of conventional water, in Pa: NIST Special Publication 811, appendix B (from memory).
pub const INCH_OF_WATER: f64 = 249.088_91;
/// Of electric motors, in W: exact, and a little more than the 550 foot-pounds a second of engines (NIST Special Publication
/// 811, appendix B, from memory).
pub const HORSEPOWER: f64 = 746.0;
/// A British thermal unit of the International Table, in J.
pub const BTU: f64 = 1_055.055_852_62;
/// In W.
pub const BTU_AN_HOUR: f64 = BTU / 3600.0;
/// A degree Fahrenheit, as a difference of temperatures in K.
pub const FAHRENHEIT: f64 = 5.0 / 9.0;

/// Degrees Celsius of a temperature in degrees Fahrenheit.
pub const fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) * FAHRENHEIT
}

/// Degrees Fahrenheit of a temperature in degrees Celsius.
pub const fn fahrenheit(celsius: f64) -> f64 {
    celsius / FAHRENHEIT + 32.0
}
