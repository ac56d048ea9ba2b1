//! Where stations stand, and whether they stand elsewhere.

use crate::floor::Pose;

/// Two poses that differ by less are one, in metres.
const SAME_M: f64 = 1e-6;

/// Whether two poses are one, but for roundings and whole turns.
pub(super) fn is_same(one: &Pose, other: &Pose) -> bool {
    let turned = (one.turn - other.turn).rem_euclid(360.0);
    one.at.distance(other.at) < SAME_M && turned.min(360.0 - turned) < SAME_M
}
