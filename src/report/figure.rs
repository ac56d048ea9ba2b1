//! Figures as people read them, in sentences, tables and charts alike: a length in metres or feet, a time in the unit that
//! suits its size.

use crate::experiment::Units;
use crate::statistics::Estimate;

pub const METRES_PER_FOOT: f64 = 0.3048;

/// The one minus sign of tables and sentences.
const MINUS: &str = "−";

/// The end of an interval is written with at most this many digits behind the decimal point; what is left is rounding.
const MOST_DIGITS: usize = 12;

/// Sides of an interval whose lengths differ by at most this share of the longer one are written as one half-width.
const UNEVEN: f64 = 0.1;

/// A unit that a figure is shown in: what one of it is in SI units, and its sign.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    pub per_unit: f64,
    pub sign: &'static str,
}

pub fn length_unit(units: Units) -> Shown {
    match units {
        Units::Metric => Shown {
            per_unit: 1.0,
            sign: "m",
        },
        Units::Imperial => Shown {
            per_unit: METRES_PER_FOOT,
            sign: "ft",
        },
    }
}

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

const EIGHTH_M: f64 = 0.0254 / 8.0;

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
            format!("{} cm", centimetres.trim_end_matches(".0"))
        }
        Units::Metric => format!("{:.2} m", rounded(1e-2)),
        Units::Imperial => feet_and_inches(metres, rounding),
    }
}

