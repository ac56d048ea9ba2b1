//! Under ceilings and along stairs.

use std::f64::consts::FRAC_PI_2;

use crate::floor::tolerance::ROUNDED_SHARE;

/// How high a board reaches while it is raised from lying to standing: its diagonal, `sqrt(L^2 + w^2)`.
pub fn raised(length: f64, width: f64) -> f64 {
    libm::hypot(length, width)
}

/// Length in plan of a piece that is leaned back as far as the ceiling allows, where that is shorter than level.
///
/// `length` lies along the carry and `height` is what it measures upward when carried level. Leaned by t it reaches
/// `L sin t + h cos t` up and `L cos t + h sin t` along; under a ceiling above its diagonal it can be stood on end.
/// Between the two, the length in plan first grows to the diagonal, so of all angles up to the greatest that the
/// ceiling allows only that one can be shorter than level. Nothing if none is, or if even level it is higher than the
/// ceiling.
pub fn leaned(length: f64, height: f64, ceiling: f64) -> Option<f64> {
    if height > ceiling {
        return None;
    }
    if raised(length, height) <= ceiling {
        return (height < length).then_some(height);
    }
    // Up to the peak at tan t = L / h the reach grows with the angle.
    let up = |angle: f64| length * libm::sin(angle) + height * libm::cos(angle);
    let (mut low, mut high) = (0.0, libm::atan2(length, height).min(FRAC_PI_2));
    for _ in 0..100 {
        let middle = (low + high) / 2.0;
        if up(middle) <= ceiling {
            low = middle;
        } else {
            high = middle;
        }
    }
    let along = length * libm::cos(low) + height * libm::sin(low);
    (along < length * (1.0 - ROUNDED_SHARE)).then_some(along)
}

/// What is left of the headroom above a piece carried along a stair; negative: what is missing.
///
/// The headroom is measured plumb; square to the slope it is less by the cosine, `tread / sqrt(riser^2 + tread^2)`.
/// A flight without rise or tread counts as level.
pub fn stair_spare(height: f64, hands: f64, headroom: f64, riser: f64, tread: f64) -> f64 {
    let slope = libm::hypot(riser, tread);
    let cosine = if slope > 0.0 { tread / slope } else { 1.0 };
    headroom * cosine - (height + hands)
}
