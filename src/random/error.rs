//! What can be wrong with the parameters of a distribution.

use thiserror::Error;

/// The longest duration that a distribution gives or takes, in seconds: about 317 years.
///
/// Whole microseconds of hundreds of such durations still fit into 64 bits.
pub const LONGEST_S: f64 = 1e10;

/// Why no distribution can be made of some parameters, with what would be right.
///
/// Durations are in seconds; a caller who knows the units that the user wrote can take the values
/// and print them in those.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum DistributionError {
    #[error("{what} is {value}; it must be a finite number")]
    NotFinite { what: &'static str, value: f64 },
    #[error("{what} is {value_s} s; it must not be negative")]
    Negative { what: &'static str, value_s: f64 },
    #[error("{what} is {value_s} s; the longest possible is {LONGEST_S} s")]
    TooLong { what: &'static str, value_s: f64 },
    #[error(
        "the least value, {least_s} s, is more than the most, {most_s} s; write the least first"
    )]
    Reversed { least_s: f64, most_s: f64 },
    #[error(
        "the most likely value, {likely_s} s, lies outside {least_s} s to {most_s} s; \
         it must be one of them or lie between them"
    )]
    LikelyOutside {
        least_s: f64,
        likely_s: f64,
        most_s: f64,
    },
    #[error(
        "the mean is 0 but the sd is {sd_s} s; a positive quantity that varies needs a mean above 0"
    )]
    ZeroMean { sd_s: f64 },
    #[error(
        "the sd, {sd_s} s, is more than {most_times} times the mean, {mean_s} s; it must not be"
    )]
    TooVaried {
        mean_s: f64,
        sd_s: f64,
        most_times: f64,
    },
    #[error("the shape is {shape}; it must lie between {least} and {most}")]
    Shape { shape: f64, least: f64, most: f64 },
    #[error("the number of stages is {stages}; it must be a whole number from 1 to {most}")]
    Stages { stages: f64, most: f64 },
    #[error("there is no observed value; at least one is needed")]
    NothingObserved,
    #[error("{kind} takes {expected} numbers, not {found}")]
    Count {
        kind: &'static str,
        expected: usize,
        found: usize,
    },
}
