//! Around the corner where one corridor meets another at a right angle.

use std::f64::consts::FRAC_PI_2;

use super::least;
use crate::floor::tolerance::NEARLY_ALONG_RAD;

/// The longest piece of a thickness that turns, carried level, from a corridor into another; nothing if it is thicker
/// than one of them is wide.
///
/// The least of `(a sin t + b cos t - w) / (sin t cos t)` over the angles t: the outer edge slides along the outer
/// walls, and its distance from the inner corner must not be less than the thickness. Without thickness it is
/// `(a^(2/3) + b^(2/3))^(3/2)`, the ladder in the corner.
pub fn corner_limit(a: f64, b: f64, thickness: f64) -> Option<f64> {
    if thickness > a.min(b) {
        return None;
    }
    let length = |angle: f64| {
        let (sin, cos) = (libm::sin(angle), libm::cos(angle));
        (a * sin + b * cos - thickness) / (sin * cos)
    };
    let (_, limit) = least(NEARLY_ALONG_RAD, FRAC_PI_2 - NEARLY_ALONG_RAD, 720, length);
    Some(limit.max(0.0))
}

/// How much longer a piece could be and still go from one corridor into the other; negative: what is missing.
///
/// There are two ways: turning, and going on sideways, when the piece is no longer than the other corridor is wide.
pub fn corner_spare(a: f64, b: f64, length: f64, thickness: f64) -> f64 {
    let (length, thickness) = (length.max(thickness), length.min(thickness));
    let sideways = |one: f64, other: f64| (other - length).min(one - thickness);
    let straight = sideways(a, b).max(sideways(b, a));
    match corner_limit(a, b, thickness) {
        Some(limit) => straight.max(limit - length),
        None => straight,
    }
}

/// The longest piece of a thickness that goes from one corridor into the other, turning or going on sideways; nothing
/// if none does.
///
/// The inverse of [`corner_spare`]: for pieces longer than they are thick, which is up to the caller.
pub fn corner_longest(a: f64, b: f64, thickness: f64) -> Option<f64> {
    // Going on sideways, it may be as long as the corridor is wide that it does not lie along.
    let sideways = |one: f64, other: f64| (thickness <= one).then_some(other);
    let limits = [
        corner_limit(a, b, thickness),
        sideways(a, b),
        sideways(b, a),
    ];
    limits.into_iter().flatten().reduce(f64::max)
}

/// Who carries a piece level around a corner, and what room they take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Carriers {
    /// Nobody is reckoned with: over the shoulder, or from behind.
    Unseen,
    /// Somebody walks beside it, who adds so much to the thickness.
    OneBeside(f64),
    /// Two walk at the ends, each of whom adds so much to the length.
    TwoAtEnds(f64),
}

impl Carriers {
    /// Length and thickness in plan with those who carry.
    pub fn with(self, length: f64, thickness: f64) -> (f64, f64) {
        match self {
            Carriers::Unseen => (length, thickness),
            Carriers::OneBeside(hands) => (length, thickness + hands),
            Carriers::TwoAtEnds(hands) => (length + 2.0 * hands, thickness),
        }
    }

    /// The longest piece of a thickness that goes around a corner with them; nothing if none does.
    pub fn longest(self, (a, b): (f64, f64), thickness: f64) -> Option<f64> {
        let (hands, thickness) = self.with(0.0, thickness);
        Some(corner_longest(a, b, thickness)? - hands)
    }
}
