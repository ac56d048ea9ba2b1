//! Whoever stands to work in the quarter circle over which the leaf of a door swings.

use super::Scene;
use crate::floor::{Placement, SAME_POINT_M};
use crate::shop::PlaceId;

/// The door whose leaf meets a person who stands at a station, wherever its hinges are, and how far the person stands in
/// its way, in metres; of several doors that where it is most.
pub fn leaf_at(scene: &Scene<'_>, placement: &Placement) -> Option<(PlaceId, f64)> {
    let place = placement.standing();
    let doors = scene.site.doors.iter().enumerate();
    let met = doors.filter_map(|(index, floor)| {
        // Of a leaf that may hang at either end both quarter circles have to be met.
        let leaves = floor.leaves.iter().flatten();
        let depths = leaves.map(|leaf| {
            let outline = &leaf.outline;
            let off = outline.distance_to_outline(place);
            let inside = if outline.contains(place) { off } else { -off };
            inside + scene.site.body_width / 2.0
        });
        let depth = depths.reduce(f64::min)?;
        (depth > SAME_POINT_M).then(|| (scene.site.premises.door_place(index), depth))
    });
    met.max_by(|one, other| one.1.total_cmp(&other.1))
}
