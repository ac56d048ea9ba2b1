//! What is warmed along with a room's air.

use super::lumps::TwoLumps;
use crate::units::customary::{BTU, FAHRENHEIT, SQUARE_FOOT};

/// What has to be warmed along with a room's air, where nobody has counted it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UsualContents {
    /// In J/K: air, with half of the lining of walls and ceiling.
    pub air: f64,
    /// In J/K: the other half, iron, wood, and the first inch of a slab.
    pub mass: f64,
    /// In W/K, between the two.
    pub between: f64,
}

impl UsualContents {
    /// By the floor's area in m², as in a garage of 24 × 24 ft with 2000 lb of iron and 1000 lb of wood: 83 Btu/°F of air,
    /// 700 of lining, 220, 380 and 1440 of the rest, and 1400 Btu/(h °F) between the two. Guesses, to be set right by an
    /// evening's thermometer.
    pub fn of(area: f64) -> UsualContents {
        const GARAGE: f64 = 24.0 * 24.0 * SQUARE_FOOT;
        let share = area / GARAGE;
        let capacity = |btu: f64| btu * BTU / FAHRENHEIT * share;
        UsualContents {
            air: capacity(83.0 + 700.0 / 2.0),
            mass: capacity(700.0 / 2.0 + 220.0 + 380.0 + 1440.0),
            between: capacity(1400.0) / 3600.0,
        }
    }

    /// In a room that loses so many W/K to outdoors, where it is so warm in °C.
    pub fn lumps(&self, loss: f64, outside: f64) -> TwoLumps {
        TwoLumps {
            air: self.air,
            mass: self.mass,
            between: self.between,
            loss,
            outside,
        }
    }
}
