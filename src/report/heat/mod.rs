//! Heat in words, in a table and as data.

mod data;
mod line;
mod table;

pub use data::json;
pub use line::{HEAT, is_too_cold, line};
pub use table::table;
