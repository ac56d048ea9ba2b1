//! What would help most: the relief experiment in sentences, a table and data.

mod advice;
mod data;
mod edits;
mod effects;
mod table;

pub use advice::{advice, caution};
pub use data::json;
pub use edits::{change, change_in_words, resource, why_not};
pub use table::reliefs;
