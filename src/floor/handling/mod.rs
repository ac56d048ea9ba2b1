//! What is brought in, carried out and lifted: verdicts that hold wherever the stations stand.

mod entry;
mod loads;
mod passage;
mod pieces;

pub use entry::access;
pub use loads::{ceiling, lifting};
