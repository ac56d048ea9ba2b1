//! Facts about work that is fed through a machine.

use super::Obstacle;
use super::shift::Shift;
use super::strips::{Fit, FreeRun, LyingAcross};
use crate::shop::{ItemId, OperationId, PlaceId, ProjectId, Size};

/// What a station through which work is fed needs for its most demanding piece.
#[derive(Debug, Clone, PartialEq)]
pub struct FeedFact {
    pub piece: FedPiece,
    /// How the piece lies; where it slides sideways, to which side its end does.
    pub lying: LyingAcross,
    pub fit: Fit,
    pub run_in: FreeRun,
    pub run_out: FreeRun,
    /// The width that is left where something stands beside the cutter.
    pub beside: Option<f64>,
    /// What comes of heights, where the height of the machine's table is known.
    pub at_table: Option<Box<FedAtTable>>,
    /// Along the strip, or sideways where something stands beside the cutter.
    pub shift: Shift,
}

/// How work moves over what stands around a machine, at the height of its table.
#[derive(Debug, Clone, PartialEq)]
pub struct FedAtTable {
    /// In metres.
    pub table: f64,
    /// What it passes over, and what carries it, each once.
    pub over: Vec<Obstacle>,
    pub carried_by: Vec<Obstacle>,
    /// The height of what ends its way, if that is known.
    pub end_height: Option<f64>,
    /// By how much that is lower than the table, where it is not level with it; negative if it is higher.
    pub off_level: Option<f64>,
    /// The longest piece that was found to pass, in metres; nothing if there is no end to it.
    pub longest: Option<f64>,
    /// What frees the strip when it is made lower.
    pub lowered: Option<Lowered>,
}

impl FedAtTable {
    /// Whether heights make a difference.
    pub fn is_involved(&self) -> bool {
        !self.over.is_empty() || !self.carried_by.is_empty()
    }
}

/// Something that frees a strip when it is so much lower, in metres: level with the table, or so that work passes over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lowered {
    pub what: Obstacle,
    pub by: f64,
    pub is_level: bool,
}

/// A piece that some route sends through a station, as large as it is at that step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FedPiece {
    pub project: ProjectId,
    pub item: ItemId,
    pub operation: OperationId,
    pub size: Size,
    /// Whether it lies across and slides sideways past the cutter, which cuts its length.
    pub is_across: bool,
}

/// What is wrong with how a piece is fed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FeedHazard {
    /// Too short for a planer, a jointer or a drum sander: less than so many metres.
    Short { piece: FedPiece, least: f64 },
    /// Left thinner than so many metres.
    Thin {
        piece: FedPiece,
        thickness: f64,
        least: f64,
    },
    /// Narrower than so many metres.
    Narrow { piece: FedPiece, least: f64 },
    /// Wider than so many metres.
    Wide { piece: FedPiece, most: f64 },
    /// One pass takes so many metres off, more than so many.
    Deep {
        piece: FedPiece,
        bite: f64,
        most: f64,
    },
    /// Carried only so many metres behind the cutter, or beside it where it lies across: less than half of its length.
    Tips { piece: FedPiece, carried: f64 },
    /// The end of it hangs so many metres free behind the machine, and sags so many.
    Sags {
        piece: FedPiece,
        free: f64,
        sag: f64,
        most: f64,
    },
    /// One person feeds a full panel, and nothing stands behind the saw.
    Alone { piece: FedPiece },
    /// Whoever feeds a saw stands so many metres beside the middle of it, not at least so many.
    BladeLine {
        aside: f64,
        wanted: f64,
        /// Whether there is room to stand so far beside it, on either side.
        is_room: bool,
    },
}

/// What lies in the line along which a saw may throw a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kickback {
    /// Nothing says which way the work is fed.
    Unknown,
    /// Somebody who stands at another station.
    Stands {
        reach: f64,
    },
    /// A footprint, though nobody stands there at it.
    ReachesIn {
        reach: f64,
        /// Whether somebody may work at it while the machine runs.
        while_running: bool,
    },
    /// What others carry away from the machine while it may run, where whoever feeds it stands.
    Fetched {
        reach: f64,
    },
    /// A way to somewhere, and so many others.
    Walked {
        reach: f64,
        to: PlaceId,
        others: usize,
        /// Whether somebody is left to walk it while the machine runs.
        while_running: bool,
    },
    Door {
        reach: f64,
    },
}

impl Kickback {
    /// How far from the saw a piece is reckoned with, in metres.
    pub fn reach(&self) -> Option<f64> {
        match *self {
            Kickback::Unknown => None,
            Kickback::Stands { reach }
            | Kickback::ReachesIn { reach, .. }
            | Kickback::Fetched { reach }
            | Kickback::Walked { reach, .. }
            | Kickback::Door { reach } => Some(reach),
        }
    }
}
