//! Count, mean, variance and extremes of numbers that come one by one.

/// What is kept of a series of numbers.
///
/// The mean and the sum of squared deviations are updated with each number (Welford,
/// Technometrics 4 (1962) 419-420), which loses no digits when the numbers are large and close to
/// each other.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Summary {
    count: u64,
    mean: f64,
    squares: f64,
    extremes: Option<(f64, f64)>,
}

impl Summary {
    /// A summary of no numbers.
    pub fn new() -> Summary {
        Summary::default()
    }

    /// Takes one more number.
    #[inline]
    pub fn add(&mut self, value: f64) {
        self.count += 1;
        let before = value - self.mean;
        self.mean += before / self.count as f64;
        self.squares += before * (value - self.mean);
        self.extremes = Some(match self.extremes {
            None => (value, value),
            Some((least, most)) => (least.min(value), most.max(value)),
        });
    }

    /// Takes all numbers of another summary.
    ///
    /// Chan, Golub and LeVeque, The American Statistician 37 (1983) 242-247. The last digits
    /// depend on the order of merging, so a caller that wants the same bytes on any number of
    /// threads merges in a fixed order.
    pub fn merge(&mut self, other: &Summary) {
        let (Some((least, most)), Some(extremes)) = (other.extremes, self.extremes) else {
            if other.count > 0 {
                *self = *other;
            }
            return;
        };
        let (own, others) = (self.count as f64, other.count as f64);
        let step = other.mean - self.mean;
        self.count += other.count;
        self.mean += step * (others / (own + others));
        self.squares += other.squares + step * step * (own * others / (own + others));
        self.extremes = Some((extremes.0.min(least), extremes.1.max(most)));
    }

    /// How many numbers were taken.
    pub fn count(&self) -> u64 {
        self.count
    }

    /// The mean, if there is a number.
    pub fn mean(&self) -> Option<f64> {
        (self.count > 0).then_some(self.mean)
    }

    /// The variance with the divisor `count - 1`, if there are at least two numbers.
    pub fn variance(&self) -> Option<f64> {
        (self.count > 1).then(|| self.squares / (self.count - 1) as f64)
    }

    /// The square root of the variance.
    pub fn standard_deviation(&self) -> Option<f64> {
        self.variance().map(f64::sqrt)
    }

    /// The smallest number.
    pub fn minimum(&self) -> Option<f64> {
        self.extremes.map(|(least, _)| least)
    }

    /// The largest number.
    pub fn maximum(&self) -> Option<f64> {
        self.extremes.map(|(_, most)| most)
    }
}

impl Extend<f64> for Summary {
    fn extend<I: IntoIterator<Item = f64>>(&mut self, values: I) {
        for value in values {
            self.add(value);
        }
    }
}

impl FromIterator<f64> for Summary {
    fn from_iter<I: IntoIterator<Item = f64>>(values: I) -> Summary {
        let mut summary = Summary::new();
        summary.extend(values);
        summary
    }
}
