//! What is brought in, carried out and lifted: verdicts that hold wherever the stations stand.

mod approach;
mod entry;
mod indoors;
mod loads;
mod machines_in;
mod passage;
mod pieces;
mod wrong_pieces;

pub use approach::Tightest;
pub use entry::access;
pub use indoors::{IndoorVerdict, IndoorWay, indoor_ways};
pub use loads::{ceiling, lifting};
pub use machines_in::{MachineVerdict, MachineWay, machine_ways};
pub use wrong_pieces::{Holding, WrongPieces, goes_along_width, lies_across, wrong_pieces};
