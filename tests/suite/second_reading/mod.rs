//! A second reading of what a scenario means.
//!
//! The engine of the crate has to follow an exact procedure: who chooses what, which ties go
//! which way, who walks where. This module plays the same procedure again in the plainest way
//! that could be thought of, from the description alone and without a line of the engine: every
//! queue is sorted anew whenever somebody looks at it, every walk and phase is kept in a list.
//! Where the two disagree on a shop, one of them is wrong.
//!
//! It knows shops in which nothing varies: fixed durations, no spoiled pieces, no sessions, no
//! warm-up, distances that are measured or placed with `walk: straight` or `walk: rectilinear`.
//! It panics with a sentence on everything else, since its input is the tests' own.
//!
//! Comments that start with "Reading:" mark where the description leaves a choice.

// Each test binary compiles this module and uses its own part of it.
#![allow(dead_code)]

pub mod choose;
pub mod distances;
pub mod generate;
pub mod play;
pub mod quantity;
pub mod read;
pub mod record;
pub mod result;
pub mod shop;
pub mod task;

use result::Outcome;

/// Plays the scenario once on the layout of this name.
///
/// # Panics
/// When the scenario is not one that this reading knows, or when it gets stuck.
pub fn play(yaml: &str, layout: &str) -> Outcome {
    let shop = read::read(yaml);
    let walks = shop
        .layouts
        .iter()
        .find(|l| l.name == layout)
        .unwrap_or_else(|| panic!("no layout is called {layout}"))
        .distances
        .clone();
    play::play(&shop, &walks)
}
