//! Shifts that mend a finding: no distance is advised that was not tried.

use super::Scene;
use crate::floor::shapes::{FloorArea, beyond_walls, overlap};
use crate::floor::{Obstacle, Point, SAME_POINT_M};

/// So much more than what is missing is tried, in steps: around things that are not convex it takes more than the depth.
const MOST_MORE_M: f64 = 0.6;
const STEP_M: f64 = 0.01;

/// Of so many findings of a rule it is tried what mends them; those behind get advice without a distance. Where there
/// are more, no shift of one thing is what a layout needs.
pub const MOST_TRIED: usize = 12;

/// Directions that are tried, all the way around.
const DIRECTIONS: u32 = 24;

/// The least of the shifts tried that mends what lacks so many metres; nothing if none of them does.
pub fn least_shift(missing: f64, mends: impl Fn(Point) -> bool) -> Option<Point> {
    let steps = (MOST_MORE_M / STEP_M) as u32;
    let distances = (0..=steps).map(|step| missing + f64::from(step) * STEP_M);
    let toward = |direction: u32| {
        let angle = std::f64::consts::TAU * f64::from(direction) / f64::from(DIRECTIONS);
        Point::new(libm::cos(angle), libm::sin(angle))
    };
    let shifts = distances.flat_map(|far| (0..DIRECTIONS).map(move |way| toward(way) * far));
    shifts.into_iter().find(|&by| mends(by))
}

/// How far a station is best moved, in metres, to come out of something into which it reaches so deep, without standing
/// deeper in anything else; nothing if no shift that was tried does that.
pub fn out_of(
    scene: &Scene<'_>,
    (station, area): (Obstacle, &FloorArea),
    depth: f64,
    is_out: impl Fn(&FloorArea) -> bool,
) -> Option<f64> {
    let most = depth_among(scene, station, area) - depth + SAME_POINT_M;
    let mends = |by: Point| {
        let moved = area.shifted(by);
        is_out(&moved) && depth_among(scene, station, &moved) <= most
    };
    least_shift(depth, mends).map(Point::length)
}

/// How deep a station with this footprint stands in walls and in all other things together, in metres.
pub fn depth_among(scene: &Scene<'_>, station: Obstacle, area: &FloorArea) -> f64 {
    let room = scene.room().map(|room| &room.outline);
    let in_walls = room
        .and_then(|room| beyond_walls(area, room))
        .unwrap_or(0.0);
    let others = scene.footprints.iter().filter(|other| other.of != station);
    let in_others: f64 = others.filter_map(|other| overlap(area, &other.area)).sum();
    in_walls + in_others
}
