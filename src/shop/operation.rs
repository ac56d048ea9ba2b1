//! The work of one operation on one lot at one station, with every override already applied.

use super::{GearId, OperationId, PlaceId, StationId};
use crate::random::Distribution;
use crate::units::{Chips, Length, Span};

/// What a step of a route takes at one station.
#[derive(Debug, Clone, PartialEq)]
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
    /// Whether two lift what is too heavy for one. The people above have been counted so; nothing else depends on it but
    /// what is told where nobody can help.
    pub lifts_together: bool,
    pub cure: Option<Cure>,
    /// Gear that the task takes, as named.
    pub gear: Vec<(GearId, GearCount)>,
    /// Where somebody walks for something first, there and back.
    pub fetch_from: Option<PlaceId>,
    /// Where one stands for it, if that is not where one stands at the station.
    pub stands_at: Option<PlaceId>,
    /// Where what comes out of the machine is taken.
    pub catches: Option<Catching>,
    /// Whether the work may stop at the end of a session.
    pub pausable: bool,
    /// Whether it goes on while the shop is shut, once it is begun; needs nobody then.
    pub after_hours: bool,
    /// Seconds within which the run should be over, as glue stays open. No run depends on it.
    pub open_time: Option<f64>,
    /// How long after the work nothing dusty may begin, on the calendar.
    pub tacky: Option<Span>,
    /// Whether it is not begun while anything is tacky.
    pub dusty: bool,
    /// Probability that a piece is spoiled.
    pub spoils: f64,
    /// Whether the piece is fed with its width ahead, so that its length lies across.
    pub along_width: bool,
    /// How much each piece lengthens what a blade has cut: its length for each pass; nothing where no sizes are given.
    pub length_cut: Length,
    /// Loose volume of the chips that each piece leaves; none where no sizes say so.
    pub chips: Chips,
    /// Whether it cuts the length of the piece and nothing else, so that it may lie across and slide past the cutter, if the
    /// station has it so. No run depends on it.
    pub is_crosscut: bool,
    /// In which parts of the work the machine is on. No run depends on it.
    pub on_in: OnIn,
    /// Metres that one pass takes off the thickness, where sizes and passes tell. No run depends on it.
    pub bite: Option<f64>,
}

/// Where what comes out of a machine is taken: the first helper stands there, and who works alone walks there and back
/// after each pass.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Catching {
    pub at: PlaceId,
    /// Passes of each piece.
    pub passes: u32,
}

/// The parts of the work at a machine in which it is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OnIn {
    pub setup: bool,
    pub run: bool,
    pub teardown: bool,
}

impl OnIn {
    pub const RUN: OnIn = OnIn {
        setup: false,
        run: true,
        teardown: false,
    };
}

/// How much of a kind of gear a task takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GearCount {
    PerLot(u32),
    /// For each piece of the lot.
    PerPiece(u32),
}

impl GearCount {
    /// For a lot of so many pieces.
    #[inline]
    pub fn of(self, pieces: u32) -> u32 {
        match self {
            GearCount::PerLot(count) => count,
            GearCount::PerPiece(count) => count.saturating_mul(pieces),
        }
    }

    /// Whether a larger lot takes more.
    pub fn is_per_piece(self) -> bool {
        matches!(self, GearCount::PerPiece(_))
    }
}

/// What happens after the run, when nobody is needed and the lot is not yet done.
#[derive(Debug, Clone, PartialEq)]
pub struct Cure {
    /// Seconds.
    pub time: Distribution,
    pub ties_up_station: bool,
    /// Which of the operation's gear stays tied up until the end of the cure.
    pub ties_up_gear: Vec<GearId>,
    /// Degrees Celsius below which it stands still.
    pub least: Option<f64>,
    /// Seconds that it takes somebody afterwards to take off what is tied up; until that is done, all of it stays so.
    pub take_off: Option<Distribution>,
}

impl Cure {
    fn varies(&self) -> bool {
        let take_off = self.take_off.as_ref();
        !self.time.is_fixed() || take_off.is_some_and(|time| !time.is_fixed())
    }
}

impl Work {
    /// Expected run time of a lot of `pieces` in seconds: means as written, without setup, teardown and cure.
    pub fn expected_run(&self, pieces: u32) -> f64 {
        mean(&self.per_lot) + f64::from(pieces) * (mean(&self.per_piece) + self.by_size)
    }

    /// What somebody who works alone walks around the machine for.
    pub fn walks_around(&self) -> Option<Catching> {
        self.catches.filter(|_| self.people == 1)
    }

    /// Where the first helper stands.
    pub fn helper_at(&self, station: StationId) -> PlaceId {
        let beside = || self.place_at(station);
        self.catches.map_or_else(beside, |catching| catching.at)
    }

    /// Where one stands for it at its station.
    #[inline]
    pub fn place_at(&self, station: StationId) -> PlaceId {
        self.stands_at.unwrap_or(station.into())
    }

    /// Which share of the run of a lot of `pieces` cuts: that which sizes and speeds give, of what is expected; all of it
    /// where they say nothing.
    pub fn cutting_share(&self, pieces: u32) -> f64 {
        let cutting = f64::from(pieces) * self.by_size;
        match cutting > 0.0 {
            true => cutting / self.expected_run(pieces),
            false => 1.0,
        }
    }

    /// Whether any draw can change what this work takes or leaves.
    pub fn varies(&self) -> bool {
        let durations = [&self.setup, &self.per_piece, &self.per_lot, &self.teardown];
        durations.into_iter().flatten().any(|d| !d.is_fixed())
            || self.cure.as_ref().is_some_and(Cure::varies)
            || self.spoils > 0.0
    }
}

fn mean(duration: &Option<Distribution>) -> f64 {
    duration.as_ref().map_or(0.0, Distribution::mean)
}
