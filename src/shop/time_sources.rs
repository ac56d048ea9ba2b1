//! Where the times of some work come from. No run depends on it.

use super::Work;

/// Where each time of some work was given. A time that is not there was given nowhere, whatever this says.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct TimeSources {
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
    /// How `by_size` comes about, for people: empty where nothing follows from a size.
    pub by_size_explained: Vec<String>,
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
    /// The level at which a time counts as given: the uppermost that gives it. The kind of a station gives what no other
    /// level does.
    pub fn of(by_step: bool, by_station: bool, by_kind: bool) -> GivenLevel {
        match (by_step, by_station, by_kind) {
            (true, ..) => GivenLevel::Step,
            (_, true, _) => GivenLevel::Station,
            (_, _, true) => GivenLevel::Kind,
            _ => GivenLevel::Operation,
        }
    }

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

impl TimeSources {
    /// Whether any of the times of this work is only what is usual for the kind of the station.
    pub fn are_usual(&self, work: &Work) -> bool {
        let fed = work.by_size > 0.0 && self.fed > 0.0;
        let surfaced = work.by_size > 0.0 && self.fed < 1.0;
        let times = [
            (work.setup.is_some(), self.setup),
            (work.per_piece.is_some(), self.per_piece),
            (work.per_lot.is_some(), self.per_lot),
            (work.teardown.is_some(), self.teardown),
            (work.cure.is_some(), self.cure),
            (fed, self.feed),
            (surfaced, self.surface),
        ];
        times.contains(&(true, GivenLevel::Kind))
    }
}
