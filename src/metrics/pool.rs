//! Resources of several members, and when they count as active.

use std::iter::Chain;
use std::slice::Iter;

use crate::units::Time;

/// The others of a pool than one of them. They are taken in turn, so the next one, which is the likeliest to be free,
/// comes first.
#[inline]
pub(super) fn others_of<T>(pool: &[T], this: usize) -> Chain<Iter<'_, T>, Iter<'_, T>> {
    let (before, rest) = pool.split_at(this);
    rest[1..].iter().chain(before)
}

/// Several machines or people of whom any can do the next piece of work, or pieces of gear. Active while none is left
/// that the next piece of work could have.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pool {
    pub busy: i64,
    /// Active while more than these are busy.
    pub spare: i64,
    /// Whether it is one machine or person, of which nothing has to be counted.
    pub is_single: bool,
    /// If it is active, since when; the time before is told.
    pub since: Time,
}

impl Pool {
    pub fn new(units: u32, needed: u32) -> Pool {
        Pool {
            busy: 0,
            spare: i64::from(units.saturating_sub(needed)),
            is_single: false,
            since: Time::START,
        }
    }

    /// Of which all must be busy.
    pub fn of(units: u32) -> Pool {
        Pool {
            is_single: units == 1,
            ..Pool::new(units, 1)
        }
    }

    pub fn is_active(&self) -> bool {
        self.busy > self.spare
    }
}

/// So many more pieces of gear are taken.
#[derive(Debug, Clone, Copy)]
pub(super) struct BusyChange {
    pub resource: u32,
    pub by: i32,
}

/// When a machine or person of a pool is active: in one task, at most twice with a pause between.
#[derive(Debug, Clone, Copy)]
pub(super) struct Member {
    pub before: (Time, Time),
    pub last: (Time, Time),
}

impl Member {
    pub const IDLE: Member = Member {
        before: (Time::START, Time::START),
        last: (Time::START, Time::START),
    };
}

/// What two times have in common; it ends before it begins where they have nothing.
#[inline]
pub(super) fn overlap(one: (Time, Time), other: (Time, Time)) -> (Time, Time) {
    (one.0.max(other.0), one.1.min(other.1))
}
