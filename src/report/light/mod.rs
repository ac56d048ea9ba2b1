//! Light in words, in a table and as data.

mod data;
mod line;
mod table;

pub use data::json;
pub use line::{LIGHT, is_dark, line};
pub use table::table;

use super::figure::fixed;

/// In steps of 10 lx: nobody sees less.
fn lux(illuminance: f64) -> String {
    format!("{} lx", fixed((illuminance / 10.0).round() * 10.0, 0))
}
