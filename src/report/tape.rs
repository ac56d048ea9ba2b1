//! Lengths as one reads them off a tape measure.

use super::figure::{METRES_PER_FOOT, MINUS, fixed};
use crate::experiment::Units;
use crate::units::customary::INCH as INCH_M;

/// How a length is rounded to the marks of a tape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rounding {
    Nearest,
    /// For what something may measure at most.
    Down,
    /// For what it takes at least.
    Up,
}

/// Metres: a length this close to a mark counts as on the mark, since arithmetic rounds.
const ON_THE_MARK_M: f64 = 1e-6;

impl Rounding {
    /// How many marks a length is, where one mark is so many metres from the next.
    fn marks(self, metres: f64, mark: f64) -> f64 {
        match self {
            Rounding::Nearest => (metres / mark).round(),
            Rounding::Down => ((metres + ON_THE_MARK_M) / mark).floor(),
            Rounding::Up => ((metres - ON_THE_MARK_M) / mark).ceil(),
        }
    }
}

/// A length as one reads it off a tape: to the millimetre, or to an eighth of an inch; from a metre on to the
/// centimetre.
pub fn tape(units: Units, metres: f64, rounding: Rounding) -> String {
    // Rounding to marks first would change how halves are rounded to the nearest.
    let rounded = |mark: f64| match rounding {
        Rounding::Nearest => metres,
        _ => rounding.marks(metres, mark) * mark,
    };
    match units {
        Units::Metric if metres.abs() < 1.0 => {
            let centimetres = format!("{:.1}", rounded(1e-3) * 100.0);
            match centimetres.trim_end_matches(".0") {
                // What rounds to nothing lies on no side of it.
                "-0" => "0 cm".to_owned(),
                centimetres => format!("{centimetres} cm"),
            }
        }
        Units::Metric => format!("{:.2} m", rounded(1e-2)),
        Units::Imperial => feet_and_inches(metres, rounding, 8),
    }
}

/// A length as one marks it on the floor: to the millimetre, or to a sixteenth of an inch.
pub fn exact_tape(units: Units, metres: f64) -> String {
    match units {
        Units::Metric => format!("{} cm", fixed(metres.abs() * 100.0, 1)),
        Units::Imperial => feet_and_inches(metres.abs(), Rounding::Nearest, 16),
    }
}

/// Up to three feet in inches, as clearances are given; beyond that in feet and inches.
///
/// An inch has so many marks, a power of two.
fn feet_and_inches(metres: f64, rounding: Rounding, inch: u64) -> String {
    let marks = rounding.marks(metres, INCH_M / inch as f64);
    let sign = if marks < 0.0 { MINUS } else { "" };
    let marks = marks.abs();
    if !marks.is_finite() || marks > 1e12 {
        return format!("{} ft", fixed(metres / METRES_PER_FOOT, 1));
    }
    let marks = marks as u64;
    let (feet, rest) = if marks > 36 * inch {
        (marks / (12 * inch), marks % (12 * inch))
    } else {
        (0, marks)
    };
    let (whole, part) = (rest / inch, rest % inch);
    // A fraction in its least terms, as marks of a tape are called.
    let halved = part.trailing_zeros().min(inch.trailing_zeros());
    let fraction = match part {
        0 => String::new(),
        _ => format!("{}/{}", part >> halved, inch >> halved),
    };
    let inches = match (whole, fraction.as_str()) {
        (0, "") if feet > 0 => String::new(),
        (whole, "") => format!("{whole} in"),
        (0, fraction) => format!("{fraction} in"),
        (whole, fraction) => format!("{whole}-{fraction} in"),
    };
    match (feet, inches.is_empty()) {
        (0, _) => format!("{sign}{inches}"),
        (feet, true) => format!("{sign}{feet} ft"),
        (feet, false) => format!("{sign}{feet} ft {inches}"),
    }
}

