//! How much of what leaves one surface reaches another.

use std::f64::consts::PI;

/// Which share of the light that leaves a rectangle evenly reaches an equal one that faces it at a distance: the closed
/// form of the handbooks of radiation (for example Howell's catalogue, C-11).
pub fn facing_rectangles(length: f64, width: f64, distance: f64) -> f64 {
    let (x, y) = (length / distance, width / distance);
    let (x2, y2) = (1.0 + x * x, 1.0 + y * y);
    let (root_x, root_y) = (x2.sqrt(), y2.sqrt());
    let sum = libm::log((x2 * y2 / (x2 + y2 - 1.0)).sqrt())
        + x * root_y * libm::atan(x / root_y)
        + y * root_x * libm::atan(y / root_x)
        - x * libm::atan(x)
        - y * libm::atan(y);
    2.0 / (PI * x * y) * sum
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tables of view factors give 0.1998 for facing sides of a cube; far away it is area / (π d²).
    #[test]
    fn of_a_cube_and_far_away() {
        assert!((facing_rectangles(1.0, 1.0, 1.0) - 0.1998).abs() < 5e-5);
        let far = facing_rectangles(1.0, 2.0, 100.0);
        assert!((far * PI * 1e4 / 2.0 - 1.0).abs() < 1e-3, "{far}");
    }
}