/// Up to three feet in inches, as clearances are given; beyond that in feet and inches.
fn feet_and_inches(metres: f64, rounding: Rounding) -> String {
    let eighths = rounding.marks(metres, EIGHTH_M);
    let sign = if eighths < 0.0 { MINUS } else { "" };
    let eighths = eighths.abs();
    if !eighths.is_finite() || eighths > 1e12 {
        return format!("{} ft", fixed(metres / METRES_PER_FOOT, 1));
    }
    let eighths = eighths as u64;
    let (feet, rest) = if eighths > 36 * 8 {
        (eighths / 96, eighths % 96)
    } else {
        (0, eighths)
    };
    let (whole, part) = (rest / 8, rest % 8);
    let fraction = match part {
        0 => "",
        1 => "1/8",
        2 => "1/4",
        3 => "3/8",
        4 => "1/2",
        5 => "5/8",
        6 => "3/4",
        _ => "7/8",
    };
    let inches = match (whole, fraction) {
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

/// A mass in kilograms or pounds.
pub fn mass(units: Units, kilograms: f64) -> String {
    match units {
        Units::Metric => format!("{} kg", number(kilograms)),
        Units::Imperial => format!("{} lb", number(kilograms / 0.453_592_37)),
    }
}

/// The unit in which a time of this size is read most easily.
pub fn time_unit(seconds: f64) -> Shown {
    let units = [
        (86_400.0 * 3.0, 86_400.0, "d"),
        (7_200.0, 3_600.0, "h"),
        (120.0, 60.0, "min"),
        (0.0, 1.0, "s"),
    ];
    let (_, per_unit, sign) = units
        .into_iter()
        .find(|(from, _, _)| seconds.abs() >= *from)
        .unwrap_or((0.0, 1.0, "s"));
    Shown { per_unit, sign }
}

impl Shown {
    /// The number alone.
    pub fn number(self, value: f64) -> String {
        number(value / self.per_unit)
    }

    /// The number and the unit.
    pub fn with_unit(self, value: f64) -> String {
        format!("{} {}", self.number(value), self.sign)
    }

    /// Mean and half-width, both with the digits of a half-width of two significant ones; mean and ends where these lie
    /// unevenly around it.
    pub fn estimate(self, estimate: &Estimate) -> String {
        if let Some(shown) = self.uneven(estimate) {
            return shown;
        }
        match estimate.half_width {
            // The same in every replication but for the rounding of sums is taken as exact.
            Some(half_width) if half_width > 1e-6 * estimate.mean.abs() => {
                let mean = estimate.mean / self.per_unit;
                let half_width = half_width / self.per_unit;
                let least = digits_of_half_width(half_width);
                // "10 ± 10" would read as an interval that reaches zero.
                let reaches_zero =
                    |digits: &usize| fixed(mean.abs(), *digits) == fixed(half_width, *digits);
                let digits = match mean.abs() > half_width {
                    true => (least..3).find(|d| !reaches_zero(d)).unwrap_or(3),
                    false => least,
                };
                let (mean, half_width) = (fixed(mean, digits), fixed(half_width, digits));
                // A half-width that rounds to 0 beside the mean is left out.
                match half_width.as_str() {
                    "0" => format!("{mean} {}", self.sign),
                    _ => format!("{mean} ± {half_width} {}", self.sign),
                }
            }
            _ => self.with_unit(estimate.mean),
        }
    }

    /// Mean and ends of an interval that reaches visibly further on one side of the mean than on the other.
    fn uneven(self, estimate: &Estimate) -> Option<String> {
        let (low, high) = estimate.interval?;
        let [mean, low, high] = [estimate.mean, low, high].map(|value| value / self.per_unit);
        let (below, above) = (mean - low, high - mean);
        let longer = below.max(above);
        if (above - below).abs() <= UNEVEN * longer || longer <= 1e-6 * mean.abs() {
            return None;
        }
        // An end that leaves zero out must not be written as zero.
        let hidden = |&digits: &usize| {
            let ends = [low, high];
            (ends.iter()).any(|&end| end != 0.0 && fixed(end, digits) == "0")
        };
        let least = digits_of_half_width(longer);
        let digits = (least..3).find(|digits| !hidden(digits)).unwrap_or(3);
        let [mean, low, high] = [mean, low, high].map(|value| fixed(value, digits));
        let alike = low == mean && mean == high;
        (!alike).then(|| format!("{mean} ({low} to {high}) {}", self.sign))
    }

    /// Both ends of an interval that leaves zero out, the one nearer to zero first and without signs, with as many
    /// digits as it takes to tell them apart, two at the most; the nearer one with as many more as it takes to tell it
    /// from zero.
    pub fn ends(self, low: f64, high: f64) -> (String, String) {
        let (near, far) = if low.abs() < high.abs() {
            (low, high)
        } else {
            (high, low)
        };
        let at = |value: f64, digits: usize| format!("{:.digits$}", value.abs() / self.per_unit);
        // Small numbers get one digit more.
        let least = usize::from(far.abs() / self.per_unit < 10.0);
        let digits = (least..2).find(|&d| at(near, d) != at(far, d)).unwrap_or(2);
        let is_zero = |shown: &str| shown.chars().all(|c| c == '0' || c == '.');
        let mut shown = (digits..MOST_DIGITS).map(|digits| at(near, digits));
        let near = match near == 0.0 {
            true => "0".to_owned(),
            false => shown
                .find(|shown| !is_zero(shown))
                .unwrap_or_else(|| at(near, digits)),
        };
        (near, at(far, digits))
    }
}

/// The unit of a working time: hours at most, since nobody works days of 24 hours.
pub fn work_unit(seconds: f64) -> Shown {
    time_unit(seconds.min(86_400.0))
}

/// Three significant digits, and all of those before the decimal point.
pub fn number(value: f64) -> String {
    let digits = digits(value);
    fixed(value, digits)
}

/// From this size on digits stand in groups of three: four in a row are read without (SI Brochure, 5.4.4).
const GROUPED: f64 = 9_999.5;

/// From this size on only powers of ten are short enough.
const POWERS: f64 = 1e9;

/// So many digits behind the decimal point; what rounds to nothing is zero, with neither sign nor digits.
pub fn fixed(value: f64, digits: usize) -> String {
    let size = value.abs();
    let sign = if value < 0.0 { MINUS } else { "" };
    if size >= POWERS {
        return format!("{sign}{size:.2e}");
    }
    let text = format!("{size:.digits$}");
    if text.chars().all(|c| c == '0' || c == '.') {
        return "0".to_owned();
    }
    if size < GROUPED {
        return format!("{sign}{text}");
    }
    let whole = text.find('.').unwrap_or(text.len());
    let mut grouped = sign.to_owned();
    for (index, digit) in text.char_indices() {
        if index > 0 && index < whole && (whole - index).is_multiple_of(3) {
            grouped.push('\u{202F}');
        }
        grouped.push(digit);
    }
    grouped
}

/// Digits behind the decimal point that make three significant ones.
fn digits(value: f64) -> usize {
    match value.abs() {
        v if v >= 100.0 || v == 0.0 => 0,
        v if v >= 10.0 => 1,
        v if v >= 1.0 => 2,
        _ => 3,
    }
}

/// Digits behind the decimal point that make two significant ones of a half-width, three at the most.
fn digits_of_half_width(half_width: f64) -> usize {
    match half_width {
        h if h >= 10.0 => 0,
        h if h >= 1.0 => 1,
        h if h >= 0.1 => 2,
        _ => 3,
    }
}

/// A share as a percentage.
pub fn percent(share: f64) -> String {
    let value = share * 100.0;
    if value.abs() >= 9.95 || value == 0.0 {
        format!("{} %", fixed(value, 0))
    } else {
        format!("{} %", fixed(value, 1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_have_three_significant_digits() {
        let shown: Vec<String> = [1234.5, 264.4, 26.44, 2.644, 0.2644, 0.0, -0.0001, -0.25]
            .map(number)
            .into();
        assert_eq!(
            shown,
            ["1234", "264", "26.4", "2.64", "0.264", "0", "0", "−0.250"]
        );
        assert_eq!(
            [9_999.4, -12_345.6, 1_234_567.0, 1.5e12, f64::INFINITY].map(number),
            [
                "9999",
                "−12\u{202F}346",
                "1\u{202F}234\u{202F}567",
                "1.50e12",
                "inf"
            ]
        );
        assert_eq!(
            [0.0004, -0.021, 0.5].map(percent),
            ["0 %", "−2.1 %", "50 %"]
        );
    }

    #[test]
    fn what_rounds_to_zero_is_zero() {
        let metres = |mean: f64, half_width: f64| {
            let estimate = Estimate {
                mean,
                half_width: Some(half_width),
                interval: Some((mean - half_width, mean + half_width)),
                level: 0.95,
                n: 10,
            };
            length_unit(Units::Metric).estimate(&estimate)
        };
        assert_eq!(metres(-0.0002, 0.0004), "0 m");
        assert_eq!(metres(-0.0002, 0.012), "0 ± 0.012 m");
        assert_eq!(metres(-1.5, 0.0004), "−1.500 m");
        assert_eq!(metres(-1.5, 0.25), "−1.50 ± 0.25 m");
    }

    #[test]
    fn an_end_that_is_not_zero_is_not_written_as_zero() {
        let minutes = Shown {
            per_unit: 60.0,
            sign: "min",
        };
        let ends = |low: f64, high: f64| {
            let (near, far) = minutes.ends(60.0 * low, 60.0 * high);
            format!("{near} to {far}")
        };
        assert_eq!(ends(0.42, 11.1), "0.4 to 11");
        assert_eq!(ends(-11.1, -0.0042), "0.004 to 11");
        assert_eq!(ends(0.04, 0.11), "0.04 to 0.1");
        assert_eq!(ends(0.0, 0.11), "0 to 0.1");
        assert_eq!(ends(102.4, 105.1), "102 to 105");
        assert_eq!(ends(3.21, 3.24), "3.21 to 3.24");
    }

    #[test]
    fn an_interval_that_leans_to_one_side_is_written_with_its_ends() {
        let shown = |low: f64, high: f64| {
            let estimate = Estimate {
                mean: 98.4,
                half_width: Some(0.5),
                interval: Some((low, high)),
                level: 0.95,
                n: 2000,
            };
            time_unit(59.0).estimate(&estimate)
        };
        assert_eq!(shown(97.9, 99.4), "98.4 (97.9 to 99.4) s");
        assert_eq!(shown(0.02, 99.4), "98.40 (0.02 to 99.40) s");
        assert_eq!(shown(97.895, 98.9), "98.40 ± 0.50 s");
    }

    #[test]
    fn what_leaves_zero_out_does_not_read_as_if_it_reached_it() {
        let shown = |mean: f64, half_width: f64| {
            let estimate = Estimate {
                mean,
                half_width: Some(half_width),
                interval: Some((mean - half_width, mean + half_width)),
                level: 0.95,
                n: 10,
            };
            time_unit(59.0).estimate(&estimate)
        };
        assert_eq!(shown(-10.4, 10.3), "−10.4 ± 10.3 s");
        assert_eq!(shown(10.3, 10.4), "10 ± 10 s");
        assert_eq!(shown(5.74, 5.31), "5.7 ± 5.3 s");
    }

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
    }

    #[test]
    fn times_are_shown_in_the_unit_of_their_size() {
        let shown: Vec<String> = [59.0, 119.0, 121.0, 7_199.0, 23_040.0, 864_000.0]
            .map(|s| time_unit(s).with_unit(s))
            .into();
        assert_eq!(
            shown,
            ["59.0 s", "119 s", "2.02 min", "120 min", "6.40 h", "10.0 d"]
        );
    }
}
