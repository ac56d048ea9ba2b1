//! Count, mean, variance, skewness and extremes of numbers that come one by one.

/// Numbers that differ by no more than this share of the largest differ by how they were added up.
const ROUNDING: f64 = 1e-12;

/// What is kept of a series of numbers.
///
/// The mean and the sums of squared and of cubed deviations are updated with each number (Welford, Technometrics 4 (1962)
/// 419-420; cubes: Pébay, Sandia report SAND2008-6212), which loses no digits when the numbers are large and close to each
/// other.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Summary {
    count: u64,
    mean: f64,
    squares: f64,
    cubes: f64,
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
        let n = self.count as f64;
        let before = value - self.mean;
        self.mean += before / n;
        let new_square = before * (value - self.mean);
        self.cubes += before / n * (new_square * (n - 2.0) - 3.0 * self.squares);
        self.squares += new_square;
        self.extremes = Some(match self.extremes {
            None => (value, value),
            Some((least, most)) => (least.min(value), most.max(value)),
        });
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

    /// The skewness g₁ of the sample: the third central moment over the 3/2 power of the second, both with the divisor
    /// `count`. Nothing if the numbers do not vary, but for their rounding.
    pub fn skewness(&self) -> Option<f64> {
        let n = self.count as f64;
        let variance = self.squares / n;
        (self.varies()).then(|| self.cubes / n / (variance * variance.sqrt()))
    }

    /// Whether the numbers differ by more than the rounding of sums.
    pub fn varies(&self) -> bool {
        let Some((least, most)) = self.extremes else {
            return false;
        };
        most - least > ROUNDING * least.abs().max(most.abs())
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

/// The mean of each of some series of which equal places belong together; nothing if one is empty or they are not equally
/// long.
pub(super) fn means_of_paired(series: &[&[f64]]) -> Option<Vec<f64>> {
    if series.iter().any(|values| values.len() != series[0].len()) {
        return None;
    }
    let means = series.iter();
    means
        .map(|values| values.iter().copied().collect::<Summary>().mean())
        .collect()
}
