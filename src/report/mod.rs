//! What is shown of the findings: sentences, tables, data and charts.

mod about;
pub mod answer;
pub mod assignment;
mod bottleneck;
mod certainty;
pub mod charts;
pub mod check;
pub mod data;
mod days;
pub mod decision;
mod difference;
pub mod doubted_places;
pub mod dust;
pub mod editor;
pub mod explain;
mod figure;
mod files;
pub mod follow;
mod glossary;
pub mod heat;
pub mod in_time;
pub mod kinds;
mod lead_time_parts;
pub mod left_out;
pub mod lesson;
pub mod light;
mod lines;
mod measures;
pub mod near_gaps;
pub mod noise;
mod overload;
pub mod page;
mod per_order;
pub mod placements;
pub mod power;
pub mod projects;
pub mod relief;
pub mod selection;
pub mod sensitivity;
mod sentence;
pub mod set_out;
pub mod size;
pub mod style;
pub mod tables;
mod tape;
pub mod times;
pub mod trace;
pub mod typical;
mod wrap;

pub use certainty::what_is_certain;
pub use files::{
    Replacement, can_replace, can_write_in, target, write_atomically, write_in_folder, write_new,
};
pub use lines::Line;
pub use sentence::{counted, listed};
pub use wrap::{display_width, wrap};
