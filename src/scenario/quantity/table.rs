//! Dimensions, units and spellings, as tables.

use super::Dimension;
use crate::units::customary::{
    BOARD_FOOT, CFM, CUBIC_FOOT, FEET_A_MINUTE, FOOT, GALLON, HORSEPOWER, INCH, INCH_OF_WATER,
    POUND, SQUARE_FOOT, SQUARE_INCH,
};

/// What a dimension is called, which unit is suggested, and which range of values in SI units is accepted.
pub struct DimensionRow {
    pub dimension: Dimension,
    pub noun: &'static str,
    pub suggested: &'static str,
    pub examples: &'static str,
    /// The least above 0, and the most.
    pub range: (f64, f64),
    /// The limits in words.
    pub said: (&'static str, &'static str),
}

/// The limits are far outside anything in a shop, and small enough that no sum of a run overflows.
pub const DIMENSIONS: &[DimensionRow] = &[
    row(
        Dimension::Time,
        "a time",
        "min",
        "30 s, 5 min or 2 h",
        (0.0, 1e9),
        ("", "1e9 s (about 31 years)"),
    ),
    row(
        Dimension::Length,
        "a length",
        "m",
        "3.2 m, 60 cm, 3/4 in or 6 ft 8 in",
        (0.0, 1e6),
        ("", "1000 km"),
    ),
    row(
        Dimension::Speed,
        "a speed",
        "m/s",
        "1.2 m/s or 12 ft/min",
        (1e-6, 1e4),
        ("1e-6 m/s", "10 km/s"),
    ),
    row(
        Dimension::Mass,
        "a mass",
        "kg",
        "15 kg or 30 lb",
        (0.0, 1e9),
        ("", "a million tonnes"),
    ),
    row(
        Dimension::Density,
        "a density",
        "kg/m3",
        "650 kg/m3 or 40 lb/ft3",
        (1e-6, 1e6),
        ("1e-6 kg/m3", "1e6 kg/m3"),
    ),
    row(
        Dimension::Area,
        "an area",
        "m2",
        "2 m2 or 20 ft2",
        (0.0, 1e12),
        ("", "a million km2"),
    ),
    row(
        Dimension::AreaRate,
        "an area per time",
        "m2/min",
        "1 m2/min or 10 ft2/min",
        (1e-9, 1e9),
        ("1e-9 m2/s", "1e9 m2/s"),
    ),
    row(
        Dimension::Volume,
        "a volume",
        "l",
        "200 l or 12 bf",
        (0.0, 1e12),
        ("", "1e12 m3"),
    ),
    row(
        Dimension::Airflow,
        "an airflow",
        "m3/h",
        "800 m3/h or 450 cfm",
        (0.0, 1e9),
        ("", "1e9 m3/s"),
    ),
    row(
        Dimension::Pressure,
        "a pressure",
        "Pa",
        "1500 Pa or 6 inH2O",
        (0.0, 1e12),
        ("", "1e12 Pa"),
    ),
    row(
        Dimension::Power,
        "a power",
        "kW",
        "1.5 kW or 2 hp",
        (0.0, 1e12),
        ("", "1e12 W"),
    ),
    row(
        Dimension::Voltage,
        "a voltage",
        "V",
        "230 V",
        (0.0, 1e9),
        ("", "1e9 V"),
    ),
    row(
        Dimension::Current,
        "a current",
        "A",
        "16 A",
        (0.0, 1e9),
        ("", "1e9 A"),
    ),
    row(
        Dimension::Share,
        "a percentage",
        "%",
        "5 %",
        (0.0, 1.0),
        ("", "100 %"),
    ),
    row(
        Dimension::LightOutput,
        "an output of light",
        "lm",
        "4500 lm",
        (0.0, 1e9),
        ("", "1e9 lm"),
    ),
    row(
        Dimension::Illuminance,
        "an illuminance",
        "lx",
        "500 lx",
        (0.0, 1e9),
        ("", "1e9 lx"),
    ),
    row(
        Dimension::SoundLevel,
        "a sound level",
        "dB",
        "85 dB",
        (0.0, 200.0),
        ("", "200 dB"),
    ),
];

const fn row(
    dimension: Dimension,
    noun: &'static str,
    suggested: &'static str,
    examples: &'static str,
    range: (f64, f64),
    said: (&'static str, &'static str),
) -> DimensionRow {
    DimensionRow {
        dimension,
        noun,
        suggested,
        examples,
        range,
        said,
    }
}

/// A unit and its size in SI units.
pub struct UnitRow {
    pub name: &'static str,
    pub dimension: Dimension,
    pub si: f64,
}

