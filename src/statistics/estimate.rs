//! A mean with its confidence interval.

use distrs::StudentsT;

use super::summary::Summary;

/// A mean of independent replications and how far chance may have moved it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    pub mean: f64,
    /// Half the length of the confidence interval; a single number has none.
    pub half_width: Option<f64>,
    /// How many numbers the mean is of.
    pub n: u64,
    /// The confidence level, 0.95 for 95 %.
    pub level: f64,
}

impl Estimate {
    /// The mean of these numbers, or nothing if there is none.
    ///
    /// # Panics
    /// If the level does not lie between 0 and 1.
    pub fn of(values: &[f64], level: f64) -> Option<Estimate> {
        Estimate::of_summary(&values.iter().copied().collect(), level)
    }

    /// The mean of a summary's numbers with the half-width `t(1 - (1 - level)/2, n - 1) s / √n`
    /// (Law, Simulation Modeling and Analysis, section 4.5), or nothing if there is no number.
    ///
    /// # Panics
    /// If the level does not lie between 0 and 1.
    pub fn of_summary(summary: &Summary, level: f64) -> Option<Estimate> {
        assert!(level > 0.0 && level < 1.0, "{level} is no confidence level");
        let n = summary.count();
        let half_width = summary.variance().map(|variance| {
            // Numbers that are all the same need no quantile.
            if variance == 0.0 {
                return 0.0;
            }
            t_quantile(0.5 + 0.5 * level, n - 1) * (variance / n as f64).sqrt()
        });
        Some(Estimate {
            mean: summary.mean()?,
            half_width,
            n,
            level,
        })
    }

    /// The lower end of the interval.
    pub fn low(&self) -> Option<f64> {
        self.half_width.map(|half_width| self.mean - half_width)
    }

    /// The upper end of the interval.
    pub fn high(&self) -> Option<f64> {
        self.half_width.map(|half_width| self.mean + half_width)
    }

    /// Whether 0 lies in the interval, its ends included: then no difference is shown. Nothing is
    /// known without an interval.
    pub fn covers_zero(&self) -> Option<bool> {
        self.half_width
            .map(|half_width| self.mean.abs() <= half_width)
    }

    /// The half-width as a share of the mean, unless the mean is 0.
    pub fn relative_half_width(&self) -> Option<f64> {
        let half_width = self.half_width?;
        (self.mean != 0.0).then(|| half_width / self.mean.abs())
    }

    /// The estimate of the quantity times a constant.
    pub fn scaled(&self, factor: f64) -> Estimate {
        Estimate {
            mean: self.mean * factor,
            half_width: self.half_width.map(|half_width| half_width * factor.abs()),
            ..*self
        }
    }
}

/// Where Hill's quantile is refined: below 3 degrees it is a closed form, above 10 000 the sum of
/// the distribution function gets long and Hill's error, about 2e-7 of the value, may stay.
const REFINED_DEGREES: std::ops::RangeInclusive<u64> = 3..=10_000;

/// The value that a Student t variable with `degrees` degrees of freedom, at least 1, stays below
/// with probability `p`, above 0 and below 1.
///
/// Hill's algorithm 396 (Communications of the ACM 13 (1970) 619-620) is off by up to 7e-6 of the
/// value at 3 degrees. One step of Newton's method with the exact distribution function takes
/// that below 1e-10 for `p` from 0.9 to 0.995.
pub fn t_quantile(p: f64, degrees: u64) -> f64 {
    let n = degrees as f64;
    let start = StudentsT::ppf(p, n);
    if !REFINED_DEGREES.contains(&degrees) || !start.is_finite() {
        return start;
    }
    start - (t_probability(start, degrees) - p) / t_density(start, n)
}

/// Student's distribution function in closed form, a sum of about `degrees / 2` terms (Abramowitz
/// and Stegun 26.7.3 and 26.7.4).
fn t_probability(t: f64, degrees: u64) -> f64 {
    let ratio = t / (degrees as f64).sqrt();
    let cos2 = 1.0 / (1.0 + ratio * ratio);
    let (sin, odd) = (ratio * cos2.sqrt(), degrees % 2 == 1);
    let mut term = if odd { cos2.sqrt() } else { 1.0 };
    let mut sum = 0.0;
    let mut k = 2 + degrees % 2;
    while k <= degrees {
        sum += term;
        term *= cos2 * (k - 1) as f64 / k as f64;
        k += 2;
    }
    let within = if odd {
        std::f64::consts::FRAC_2_PI * (libm::atan(ratio) + sin * sum)
    } else {
        sin * sum
    };
    0.5 + 0.5 * within
}

fn t_density(t: f64, n: f64) -> f64 {
    let log_scale = libm::lgamma(0.5 * (n + 1.0))
        - libm::lgamma(0.5 * n)
        - 0.5 * libm::log(n * std::f64::consts::PI);
    libm::exp(log_scale - 0.5 * (n + 1.0) * libm::log1p(t * t / n))
}

/// The level at which each of `intervals` intervals has to be taken so that all of them hold
/// together at `level` (Bonferroni's inequality).
pub fn simultaneous_level(level: f64, intervals: usize) -> f64 {
    1.0 - (1.0 - level) / intervals.max(1) as f64
}
