//! What is shown of the findings: sentences, tables, data and charts.

pub mod answer;
mod bottleneck;
mod certainty;
pub mod charts;
pub mod check;
pub mod data;
mod difference;
mod figure;
mod files;
pub mod relief;
pub mod selection;
pub mod sensitivity;
mod sentence;
pub mod tables;
mod tape;
pub mod times;
pub mod trace;
mod wrap;

pub use files::{
    Replacement, can_replace, can_write_in, target, write_atomically, write_in_folder, write_new,
};
pub use wrap::wrap;
