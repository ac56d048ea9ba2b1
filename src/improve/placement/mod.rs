//! A search over placements: where all stations that may be moved stand, and how they are turned, so that people walk less
//! and no rule finds a fault.
//!
//! It is simulated annealing (Kirkpatrick, Gelatt and Vecchi 1983) by the rules themselves, as [`Evaluation`] judges moves.
//! Chains have random numbers of their own and are merged in their order, so that nothing depends on the number of
//! threads; cooling counts moves, never time.
//!
//! [`Evaluation`]: crate::floor::Evaluation

mod archive;
mod boxes;
mod chain;
mod draws;
mod groups;
mod move_order;
mod poses;
mod problem;
mod search;
mod spots;
mod terms;
mod unsized_stations;
mod wish;
mod worth;

pub use archive::PlacedBest;
pub use move_order::{MoveStep, move_order, moves_between};
pub use problem::{PlacementProblem, kept_in_place};
pub use search::{FoundPlacements, PlacementLimits, search_placements};
pub use spots::FloorGrid;
pub use terms::{PlacementTerms, with_outfeed_tables};
pub use unsized_stations::{SizedPlan, sized};
pub use wish::{PlaceWish, WallWish};
