//! Figures as people read them, in sentences, tables and charts alike: a length in metres or feet, a time in the unit that
//! suits its size.

use crate::experiment::Units;
use crate::statistics::Estimate;
use crate::units::customary::POUND;

pub use crate::units::customary::FOOT as METRES_PER_FOOT;

/// The one minus sign of tables and sentences.
pub(super) const MINUS: &str = "−";

/// The end of an interval is written with at most this many digits behind the decimal point; what is left is rounding.
const MOST_DIGITS: usize = 12;

/// Sides of an interval whose lengths differ by at most this share of the longer one are written as one half-width.
const UNEVEN: f64 = 0.1;

/// The ends of an interval are written in steps of at most this share of its length: 46.0 to 47.5, and not 46 to 47.
const STEP: f64 = 0.5;

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

/// A mass in kilograms or pounds.
pub fn mass(units: Units, kilograms: f64) -> String {
    match units {
        Units::Metric => format!("{} kg", number(kilograms)),
        Units::Imperial => format!("{} lb", number(kilograms / POUND)),
    }
}

/// From this time on hours are read more easily than minutes, in tables as in sentences: of a shorter time
/// a quarter of an hour would be more than a decision may lose.
pub const FROM_HOURS: f64 = 3.0 * 3_600.0;

/// The unit in which a time of this size is read most easily.
pub fn time_unit(seconds: f64) -> Shown {
    let units = [
        (86_400.0 * 3.0, 86_400.0, "d"),
        (FROM_HOURS, 3_600.0, "h"),
        (120.0, 60.0, "min"),
        (0.0, 1.0, "s"),
    ];
    let (_, per_unit, sign) = units
        .into_iter()
        .find(|(from, _, _)| seconds.abs() >= *from)
        .unwrap_or((0.0, 1.0, "s"));
    Shown { per_unit, sign }
}

/// Orders an hour, or a day where that would be a small number.
pub fn rate_unit(per_hour: f64) -> Shown {
    if per_hour >= 1.0 {
        Shown {
            per_unit: 1.0,
            sign: "/h",
        }
    } else {
        Shown {
            per_unit: 1.0 / 24.0,
            sign: "/d",
        }
    }
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
        if let Some(shown) = self.uneven(estimate, 2) {
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

    /// Mean and ends of an interval that reaches visibly further on one side of the mean than on the other, with so many
    /// significant digits of how far it reaches.
    fn uneven(self, estimate: &Estimate, significant: usize) -> Option<String> {
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
        let least = (digits_of_half_width(longer) + significant).saturating_sub(2);
        let digits = (least..3).find(|digits| !hidden(digits)).unwrap_or(3);
        let [mean, low, high] = [mean, low, high].map(|value| fixed(value, digits));
        let alike = low == mean && mean == high;
        (!alike).then(|| format!("{mean} ({low} to {high}) {}", self.sign))
    }

    /// Mean and half-width with one significant digit of the half-width, as a table for a decision has it; the mean alone
    /// with three digits where these are certain.
    pub fn brief(self, estimate: &Estimate) -> String {
        let Some(half_width) = estimate.half_width else {
            return self.with_unit(estimate.mean);
        };
        if half_width <= 1e-6 * estimate.mean.abs() {
            return self.with_unit(estimate.mean);
        }
        let (mean, half_width) = (estimate.mean / self.per_unit, half_width / self.per_unit);
        // Where chance moves no digit that a decision needs, the figure stands alone.
        let most = self::digits(mean);
        if fixed(half_width, most) == "0" {
            return self.with_unit(estimate.mean);
        }
        if let Some(uneven) = self.uneven(estimate, 1) {
            return uneven;
        }
        let digits = (0..=most).find(|&digits| fixed(half_width, digits) != "0");
        match digits {
            Some(digits) => format!(
                "{} ± {} {}",
                fixed(mean, digits),
                fixed(half_width, digits),
                self.sign
            ),
            None => self.with_unit(estimate.mean),
        }
    }

    /// Both ends of an interval that leaves zero out, the one nearer to zero first and without signs, with so many digits
    /// that rounding leaves it about as long as it is, two at the most; the nearer one with as many more as it takes to tell it
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
        let length = (far.abs() - near.abs()) / self.per_unit;
        let is_finer = |digits: &usize| 10_f64.powi(-(*digits as i32)) <= STEP * length;
        let digits = (least..2).find(is_finer).unwrap_or(2);
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

/// A time that somebody gave, without digits that say nothing: "14 d", "53 h", "1.5 h".
pub fn exact_time(seconds: f64) -> String {
    let unit = time_unit(seconds);
    let number = unit.number(seconds);
    let short = match number.contains('.') {
        true => number.trim_end_matches('0').trim_end_matches('.'),
        false => &number,
    };
    format!("{short} {}", unit.sign)
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
    format!("{sign}{}", grouped(&text))
}

/// Digits in groups of three before the point.
pub fn grouped(digits: &str) -> String {
    let whole = digits.find('.').unwrap_or(digits.len());
    let mut grouped = String::new();
    for (index, digit) in digits.char_indices() {
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
        assert_eq!(ends(0.04, 0.11), "0.04 to 0.11");
        assert_eq!(ends(0.0, 0.11), "0 to 0.11");
        assert_eq!(ends(46.0, 47.46), "46.0 to 47.5");
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
    fn times_are_shown_in_the_unit_of_their_size() {
        let shown: Vec<String> = [59.0, 119.0, 121.0, 10_799.0, 23_040.0, 864_000.0]
            .map(|s| time_unit(s).with_unit(s))
            .into();
        assert_eq!(
            shown,
            ["59.0 s", "119 s", "2.02 min", "180 min", "6.40 h", "10.0 d"]
        );
    }
}
