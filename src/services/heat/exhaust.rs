//! Air that is thrown out, what it carries, and what replaces it.
//!
//! Figures for planning; fuel, flues and exhaust are the work of licensed people.

use crate::units::customary::{BTU, CUBIC_FOOT, GALLON, POUND};

/// How far an exhaust draws a room below outdoors, in Pa: 50 (Q / Q₅₀)^(1 / 0.65), with what leaks at 50 Pa.
pub fn envelope_pressure(exhaust: f64, leaks_at_50: f64) -> f64 {
    50.0 * libm::pow(exhaust / leaks_at_50, 1.0 / 0.65)
}

/// The opening in m² through which an airflow comes in at a pressure: Q / (0.6 √(2 P / ρ)), air of 1.2 kg/m³.
pub fn make_up_opening(airflow: f64, pressure: f64) -> f64 {
    const ORIFICE: f64 = 0.6;
    const DENSITY: f64 = 1.2;
    airflow / (ORIFICE * libm::sqrt(2.0 * pressure / DENSITY))
}

/// How long air is to be changed until so much of what floats in it is left, in s: K V / Q ln(1 / left), K for air that
/// does not mix evenly.
pub fn purge_time(volume: f64, airflow: f64, mixing: f64, left: f64) -> f64 {
    mixing * volume / airflow * -libm::log(left)
}

/// What evaporates from a finish.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solvent {
    /// m³ of vapour from a m³ of liquid.
    pub vapour: f64,
    /// The least share of vapour in air that burns.
    pub burns_from: f64,
    /// The share that may be breathed for a working day.
    pub breathed_to: Option<f64>,
}

impl Solvent {
    /// Mineral spirits, from memory: 6.5 lb a gallon, 142 lb a pound-mole, of which a gas takes 387 ft³ at 70 °F; they burn
    /// from 0.8 %, and 100 ppm is their limit.
    pub const SPIRITS: Solvent = Solvent {
        vapour: 6.5 / 142.0 * 387.0 * CUBIC_FOOT / GALLON,
        burns_from: 0.008,
        breathed_to: Some(100.0 / 1e6),
    };

    /// The share of vapour in a room in which so much liquid has evaporated and mixed evenly. Near the piece, in a pan or
    /// among rags it is far richer.
    pub fn share_in(&self, liquid: f64, room: f64) -> f64 {
        self.vapour * liquid / room
    }

    /// The air that brings the vapour of so much liquid down to what may be breathed, in m³.
    pub fn air_to_breathe(&self, liquid: f64) -> Option<f64> {
        self.breathed_to.map(|limit| self.vapour * liquid / limit)
    }
}

/// The air in m³ that keeps the vapour of so much liquid at a quarter of what burns: 4 (100 − LEL) v / LEL (29 CFR
/// 1910.94(c)(6), from memory).
pub fn dilution_air(solvent: Solvent, liquid: f64) -> f64 {
    const PARTS: f64 = 4.0;
    PARTS * (1.0 - solvent.burns_from) * solvent.vapour * liquid / solvent.burns_from
}

/// A heater that burns in the room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Appliance {
    /// In W.
    pub power: f64,
    /// Of its fuel, in J/kg.
    pub heat_of_fuel: f64,
    /// kg of water from a kg of fuel.
    pub water_of_fuel: f64,
}

impl Appliance {
    /// One that burns propane: 21 500 Btu/lb, and C₃H₈ + 5 O₂ → 3 CO₂ + 4 H₂O.
    pub fn propane(power: f64) -> Appliance {
        Appliance {
            power,
            heat_of_fuel: 21_500.0 * BTU / POUND,
            water_of_fuel: 4.0 * 18.0 / 44.0,
        }
    }
}

/// The water that an unvented heater brings into a room, in kg/s; it sweats on cold iron.
pub fn combustion_water(appliance: Appliance) -> f64 {
    appliance.power / appliance.heat_of_fuel * appliance.water_of_fuel
}

/// What is to be taken out of a room that is kept cooler than outdoors, in W: through its surfaces at `loss` W/K and so
/// many K, and from people, lamps and motors in it. Without sun.
pub fn cooling_load(loss: f64, difference: f64, people: f64, lamps: f64, motors: f64) -> f64 {
    loss * difference + people + lamps + motors
}
