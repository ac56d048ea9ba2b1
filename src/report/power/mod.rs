//! Current in words, in a table and as data: loads and headroom for the electrician, who designs circuits.

mod data;
mod line;
mod table;

pub use data::json;
pub use line::{POWER, line};
pub use table::table;

use super::figure::fixed;

/// A digit behind the point only where there is one.
pub(super) fn amps(amps: f64) -> String {
    match (amps - amps.round()).abs() < 0.05 {
        true => format!("{} A", fixed(amps, 0)),
        false => format!("{} A", fixed(amps, 1)),
    }
}

/// A digit of a percentage only where there is one.
fn percent(share: f64) -> String {
    let percent = fixed(100.0 * share, 1);
    format!("{} %", percent.trim_end_matches(".0"))
}
