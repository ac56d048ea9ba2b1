//! The work of one operation on one lot at one station, with every override already applied.

use super::{GearId, OperationId, PlaceId};
use crate::random::Distribution;

/// What a step of a route takes at one station.
#[derive(Debug, Clone)]
pub struct Work {
    pub operation: OperationId,
    /// Seconds; due when the unit last worked on something else.
    pub setup: Option<Distribution>,
    /// Seconds for each piece, drawn for each and added up.
    pub per_piece: Option<Distribution>,
    /// Seconds for the lot.
    pub per_lot: Option<Distribution>,
    /// Seconds for each piece that follow from feed speed, passes and surface; not random.
    pub by_size: f64,
    /// Seconds after every run.
    pub teardown: Option<Distribution>,
    /// People for setup, run and teardown; 0 means that the station works alone.
    pub people: u32,
    pub cure: Option<Cure>,
    /// Gear that the task takes, as named.
    pub gear: Vec<(GearId, u32)>,
    /// Where somebody walks for something first, there and back.
    pub fetch_from: Option<PlaceId>,
    /// Whether the work may stop at the end of a session.
    pub pausable: bool,
    /// Whether it goes on while the shop is shut, once it is begun; needs nobody then.
    pub after_hours: bool,
    /// Probability that a piece is spoiled.
    pub spoils: f64,
    /// Whether the piece is fed with its width ahead, so that its length lies across.
    pub along_width: bool,
    /// Metres that one pass takes off the thickness, where sizes and passes tell. No run depends on it.
    pub bite: Option<f64>,
}

/// What happens after the run, when nobody is needed and the lot is not yet done.
#[derive(Debug, Clone)]
pub struct Cure {
    /// Seconds.
    pub time: Distribution,
    pub ties_up_station: bool,
    /// Which of the operation's gear stays tied up until the end of the cure.
    pub ties_up_gear: Vec<GearId>,
}

impl Work {
    /// Expected run time of a lot of `pieces` in seconds: means as written, without setup, teardown and cure.
    pub fn expected_run(&self, pieces: u32) -> f64 {
        mean(&self.per_lot) + f64::from(pieces) * (mean(&self.per_piece) + self.by_size)
    }

    /// Whether any draw can change what this work takes or leaves.
    pub fn varies(&self) -> bool {
        let durations = [&self.setup, &self.per_piece, &self.per_lot, &self.teardown];
        durations.into_iter().flatten().any(|d| !d.is_fixed())
            || self.cure.as_ref().is_some_and(|cure| !cure.time.is_fixed())
            || self.spoils > 0.0
    }
}

fn mean(duration: &Option<Distribution>) -> f64 {
    duration.as_ref().map_or(0.0, Distribution::mean)
}
