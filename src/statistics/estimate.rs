//! A mean with its confidence interval.

use super::interval::{IntervalMethod, TRange};
use super::summary::Summary;

/// A mean of independent replications and how far chance may have moved it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    pub mean: f64,
    /// Half the length of Student's confidence interval; a single number has none.
    pub half_width: Option<f64>,
    /// The ends of the interval, which is Student's unless another was asked for.
    pub interval: Option<(f64, f64)>,
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
        Estimate::by(summary, level, IntervalMethod::Student)
    }

    /// The same, with an interval by this method.
    ///
    /// # Panics
    /// If the level does not lie between 0 and 1.
    pub fn by(summary: &Summary, level: f64, method: IntervalMethod) -> Option<Estimate> {
        assert!(level > 0.0 && level < 1.0, "{level} is no confidence level");
        let (mean, n) = (summary.mean()?, summary.count());
        let ends = |method| {
            let variance = summary.variance()?;
            // Numbers that are all the same need no quantile.
            if variance == 0.0 {
                return Some((0.0, 0.0));
            }
            let range = TRange::of(method, summary.skewness().unwrap_or(0.0), n, level);
            Some(range.around(0.0, (variance / n as f64).sqrt()))
        };
        Some(Estimate {
            mean,
            half_width: ends(IntervalMethod::Student).map(|(_, high)| high),
            interval: ends(method).map(|(low, high)| (mean + low, mean + high)),
            n,
            level,
        })
    }

    /// The lower end of the interval.
    pub fn low(&self) -> Option<f64> {
        self.interval.map(|(low, _)| low)
    }

    /// The upper end of the interval.
    pub fn high(&self) -> Option<f64> {
        self.interval.map(|(_, high)| high)
    }

    /// Of the same numbers with their signs changed, as of what is saved rather than added.
    pub fn negated(&self) -> Estimate {
        Estimate {
            mean: -self.mean,
            interval: self.interval.map(|(low, high)| (-high, -low)),
            ..*self
        }
    }

    /// How far the interval reaches from the mean, on the side on which it reaches further; 0 without one.
    pub fn reach(&self) -> f64 {
        let ends = [self.low(), self.high()].into_iter().flatten();
        ends.map(|end| (end - self.mean).abs()).fold(0.0, f64::max)
    }

    /// How far from 0 it may be: of a difference, by how much it may matter.
    pub fn farthest(&self) -> f64 {
        self.mean.abs() + self.reach()
    }

    /// Whether 0 lies in the interval, its ends included: then no difference is shown. Nothing is
    /// known without an interval.
    pub fn covers_zero(&self) -> Option<bool> {
        (self.interval).map(|(low, high)| low <= 0.0 && high >= 0.0)
    }

    /// The estimate of the quantity times a constant.
    pub fn scaled(&self, factor: f64) -> Estimate {
        Estimate {
            mean: self.mean * factor,
            half_width: self.half_width.map(|half_width| half_width * factor.abs()),
            interval: self.interval.map(|(low, high)| {
                let ends = (low * factor, high * factor);
                (ends.0.min(ends.1), ends.0.max(ends.1))
            }),
            ..*self
        }
    }
}

/// The level at which each of `intervals` intervals has to be taken so that all of them hold
/// together at `level` (Bonferroni's inequality).
pub fn simultaneous_level(level: f64, intervals: usize) -> f64 {
    1.0 - (1.0 - level) / intervals.max(1) as f64
}
