//! What is shown of the findings: sentences, tables, data and charts.

pub mod answer;
pub mod charts;
pub mod check;
pub mod data;
pub mod doubt;
mod figure;
mod files;
pub mod race;
pub mod relief;
pub mod tables;
pub mod times;
pub mod trace;
mod wrap;

pub use files::{can_write_in, target, write_atomically};
pub use wrap::wrap;
