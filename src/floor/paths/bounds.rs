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
        let first = Bounds {
            low: corners[0],
            high: corners[0],
        };
        let corners = corners.iter();
        corners.fold(first, |bounds, &corner| bounds.with(corner))
    }

    /// The same with one more corner.
    pub fn with(self, corner: Point) -> Bounds {
        Bounds {
            low: Point::new(self.low.x.min(corner.x), self.low.y.min(corner.y)),
            high: Point::new(self.high.x.max(corner.x), self.high.y.max(corner.y)),
        }
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
