//! What is lost along a wire.

use std::f64::consts::PI;

use crate::units::customary::{FOOT, INCH};

/// A circular mil: a circle of a thousandth of an inch, in m².
const CIRCULAR_MIL: f64 = PI / 4.0 * (INCH / 1000.0) * (INCH / 1000.0);

/// 12.9 Ω circular mils a foot of warm copper, as exam-preparation pages have it, in Ω m.
const COPPER: f64 = 12.9 * CIRCULAR_MIL / FOOT;

/// Circular mils by gauge: NEC chapter 9, table 8 (14 and 6 from memory), and the two of cords.
const GAUGES: [(u32, f64); 7] = [
    (18, 1620.0),
    (16, 2580.0),
    (14, 4110.0),
    (12, 6530.0),
    (10, 10_380.0),
    (8, 16_510.0),
    (6, 26_240.0),
];

/// A copper wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conductor {
    /// Of its section, in m².
    pub area: f64,
}

impl Conductor {
    /// By American wire gauge; none that is not in the table.
    pub fn gauge(number: u32) -> Option<Conductor> {
        let (_, mils) = GAUGES.iter().find(|(gauge, _)| *gauge == number)?;
        Some(Conductor {
            area: mils * CIRCULAR_MIL,
        })
    }

    /// Its gauge, if it has one of the table.
    pub fn as_gauge(self) -> Option<u32> {
        let mils = self.area / CIRCULAR_MIL;
        let near = GAUGES.iter().find(|(_, of)| (mils - of).abs() < 0.001 * of);
        near.map(|&(gauge, _)| gauge)
    }

    /// The gauges that there are.
    pub fn gauges() -> impl Iterator<Item = u32> {
        GAUGES.iter().map(|&(gauge, _)| gauge)
    }

    /// The largest breaker, in A, that usually protects a copper wire of branch circuits (14 AWG 15 A, 12 AWG 20 A, 10 AWG
    /// 30 A; NEC 240.4(D), from memory; thinner ones are cords); None of thicker ones, which are for an electrician.
    pub fn usual_breaker(self) -> Option<f64> {
        const MOST: [(u32, f64); 3] = [(14, 15.0), (12, 20.0), (10, 30.0)];
        // Areas of one gauge differ in their last digits.
        let is_enough = |gauge: u32| {
            let like = Conductor::gauge(gauge);
            like.is_some_and(|like| self.area <= like.area * 1.001)
        };
        let most = MOST.into_iter().find(|&(gauge, _)| is_enough(gauge));
        most.map(|(_, amps)| amps)
    }

    /// How many V are lost there and back along a wire of a length: 2 × 12.9 × I × L / CM, the same at 120 and 240 V.
    pub fn drop(self, amps: f64, length: f64) -> f64 {
        2.0 * COPPER * amps * length / self.area
    }
}

/// A wire of a length, in m one way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WireRun {
    pub conductor: Conductor,
    pub length: f64,
}

impl WireRun {
    /// What is lost along it, in V.
    pub fn drop(self, amps: f64) -> f64 {
        self.conductor.drop(amps, self.length)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1973.5 circular mils to the square millimetre.
    #[test]
    fn a_square_millimetre_in_circular_mils() {
        assert!((1e-6 / CIRCULAR_MIL - 1973.5).abs() < 0.05);
        assert_eq!(Conductor::gauge(11), None);
        let most = [14, 12, 10, 8].map(|gauge| Conductor::gauge(gauge)?.usual_breaker());
        assert_eq!(most, [Some(15.0), Some(20.0), Some(30.0), None]);
        assert_eq!(Conductor::gauges().count(), 7);
        let gauge = |number| Conductor::gauge(number)?.as_gauge();
        assert_eq!(
            Conductor::gauges().map(gauge).collect::<Vec<_>>(),
            Conductor::gauges().map(Some).collect::<Vec<_>>()
        );
        assert_eq!(Conductor { area: 2.5e-6 }.as_gauge(), None);
    }
}
