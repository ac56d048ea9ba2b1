//! What somebody asks of the place of a station, wherever a search would like to have it. No run depends on it.

use super::{PlaceId, StationId};

/// What is asked; nothing by default.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AskedPlace {
    /// It stays where it is.
    pub is_fixed: bool,
    /// The turns that it may have, in degrees; any by quarters where there are none.
    pub turns: Vec<f64>,
    pub wall: AskedWall,
    pub in_corner: bool,
    /// Two opposite corners of an area along the axes in which all of it stands, in metres.
    pub within: Option<[(f64, f64); 2]>,
    /// How far its middle is from something, in metres.
    pub distances: Vec<AskedDistance>,
    /// What stands to it as it does now.
    pub together_with: Vec<StationId>,
    /// It stays where it is unless its move saves so much walking in a project, in metres.
    pub unless_saves: Option<f64>,
}

/// What the back of a station is to stand at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum AskedWall {
    /// Nothing is asked: what has its back to a wall now keeps to walls.
    #[default]
    Usual,
    /// At none, or at any.
    Anywhere,
    Any,
    /// One of [`WALLS`].
    Toward(usize),
}

/// Walls by the sides of the plan, and the direction out through each.
pub const WALLS: [(&str, (f64, f64)); 4] = [
    ("north", (0.0, 1.0)),
    ("east", (1.0, 0.0)),
    ("south", (0.0, -1.0)),
    ("west", (-1.0, 0.0)),
];

/// How far something is to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AskedDistance {
    pub of: AskedNeighbour,
    /// At most so far where it is to be near, at least so far where not; in metres.
    pub metres: f64,
    pub is_near: bool,
}

/// To what a distance is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AskedNeighbour {
    /// The middle of a station or of a door.
    Place(PlaceId),
    /// The edge of one of the things of the room, by its number.
    Thing(usize),
}
