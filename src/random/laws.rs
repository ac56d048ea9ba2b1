//! The mathematics behind the distributions, for single numbers.
//!
//! All functions come from `libm`, not from the platform: the last digit of a platform's `log` is
//! the platform's own.

use std::hint::select_unpredictable;

use distrs::Normal;

/// The distribution function of the standard normal distribution.
pub(super) fn normal_probability(x: f64) -> f64 {
    0.5 * libm::erfc(-x * std::f64::consts::FRAC_1_SQRT_2)
}

/// The density of the standard normal distribution.
pub(super) fn normal_density(x: f64) -> f64 {
    libm::exp(-0.5 * x * x) / (2.0 * std::f64::consts::PI).sqrt()
}

/// The inverse of the standard normal distribution function, for `p` above 0 and below 1.
///
/// Wichura's algorithm AS 241, Applied Statistics 37 (1988) 477-484: about 16 digits.
#[inline]
pub(super) fn normal_quantile(p: f64) -> f64 {
    Normal::ppf(p, 0.0, 1.0)
}

/// The inverse of the distribution function of a triangular density on 0 to `range` that is
/// highest at `peak`.
///
/// Below the peak `F(x) = x² / (range peak)`, above it
/// `1 - F(x) = (range - x)² / (range (range - peak))`.
///
/// The side of a draw cannot be predicted, so both are computed: a mispredicted branch would cost
/// more.
#[inline]
pub(super) fn triangular_quantile(u: f64, range: f64, peak: f64) -> f64 {
    let below = u * range < peak;
    let part = select_unpredictable(below, u, 1.0 - u);
    let leg = select_unpredictable(below, peak, range - peak);
    let root = (part * range * leg).sqrt();
    select_unpredictable(below, root, range - root)
}
