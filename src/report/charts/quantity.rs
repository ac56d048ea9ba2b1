//! Figures that only charts have: the marks along an axis, short ones for cells, and dimensions of drawings. All others
//! are written as in tables and sentences, by `figure.rs`.

use crate::experiment::Units;
use crate::report::figure::{METRES_PER_FOOT, fixed};

/// A whole number.
pub fn whole(value: f64) -> String {
    fixed(value, 0)
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

/// A length as it stands on a drawing: metres to the centimetre, or feet and whole inches.
pub fn dimension(metres: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} m", fixed(metres, 2)),
        Units::Imperial => {
            let inches = (metres / METRES_PER_FOOT * 12.0).round();
            let (feet, inches) = ((inches / 12.0).floor(), inches % 12.0);
            match (feet, inches) {
                (0.0, inches) => format!("{inches:.0} in"),
                (feet, 0.0) => format!("{} ft", fixed(feet, 0)),
                (feet, inches) => format!("{} ft {inches:.0} in", fixed(feet, 0)),
            }
        }
    }
}

/// Digits behind the decimal point of figures beside each other, of which the largest is so large: two significant ones of
/// that, or three where it begins with a 1. More would say nothing beside it.
pub fn decimals(largest: f64) -> usize {
    const MOST: f64 = 6.0;
    let before_point = (largest.abs() / 2.0).log10().floor();
    (1.0 - before_point).clamp(0.0, MOST) as usize
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
    (multiples(least, most, step).collect(), step)
}

/// The multiples of a step between `least` and `most`; a thousand at the most, which only odd floats reach.
pub fn multiples(least: f64, most: f64, step: f64) -> impl Iterator<Item = f64> {
    const MOST: f64 = 1000.0;
    let nearly = |steps: f64| steps.abs() * 1e-9;
    let first = (least / step - nearly(least / step)).ceil();
    let count = (most / step + nearly(most / step)).floor() - first;
    let count = if count.is_finite() {
        count.clamp(0.0, MOST)
    } else {
        0.0
    };
    (0..=count as usize).map(move |index| (first + index as f64) * step)
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
    fn figures_beside_each_other_have_the_digits_of_the_largest() {
        let found = [450.0, 20.0, 19.9, 2.0, 1.99, 0.2, 0.03, 0.0].map(decimals);
        assert_eq!(found, [0, 0, 1, 1, 2, 2, 3, 6]);
    }

    #[test]
    fn dimensions_are_written_as_on_drawings() {
        assert_eq!(dimension(7.3152, Units::Imperial), "24 ft");
        assert_eq!(dimension(6.2484, Units::Imperial), "20 ft 6 in");
        assert_eq!(dimension(0.3047, Units::Imperial), "1 ft");
        assert_eq!(dimension(6.104, Units::Metric), "6.10 m");
        assert_eq!([0.7, 1.0, 3.9, 70.0].map(round_down), [0.5, 1.0, 2.0, 50.0]);
    }
}
