//! Lengths as people say them on a command line or in a table, and as a file has them.

use crate::experiment::Units;
use crate::scenario::quantity::{CommaBetweenDigits, Dimension, comma_between_digits, in_units};

pub use crate::units::customary::INCH;
pub const FOOT: f64 = 12.0 * INCH;

/// In which unit a bare number is meant, and whether a comma parts decimals wherever it stands.
#[derive(Debug, Clone, Copy)]
pub struct Bare {
    pub unit: &'static str,
    pub decimal_comma: bool,
}

impl Bare {
    pub fn in_unit(unit: &'static str) -> Bare {
        Bare {
            unit,
            decimal_comma: false,
        }
    }
}

/// A length above 0 in metres, in any spelling: `5' 6"`, `1 1/2`, `2,4 m`, `20 feet`.
///
/// # Errors
/// What would be right.
pub fn read_length(text: &str, bare: Bare) -> Result<f64, String> {
    let wrong = |hint: &str| Err(hint.to_owned());
    let mut plain = in_units(text);
    match comma_between_digits(&plain) {
        Some(CommaBetweenDigits::Sure(point)) => plain = point,
        Some(CommaBetweenDigits::OrThousands { point, .. }) if bare.decimal_comma => plain = point,
        Some(CommaBetweenDigits::OrThousands { point, thousands }) => {
            return wrong(&format!(
                "write `{point}` or `{thousands}`: a comma may mean either"
            ));
        }
        None => {}
    }
    let tried = [
        plain.clone(),
        format!("{plain} {}", bare.unit),
        // The inches of `5 ft 6`.
        format!("{plain} in"),
    ];
    let mut read = tried
        .iter()
        .filter_map(|text| Dimension::Length.read(text).ok());
    match read.next() {
        Some(metres) if metres > 0.0 => Ok(metres),
        Some(_) => wrong("it must be more than 0"),
        None => wrong(match bare.unit {
            "in" | "ft" => "write for example `30`, `30 1/2`, `2' 6\"` or `762 mm`",
            _ => "write for example `600`, `600 mm`, `60 cm` or `24 in`",
        }),
    }
}

/// The units that a text names, if it names some.
pub fn units_of(text: &str) -> Option<Units> {
    let plain = in_units(text);
    let mut words = plain.split(|letter: char| !letter.is_alphabetic());
    words.find_map(|word| match word {
        "ft" | "in" => Some(Units::Imperial),
        "m" | "cm" | "mm" => Some(Units::Metric),
        _ => None,
    })
}

/// A length as a file has it: what is taped in feet and inches or metres, with fractions of an inch to 1/64.
pub fn taped(metres: f64, units: Units) -> String {
    if metres.abs() < 1e-9 {
        return "0".to_owned();
    }
    match units {
        Units::Metric => format!("{} m", decimals(metres, 3)),
        Units::Imperial => {
            let inches = sixtyfourths(metres);
            let (feet, rest) = (inches / (12 * 64), inches % (12 * 64));
            match (feet, rest) {
                (0..3, _) if rest != 0 || feet == 0 => format!("{} in", inch_fraction(inches)),
                (_, 0) => format!("{feet} ft"),
                _ => format!("{feet} ft {} in", inch_fraction(rest)),
            }
        }
    }
}

/// A size of a piece as a file has it: in inches or in millimetres.
pub fn sized(metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} mm", decimals(metres * 1000.0, 1)),
        Units::Imperial => format!("{} in", inch_fraction(sixtyfourths(metres))),
    }
}

fn sixtyfourths(metres: f64) -> i64 {
    (metres / INCH * 64.0).round() as i64
}

fn inch_fraction(sixtyfourths: i64) -> String {
    let (whole, mut over) = (sixtyfourths / 64, sixtyfourths % 64);
    if over == 0 {
        return whole.to_string();
    }
    let mut under = 64;
    while over % 2 == 0 {
        (over, under) = (over / 2, under / 2);
    }
    match whole {
        0 => format!("{over}/{under}"),
        _ => format!("{whole}-{over}/{under}"),
    }
}

fn decimals(value: f64, most: usize) -> String {
    let text = format!("{value:.most$}");
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}
