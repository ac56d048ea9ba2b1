//! Lengths in feet and inches.

use crate::units::customary::INCH;

/// Up to three feet in inches, beyond that in feet and inches, to an eighth of an inch: as on a tape, and as a file may have
/// it.
pub fn feet_and_inches(metres: f64) -> String {
    const EIGHTHS: u64 = 8;
    let eighths = (metres.abs() / INCH * EIGHTHS as f64).round();
    if eighths.is_nan() || eighths > 1e12 {
        return format!("{:.1} ft", metres / (12.0 * INCH));
    }
    let eighths = eighths as u64;
    let sign = if metres < 0.0 && eighths > 0 { "-" } else { "" };
    let (feet, rest) = match eighths > 36 * EIGHTHS {
        true => (eighths / (12 * EIGHTHS), eighths % (12 * EIGHTHS)),
        false => (0, eighths),
    };
    let (whole, part) = (rest / EIGHTHS, rest % EIGHTHS);
    let fraction = match part {
        0 => String::new(),
        2 | 6 => format!("{}/4", part / 2),
        4 => "1/2".to_owned(),
        part => format!("{part}/8"),
    };
    let inches = match (whole, fraction.is_empty()) {
        (whole, true) => format!("{whole} in"),
        (0, false) => format!("{fraction} in"),
        (whole, false) => format!("{whole}-{fraction} in"),
    };
    match (feet, rest) {
        (0, _) => format!("{sign}{inches}"),
        (feet, 0) => format!("{sign}{feet} ft"),
        (feet, _) => format!("{sign}{feet} ft {inches}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_written_as_on_a_tape() {
        for (inches, written) in [
            (0.0, "0 in"),
            (-0.01, "0 in"),
            (0.13, "1/8 in"),
            (-22.25, "-22-1/4 in"),
            (36.0, "36 in"),
            (36.5, "3 ft 1/2 in"),
            (203.75, "16 ft 11-3/4 in"),
            (240.0, "20 ft"),
        ] {
            assert_eq!(feet_and_inches(inches * 0.0254), written);
        }
    }
}
