//! Figures as people read them: a length in metres or feet, a time in the unit that suits its size.

use crate::experiment::Units;
use crate::statistics::Estimate;

const METRES_PER_FOOT: f64 = 0.3048;

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

    /// Mean and half-width, both with the digits of a half-width of two significant ones.
    pub fn estimate(self, estimate: &Estimate) -> String {
        match estimate.half_width {
            // The same in every replication but for the rounding of sums: exact, as far as anybody can see.
            Some(half_width) if half_width > 1e-6 * estimate.mean.abs() => {
                let mean = estimate.mean / self.per_unit;
                let half_width = half_width / self.per_unit;
                let digits = match half_width {
                    h if h >= 10.0 => 0,
                    h if h >= 1.0 => 1,
                    h if h >= 0.1 => 2,
                    _ => 3,
                };
                format!("{mean:.digits$} ± {half_width:.digits$} {}", self.sign)
            }
            _ => self.with_unit(estimate.mean),
        }
    }

    /// Both ends of an interval, the one nearer to zero first and without signs, with as many digits as it takes to
    /// tell them apart, two at the most.
    pub fn ends(self, low: f64, high: f64) -> (String, String) {
        let (near, far) = if low.abs() < high.abs() {
            (low, high)
        } else {
            (high, low)
        };
        let at = |value: f64, digits: usize| format!("{:.digits$}", value.abs() / self.per_unit);
        // Small numbers bear a digit more.
        let least = usize::from(far.abs() / self.per_unit < 10.0);
        let digits = (least..2).find(|&d| at(near, d) != at(far, d)).unwrap_or(2);
        (at(near, digits), at(far, digits))
    }
}

/// Three significant digits, and all of those before the decimal point.
pub fn number(value: f64) -> String {
    let digits = digits(value);
    let shown = format!("{value:.digits$}");
    // A small negative number must not be shown as minus zero.
    if shown
        .trim_start_matches('-')
        .chars()
        .all(|c| c == '0' || c == '.')
    {
        "0".to_owned()
    } else {
        shown
    }
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

/// A share as a percentage.
pub fn percent(share: f64) -> String {
    let value = share * 100.0;
    if value.abs() >= 9.95 || value == 0.0 {
        format!("{value:.0} %")
    } else {
        format!("{value:.1} %")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_have_three_significant_digits() {
        let shown: Vec<String> = [1234.5, 264.4, 26.44, 2.644, 0.2644, 0.0, -0.0001]
            .map(number)
            .into();
        assert_eq!(shown, ["1234", "264", "26.4", "2.64", "0.264", "0", "0"]);
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
