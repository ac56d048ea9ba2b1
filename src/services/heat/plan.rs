//! A shop that is heated, and how cold it is outdoors.

use super::contents::UsualContents;
use super::loss::Envelope;
use super::lumps::TwoLumps;

/// Months as they are written.
pub const MONTHS: [&str; 12] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
];

/// Temperatures in °C.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatPlan {
    /// While work can be done, and at other times.
    pub open: f64,
    pub shut: f64,
    /// Months in which it is heated, in the order of the year.
    pub months: Vec<MonthOutside>,
    pub envelope: Envelope,
    /// Of the envelope's parts.
    pub names: Vec<String>,
    pub contents: UsualContents,
    /// What all heaters together give, in W.
    pub heater: f64,
}

/// How cold it is outdoors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonthOutside {
    /// An index of [`MONTHS`].
    pub month: usize,
    pub outside: f64,
}

impl HeatPlan {
    /// In W/K, while so much air in m³/s is thrown out.
    pub fn loss(&self, exhaust: f64) -> f64 {
        let envelope = Envelope {
            exhaust,
            ..self.envelope.clone()
        };
        envelope.loss().sum()
    }

    pub fn lumps(&self, outside: f64) -> TwoLumps {
        self.contents.lumps(self.loss(0.0), outside)
    }
}
