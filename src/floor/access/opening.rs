//! Through an opening in a wall, straight or tilted.

use std::f64::consts::FRAC_PI_2;

use super::least;

/// How a block goes through an opening, its longest side first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpeningFit {
    /// Tilt from upright in degrees; 0 upright, 90 lying.
    pub tilt: f64,
    /// What is left at the tighter side; negative: what is missing.
    pub spare: f64,
}

/// How the two shorter sides of a block go best through an opening `width` wide and `height` high.
///
/// A face of p by q tilted by t takes `p cos t + q sin t` across and `p sin t + q cos t` up. Upright is preferred if
/// it fits, then lying, then whatever tilt leaves most; the longest side goes through the wall.
pub fn opening_fit(sides: [f64; 3], width: f64, height: f64) -> OpeningFit {
    let mut sides = sides;
    sides.sort_by(f64::total_cmp);
    let [p, q, _] = sides;
    let upright = (width - p).min(height - q);
    let lying = (width - q).min(height - p);
    if upright >= 0.0 {
        return OpeningFit {
            tilt: 0.0,
            spare: upright,
        };
    }
    if lying >= 0.0 {
        return OpeningFit {
            tilt: 90.0,
            spare: lying,
        };
    }
    // In quarters of a degree, then refined; an opening without a lintel is only as narrow as it is wide.
    let (tilt, lacking) = least(0.0, FRAC_PI_2, 360, |angle| {
        let (sin, cos) = (libm::sin(angle), libm::cos(angle));
        let (across, up) = (p * cos + q * sin, p * sin + q * cos);
        (across - width).max(up - height)
    });
    OpeningFit {
        tilt: tilt.to_degrees(),
        spare: -lacking,
    }
}
