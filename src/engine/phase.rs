//! What is done when, by whom or at what.

use crate::floor::Manner;
use crate::shop::{GearId, PersonId, PlaceId, StationId};
use crate::units::{Length, Moment, Time};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Handling {
    PickUp,
    PutDown,
    Load,
    Unload,
    /// A station is rolled to where it is used, or back to where it is parked.
    RollOut,
    RollIn,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WorkPhase {
    Setup,
    Run,
    Teardown,
    /// Something is taken off that a cure has tied up.
    TakeOff,
    /// Something that has worn or filled up is seen to.
    Service,
}

/// Who or what a phase occupies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Occupied {
    Person(PersonId),
    /// One of a station's units.
    Unit(StationId, u32),
    /// A lot that cures while the station at which it was worked on is free for others.
    SetAside(StationId),
    /// So much of a kind of gear.
    Gear(GearId, u32),
}

/// What somebody or something does in a phase; who is in none is idle. A closed list, with room for what later stops
/// a station or a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing {
    Walk {
        manner: Manner,
        from: PlaceId,
        to: PlaceId,
        distance: Length,
    },
    Handle {
        what: Handling,
        at: PlaceId,
    },
    /// Of a unit: chosen, with a person, the lot or gear still on the way.
    Reserved,
    /// Of a unit, and of those who work at it.
    Work {
        phase: WorkPhase,
        at: StationId,
    },
    Cure,
    /// Of a unit: a lot is still in it on which nobody works.
    Blocked,
    /// Of a unit: what has worn or filled up is seen to, between two pieces.
    Serviced,
    /// Of a unit: its people are away, or it must not be run, while the shop is open.
    LeftStanding,
    /// Of gear.
    Taken,
}

/// What occupies somebody or something over a stretch of time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Phase {
    pub of: Occupied,
    pub doing: Doing,
    pub start: Time,
    /// None if it is not certain yet; then [`Recorder::ends`](super::recorder::Recorder::ends) closes it.
    pub end: Option<Time>,
    /// Beginning and end on the calendar of what goes on while the shop is shut.
    pub moments: Option<(Moment, Moment)>,
}

impl Phase {
    /// One that nothing cuts short; of shop time alone.
    #[inline]
    pub fn closed(of: Occupied, doing: Doing, start: Time, end: Time) -> Phase {
        Phase {
            end: Some(end),
            ..Phase::open(of, doing, start)
        }
    }

    /// One of which the end is not certain.
    #[inline]
    pub fn open(of: Occupied, doing: Doing, start: Time) -> Phase {
        Phase {
            of,
            doing,
            start,
            end: None,
            moments: None,
        }
    }
}
