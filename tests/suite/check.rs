//! Whether a layout fits: access formulas against worked cases, and every rule against scenes made by hand.

mod access;
mod before_door;
mod bought;
mod capacity;
mod entry;
mod feeding;
mod feeding_by_machine;
mod floor;
mod hazards;
mod heights;
mod indoors;
mod machines_in;
mod moving;
mod over;
mod people;
mod random;
mod remedies;
mod scenes;
mod seldom_walked;
mod swings;
mod told_of_machines;
mod told_shortly;
mod walls;
