//! The places at which a station is tried: on a grid, and flush with the walls of the room's box.

use crate::experiment::Units;
use crate::floor::{Placement, Plan, Point};
use crate::improve::spots::half_of;
use crate::units::customary::INCH;

/// Where stations are tried, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloorGrid {
    /// From one place to the next.
    pub step: f64,
    /// What stands at a wall is off it by less than this, so that its place can be written and taped.
    pub mark: f64,
}

/// The coordinates along one axis at which a station's middle may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct AxisSpots {
    low: f64,
    high: f64,
    step: f64,
    origin: f64,
}

/// Roundings do not put a place off.
const SAME: f64 = 1e-6;

impl AxisSpots {
    /// The nearest of them.
    pub fn nearest(&self, wanted: f64) -> f64 {
        let wanted = wanted.clamp(self.low, self.high);
        let on_grid = self.origin + ((wanted - self.origin) / self.step).round() * self.step;
        let candidates = [self.low, self.high, on_grid];
        let inside = candidates
            .into_iter()
            .filter(|spot| (self.low - SAME..=self.high + SAME).contains(spot));
        let away = |spot: &f64| (spot - wanted).abs();
        inside
            .min_by(|one, other| away(one).total_cmp(&away(other)))
            .unwrap_or(self.low)
    }

    /// Every so many of those on the grid, from low to high, between the lowest and the highest of all.
    pub fn every(&self, step: usize) -> Vec<f64> {
        let first = ((self.low - self.origin) / self.step - SAME).ceil() as i64;
        let last = ((self.high - self.origin) / self.step + SAME).floor() as i64;
        let on_grid = (first..=last)
            .step_by(step)
            .map(|nth| self.origin + nth as f64 * self.step);
        let mut all: Vec<f64> = [self.low].into_iter().chain(on_grid).collect();
        all.push(self.high);
        all.dedup_by(|one, other| (*one - *other).abs() < SAME);
        all
    }
}

impl FloorGrid {
    /// A grid of 3 in, or of 5 cm, and flush with walls to an eighth of an inch, or a millimetre.
    pub fn of(units: Units) -> FloorGrid {
        match units {
            Units::Imperial => FloorGrid {
                step: 3.0 * INCH,
                mark: INCH / 8.0,
            },
            Units::Metric => FloorGrid {
                step: 0.05,
                mark: 0.001,
            },
        }
    }

    /// The nearest place for a station that is turned so: on the grid, or flush with the walls of the room's box. Without
    /// a room, and where a station is larger than it, on the grid.
    pub fn nearest(&self, plan: &Plan, placed: &Placement, wanted: Point, turn: f64) -> Point {
        let room = plan.room.as_ref().and_then(|room| {
            let corners = room.outline.corners();
            let least =
                |of: fn(&Point) -> f64| corners.iter().map(of).fold(f64::INFINITY, f64::min);
            let most = |of: fn(&Point) -> f64| {
                let all = corners.iter().map(of);
                all.fold(f64::NEG_INFINITY, f64::max)
            };
            let low = Point::new(least(|corner| corner.x), least(|corner| corner.y));
            let high = Point::new(most(|corner| corner.x), most(|corner| corner.y));
            self.spots((low, high), placed, turn)
        });
        let on_grid = |along: f64| (along / self.step).round() * self.step;
        match room {
            Some([x, y]) => Point::new(x.nearest(wanted.x), y.nearest(wanted.y)),
            None => Point::new(on_grid(wanted.x), on_grid(wanted.y)),
        }
    }

    /// Where the middle of a station may be that is turned so, along x and along y; nothing where it finds no room.
    pub(super) fn spots(
        &self,
        (low, high): (Point, Point),
        placed: &Placement,
        turn: f64,
    ) -> Option<[AxisSpots; 2]> {
        let half = half_of(placed.size, turn);
        let along = |low: f64, high: f64, half: f64| {
            let inward = |marks: f64| marks * self.mark;
            let first = inward(((low + half) / self.mark - SAME).ceil());
            let last = inward(((high - half) / self.mark + SAME).floor());
            (first <= last).then_some(AxisSpots {
                low: first,
                high: last,
                step: self.step,
                origin: low,
            })
        };
        Some([along(low.x, high.x, half.x)?, along(low.y, high.y, half.y)?])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const GRID: FloorGrid = FloorGrid {
        step: 0.5,
        mark: 0.001,
    };

    #[test]
    fn places_are_on_the_grid_and_flush_with_the_walls() {
        let placed = Placement::new(Point::ORIGIN, 0.0, (0.6, 0.4));
        let room = (Point::ORIGIN, Point::new(2.0, 1.0));
        let [x, y] = GRID.spots(room, &placed, 0.0).expect("it fits");
        assert_eq!(x.every(1).len(), 5);
        for (found, expected) in x.every(1).into_iter().zip([0.3, 0.5, 1.0, 1.5, 1.7]) {
            assert!((found - expected).abs() < 1e-9, "{found} for {expected}");
        }
        for (found, expected) in y.every(1).into_iter().zip([0.2, 0.5, 0.8]) {
            assert!((found - expected).abs() < 1e-9, "{found} for {expected}");
        }
        assert!((x.nearest(-3.0) - 0.3).abs() < 1e-9);
        assert!((x.nearest(1.2) - 1.0).abs() < 1e-9);
        let high = Placement::new(Point::ORIGIN, 0.0, (0.6, 1.4));
        assert_eq!(GRID.spots(room, &high, 0.0), None);
        assert!(GRID.spots(room, &high, 90.0).is_some());
    }
}
