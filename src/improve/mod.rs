//! Where stations may stand: a placement from nothing, and moves that shorten the ways.
//!
//! A station has a [`Habit`]: where things like it usually stand. The places that are tried are spots on a grid, put
//! in order by what is disliked about them; the rules of [`crate::floor::check`] have the last word on each.

mod arrange;
mod dislike;
mod grid;
mod habit;
mod shorten;
mod spots;

pub use arrange::{Arrangement, NoPlace, arrange, orders};
pub use grid::SpotGrid;
pub use habit::{Belongs, Habit, PlaceSearch};
pub use shorten::{Moving, cost, metres, shorten};