const fn unit(name: &'static str, dimension: Dimension, si: f64) -> UnitRow {
    UnitRow {
        name,
        dimension,
        si,
    }
}

/// Every unit. Conversion factors: NIST Special Publication 811, appendix B (from memory), where not by definition.
pub const UNITS: &[UnitRow] = &[
    unit("mm", Dimension::Length, 1e-3),
    unit("cm", Dimension::Length, 1e-2),
    unit("m", Dimension::Length, 1.0),
    unit("in", Dimension::Length, INCH),
    unit("ft", Dimension::Length, FOOT),
    unit("ms", Dimension::Time, 1e-3),
    unit("s", Dimension::Time, 1.0),
    unit("min", Dimension::Time, 60.0),
    unit("h", Dimension::Time, 3600.0),
    unit("d", Dimension::Time, 86_400.0),
    unit("wk", Dimension::Time, 604_800.0),
    unit("m/s", Dimension::Speed, 1.0),
    unit("m/min", Dimension::Speed, 1.0 / 60.0),
    unit("km/h", Dimension::Speed, 1.0 / 3.6),
    unit("ft/s", Dimension::Speed, FOOT),
    unit("ft/min", Dimension::Speed, FEET_A_MINUTE),
    unit("mph", Dimension::Speed, 0.447_04),
    unit("kg", Dimension::Mass, 1.0),
    unit("g", Dimension::Mass, 1e-3),
    unit("lb", Dimension::Mass, POUND),
    unit("m2", Dimension::Area, 1.0),
    unit("ft2", Dimension::Area, SQUARE_FOOT),
    unit("in2", Dimension::Area, SQUARE_INCH),
    unit("l", Dimension::Volume, 1e-3),
    unit("m3", Dimension::Volume, 1.0),
    unit("ft3", Dimension::Volume, CUBIC_FOOT),
    unit("gal", Dimension::Volume, GALLON),
    unit("bf", Dimension::Volume, BOARD_FOOT),
    unit("m3/h", Dimension::Airflow, 1.0 / 3600.0),
    unit("l/s", Dimension::Airflow, 1e-3),
    unit("cfm", Dimension::Airflow, CFM),
    unit("Pa", Dimension::Pressure, 1.0),
    unit("inH2O", Dimension::Pressure, INCH_OF_WATER),
    unit("W", Dimension::Power, 1.0),
    unit("kW", Dimension::Power, 1000.0),
    unit("hp", Dimension::Power, HORSEPOWER),
    unit("V", Dimension::Voltage, 1.0),
    unit("A", Dimension::Current, 1.0),
    unit("kg/m3", Dimension::Density, 1.0),
    unit("g/cm3", Dimension::Density, 1000.0),
    unit("lb/ft3", Dimension::Density, POUND / CUBIC_FOOT),
    unit("%", Dimension::Share, 0.01),
    unit("lm", Dimension::LightOutput, 1.0),
    unit("lx", Dimension::Illuminance, 1.0),
    unit("dB", Dimension::SoundLevel, 1.0),
];

/// What is suggested instead where a scenario is shown in feet.
pub const IMPERIAL: &[(Dimension, &str)] = &[
    (Dimension::Length, "in"),
    (Dimension::Speed, "ft/min"),
    (Dimension::Mass, "lb"),
    (Dimension::Density, "lb/ft3"),
    (Dimension::Area, "ft2"),
    (Dimension::AreaRate, "ft2/min"),
];

/// Spellings that people use, and the unit that they mean.
pub const SPELLINGS: &[(&str, &str)] = &[
    ("sec", "s"),
    ("secs", "s"),
    ("second", "s"),
    ("seconds", "s"),
    ("mins", "min"),
    ("minute", "min"),
    ("minutes", "min"),
    ("hr", "h"),
    ("hrs", "h"),
    ("hour", "h"),
    ("hours", "h"),
    ("day", "d"),
    ("days", "d"),
    ("w", "wk"),
    ("week", "wk"),
    ("weeks", "wk"),
    ("metre", "m"),
    ("metres", "m"),
    ("meter", "m"),
    ("meters", "m"),
    ("inch", "in"),
    ("inches", "in"),
    ("\"", "in"),
    ("'", "ft"),
    ("foot", "ft"),
    ("feet", "ft"),
    ("kph", "km/h"),
    ("kmh", "km/h"),
    ("fpm", "ft/min"),
    ("lbs", "lb"),
    ("pound", "lb"),
    ("pounds", "lb"),
    ("kilo", "kg"),
    ("percent", "%"),
    ("pct", "%"),
    ("sqft", "ft2"),
    ("litre", "l"),
    ("liter", "l"),
    ("L", "l"),
    ("dBA", "dB"),
    ("dB(A)", "dB"),
];
