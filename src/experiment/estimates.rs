//! Estimates of figures that not every replication has, and shares.

use super::Settings;
use crate::statistics::{Estimate, IntervalMethod, Summary, suffices};

/// The estimate of a figure that no replication has.
pub(super) fn none(level: f64) -> Estimate {
    Estimate {
        mean: 0.0,
        half_width: None,
        interval: None,
        n: 0,
        level,
    }
}

/// An estimate of a figure for which the replications are not asked whether they suffice: where they do not, and their
/// number is left to the program, it has no interval.
pub(super) fn estimate_if_enough(summary: &Summary, settings: &Settings) -> Option<Estimate> {
    let method = settings.replications.intervals();
    let estimate = Estimate::by(summary, settings.confidence, method)?;
    Some(
        match method == IntervalMethod::Student || suffices(summary) {
            true => estimate,
            false => Estimate {
                half_width: None,
                interval: None,
                ..estimate
            },
        },
    )
}

/// A part of a whole that it cannot exceed; the rounding of sums may seem to say otherwise.
pub(super) fn share(part: f64, whole: f64) -> f64 {
    if whole > 0.0 {
        (part / whole).min(1.0)
    } else {
        0.0
    }
}