/// A thickness or a depth of cut: to a tenth of a millimetre, or to 1/64 in.
pub fn fine(units: Units, metres: f64) -> String {
    match units {
        Units::Metric => {
            let millimetres = format!("{:.1}", metres * 1e3);
            format!("{} mm", millimetres.trim_end_matches(".0"))
        }
        Units::Imperial => {
            let parts = (metres / INCH_M * 64.0).round();
            if !(0.0..1e12).contains(&parts) {
                return feet_and_inches(metres, Rounding::Nearest, 8);
            }
            let (whole, part) = (parts as u64 / 64, parts as u64 % 64);
            let halved = part.trailing_zeros().min(6);
            let fraction = format!("{}/{}", part >> halved, 64 >> halved);
            match (whole, part) {
                (whole, 0) => format!("{whole} in"),
                (0, _) => format!("{fraction} in"),
                (whole, _) => format!("{whole}-{fraction} in"),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_read_off_a_tape() {
        let imperial = |inches: f64| tape(Units::Imperial, inches * 0.0254, Rounding::Nearest);
        let shown: Vec<String> = [0.0, 0.5, 28.0, 36.0, 222.0, 96.0, 18.75, -2.125]
            .map(imperial)
            .into();
        let expected = [
            "0 in",
            "1/2 in",
            "28 in",
            "36 in",
            "18 ft 6 in",
            "8 ft",
            "18-3/4 in",
            "−2-1/8 in",
        ];
        assert_eq!(shown, expected);
        let metric: Vec<String> = [0.3, 0.455, 1.25, 0.0]
            .map(|m| tape(Units::Metric, m, Rounding::Nearest))
            .into();
        assert_eq!(metric, ["30 cm", "45.5 cm", "1.25 m", "0 cm"]);
    }

    #[test]
    fn thicknesses_are_read_off_a_finer_measure() {
        let inches = [0.0, 1.0 / 64.0, 3.0 / 32.0, 0.25, 0.75, 1.0625, 2.0];
        let shown = inches.map(|inches| fine(Units::Imperial, inches * 0.0254));
        let expected = [
            "0 in",
            "1/64 in",
            "3/32 in",
            "1/4 in",
            "3/4 in",
            "1-1/16 in",
            "2 in",
        ];
        assert_eq!(shown, expected);
        let shown = [0.0004, 0.0016, 0.006, 0.019].map(|metres| fine(Units::Metric, metres));
        assert_eq!(shown, ["0.4 mm", "1.6 mm", "6 mm", "19 mm"]);
    }

    #[test]
    fn what_is_marked_on_the_floor_is_read_to_a_sixteenth_or_a_millimetre() {
        let imperial: Vec<String> = [0.0, 0.3125, 36.0, 61.1875, 62.125, 72.0, 24.51]
            .map(|inches| exact_tape(Units::Imperial, inches * 0.0254))
            .into();
        let expected = [
            "0 in",
            "5/16 in",
            "36 in",
            "5 ft 1-3/16 in",
            "5 ft 2-1/8 in",
            "6 ft",
            "24-1/2 in",
        ];
        assert_eq!(imperial, expected);
        let metric = [0.0, 1.2344, 0.3, 12.0].map(|metres| exact_tape(Units::Metric, metres));
        assert_eq!(metric, ["0 cm", "123.4 cm", "30.0 cm", "1200.0 cm"]);
    }

    #[test]
    fn limits_are_rounded_down_and_what_is_missing_up() {
        let both = |units: Units, metres: f64| {
            [Rounding::Down, Rounding::Up].map(|rounding| tape(units, metres, rounding))
        };
        // The corner of 36 and 36 in for a board 1 in wide: 2 sqrt(2) 36 - 2 = 99.823 in.
        let limit = (2.0 * 2.0_f64.sqrt() * 36.0 - 2.0) * 0.0254;
        assert_eq!(
            both(Units::Imperial, limit),
            ["8 ft 3-3/4 in", "8 ft 3-7/8 in"]
        );
        assert_eq!(both(Units::Metric, 2.738), ["2.73 m", "2.74 m"]);
        assert_eq!(both(Units::Metric, 0.12345), ["12.3 cm", "12.4 cm"]);
        // The least fault has a tenth of a millimetre missing, which is not nothing.
        assert_eq!(both(Units::Imperial, 1.1e-4), ["0 in", "1/8 in"]);
        // On a mark, whatever the last digits.
        for hair in [-1e-9, 0.0, 1e-9] {
            assert_eq!(both(Units::Imperial, 96.0 * 0.0254 + hair), ["8 ft"; 2]);
            assert_eq!(both(Units::Metric, 0.3 + hair), ["30 cm"; 2]);
        }
        assert_eq!(both(Units::Metric, -0.1234), ["-12.4 cm", "-12.3 cm"]);
        // Nothing is written without a sign.
        for metres in [-0.0, -1e-7] {
            assert_eq!(both(Units::Metric, metres), ["0 cm"; 2]);
            assert_eq!(tape(Units::Metric, metres, Rounding::Nearest), "0 cm");
        }
        assert_eq!(tape(Units::Metric, -4e-4, Rounding::Nearest), "0 cm");
    }
}
