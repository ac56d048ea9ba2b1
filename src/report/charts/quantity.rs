//! Figures as people read them: lengths, times, and the marks along an axis.

use crate::experiment::Units;
use crate::statistics::Estimate;

/// Feet in a metre: a foot is 0.3048 m exactly (international yard and pound agreement, 1959).
const FEET: f64 = 1.0 / 0.3048;

/// A unit to read figures in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    pub name: &'static str,
    /// How many of these are one metre or one second.
    pub factor: f64,
}

/// The unit of lengths.
pub fn length_unit(units: Units) -> Unit {
    match units {
        Units::Metric => Unit {
            name: "m",
            factor: 1.0,
        },
        Units::Imperial => Unit {
            name: "ft",
            factor: FEET,
        },
    }
}

/// The unit in which times up to `seconds` have few digits.
pub fn time_unit(seconds: f64) -> Unit {
    let (name, length) = match seconds {
        seconds if seconds < 120.0 => ("s", 1.0),
        seconds if seconds < 2.0 * 3600.0 => ("min", 60.0),
        seconds if seconds < 72.0 * 3600.0 => ("h", 3600.0),
        _ => ("d", 86_400.0),
    };
    Unit {
        name,
        factor: 1.0 / length,
    }
}

/// A number with about three digits, thousands apart.
pub fn number(value: f64) -> String {
    let size = value.abs();
    let decimals = match size {
        size if size >= 99.95 || size == 0.0 => 0,
        size if size >= 9.995 => 1,
        _ => 2,
    };
    fixed(value, decimals)
}

/// A whole number, thousands apart.
pub fn whole(value: f64) -> String {
    fixed(value, 0)
}

/// A number with so many decimals, thousands apart; very large ones in powers of ten.
fn fixed(value: f64, decimals: usize) -> String {
    if value.abs() >= 1e9 {
        return format!("{value:.2e}").replace('-', "−");
    }
    let digits = format!("{:.decimals$}", value.abs());
    let (whole, fraction) = match digits.split_once('.') {
        Some((whole, fraction)) => (whole, Some(fraction)),
        None => (digits.as_str(), None),
    };
    let zero = digits.bytes().all(|digit| digit == b'0' || digit == b'.');
    let mut text = String::new();
    if value < 0.0 && !zero {
        text.push('−');
    }
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index).is_multiple_of(3) {
            text.push('\u{202F}');
        }
        text.push(digit);
    }
    if let Some(fraction) = fraction {
        text.push('.');
        text.push_str(fraction);
    }
    text
}

/// A number in five letters or so, for narrow cells.
pub fn short(value: f64) -> String {
    match value.abs() {
        size if size >= 9.995e14 => format!("{value:.0e}"),
        size if size >= 9.995e11 => format!("{:.0}T", value / 1e12),
        size if size >= 9.995e8 => format!("{:.0}G", value / 1e9),
        size if size >= 9.995e5 => format!("{:.0}M", value / 1e6),
        size if size >= 9_995.0 => format!("{:.0}k", value / 1e3),
        size if size >= 9.95 || size == 0.0 => format!("{value:.0}"),
        _ => format!("{value:.1}"),
    }
}

/// A share of one as whole percent, without hiding that there is something.
pub fn percent(share: f64) -> String {
    match share {
        share if share > 0.0 && share < 0.005 => "<1 %".to_string(),
        share => format!("{:.0} %", share * 100.0),
    }
}

/// An estimate with its interval, if it has one, with as many decimals as the interval has digits for.
pub fn estimate(estimate: &Estimate, unit: Unit) -> String {
    let mean = estimate.mean * unit.factor;
    let Some(half_width) = estimate.half_width else {
        return format!("{} {}", number(mean), unit.name);
    };
    let half_width = half_width * unit.factor;
    let decimals = match half_width {
        half_width if half_width >= 9.95 => 0,
        0.0 if mean.abs() >= 99.95 || mean == 0.0 => 0,
        half_width if half_width >= 0.995 || half_width == 0.0 => 1,
        _ => 2,
    };
    format!(
        "{} ± {} {}",
        fixed(mean, decimals),
        fixed(half_width, decimals),
        unit.name
    )
}

/// A length as it stands on a drawing: metres to the centimetre, or feet and whole inches.
pub fn dimension(metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} m", fixed(metres, 2)),
        Units::Imperial => {
            let inches = (metres * FEET * 12.0).round();
            let (feet, inches) = ((inches / 12.0).floor(), inches % 12.0);
            match (feet, inches) {
                (0.0, inches) => format!("{inches:.0} in"),
                (feet, 0.0) => format!("{} ft", fixed(feet, 0)),
                (feet, inches) => format!("{} ft {inches:.0} in", fixed(feet, 0)),
            }
        }
    }
}

