//! Ctrl-C while something is searched for: the search ends, and what it has found so far is told. Whoever presses it once
//! more wants no answer.

use std::sync::atomic::{AtomicBool, Ordering};

static IS_ASKED: AtomicBool = AtomicBool::new(false);

/// As shells have it for what a keyboard ended: 128 and the number of the signal.
const ENDED_BY_KEYBOARD: i32 = 130;

/// Whether somebody wants the search to end.
pub fn is_asked() -> bool {
    IS_ASKED.load(Ordering::Relaxed)
}

/// From now on the first ctrl-C is only taken down. Where the system lets nobody listen, it ends the program as ever.
pub fn listen() {
    let _ = ctrlc::set_handler(|| {
        if IS_ASKED.swap(true, Ordering::Relaxed) {
            std::process::exit(ENDED_BY_KEYBOARD);
        }
    });
}
