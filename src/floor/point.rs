//! A point of the floor.

use super::tolerance::SURELY_LONGER_SHARE;

/// A point of the floor in metres, x to the right and y up on the plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    pub x: f64,
    pub y: f64,
}

impl Point {
    pub const ORIGIN: Point = Point { x: 0.0, y: 0.0 };

    pub fn new(x: f64, y: f64) -> Point {
        Point { x, y }
    }

    /// Straight distance in metres.
    pub fn distance(self, other: Point) -> f64 {
        libm::hypot(self.x - other.x, self.y - other.y)
    }

    /// Whether another point is farther than so many metres by more than roundings come to. Costs less than the
    /// distance.
    #[inline]
    pub fn is_surely_farther(self, other: Point, than: f64) -> bool {
        let apart = self - other;
        apart.dot(apart) > than * than * (1.0 + SURELY_LONGER_SHARE)
    }

    /// Distance along the axes in metres.
    pub fn rectilinear_distance(self, other: Point) -> f64 {
        (self.x - other.x).abs() + (self.y - other.y).abs()
    }

    pub fn dot(self, other: Point) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// Positive if `other` points to the left of this.
    pub fn cross(self, other: Point) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// Distance from the origin in metres.
    pub fn length(self) -> f64 {
        libm::hypot(self.x, self.y)
    }

    /// Turned a quarter counter-clockwise: to the left.
    pub fn left(self) -> Point {
        Point::new(-self.y, self.x)
    }
}

impl std::ops::Add for Point {
    type Output = Point;
    fn add(self, other: Point) -> Point {
        Point::new(self.x + other.x, self.y + other.y)
    }
}

impl std::ops::Sub for Point {
    type Output = Point;
    fn sub(self, other: Point) -> Point {
        Point::new(self.x - other.x, self.y - other.y)
    }
}

impl std::ops::Mul<f64> for Point {
    type Output = Point;
    fn mul(self, factor: f64) -> Point {
        Point::new(self.x * factor, self.y * factor)
    }
}
