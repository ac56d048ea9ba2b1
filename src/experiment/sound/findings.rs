//! What was found of noise: dB(A), shares of what is allowed in a day, and seconds.

use crate::statistics::Estimate;

/// The noise of one candidate, over its first replications.
#[derive(Debug, Clone, PartialEq)]
pub struct NoiseFindings {
    /// How many were looked at.
    pub runs: u64,
    pub machines: Vec<HeardMachine>,
    /// Machines that start by themselves, and are in no account.
    pub untimed: Vec<String>,
    pub people: Vec<PersonNoise>,
    /// Whether it is known how far people are from machines; if not, all of them hear all as if they stood there.
    pub is_placed: bool,
    pub house: Option<HouseNoise>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct HeardMachine {
    pub name: String,
    pub idle: f64,
    pub cutting: f64,
    /// Whether one of these is only usual for its kind.
    pub is_typical: bool,
    /// Mean seconds in a replication in which a unit of it is on, and in which one cuts.
    pub on: f64,
    pub cuts: f64,
}

/// What somebody hears, over the days in which they are there.
#[derive(Debug, Clone, PartialEq)]
pub struct PersonNoise {
    pub name: String,
    /// Days of all replications.
    pub days: u64,
    /// The loudest, without protection; none where nothing is on.
    pub peak: Option<f64>,
    /// Mean seconds of a day above 85 dB(A), without protection.
    pub above_limit: f64,
    pub bare: DayDoses,
    /// Behind what they wear, in dB.
    pub protected: Option<(f64, DayDoses)>,
}

impl PersonNoise {
    /// As they work: behind their protection, if they wear any.
    pub fn as_worn(&self) -> &DayDoses {
        self.protected
            .as_ref()
            .map_or(&self.bare, |(_, doses)| doses)
    }
}

/// Shares of what is allowed in a day.
#[derive(Debug, Clone, PartialEq)]
pub struct DayDoses {
    /// Of the mean day of a replication.
    pub mean: Estimate,
    /// Of all days of all replications.
    pub worst: f64,
}

/// What reaches the house.
#[derive(Debug, Clone, PartialEq)]
pub struct HouseNoise {
    /// By how much wall and door together reduce sound, in dB.
    pub reduction: f64,
    pub loudest: Option<LoudestNoise>,
    /// Where the file says when it has to be quiet.
    pub quiet: Option<QuietNoise>,
}

/// The loudest of all replications, and what ran together then.
#[derive(Debug, Clone, PartialEq)]
pub struct LoudestNoise {
    pub level: f64,
    pub of: Vec<String>,
}

/// What runs while it has to be quiet.
#[derive(Debug, Clone, PartialEq)]
pub struct QuietNoise {
    pub loudest: Option<LoudestNoise>,
    /// Mean seconds in a replication.
    pub seconds: f64,
}
