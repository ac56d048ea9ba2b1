//! How long something has been short, where it is known until when it is.

use crate::units::{Span, Time};

/// For how long something was short.
#[derive(Debug, Clone, Copy)]
pub(super) struct ShortClock {
    /// In all, up to `until`.
    total: Span,
    /// It is short up to here, and then no longer as far as is known.
    pub until: Time,
}

impl ShortClock {
    pub const NEVER_SHORT: ShortClock = ShortClock {
        total: Span::ZERO,
        until: Time::START,
    };

    #[inline]
    pub fn is_short_from(&mut self, now: Time, until: Time) {
        if until > now {
            self.total += until - now;
            self.until = until;
        }
    }

    /// It was to be short for longer than it is.
    pub fn is_short_no_more(&mut self, now: Time) {
        if self.until > now {
            self.total = self.read(now);
            self.until = now;
        }
    }

    #[inline]
    pub fn read(&self, now: Time) -> Span {
        match self.until > now {
            true => self.total - (self.until - now),
            false => self.total,
        }
    }
}
