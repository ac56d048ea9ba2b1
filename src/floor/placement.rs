//! Where a station stands, how it is turned, and where its operator stands.

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

    /// Distance along the axes in metres.
    pub fn rectilinear_distance(self, other: Point) -> f64 {
        (self.x - other.x).abs() + (self.y - other.y).abs()
    }
}

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
}

impl Placement {
    /// Where one stands when `stand` is not given: 12 inches off the middle of the -y edge.
    pub fn default_stand(size: (f64, f64)) -> Point {
        Point::new(0.0, -size.1 / 2.0 - 12.0 * 0.0254)
    }

    /// The standing place on the floor. Quarter turns are exact.
    pub fn standing(&self) -> Point {
        let (sin, cos) = sin_cos_degrees(self.turn);
        Point::new(
            self.at.x + self.stand.x * cos - self.stand.y * sin,
            self.at.y + self.stand.x * sin + self.stand.y * cos,
        )
    }
}

/// Sine and cosine of an angle in degrees, exact at quarter turns: a turned shop must not move by a rounding.
fn sin_cos_degrees(degrees: f64) -> (f64, f64) {
    let turned = degrees.rem_euclid(360.0);
    match turned {
        0.0 => (0.0, 1.0),
        90.0 => (1.0, 0.0),
        180.0 => (0.0, -1.0),
        270.0 => (-1.0, 0.0),
        _ => (
            libm::sin(turned.to_radians()),
            libm::cos(turned.to_radians()),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quarter_turn_moves_the_standing_place_from_below_to_the_right() {
        let size = (2.0, 1.0);
        let placement = Placement {
            at: Point::new(5.0, 5.0),
            turn: 90.0,
            size,
            stand: Placement::default_stand(size),
        };
        assert_eq!(placement.standing(), Point::new(5.0 + 0.5 + 0.3048, 5.0));
    }
}
