//! Between which heights above the floor things are.

use super::SAME_POINT_M;
use super::access::INCH_M;

/// What begins no lower than this leaves room for a bench below it: the lowest part of a wall is for what stands.
const OVER_BENCHES_M: f64 = 34.0 * INCH_M;

/// From how high above the floor to how high something is, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeightRange {
    /// 0 for what stands on the floor.
    pub bottom: f64,
    /// Infinite where nobody said how high it is: then nothing passes over it.
    pub top: f64,
}

impl Default for HeightRange {
    /// From the floor to the ceiling.
    fn default() -> HeightRange {
        HeightRange {
            bottom: 0.0,
            top: f64::INFINITY,
        }
    }
}

impl HeightRange {
    /// How much of the height of one the other has, too, in metres; nothing if one of them is above the other one, or
    /// lies on it.
    pub fn overlap(&self, other: &HeightRange) -> Option<f64> {
        let shared = self.top.min(other.top) - self.bottom.max(other.bottom);
        (shared > SAME_POINT_M).then_some(shared)
    }

    pub fn meets(&self, other: &HeightRange) -> bool {
        self.overlap(other).is_some()
    }

    /// Whether people walk and stand below it.
    pub fn is_overhead(&self, head_room: f64) -> bool {
        self.bottom >= head_room - SAME_POINT_M
    }

    /// Whether it hangs so high that something to work at may stand below it.
    pub fn hangs(&self) -> bool {
        self.bottom >= OVER_BENCHES_M - SAME_POINT_M
    }

    /// Whether it is known how high it is.
    pub fn is_known(&self) -> bool {
        self.bottom > 0.0 || self.top.is_finite()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BENCH: HeightRange = HeightRange {
        bottom: 0.0,
        top: 0.9,
    };

    #[test]
    fn what_lies_on_something_does_not_share_its_height() {
        let from = |bottom| HeightRange { bottom, top: 2.0 };
        assert_eq!(BENCH.overlap(&from(0.9)), None);
        assert_eq!(BENCH.overlap(&from(0.8)), Some(0.9 - 0.8));
        assert!(BENCH.meets(&HeightRange::default()));
        assert!(HeightRange::default().meets(&HeightRange::default()));
    }

    #[test]
    fn people_walk_below_what_leaves_them_head_room() {
        let from = |bottom| HeightRange { bottom, top: 3.0 };
        assert!(from(2.0).is_overhead(2.0) && !from(1.99).is_overhead(2.0));
        assert!(!HeightRange::default().is_overhead(2.0));
        assert!(from(34.0 * INCH_M).hangs() && !from(30.0 * INCH_M).hangs());
    }
}
