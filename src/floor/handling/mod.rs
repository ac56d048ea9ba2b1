//! What is brought in, carried out and lifted: verdicts that hold wherever the stations stand.

mod entry;
mod loads;
mod passage;
mod pieces;
mod short_pieces;

pub use entry::access;
pub use loads::{ceiling, lifting};
pub use short_pieces::short_pieces;
