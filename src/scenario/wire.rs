//! Wires by their gauge or their section.

use super::quantity::Wrong;
use crate::services::power::Conductor;

/// Sections that are accepted, in mm².
const THINNEST: f64 = 0.2;
const THICKEST: f64 = 400.0;

const SQUARE_MILLIMETRE: f64 = 1e-6;

/// Reads a copper wire such as `12 AWG` or `2.5 mm2`.
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn wire(text: &str) -> Result<Conductor, Wrong> {
    const HINT: &str = "write its gauge or its section, such as 12 AWG or 2.5 mm2";
    let not_one = || Wrong {
        what: format!("`{text}` is not a wire"),
        hint: HINT.to_owned(),
    };
    let end = text
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .ok_or_else(not_one)?;
    let (digits, unit) = text.split_at(end);
    let number: f64 = digits.parse().map_err(|_| not_one())?;
    match unit.trim() {
        "AWG" => {
            let whole = (number.fract() == 0.0).then_some(number as u32);
            whole.and_then(Conductor::gauge).ok_or_else(|| {
                let gauges: Vec<String> =
                    Conductor::gauges().map(|gauge| gauge.to_string()).collect();
                Wrong {
                    what: format!("nothing is known of a wire of `{text}`"),
                    hint: format!(
                        "there are {} AWG; of others write the section, such as 13.3 mm2",
                        gauges.join(", ")
                    ),
                }
            })
        }
        "mm2" if (THINNEST..=THICKEST).contains(&number) => Ok(Conductor {
            area: number * SQUARE_MILLIMETRE,
        }),
        "mm2" => Err(Wrong {
            what: format!("`{text}` is no section of a wire in a shop"),
            hint: format!("at least {THINNEST} mm2 and at most {THICKEST} mm2 are accepted"),
        }),
        _ => Err(not_one()),
    }
}
