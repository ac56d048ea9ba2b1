//! What can be said of a difference: whether it is shown, whether there is none, and its interval.

use super::figure::{Shown, percent};
use crate::statistics::{Estimate, Paired};

/// Whether an interval, or an exact difference, leaves zero out.
pub fn is_shown(difference: &Estimate) -> bool {
    match difference.covers_zero() {
        Some(covers) => !covers,
        None => difference.mean != 0.0,
    }
}

/// Whether the difference is nothing in every replication, but for the rounding of sums.
pub fn is_none(paired: &Paired) -> bool {
    let difference = &paired.difference;
    let largest = difference.mean.abs() + difference.half_width.unwrap_or(0.0);
    largest <= 1e-9 * paired.base_mean.abs()
}

/// The ends of the interval; none where the difference is the same in every replication.
pub fn interval(estimate: &Estimate) -> Option<(f64, f64)> {
    let (low, high) = (estimate.low()?, estimate.high()?);
    (high > low).then_some((low, high))
}

/// "95 % interval 98 to 99 s"; none where there is no interval, or where its ends are written alike, which adds nothing
/// to the mean.
pub fn interval_in_words(difference: &Estimate, unit: Shown, confidence: f64) -> Option<String> {
    let (low, high) = interval(difference)?;
    let (near, far) = unit.ends(low, high);
    let level = percent(confidence);
    (near != far).then(|| format!("{level} interval {near} to {far} {}", unit.sign))
}
