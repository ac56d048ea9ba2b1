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
    /// How `by_size` comes about, for people: empty where nothing follows from a size.
    pub by_size_explained: Vec<String>,
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
    /// Probability that a piece is spoiled.
    pub spoils: f64,
    /// Whether the piece is fed with its width ahead, so that its length lies across.
    pub along_width: bool,
    /// Metres that one pass takes off the thickness, where sizes and passes tell. No run depends on it.
    pub bite: Option<f64>,
    /// Where the times above were given. No run depends on it.
    pub given: GivenAt,
}

/// Where each time of some work was given. A time that is not there was given nowhere, whatever this says.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct GivenAt {
    pub setup: GivenLevel,
    pub per_piece: GivenLevel,
    pub per_lot: GivenLevel,
    pub teardown: GivenLevel,
    pub cure: GivenLevel,
    pub feed: GivenLevel,
    /// In metres per second, as given; 0 without one.
    pub feed_speed: f64,
    pub surface: GivenLevel,
    /// In square metres per second, as given; 0 without one.
    pub area_rate: f64,
    /// How much of `by_size` follows from the feed speed, from 0 to 1; the rest follows from the area rate.
    pub fed: f64,
}

/// One of the places where a time can be given.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum GivenLevel {
    /// For the operation, wherever it is done; so is everything in a shop that no file describes.
    #[default]
    Operation,
    /// For the operation at one station.
    Station,
    /// For one step of a route.
    Step,
    /// By the kind of one station: nobody has measured it.
    Kind,
}

impl GivenLevel {
    pub fn is_step(self) -> bool {
        self == GivenLevel::Step
    }

    /// What belongs to this level.
    pub fn pick<T>(self, operation: T, station: T, step: T) -> T {
        match self {
            GivenLevel::Operation => operation,
            GivenLevel::Station | GivenLevel::Kind => station,
            GivenLevel::Step => step,
        }
    }
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
    /// The level at which a time counts as given: the uppermost that gives it. The kind of a station gives what no other
    /// level does.
    pub fn level(by_step: bool, by_station: bool, by_kind: bool) -> GivenLevel {
        match (by_step, by_station, by_kind) {
            (true, ..) => GivenLevel::Step,
            (_, true, _) => GivenLevel::Station,
            (_, _, true) => GivenLevel::Kind,
            _ => GivenLevel::Operation,
        }
    }

    /// Whether any of its times is only what is usual for the kind of the station.
    pub fn has_usual_times(&self) -> bool {
        let given = &self.given;
        let fed = self.by_size > 0.0 && given.fed > 0.0;
        let surfaced = self.by_size > 0.0 && given.fed < 1.0;
        let times = [
            (self.setup.is_some(), given.setup),
            (self.per_piece.is_some(), given.per_piece),
            (self.per_lot.is_some(), given.per_lot),
            (self.teardown.is_some(), given.teardown),
            (self.cure.is_some(), given.cure),
            (fed, given.feed),
            (surfaced, given.surface),
        ];
        times.contains(&(true, GivenLevel::Kind))
    }

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
