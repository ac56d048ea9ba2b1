//! How many windows show the same session, since what is done in one is done in all of them.

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

/// A window that nobody looks at may be silent for a minute, as browsers have it.
const SILENT: Duration = Duration::from_secs(90);
/// More windows nobody opens.
const MOST: usize = 64;

/// When each window was heard last, by its number.
#[derive(Debug, Default)]
pub struct Windows {
    heard: BTreeMap<u64, Instant>,
}

impl Windows {
    /// Hears of a window, and says how many others there are.
    pub fn here(&mut self, window: u64, now: Instant) -> usize {
        self.heard
            .retain(|_, heard| now.duration_since(*heard) < SILENT);
        if self.heard.len() < MOST {
            self.heard.insert(window, now);
        }
        self.heard.keys().filter(|known| **known != window).count()
    }

    pub fn gone(&mut self, window: u64) {
        self.heard.remove(&window);
    }
}
