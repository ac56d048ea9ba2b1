//! Dust collection in words, in a table and as data.

mod data;
mod line;
mod named;
mod table;

pub use data::json;
pub use line::{DUST, is_unwell, line};
pub use named::{part as part_name, station as station_name};
pub use table::table;
