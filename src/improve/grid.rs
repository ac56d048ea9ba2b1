//! The grid on which stations are tried.

/// Where stations are tried, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpotGrid {
    /// Coordinates are whole multiples of it, so that they can be written and taped.
    pub unit: f64,
    /// From one spot to the next, in units.
    pub step: u32,
}

impl SpotGrid {
    /// Coordinates from one to the other, both rounded inward.
    pub(super) fn between(self, low: f64, high: f64) -> Vec<f64> {
        /// Roundings do not put a spot off.
        const SAME: f64 = 1e-6;
        let first = (low / self.unit - SAME).ceil() as i64;
        let last = (high / self.unit + SAME).floor() as i64;
        let mut all: Vec<i64> = (first..=last).step_by(self.step.max(1) as usize).collect();
        if first <= last && all.last() != Some(&last) {
            all.push(last);
        }
        all.into_iter()
            .map(|units| units as f64 * self.unit)
            .collect()
    }
}
