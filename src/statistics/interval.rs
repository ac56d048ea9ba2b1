//! How far the mean of a sample may lie from the mean that it estimates.

use super::student::t_quantile;
use super::summary::Summary;

/// By which rule an interval is made of a sample.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum IntervalMethod {
    /// Student's t: as far to one side as to the other.
    Student,
    /// Student's t after Hall's transformation, which allows for a sample that is skewed.
    Hall,
}

/// The values between which the t statistic of a mean, `√n (x̄ − μ) / s`, lies with the probability of the interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct TRange {
    pub low: f64,
    pub high: f64,
}

impl TRange {
    /// For `n` values, at least two, of the sample skewness g₁.
    ///
    /// # Panics
    /// If the level does not lie between 0 and 1.
    pub fn of(method: IntervalMethod, skewness: f64, n: u64, level: f64) -> TRange {
        assert!(level > 0.0 && level < 1.0, "{level} is no confidence level");
        let t = t_quantile(0.5 + 0.5 * level, n - 1);
        match method {
            IntervalMethod::Student => TRange { low: -t, high: t },
            IntervalMethod::Hall => {
                let root_n = (n as f64).sqrt();
                // With very few values the cube root bends past 0; an interval that leaves its own mean out says nothing.
                TRange {
                    low: inverse(-t, skewness, root_n).min(0.0),
                    high: inverse(t, skewness, root_n).max(0.0),
                }
            }
        }
    }

    /// The interval of a mean with this standard error.
    pub fn around(self, mean: f64, standard_error: f64) -> (f64, f64) {
        (
            mean - standard_error * self.high,
            mean - standard_error * self.low,
        )
    }
}

/// The t statistic that Hall's monotone cubic transformation takes to `x`. The transformation is
/// `t + γ (t²/3 + 1/6) / √n + γ² t³ / (27 n)`, in which a = 1/3 and b = 1/6 are the constants of a mean (Hall, Journal of
/// the Royal Statistical Society B 54 (1992) 221-228); it takes the skewness out of t, so that both tails of the interval
/// miss equally often.
fn inverse(x: f64, skewness: f64, root_n: f64) -> f64 {
    let slope = skewness / (3.0 * root_n);
    // Below this the formula divides two numbers that have lost their digits, and the transformation changes nothing.
    if slope.abs() < 1e-9 {
        return x;
    }
    (libm::cbrt(1.0 + 3.0 * slope * (x - 0.5 * slope)) - 1.0) / slope
}

/// A mean whose standard error is at most this share of it is written without an interval, however skewed its values are.
const EXACT: f64 = 5e-6;

/// Whether there are enough values for the mean to be nearly normal: `n > 25 g₁²` with the sample skewness g₁ (Cochran,
/// Sampling Techniques, 3rd ed. 1977, section 2.15). They are in any case where they do not vary, or so little that the
/// interval is too short to be written.
pub fn suffices(summary: &Summary) -> bool {
    let Some((skewness, variance)) = summary.skewness().zip(summary.variance()) else {
        return true;
    };
    are_enough(
        summary.count(),
        skewness,
        variance,
        summary.mean().unwrap_or(0.0),
    )
}

/// The same for values of which so much is known.
pub(super) fn are_enough(n: u64, skewness: f64, variance: f64, mean: f64) -> bool {
    let n = n as f64;
    n > 25.0 * skewness * skewness || (variance / n).sqrt() <= EXACT * mean.abs()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The transformation as it is printed, with γ the skewness.
    fn transformed(t: f64, skewness: f64, root_n: f64) -> f64 {
        let (a, b, n) = (1.0 / 3.0, 1.0 / 6.0, root_n * root_n);
        t + a * skewness * t * t / root_n
            + a * a * skewness * skewness * t * t * t / (3.0 * n)
            + b * skewness / root_n
    }

    #[test]
    fn the_inverse_undoes_the_transformation() {
        for skewness in [-40.0, -2.0, -0.3, 1e-6, 0.5, 3.0, 18.0] {
            for root_n in [3.0, 14.0, 45.0, 100.0] {
                for step in -30..=30 {
                    let t = f64::from(step) / 10.0;
                    let back = inverse(transformed(t, skewness, root_n), skewness, root_n);
                    // Where the slope of the transformation vanishes, its inverse is as steep as a cube root.
                    assert!((back - t).abs() < 1e-4, "{t} {skewness} {root_n}: {back}");
                }
            }
        }
    }

    #[test]
    fn without_skewness_it_is_students_range() {
        // t(0.975, 4) = 2.776445 (Abramowitz and Stegun, table 26.10).
        for method in [IntervalMethod::Student, IntervalMethod::Hall] {
            let range = TRange::of(method, 0.0, 5, 0.95);
            assert!((range.high - 2.776_445).abs() < 1e-6 && range.low == -range.high);
        }
    }

    #[test]
    fn a_tail_to_one_side_moves_the_interval_to_that_side() {
        let around =
            |skewness| TRange::of(IntervalMethod::Hall, skewness, 1000, 0.95).around(0.0, 1.0);
        let (low, high) = around(16.0);
        assert!(high > -low && low < 0.0, "{low} {high}");
        let (left, right) = around(-16.0);
        assert!((left + high).abs() < 1e-12 && (right + low).abs() < 1e-12);
    }
}
