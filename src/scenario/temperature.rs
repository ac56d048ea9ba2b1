//! Temperatures, which are no multiple of a unit.

use super::quantity::Wrong;
use crate::units::customary;

/// The temperatures that are accepted, in degrees Celsius.
const COLDEST: f64 = -60.0;
const HOTTEST: f64 = 150.0;

/// Reads a temperature such as `18 C` or `-5 F`, in degrees Celsius.
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn celsius(text: &str) -> Result<f64, Wrong> {
    let digits = text.trim_end_matches(|c: char| !c.is_ascii_digit());
    let unit = text[digits.len()..].trim();
    let value = digits.trim().parse::<f64>().ok();
    let celsius = value.and_then(|value| match unit {
        "C" | "°C" => Some(value),
        "F" | "°F" => Some(customary::celsius(value)),
        _ => None,
    });
    match celsius {
        Some(value) if (COLDEST..=HOTTEST).contains(&value) => Ok(value),
        Some(_) => Err(Wrong {
            what: format!("nobody works or glues at {text}"),
            hint: format!("at least {COLDEST} C and at most {HOTTEST} C are accepted"),
        }),
        None => Err(Wrong {
            what: format!("`{text}` is not a temperature"),
            hint: "write a number with `C` or `F`, such as 18 C or 65 F".to_owned(),
        }),
    }
}