/// The longest of 1, 2, 5, 10, … that is at most `most`.
pub fn round_down(most: f64) -> f64 {
    if !most.is_normal() || most < 0.0 {
        return 1.0;
    }
    let power = 10f64.powi(most.log10().floor() as i32);
    let factors = [5.0, 2.0, 1.0].into_iter();
    let mut rounds = factors.map(|factor| factor * power);
    rounds.find(|round| *round <= most).unwrap_or(power)
}

/// Round marks between `least` and `most`, about `wanted` of them, and the step between them. Without a range that can
/// be divided there is one mark, 0.
pub fn marks(least: f64, most: f64, wanted: usize) -> (Vec<f64>, f64) {
    let rough = (most - least) / wanted.max(1) as f64;
    if !rough.is_normal() || rough < 0.0 {
        return (vec![0.0], most);
    }
    let power = 10f64.powi(rough.log10().floor() as i32);
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|factor| factor * power)
        .find(|step| *step >= rough * (1.0 - 1e-9))
        .unwrap_or(10.0 * power);
    let nearly = |steps: f64| steps.abs() * 1e-9;
    let first = (least / step - nearly(least / step)).ceil();
    let count = (most / step + nearly(most / step)).floor() - first;
    // A step is at least a `wanted`-th of the whole, so the count is small; the limit is for odd floats only.
    let count = (count.max(0.0) as usize).min(4 * wanted.max(1));
    let marks = (0..=count).map(|index| (first + index as f64) * step);
    (marks.collect(), step)
}

/// A mark's figure: no more decimals than the step needs.
pub fn mark(value: f64, step: f64) -> String {
    if value == 0.0 {
        return "0".to_string();
    }
    if step < 1e-4 {
        return format!("{value:.0e}").replace('-', "−");
    }
    let decimals = (-step.log10().floor()).max(0.0) as usize;
    fixed(value, decimals)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_about_three_digits() {
        assert_eq!(number(0.0), "0");
        assert_eq!(number(0.256), "0.26");
        assert_eq!(number(12.34), "12.3");
        assert_eq!(number(-1234.4), "−1\u{202F}234");
        assert_eq!(number(1e12), "1.00e12");
        assert_eq!(number(-0.001), "0.00");
    }

    #[test]
    fn an_estimate_is_as_exact_as_its_interval() {
        let metre = length_unit(Units::Metric);
        let of = |mean, half_width| {
            let numbers = Estimate {
                mean,
                half_width,
                n: 2,
                level: 0.95,
            };
            estimate(&numbers, metre)
        };
        assert_eq!(of(406.2, Some(12.4)), "406 ± 12 m");
        assert_eq!(of(406.24, Some(1.24)), "406.2 ± 1.2 m");
        assert_eq!(of(406.0, Some(0.0)), "406 ± 0 m");
        assert_eq!(of(40.6, None), "40.6 m");
    }

    #[test]
    fn marks_are_round_and_few() {
        assert_eq!(marks(0.0, 10.0, 5).0, [0.0, 2.0, 4.0, 6.0, 8.0, 10.0]);
        assert_eq!(marks(0.0, 0.0, 5).0, [0.0]);
        assert_eq!(marks(0.0, f64::INFINITY, 5).0, [0.0]);
        assert_eq!(marks(9.3, 12.9, 4), (vec![10.0, 11.0, 12.0], 1.0));
        assert_eq!(marks(-2.0, 1.4, 4).0, [-2.0, -1.0, 0.0, 1.0]);
        for most in [1e-300, 1e-9, 0.7, 3.0, 999.0, 1e12, 1e300] {
            let (marks, _) = marks(0.0, most, 6);
            assert!((2..=8).contains(&marks.len()), "{most}: {marks:?}");
            assert!(marks.iter().all(|mark| *mark <= most * 1.000_001));
        }
    }

    #[test]
    fn dimensions_are_written_as_on_drawings() {
        assert_eq!(dimension(7.3152, Units::Imperial), "24 ft");
        assert_eq!(dimension(6.2484, Units::Imperial), "20 ft 6 in");
        assert_eq!(dimension(0.3047, Units::Imperial), "1 ft");
        assert_eq!(dimension(6.104, Units::Metric), "6.10 m");
        assert_eq!([0.7, 1.0, 3.9, 70.0].map(round_down), [0.5, 1.0, 2.0, 50.0]);
    }

    #[test]
    fn a_metre_is_3_28_feet() {
        assert_eq!(number(length_unit(Units::Imperial).factor), "3.28");
    }

    #[test]
    fn times_change_their_unit_with_their_size() {
        let names = [60.0, 600.0, 36_000.0, 864_000.0].map(|seconds| time_unit(seconds).name);
        assert_eq!(names, ["s", "min", "h", "d"]);
    }
}
