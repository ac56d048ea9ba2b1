//! Whether a layout fits: access formulas against worked cases, and every rule against scenes made by hand.

#[path = "check/access.rs"]
mod access;
#[path = "check/bought.rs"]
mod bought;
#[path = "check/entry.rs"]
mod entry;
#[path = "check/feeding.rs"]
mod feeding;
#[path = "check/floor.rs"]
mod floor;
#[path = "check/people.rs"]
mod people;
#[path = "check/random.rs"]
mod random;
#[path = "check/scenes.rs"]
mod scenes;
