//! Where things stand, and how far it is from one standing place to another.

pub mod access;
pub mod check;
mod halving;
mod paths;
mod placement;
mod plan;
mod pockets;
mod point;
mod polygon;
mod room;
mod squeeze;
pub mod strips;
mod walks;

pub use paths::{Blocked, FITS_M, Ground, Narrowest, Obstruction, Passages, Path, Piece};
pub use placement::{Placement, Side};
pub use plan::{Going, NoWay, Obstacle, Plan};
pub use point::Point;
pub use polygon::{NotAnOutline, Polygon, SAME_POINT_M, nearest_on_segment, segments_meet};
pub use room::{Door, Panel, Room, Stair, Stock, Thing, Way};
pub use squeeze::Squeeze;
pub use walks::{Disconnected, Manner, Walks, chains};
