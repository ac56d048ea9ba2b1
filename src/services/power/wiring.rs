//! What is plugged in where: a shop's panel, circuits and loads.

use super::account::{ElectricLeg, Supplied};
use super::conductor::WireRun;
use crate::floor::Point;
use crate::shop::{Shop, StationId};

/// Where a current comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AmpsSource {
    Nameplate,
    /// Of a heater or lamp.
    Power,
    /// From the power of a motor.
    Estimate,
    /// The upper end of what machines of the kind draw.
    Kind,
}

impl AmpsSource {
    pub fn name(self) -> &'static str {
        match self {
            AmpsSource::Nameplate => "nameplate",
            AmpsSource::Power => "power",
            AmpsSource::Estimate => "estimate",
            AmpsSource::Kind => "kind",
        }
    }
}

/// The panel from which all circuits come.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SupplyPanel {
    /// In A for each leg; None where nobody said so.
    pub rating: Option<f64>,
    /// What leads to it.
    pub feeder: Option<WireRun>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Circuit {
    pub name: String,
    /// In A; None where that is for an electrician to say.
    pub rating: Option<f64>,
    pub volts: f64,
    pub supplied: Supplied,
    pub run: Option<WireRun>,
    /// Where something can be plugged in.
    pub outlets: Vec<Point>,
}

impl Circuit {
    pub fn is_of_both_legs(&self) -> bool {
        self.supplied == Supplied::Both
    }

    /// What may be put on it, in A: its rating, or less where its wire is too thin for that.
    pub fn carries(&self) -> Option<f64> {
        let of_wire = self.run.and_then(|run| run.conductor.usual_breaker());
        let rating = self.rating?;
        Some(of_wire.map_or(rating, |most| rating.min(most)))
    }

    /// The legs that it loads, by their letters.
    pub fn legs(&self) -> &'static [&'static str] {
        match self.supplied {
            Supplied::One(ElectricLeg::A) => &["a"],
            Supplied::One(ElectricLeg::B) => &["b"],
            Supplied::Both => &["a", "b"],
        }
    }
}

/// When a load is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Starts {
    /// With the work at its station, or with the machines that it serves.
    WithWork,
    /// By itself at some time, such as a compressor; nobody knows when.
    ByItself,
    /// By a thermostat: taken to be on all the time.
    Throughout,
}

/// What one unit of a station draws, or all lamps together.
#[derive(Debug, Clone, PartialEq)]
pub struct StationLoad {
    /// None of the lamps.
    pub station: Option<StationId>,
    /// None where nobody said which.
    pub circuit: Option<usize>,
    pub volts: f64,
    pub amps: f64,
    pub source: AmpsSource,
    /// By the motor table, for planning, in A.
    pub table_amps: Option<f64>,
    pub is_motor: bool,
    pub is_continuous: bool,
    pub starts: Starts,
    pub cord: Option<WireRun>,
}

impl StationLoad {
    pub fn name<'s>(&self, shop: &'s Shop) -> &'s str {
        self.station
            .map_or("lamps", |station| &shop.stations[station].name)
    }

    /// How many units there are.
    pub fn count(&self, shop: &Shop) -> u32 {
        self.station
            .map_or(1, |station| shop.stations[station].count)
    }
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wiring {
    pub panel: SupplyPanel,
    pub circuits: Vec<Circuit>,
    /// In the order of their stations, and then the lamps.
    pub loads: Vec<StationLoad>,
}

impl Wiring {
    /// Whether nobody says anything of current.
    pub fn is_empty(&self) -> bool {
        *self == Wiring::default()
    }
}

/// Whether a voltage is on one leg of a supply of 120 and 240 V, or on both; None of any other.
pub fn takes_both_legs(volts: f64) -> Option<bool> {
    match volts {
        110.0 | 115.0 | 120.0 => Some(false),
        208.0 | 220.0 | 230.0 | 240.0 => Some(true),
        _ => None,
    }
}
