//! Where things stand, and how far it is from one standing place to another.

pub mod access;
mod bisection;
pub mod check;
mod choke_point;
mod distances;
mod door_recess;
mod foot_paths;
mod paths;
mod placement;
mod plan;
mod point;
mod polygon;
mod room;
pub mod strips;

pub use choke_point::ChokePoint;
pub use distances::{Disconnected, Distances, Manner, chains};
pub use foot_paths::FootPaths;
pub use paths::{
    AllPairs, Blocked, FITS_M, FreeSpace, Narrowest, Obstruction, Passages, Path, Piece,
};
pub use paths::{Move, Moved, Outcome, Trip, Trips};
pub use placement::{Placement, Side};
pub use plan::{Going, NoWay, Obstacle, Plan};
pub use point::Point;
pub use polygon::{NotAnOutline, Polygon, SAME_POINT_M, nearest_on_segment, segments_meet};
pub use room::{AccessRoute, Door, Panel, Room, Stair, Stock, Thing};
