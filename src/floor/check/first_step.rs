//! How a way out begins.

use crate::floor::Point;
use crate::shop::PlaceId;

/// The step from where one stands onto the floor for a body as wide as a way out, where the nearest place will do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstStep {
    pub place: PlaceId,
    pub at: Point,
    /// Nothing that moves farther away than this from where one stands, in metres, changes the step.
    pub reach: f64,
}
