//! Where stations may stand: a placement from nothing, and moves that shorten the ways.
//!
//! A station has a [`Habit`]: where things like it usually stand. The places that are tried are spots on a grid, put
//! in order by what is disliked about them and by what machines then take; the rules of [`crate::floor::check`] have the last
//! word on each. What comes of placing one after the other is annealed as a whole, on boxes, and polished by the rules.
//!
//! Where places are given and only who stands at which is asked, [`assignment`] finds it. Where stations of a layout could
//! stand instead, [`placement`] does.

mod anneal;
mod arrange;
pub mod assignment;
mod dislike;
mod free_spots;
mod grid;
mod ground;
mod habit;
mod hang;
mod place_beside;
pub mod placement;
mod polish;
mod rating;
mod shorten;
mod spots;
mod standing;
mod takes;
mod tries;
mod ways;

pub use arrange::{Arrangement, NoPlace, arrange, orders, rearrange};
pub use grid::SpotGrid;
pub use habit::{Affinity, Belongs, Habit, PlaceSearch};
pub use hang::{hang, unhung};
pub use place_beside::place_beside;
pub use polish::polish;
pub use rating::Rating;
pub use shorten::{Moving, shorten};
