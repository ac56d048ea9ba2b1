//! Where things stand, and how far it is from one standing place to another.

mod placement;
mod walks;

pub use placement::{Placement, Point};
pub use walks::{Disconnected, Manner, Walks, chains};
