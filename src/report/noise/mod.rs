//! Noise in words, in a table and as data.

mod data;
mod line;
mod table;

pub use data::json;
pub use line::{NOISE, is_too_much, line};
pub use table::table;

use super::figure::fixed;

/// In whole dB(A): nobody hears less.
fn level(level: f64) -> String {
    format!("{} dB(A)", fixed(level, 0))
}
