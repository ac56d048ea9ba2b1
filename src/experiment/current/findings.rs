//! What was found of currents: A, V, seconds and metres.

use crate::services::power::{AmpsSource, Starts};
use crate::statistics::Estimate;

/// The current of one candidate, over its first replications.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerFindings {
    /// How many were looked at.
    pub runs: u64,
    pub circuits: Vec<CircuitFindings>,
    pub panel: PanelFindings,
    pub loads: Vec<LoadFindings>,
    /// Machines that are in no account, since nobody says where they are plugged in.
    pub without_circuit: Vec<String>,
    /// Cords that do not reach the nearest outlet of their circuit.
    pub short_cords: Vec<CordFindings>,
    /// One plug that is put elsewhere, after which the circuit that is farthest over its rating no longer is.
    pub replug: Option<Replug>,
}

impl PowerFindings {
    /// Whether something is over its rating.
    pub fn is_over(&self) -> bool {
        let circuits = self.circuits.iter();
        circuits
            .into_iter()
            .any(|circuit| circuit.without.over.is_some())
            || self.panel.is_over()
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct CircuitFindings {
    pub name: String,
    /// None where that is for an electrician to say.
    pub rating: Option<f64>,
    pub volts: f64,
    pub legs: &'static [&'static str],
    /// Stations that are plugged into it.
    pub loads: Vec<String>,
    /// Without what starts by itself.
    pub without: CircuitCurrents,
    /// What starts by itself, and what it comes to if it starts at any time.
    pub starting: Vec<String>,
    pub with_starting: Option<CircuitCurrents>,
    pub drop: Option<VoltageDrop>,
}

impl CircuitFindings {
    /// If everything starts that may.
    pub fn most(&self) -> &CircuitCurrents {
        self.with_starting.as_ref().unwrap_or(&self.without)
    }
}

/// The three figures of a circuit, which are never mixed.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitCurrents {
    /// The most that ran together, and what that was.
    pub peak: f64,
    pub peak_of: Vec<String>,
    /// Where that is more than the rating.
    pub over: Option<OverRating>,
    /// With the 25 % that the code adds for what is continuous.
    pub with_continuous: f64,
    pub continuous: Vec<String>,
    /// By the motor table, with what the code adds: for the electrician.
    pub planning: f64,
}

/// How often and how long a circuit was over its rating in a replication.
#[derive(Debug, Clone, PartialEq)]
pub struct OverRating {
    /// Replications in which it was.
    pub runs: u64,
    pub spells: Estimate,
    pub seconds: Estimate,
    /// The longest spell of a replication.
    pub longest: Estimate,
    /// The longest of all replications.
    pub longest_of_all: f64,
    /// What ran together then, the longest first.
    pub combinations: Vec<Combination>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Combination {
    pub of: Vec<String>,
    pub amps: f64,
    /// Means over the replications.
    pub spells: f64,
    pub seconds: f64,
    pub longest_of_all: f64,
}

/// What is lost along the wires while as much runs as ever does, in V.
#[derive(Debug, Clone, PartialEq)]
pub struct VoltageDrop {
    pub run: f64,
    pub run_share: f64,
    /// With feeder and cord, at the machine at which most is lost.
    pub at: String,
    pub total: f64,
    pub total_share: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PanelFindings {
    pub rating: Option<f64>,
    /// The most at one time over each leg, a and b, without what starts by itself, and with it.
    pub without: [f64; 2],
    pub with_starting: Option<[f64; 2]>,
}

impl PanelFindings {
    pub fn greater(legs: [f64; 2]) -> f64 {
        legs[0].max(legs[1])
    }

    pub fn is_over(&self) -> bool {
        let over = |rating: f64| PanelFindings::greater(self.without) > rating;
        self.rating.is_some_and(over)
    }
}

/// What a machine draws.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadFindings {
    pub name: String,
    /// Its name, if somebody says which.
    pub circuit: Option<String>,
    pub volts: f64,
    pub amps: f64,
    pub table_amps: Option<f64>,
    pub source: AmpsSource,
    pub starts: Starts,
    /// Mean seconds in a replication in which any unit is on; None of what starts by itself.
    pub on: Option<f64>,
    /// Metres from its edge to the nearest outlet of its circuit.
    pub outlet: Option<f64>,
}

/// A cord that is too short, in metres.
#[derive(Debug, Clone, PartialEq)]
pub struct CordFindings {
    pub name: String,
    pub circuit: String,
    pub length: f64,
    pub needed: f64,
}

/// A plug put elsewhere, and what both circuits come to then, if everything starts that may.
#[derive(Debug, Clone, PartialEq)]
pub struct Replug {
    pub name: String,
    pub from: String,
    pub to: String,
    pub peak_from: f64,
    pub peak_to: f64,
    /// Whether that holds as well if everything starts that may.
    pub holds_with_starting: bool,
}
