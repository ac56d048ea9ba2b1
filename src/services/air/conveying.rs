//! Whether chips go where the air goes, and whether a port has the air that it wants.

use crate::units::customary::FEET_A_MINUTE;

/// A duct designer's page: between 3000 and 3500 ft/min what is carried begins to drop out in level runs, and below 3700
/// large chips do not climb.
const SETTLES: f64 = 3000.0 * FEET_A_MINUTE;
const BEGINS_TO_SETTLE: f64 = 3500.0 * FEET_A_MINUTE;
const CLIMBS: f64 = 3700.0 * FEET_A_MINUTE;

/// What becomes of chips in a section. That they are carried says nothing of the air that people breathe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Conveying {
    /// Not on the way from an open port.
    Shut,
    Conveys,
    BeginsToSettle,
    /// It rises somewhere, and large chips do not climb there.
    DoesNotClimb,
    Settles,
}

impl Conveying {
    /// Of a section on the way from an open port, at a velocity in m/s.
    pub fn at(velocity: f64, is_rising: bool) -> Conveying {
        match velocity {
            velocity if velocity < SETTLES => Conveying::Settles,
            velocity if is_rising && velocity < CLIMBS => Conveying::DoesNotClimb,
            velocity if !is_rising && velocity < BEGINS_TO_SETTLE => Conveying::BeginsToSettle,
            _ => Conveying::Conveys,
        }
    }

    pub fn in_words(self) -> &'static str {
        match self {
            Conveying::Shut => "shut",
            Conveying::Conveys => "conveys",
            Conveying::BeginsToSettle => "begins to settle",
            Conveying::DoesNotClimb => "does not climb",
            Conveying::Settles => "settles",
        }
    }
}

/// The airflow that a port needs at least, and the one that is good; the same where one is given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WantedAir {
    pub least: f64,
    pub good: f64,
}

/// How well a port is served, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Supply {
    Enough,
    Short,
    Starved,
}

impl WantedAir {
    pub fn supply(self, airflow: f64) -> Supply {
        match airflow {
            airflow if airflow < self.least => Supply::Starved,
            airflow if airflow < self.good => Supply::Short,
            _ => Supply::Enough,
        }
    }
}
