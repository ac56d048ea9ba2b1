//! The difference between two candidates that were played with the same luck.

use super::estimate::Estimate;
use super::interval::{IntervalMethod, TRange, are_enough, suffices};
use super::summary::Summary;

/// Other minus base, replication by replication.
///
/// Pairing takes out what both have in common, so it needs far fewer replications than two
/// separate intervals (Law, Simulation Modeling and Analysis, section 10.2.1).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paired {
    /// The mean of the base.
    pub base_mean: f64,
    /// Other minus base.
    pub difference: Estimate,
    /// The difference in percent of the base's mean, with the interval of a ratio of two paired means; None unless the
    /// base's mean is above 0.
    pub percent: Option<Estimate>,
}

impl Paired {
    /// Compares two series of which equal places belong to one replication, with Student's intervals.
    ///
    /// Nothing if the series are empty or not equally long.
    ///
    /// # Panics
    /// If the level does not lie between 0 and 1.
    pub fn of(base: &[f64], other: &[f64], level: f64) -> Option<Paired> {
        PairedSummary::of(base, other)?.paired(level, IntervalMethod::Student)
    }
}

/// What is kept of pairs that come one by one: enough for the mean difference, for its ratio to the base, and for how
/// skewed both are.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PairedSummary {
    base: Summary,
    difference: Summary,
    /// The first pair, base and difference, which is subtracted from all, so that the sums lose few digits.
    first: Option<(f64, f64)>,
    sums: Moments,
}

/// Sums or means of the products of a base b and a difference d: of one, two and three factors.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Moments {
    b: f64,
    d: f64,
    bb: f64,
    bd: f64,
    dd: f64,
    bbb: f64,
    bbd: f64,
    bdd: f64,
    ddd: f64,
}

impl PairedSummary {
    /// Two series of which equal places belong to one replication; nothing if they are not equally long.
    pub fn of(base: &[f64], other: &[f64]) -> Option<PairedSummary> {
        let mut pairs = PairedSummary::default();
        for (&base, &other) in base.iter().zip(other) {
            pairs.add(base, other);
        }
        (base.len() == other.len()).then_some(pairs)
    }

    /// Takes one replication of the base and of the other candidate.
    pub fn add(&mut self, base: f64, other: f64) {
        let difference = other - base;
        self.base.add(base);
        self.difference.add(difference);
        let (first_base, first_difference) = *self.first.get_or_insert((base, difference));
        let (b, d) = (base - first_base, difference - first_difference);
        let sums = &mut self.sums;
        sums.b += b;
        sums.d += d;
        sums.bb += b * b;
        sums.bd += b * d;
        sums.dd += d * d;
        sums.bbb += b * b * b;
        sums.bbd += b * b * d;
        sums.bdd += b * d * d;
        sums.ddd += d * d * d;
    }

    /// The comparison at this level, or nothing without a pair.
    ///
    /// # Panics
    /// If the level does not lie between 0 and 1.
    pub fn paired(&self, level: f64, method: IntervalMethod) -> Option<Paired> {
        let difference = Estimate::by(&self.difference, level, method)?;
        Some(Paired {
            base_mean: self.base.mean()?,
            difference,
            percent: self.percent(level, method),
        })
    }

    /// Whether there are enough pairs for the mean difference, and for its ratio to the base, to be nearly normal, as
    /// [`suffices`] says.
    pub fn suffices(&self) -> bool {
        if !self.varies() {
            return true;
        }
        let of_ratio = || {
            let (ratio, moments) = (self.ratio()?, self.central_moments());
            let (skewness, variance) = (moments.skewness(ratio), moments.variance(ratio));
            let mean = self.difference.mean()?;
            Some(are_enough(self.base.count(), skewness, variance, mean))
        };
        suffices(&self.difference) && of_ratio().unwrap_or(true)
    }

