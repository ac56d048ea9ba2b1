//! Places that are still free when their coordinates are rounded.

use super::{FreeSpace, Plan, Point};

/// Margin in metres: more than half of the last digit to which lengths are written.
const MARGIN_M: f64 = 0.01;

/// So near a place with a margin is another name for the nearest one, in metres.
const NEAR_M: f64 = 5.0 * MARGIN_M;

/// The floor for a person with a small margin around the body.
pub fn roomy_floor(plan: &Plan) -> FreeSpace {
    plan.ground(plan.body_width / 2.0 + MARGIN_M)
}

/// A place close to the free one that is nearest to what is wanted, with a margin if there is one.
pub fn roomy_place(roomy: &FreeSpace, nearest: Point, wanted: Point) -> Point {
    let place = roomy.nearest_free(wanted);
    let is_near = |place: &Point| place.distance(nearest) <= NEAR_M;
    place.filter(is_near).unwrap_or(nearest)
}
