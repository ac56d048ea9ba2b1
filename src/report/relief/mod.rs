//! What would help most: the relief experiment in sentences, a table and data.

mod advice;
mod data;
mod edits;
mod effects;
mod table;
mod unexpected;

pub use advice::{advice, caution, caution_in_short, lines};
pub use data::json;
pub(super) use edits::phrase;
pub use edits::{change, change_in_words, resource, resource_in_words, why_not};
pub(super) use effects::{WORTH_SAYING, few_orders, goal, helps, orders_instead, projects};
pub use table::{in_short, reliefs};