    /// Whether the differences differ by more than the rounding of the figures that they are between.
    fn varies(&self) -> bool {
        let largest = |summary: &Summary| {
            let ends = [summary.minimum(), summary.maximum()];
            ends.into_iter().flatten().map(f64::abs).fold(0.0, f64::max)
        };
        let range = (self.difference.maximum()).zip(self.difference.minimum());
        range.is_some_and(|(most, least)| {
            most - least > 1e-12 * (largest(&self.base) + largest(&self.difference))
        })
    }

    fn ratio(&self) -> Option<f64> {
        let base = self.base.mean().filter(|&mean| mean > 0.0)?;
        Some(self.difference.mean()? / base)
    }

    /// The mean difference in percent of the base's mean, with Fieller's interval (Fieller, Journal of the Royal
    /// Statistical Society B 16 (1954) 175-185): those ratios R for which the mean of `d − R b` may be 0. Hall's method
    /// takes the skewness of `d − R b` at the estimated ratio. No interval where the base's mean may be 0 itself.
    fn percent(&self, level: f64, method: IntervalMethod) -> Option<Estimate> {
        let ratio = self.ratio()?;
        let n = self.base.count();
        let interval = |method| {
            let moments = self.central_moments();
            let range = TRange::of(method, moments.skewness(ratio), n, level);
            let low = self.fieller(&moments, range.high)?.0;
            let high = self.fieller(&moments, range.low)?.1;
            // At a bound of 0 rounding may put an end beyond the ratio.
            Some((100.0 * low.min(ratio), 100.0 * high.max(ratio)))
        };
        let interval = |method| (n > 1).then(|| interval(method)).flatten();
        Some(Estimate {
            mean: 100.0 * ratio,
            half_width: interval(IntervalMethod::Student).map(|(low, high)| 0.5 * (high - low)),
            interval: interval(method),
            n,
            level,
        })
    }

    /// The two ratios R at which the t statistic of the mean of `d − R b` is `t` or `−t`, the lower one first: the roots
    /// of a quadratic equation. None unless all between them are on one side of those bounds.
    fn fieller(&self, moments: &Moments, t: f64) -> Option<(f64, f64)> {
        let (b, d) = (self.base.mean()?, self.difference.mean()?);
        // Variances of the means.
        let each = t * t / (self.base.count() - 1) as f64;
        let squared = b * b - each * moments.bb;
        let linear = b * d - each * moments.bd;
        let constant = d * d - each * moments.dd;
        if squared <= 0.0 {
            return None;
        }
        let root = (linear * linear - squared * constant).max(0.0).sqrt();
        Some(((linear - root) / squared, (linear + root) / squared))
    }

    fn central_moments(&self) -> Moments {
        let n = (self.base.count() as f64).max(1.0);
        let of = &self.sums;
        let (b, d) = (of.b / n, of.d / n);
        let (bb, bd, dd) = (of.bb / n, of.bd / n, of.dd / n);
        Moments {
            b: 0.0,
            d: 0.0,
            bb: (bb - b * b).max(0.0),
            bd: bd - b * d,
            dd: (dd - d * d).max(0.0),
            bbb: of.bbb / n - 3.0 * b * bb + 2.0 * b * b * b,
            bbd: of.bbd / n - 2.0 * b * bd - d * bb + 2.0 * b * b * d,
            bdd: of.bdd / n - 2.0 * d * bd - b * dd + 2.0 * b * d * d,
            ddd: of.ddd / n - 3.0 * d * dd + 2.0 * d * d * d,
        }
    }
}

impl Moments {
    /// The variance of `d − R b`, of central moments.
    fn variance(&self, ratio: f64) -> f64 {
        self.dd - 2.0 * ratio * self.bd + ratio * ratio * self.bb
    }

    /// The skewness of `d − R b`, of central moments; 0 where that does not vary but for rounding.
    fn skewness(&self, ratio: f64) -> f64 {
        let second = self.variance(ratio);
        let third = self.ddd - 3.0 * ratio * self.bdd + 3.0 * ratio * ratio * self.bbd
            - ratio * ratio * ratio * self.bbb;
        match second <= 1e-12 * (self.dd + ratio * ratio * self.bb) {
            true => 0.0,
            false => third / (second * second.sqrt()),
        }
    }
}
