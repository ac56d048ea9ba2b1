//! The people, what they carry with, and the counted things that work needs.

use super::{OperationId, PlaceId, WeeklyTimes};
use crate::units::{Mass, Span, Speed};

#[derive(Debug, Clone, PartialEq)]
pub struct Person {
    pub name: String,
    /// The name of all who can do the same operations, walk as fast and are there at the same hours.
    pub group: String,
    /// Operations that this person can do; `None` means every one.
    pub can: Option<Vec<OperationId>>,
    /// Empty-handed.
    pub walking_speed: Speed,
    pub starts_at: PlaceId,
    /// How high the elbow is above the floor, in metres, with shoes on.
    pub elbow: Option<f64>,
    /// What hearing protection takes off sound, in dB; nothing where nobody said so. No run depends on it.
    pub protection: Option<f64>,
    /// When they are there, of the time in which the shop is open; `None` means all of it.
    pub hours: Option<WeeklyTimes>,
}

impl Person {
    pub fn can_do(&self, operation: OperationId) -> bool {
        self.can.as_ref().is_none_or(|can| can.contains(&operation))
    }
}

/// Counted things that an operation may need.
#[derive(Debug, Clone, PartialEq)]
pub struct Gear {
    pub name: String,
    pub count: u32,
    /// Where it is fetched from; without a place nobody walks for it.
    pub stored_at: Option<PlaceId>,
}

/// How things are moved.
#[derive(Debug, Clone, PartialEq)]
pub struct MaterialHandling {
    pub loaded_speed: Speed,
    /// Per carry.
    pub pick_up: Span,
    pub put_down: Span,
    /// The most that one carry takes; one piece goes in any case.
    pub carry_mass: Mass,
    pub carry_pieces: Option<u32>,
    pub carts: Option<Carts>,
}

impl MaterialHandling {
    /// Pieces in one carry by hand, where one weighs `mass`.
    pub fn carry(&self, mass: Option<Mass>) -> u32 {
        let by_mass = match mass {
            // The small allowance keeps 3 pieces of exactly 5 kg within 15 kg in spite of rounding.
            Some(mass) if mass.kilograms() > 0.0 => {
                (self.carry_mass.kilograms() / mass.kilograms() * (1.0 + 1e-9))
                    .floor()
                    .min(f64::from(u32::MAX)) as u32
            }
            _ => u32::MAX,
        };
        by_mass.min(self.carry_pieces.unwrap_or(u32::MAX)).max(1)
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct Carts {
    pub count: u32,
    pub stored_at: PlaceId,
    /// Pieces in one trip.
    pub pieces: u32,
    pub speed: Speed,
    /// Lots of at least so many pieces ask for a cart.
    pub at_least: u32,
    /// Per trip.
    pub load: Span,
    pub unload: Span,
}
