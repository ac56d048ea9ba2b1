//! Boxes around things, along the axes.

use super::super::Point;

/// The least and the greatest coordinates of something, in metres.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bounds {
    pub low: Point,
    pub high: Point,
}

impl Bounds {
    pub fn of(corners: &[Point]) -> Bounds {
        let mut bounds = Bounds {
            low: corners[0],
            high: corners[0],
        };
        for &corner in corners {
            bounds.low = Point::new(bounds.low.x.min(corner.x), bounds.low.y.min(corner.y));
            bounds.high = Point::new(bounds.high.x.max(corner.x), bounds.high.y.max(corner.y));
        }
        bounds
    }

    pub fn grown(self, by: f64) -> Bounds {
        Bounds {
            low: self.low - Point::new(by, by),
            high: self.high + Point::new(by, by),
        }
    }

    pub fn holds(&self, point: Point) -> bool {
        point.x >= self.low.x
            && point.x <= self.high.x
            && point.y >= self.low.y
            && point.y <= self.high.y
    }

    /// Square of the distance from a point to the box.
    pub fn square_distance(&self, point: Point) -> f64 {
        let x = (self.low.x - point.x).max(point.x - self.high.x).max(0.0);
        let y = (self.low.y - point.y).max(point.y - self.high.y).max(0.0);
        x * x + y * y
    }

    /// Whether two boxes have no place in common.
    pub fn misses(&self, other: &Bounds) -> bool {
        self.high.x < other.low.x
            || other.high.x < self.low.x
            || self.high.y < other.low.y
            || other.high.y < self.low.y
    }
}
