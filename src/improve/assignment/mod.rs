//! Stations to given places, so that the sum of trips times distance is least: the quadratic assignment problem (Koopmans
//! and Beckmann 1957).
//!
//! Places are taken as they are: what stands there needs no floor, no door and no room to feed. All sums are exact, since
//! trips and distances are whole multiples of what the caller chooses.
//!
//! A [`search`] goes by rounds. Each works on a population of assignments: pairs of them are crossed, and every child is
//! improved by exchanges of two stations under a tabu list. When one population has settled the next one begins from
//! nothing, and when three have settled at the same least sum, nothing better is believed to be there. Then it is tried to
//! prove that by branch and bound. All that is counted is rounds, iterations and work, never time, so that one seed gives
//! one answer whatever the threads and however fast they are; who waits can only cut whole rounds.

mod alike_places;
mod children;
mod exact;
mod exchange;
mod least_matching;
mod lower_bound;
mod padded;
mod population;
mod problem;
mod proof;
mod search;
mod tabu;

pub use problem::{AssignmentProblem, SquareMatrix};
pub use search::{AssignmentEnd, AssignmentLimits, FoundAssignment, search};
