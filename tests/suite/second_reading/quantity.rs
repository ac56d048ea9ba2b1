//! Numbers with units, as a scenario writes them.

use serde_json::Value;

/// Units of one dimension and their size in SI.
type Units = &'static [(&'static str, f64)];

const LENGTHS: Units = &[
    ("mm", 0.001),
    ("cm", 0.01),
    ("m", 1.0),
    ("in", 0.0254),
    ("ft", 0.3048),
];
const TIMES: Units = &[
    ("ms", 0.001),
    ("s", 1.0),
    ("min", 60.0),
    ("h", 3600.0),
    ("d", 86_400.0),
    ("wk", 604_800.0),
];
const SPEEDS: Units = &[
    ("m/s", 1.0),
    ("m/min", 1.0 / 60.0),
    ("km/h", 1.0 / 3.6),
    ("ft/s", 0.3048),
    ("ft/min", 0.3048 / 60.0),
    ("mph", 0.44704),
];
const MASSES: Units = &[("kg", 1.0), ("g", 0.001), ("lb", 0.453_592_37)];
const AREAS: Units = &[
    ("m2", 1.0),
    ("ft2", 0.3048 * 0.3048),
    ("in2", 0.0254 * 0.0254),
];

/// `12`, `3/4` or `1-3/4` as a number.
fn number(text: &str) -> f64 {
    let plain = |t: &str| -> f64 {
        t.parse()
            .unwrap_or_else(|_| panic!("{text} is not a number"))
    };
    let fraction = |t: &str| match t.split_once('/') {
        Some((over, under)) => plain(over) / plain(under),
        None => plain(t),
    };
    match text.split_once('-') {
        Some((whole, rest)) if !whole.is_empty() => plain(whole) + fraction(rest),
        Some((_, rest)) => -fraction(rest),
        None => fraction(text),
    }
}

/// Sums pairs of a number and a unit, such as `6 ft 8 in`; a bare `0` needs no unit.
fn measure(value: &Value, units: Units) -> f64 {
    if value.as_f64() == Some(0.0) {
        return 0.0;
    }
    let text = value
        .as_str()
        .unwrap_or_else(|| panic!("{value} has no unit"));
    let words: Vec<&str> = text.split_whitespace().collect();
    if words == ["0"] {
        return 0.0;
    }
    assert!(
        !words.is_empty() && words.len().is_multiple_of(2),
        "{text} is not pairs of number and unit"
    );
    words
        .chunks(2)
        .map(|pair| {
            let unit = units.iter().find(|u| u.0 == pair[1]);
            let (_, size) = unit.unwrap_or_else(|| panic!("{} is no unit here", pair[1]));
            number(pair[0]) * size
        })
        .sum()
}

/// A length in whole nanometres.
pub fn length_nm(value: &Value) -> i64 {
    (measure(value, LENGTHS) * 1e9).round() as i64
}

/// A duration in seconds, not yet rounded: a phase is rounded as a whole.
pub fn seconds(value: &Value) -> f64 {
    measure(value, TIMES)
}

/// A duration in whole microseconds.
pub fn micros(value: &Value) -> i64 {
    round_micros(seconds(value))
}

/// Seconds as whole microseconds, halves away from zero.
pub fn round_micros(seconds: f64) -> i64 {
    (seconds * 1e6).round() as i64
}

/// A speed in m/s.
pub fn speed(value: &Value) -> f64 {
    measure(value, SPEEDS)
}

/// A mass in kg.
pub fn mass_kg(value: &Value) -> f64 {
    measure(value, MASSES)
}

/// A rate such as `2 m2/h`, or a density such as `650 kg/m3`: one unit over another.
fn ratio(value: &Value, over: Units, under: Units) -> f64 {
    let text = value
        .as_str()
        .unwrap_or_else(|| panic!("{value} has no unit"));
    let (amount, unit) = text
        .rsplit_once(' ')
        .unwrap_or_else(|| panic!("{text} has no unit"));
    let (a, b) = unit
        .split_once('/')
        .unwrap_or_else(|| panic!("{unit} is no ratio"));
    let size = |name: &str, units: Units| units.iter().find(|u| u.0 == name).map(|u| u.1);
    let (Some(a), Some(b)) = (size(a, over), size(b, under)) else {
        panic!("{unit} is no unit here");
    };
    number(amount) * a / b
}

/// An area per time in m²/s.
pub fn area_rate(value: &Value) -> f64 {
    ratio(value, AREAS, TIMES)
}

/// A mass per volume in kg/m³.
pub fn density(value: &Value) -> f64 {
    ratio(
        value,
        MASSES,
        &[("m3", 1.0), ("ft3", 0.3048 * 0.3048 * 0.3048)],
    )
}

/// A temperature in °C.
pub fn celsius(value: &Value) -> f64 {
    let text = value
        .as_str()
        .unwrap_or_else(|| panic!("{value} has no unit"));
    let degrees = text.strip_suffix(" C");
    number(degrees.unwrap_or_else(|| panic!("{text} is not in degrees C")))
}

/// A whole number.
pub fn whole(value: &Value) -> i64 {
    let number = value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is not a number"));
    assert!(number.fract() == 0.0, "{value} is not a whole number");
    number as i64
}
