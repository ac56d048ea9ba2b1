//! The difference between two candidates that were played with the same luck.

use super::estimate::Estimate;
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
}

impl Paired {
    /// Compares two series of which equal places belong to one replication.
    ///
    /// Nothing if the series are empty or not equally long.
    ///
    /// # Panics
    /// If the level does not lie between 0 and 1.
    pub fn of(base: &[f64], other: &[f64], level: f64) -> Option<Paired> {
        if base.len() != other.len() {
            return None;
        }
        let base_mean = base.iter().copied().collect::<Summary>().mean()?;
        let differences: Summary = base
            .iter()
            .zip(other)
            .map(|(base, other)| other - base)
            .collect();
        Some(Paired {
            base_mean,
            difference: Estimate::of_summary(&differences, level)?,
        })
    }

    /// The difference in percent of the base's mean, unless that is 0.
    ///
    /// The interval is the difference's, divided by the base's mean as if that were known exactly.
    pub fn percent(&self) -> Option<Estimate> {
        (self.base_mean != 0.0).then(|| self.difference.scaled(100.0 / self.base_mean.abs()))
    }
}
