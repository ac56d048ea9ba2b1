//! A second reading of what a scenario means.
//!
//! The engine of the crate has to follow an exact procedure: who chooses what, which ties go
//! which way, who walks where. This module plays the same procedure again in the plainest way
//! that could be thought of, from the description alone and without a line of the engine: every
//! queue is sorted anew whenever somebody looks at it, every walk and phase is kept in a list.
//! Where the two disagree on a shop, one of them is wrong.
//!
//! It lives on the calendar alone. Shop time is what of the calendar lies in open time; every
//! phase is kept as the stretches in which it went on.
//!
//! It knows shops in which nothing varies: fixed durations, no spoiled pieces, no warm-up,
//! distances that are measured or placed with `walk: straight` or `walk: rectilinear`.
//! It panics with a sentence on everything else, since its input is the tests' own.
//!
//! Comments that start with "Reading:" mark where the description leaves a choice.

// Each test binary compiles this module and uses its own part of it.
#![allow(dead_code)]

pub mod around;
pub mod carry;
pub mod choose;
pub mod clock;
pub mod distances;
pub mod fits;
pub mod generate;
pub mod plan;
pub mod play;
pub mod quantity;
pub mod read;
pub mod record;
pub mod result;
pub mod rolling;
mod room;
pub mod shop;
pub mod shut;
pub mod state;
pub mod task;
pub mod upkeep;

use play::Stuck;
use result::{Hours, Outcome};
use serde_json::Value;

/// Plays the scenario once on the layout of this name.
///
/// # Panics
/// When the scenario is not one that this reading knows, or when it gets stuck.
pub fn play(yaml: &str, layout: &str) -> Outcome {
    play_hours(yaml, layout).0
}

/// The same, with what only a shop that keeps hours can say.
///
/// # Panics
/// As [`play`] does.
pub fn play_hours(yaml: &str, layout: &str) -> (Outcome, Hours) {
    play_or_stuck(yaml, layout).unwrap_or_else(|stuck| panic!("{stuck:?}"))
}

/// The same of a shop that may get stuck.
///
/// # Panics
/// When the scenario is not one that this reading knows.
pub fn play_or_stuck(yaml: &str, layout: &str) -> Result<(Outcome, Hours), Stuck> {
    let shop = read::read(yaml);
    let layout = layout_of(&shop, layout);
    let (play, end) = play::play(&shop, layout)?;
    let hours = play.record.hours(&play, layout, end);
    Ok((play.record.outcome(&play, end), hours))
}

fn layout_of<'s>(shop: &'s shop::Shop, name: &str) -> &'s shop::Layout {
    let mut layouts = shop.layouts.iter();
    let found = layouts.find(|layout| layout.name == name);
    found.unwrap_or_else(|| panic!("no layout is called {name}"))
}

/// A scenario as a tree. Generators write most as JSON, which is YAML, and much sooner read as what it is.
///
/// # Panics
/// If it is neither.
pub fn tree(text: &str) -> Value {
    match text.starts_with('{') {
        true => serde_json::from_str(text).expect("the scenario is JSON"),
        false => serde_yaml::from_str(text).expect("the scenario is YAML"),
    }
}
