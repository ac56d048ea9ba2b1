//! What is told of a task as a whole: the instants of its phases.

use super::phase::{Doing, Occupied, Phase, WorkPhase};
use crate::shop::StationId;
use crate::units::{Moment, Span, Time};

/// The instants of a task at a station, in this order; a phase that takes no time ends where it begins.
#[derive(Debug, Clone, Copy)]
pub struct TaskTimes {
    pub station: StationId,
    pub unit: u32,
    /// From here on the unit is reserved, with people, the lot or gear still on the way.
    pub chosen: Time,
    pub begins: Time,
    pub set_up: Time,
    pub run: Time,
    /// The end of the tear-down.
    pub ends: Time,
    /// The moments of the last four on the calendar, if the work goes on while the shop is shut.
    pub moments: Option<[Moment; 4]>,
}

impl TaskTimes {
    /// How much longer the work takes on the calendar than in shop time; nothing unless it goes on while the shop is
    /// shut.
    #[inline]
    pub fn while_shut(&self) -> Span {
        match self.moments {
            Some([begins, .., ends]) => (ends - begins) - (self.ends - self.begins),
            None => Span::ZERO,
        }
    }

    /// What the unit does.
    pub fn phases(&self) -> impl Iterator<Item = Phase> {
        let unit = Occupied::Unit(self.station, self.unit);
        let phase = |doing, start, end| Phase::closed(unit, doing, start, end);
        let on_calendar = |nth: usize, phase: Phase| Phase {
            moments: self.moments.map(|at| (at[nth], at[nth + 1])),
            ..phase
        };
        let work = |phase| Doing::Work {
            phase,
            at: self.station,
        };
        [
            phase(Doing::Reserved, self.chosen, self.begins),
            on_calendar(0, phase(work(WorkPhase::Setup), self.begins, self.set_up)),
            on_calendar(1, phase(work(WorkPhase::Run), self.set_up, self.run)),
            on_calendar(2, phase(work(WorkPhase::Teardown), self.run, self.ends)),
        ]
        .into_iter()
        .filter(|phase| match phase.moments {
            Some((from, until)) => until > from,
            None => phase.end > Some(phase.start),
        })
    }
}

/// A cure, in shop time and on the calendar.
#[derive(Debug, Clone, Copy)]
pub struct CureTimes {
    pub station: StationId,
    /// The unit that it ties up, if it does.
    pub unit: Option<u32>,
    pub start: Time,
    pub end: Time,
    pub from: Moment,
    pub until: Moment,
}

impl CureTimes {
    /// How much longer it takes on the calendar than in shop time.
    pub fn while_shut(&self) -> Span {
        (self.until - self.from) - (self.end - self.start)
    }
}

/// The instants at which somebody takes off what a cure has tied up.
#[derive(Debug, Clone, Copy)]
pub struct TakeOffTimes {
    pub station: StationId,
    /// The unit that is tied up, if one is. It is blocked until the work begins.
    pub unit: Option<u32>,
    pub chosen: Time,
    pub begins: Time,
    pub ends: Time,
}

/// What nobody works on the lot for in the middle of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StopKind {
    /// Something that has worn or filled up is seen to.
    Upkeep,
    /// Who works alone takes what has come out, while the unit runs on.
    WalkAround,
}

/// The instants at which nobody works on the lot in the middle of a run.
#[derive(Debug, Clone, Copy)]
pub struct StopTimes {
    pub kind: StopKind,
    pub station: StationId,
    pub unit: u32,
    /// From here on something is fetched.
    pub start: Time,
    /// From here on upkeep is seen to; the end of walking around.
    pub served_from: Time,
    pub end: Time,
}

/// When somebody or something stands still within a phase of the task that is being told, since somebody is away whom it
/// needs, or since a station must not be run.
#[derive(Debug, Clone, Copy)]
pub struct Interruption {
    pub of: Occupied,
    /// The phase that does not go on.
    pub within: Doing,
    pub start: Time,
    pub end: Time,
}
