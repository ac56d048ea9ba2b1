//! What interrupts work: closing, people who go, and times at which a station must not be run.
//!
//! All of it is shop time, in which a closing is an instant. Closing interrupts work that is not to be paused, and
//! whatever people do who have hours of their own; their going interrupts that too. Silence interrupts all work at the
//! stations that have to keep it.

use super::{OperationId, PersonId, Shop, StationId, WeeklyTimes, Work};
use crate::units::{Span, Time};

/// What interrupts some work besides the hours of those who do it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Interruptions {
    /// Whether closing does not matter.
    pub may_pause: bool,
    /// When the station must not be run, if ever.
    pub silence: Option<WeeklyTimes>,
}

impl Interruptions {
    /// Of what may pause, and is not done at a station that must keep silence.
    pub const NONE: Interruptions = Interruptions {
        may_pause: true,
        silence: None,
    };
}

impl Shop {
    /// When a station must not be run, if ever.
    pub fn silence(&self, station: StationId) -> Option<WeeklyTimes> {
        let station = &self.stations[station];
        let quiet = self.quiet.as_ref().filter(|_| station.is_loud);
        let no_blades = self.no_blades.as_ref().filter(|_| station.has_blade);
        let silence = match (quiet, no_blades) {
            (Some(quiet), Some(no_blades)) => Some(quiet.or(no_blades)),
            (one, other) => one.or(other).cloned(),
        };
        silence.filter(|silence| !silence.are_never())
    }

    /// What interrupts some work at a station.
    pub fn interruptions(&self, station: StationId, work: &Work) -> Interruptions {
        Interruptions {
            may_pause: work.pausable || self.calendar.is_always_open(),
            silence: self.silence(station),
        }
    }

    /// Everybody who can do an operation.
    pub fn skilled(&self, operation: OperationId) -> Vec<Option<PersonId>> {
        let can = self
            .crew
            .enumerate()
            .filter(|(_, one)| one.can_do(operation));
        can.map(|(person, _)| Some(person)).collect()
    }

    /// When something interrupts what this person, or nobody, begins at some shop time, where work is next interrupted by
    /// closing at `closes`; nothing if it cannot be begun then.
    pub fn interrupted_at(
        &self,
        person: Option<PersonId>,
        by: &Interruptions,
        begins: Time,
        closes: Time,
    ) -> Option<Time> {
        let hours = person.and_then(|person| self.crew[person].hours.as_ref());
        let is_there = hours.is_none_or(|hours| hours.hold(begins));
        let silent_from =
            (by.silence.as_ref()).map_or(Time::NEVER, |times| times.begin_from(begins));
        if !is_there || silent_from == begins {
            return None;
        }
        Some(match hours {
            Some(hours) => silent_from.min(closes).min(hours.end_after(begins)),
            None if by.may_pause => silent_from,
            None => silent_from.min(closes),
        })
    }

    /// The longest time without an interruption that so many of these people, or nobody, have together, wherever it
    /// begins.
    pub fn longest_stretch(
        &self,
        people: &[Option<PersonId>],
        together: usize,
        by: &Interruptions,
    ) -> Span {
        let begins = self.beginnings(people, by);
        let longest = begins.into_iter().filter_map(|begins| {
            let closes = self.calendar.stretch_from(begins);
            let ends = |person: &Option<PersonId>| self.interrupted_at(*person, by, begins, closes);
            let mut stretches: Vec<Span> = (people.iter().filter_map(ends))
                .map(|ends| stretch(begins, ends))
                .collect();
            stretches.sort_unstable();
            let nth = stretches.len().checked_sub(together)?;
            Some(stretches[nth])
        });
        longest.max().unwrap_or(Span::ZERO)
    }

    /// The longest time without an interruption that work which goes on alone has from a moment on at which one of these
    /// people is there to begin it.
    pub fn longest_begun_by(&self, people: &[Option<PersonId>], by: &Interruptions) -> Span {
        let begins = self.beginnings(people, by).into_iter();
        let longest = begins.filter_map(|begins| {
            let closes = self.calendar.stretch_from(begins);
            let is_there = |person| self.interrupted_at(person, by, begins, closes).is_some();
            let ends = self.interrupted_at(None, by, begins, closes)?;
            let is_begun = people.iter().any(|person| is_there(*person));
            is_begun.then(|| stretch(begins, ends))
        });
        longest.max().unwrap_or(Span::ZERO)
    }

    /// When the shop opens, any of these people come, or silence ends: the best moments to begin something.
    fn beginnings(&self, people: &[Option<PersonId>], by: &Interruptions) -> Vec<Time> {
        let hours = |person: &Option<PersonId>| self.crew[(*person)?].hours.as_ref();
        let mut begins = self.calendar.openings();
        begins.extend(
            people
                .iter()
                .filter_map(hours)
                .flat_map(WeeklyTimes::begins),
        );
        if let Some(silence) = &by.silence {
            begins.extend(silence.other_times().begins());
        }
        begins.sort_unstable();
        begins.dedup();
        begins
    }
}

/// How long it is until an instant that may never come.
pub fn stretch(from: Time, until: Time) -> Span {
    match until {
        Time::NEVER => Span::from_micros(i64::MAX),
        until => until - from,
    }
}
