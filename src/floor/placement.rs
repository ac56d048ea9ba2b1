//! Where a station stands, how it is turned, and where its operator stands.

use super::polygon::sin_cos_degrees;
use super::{HeightRange, Point, Polygon};

/// How far before a station one stands, in metres: common practice, a foot.
pub const STAND_OFF_M: f64 = 12.0 * 0.0254;

/// A station on the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    /// The footprint's centre.
    pub at: Point,
    /// Counter-clockwise, in degrees.
    pub turn: f64,
    /// Along x and along y before turning, in metres.
    pub size: (f64, f64),
    /// Where one stands, from the centre, before turning, in metres.
    pub stand: Point,
    /// The side toward which the work is fed through; nothing is fed past many stations.
    pub feed: Option<Side>,
    /// Whether it can throw a piece back toward where the work comes from, as a saw can.
    pub kickback: bool,
    /// The sides from which people need to reach it, in the order of [`Side::ALL`].
    pub reach_from: [bool; 4],
    pub heights: HeightRange,
    /// How high the work lies or passes, in metres; nothing where nobody said so, and then it passes over nothing.
    pub table: Option<f64>,
}

/// Where a station stands and how it is turned, counter-clockwise in degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    pub at: Point,
    pub turn: f64,
}

/// A side of a station before it is turned, or the direction toward it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    PlusX,
    MinusX,
    PlusY,
    MinusY,
}

impl Side {
    pub const ALL: [Side; 4] = [Side::PlusX, Side::MinusX, Side::PlusY, Side::MinusY];

    pub fn name(self) -> &'static str {
        match self {
            Side::PlusX => "+x",
            Side::MinusX => "-x",
            Side::PlusY => "+y",
            Side::MinusY => "-y",
        }
    }

    /// A vector of length 1.
    pub fn direction(self) -> Point {
        match self {
            Side::PlusX => Point::new(1.0, 0.0),
            Side::MinusX => Point::new(-1.0, 0.0),
            Side::PlusY => Point::new(0.0, 1.0),
            Side::MinusY => Point::new(0.0, -1.0),
        }
    }
}

impl Placement {
    pub fn pose(&self) -> Pose {
        Pose {
            at: self.at,
            turn: self.turn,
        }
    }

    /// A station of which nothing else is said: one stands at the usual place, and nothing is fed through it. Centre and
    /// size in metres, the turn in degrees.
    pub fn new(at: Point, turn: f64, size: (f64, f64)) -> Placement {
        Placement {
            at,
            turn,
            size,
            stand: Placement::default_stand(size),
            feed: None,
            kickback: false,
            reach_from: [false; 4],
            heights: HeightRange::default(),
            table: None,
        }
    }

    /// Where one stands when `stand` is not given: 12 inches off the middle of the -y edge.
    pub fn default_stand(size: (f64, f64)) -> Point {
        Point::new(0.0, -size.1 / 2.0 - STAND_OFF_M)
    }

    /// The standing place on the floor. Quarter turns are exact.
    pub fn standing(&self) -> Point {
        self.on_floor(self.stand)
    }

    /// A point given from the centre, before turning, on the floor.
    pub fn on_floor(&self, point: Point) -> Point {
        self.at + self.turned(point)
    }

    /// A direction of the station, before turning, on the floor.
    pub fn turned(&self, direction: Point) -> Point {
        let (sin, cos) = sin_cos_degrees(self.turn);
        Point::new(
            direction.x * cos - direction.y * sin,
            direction.x * sin + direction.y * cos,
        )
    }

    /// What it covers; a station of size 0 covers nothing.
    pub fn footprint(&self) -> Option<Polygon> {
        Polygon::rectangle(self.at, self.size, self.turn)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quarter_turn_moves_the_standing_place_from_below_to_the_right() {
        let size = (2.0, 1.0);
        let placement = Placement::new(Point::new(5.0, 5.0), 90.0, size);
        assert_eq!(placement.standing(), Point::new(5.0 + 0.5 + 0.3048, 5.0));
    }
}
