//! What a room loses for each kelvin between it and outdoors.

use crate::units::customary::{BTU, BTU_AN_HOUR, CUBIC_FOOT, FAHRENHEIT, FOOT, SQUARE_FOOT};

/// What it takes to warm air, in J/(m³ K): 0.018 Btu/(ft³ °F) at sea level (a state energy code's table); 7 to 10 % less
/// two to three thousand feet up.
pub const AIR_HEAT: f64 = 0.018 * BTU / (CUBIC_FOOT * FAHRENHEIT);
/// Of somebody at light bench work, in W: 600 Btu/h (order of size).
pub const PERSON_HEAT: f64 = 600.0 * BTU_AN_HOUR;

/// Of the edge of a slab without insulation, in W/(m K): 0.73 Btu/(h ft °F) (ASHRAE 90.1, from memory).
pub const SLAB_EDGE: f64 = 0.73 * BTU_AN_HOUR / (FAHRENHEIT * FOOT);

/// W/(m² K) of an R value in h ft² °F/Btu.
pub fn conductance(r: f64) -> f64 {
    BTU_AN_HOUR / (SQUARE_FOOT * FAHRENHEIT) / r
}

/// A part of what encloses a room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatPart {
    pub area: f64,
    /// In W/(m² K).
    pub conductance: f64,
}

/// What encloses a room.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Envelope {
    pub parts: Vec<HeatPart>,
    /// Of the edge of a slab, in W/K: so many W/(m K), times its length outdoors.
    pub slab_edge: f64,
    /// Air that comes in by itself, in m³/s.
    pub leakage: f64,
    /// Air that something throws out, in m³/s.
    pub exhaust: f64,
}

/// Where heat goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LossPart {
    Part(usize),
    SlabEdge,
    Air,
}

/// In W/K.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatLoss {
    pub parts: Vec<f64>,
    pub slab_edge: f64,
    pub air: f64,
}

impl Envelope {
    /// Σ A U + slab edge + air. What is thrown out stands in place of what leaks in, where it is more: the same doors and
    /// cracks let in what goes out.
    pub fn loss(&self) -> HeatLoss {
        let part = |part: &HeatPart| part.area * part.conductance;
        HeatLoss {
            parts: self.parts.iter().map(part).collect(),
            slab_edge: self.slab_edge,
            air: AIR_HEAT * self.leakage.max(self.exhaust),
        }
    }
}

impl HeatLoss {
    pub fn sum(&self) -> f64 {
        self.parts.iter().sum::<f64>() + self.slab_edge + self.air
    }

    /// Where most of it goes; the first of equals.
    pub fn largest(&self) -> LossPart {
        let parts = (self.parts.iter().copied().enumerate())
            .map(|(number, loss)| (LossPart::Part(number), loss));
        let others = [
            (LossPart::SlabEdge, self.slab_edge),
            (LossPart::Air, self.air),
        ];
        let all = parts.chain(others);
        let more = |most: (LossPart, f64), next: (LossPart, f64)| match next.1 > most.1 {
            true => next,
            false => most,
        };
        all.reduce(more).map_or(LossPart::Air, |(part, _)| part)
    }
}

/// What air that is thrown out takes along, in W.
pub fn exhaust_loss(airflow: f64, difference: f64) -> f64 {
    AIR_HEAT * airflow * difference
}
