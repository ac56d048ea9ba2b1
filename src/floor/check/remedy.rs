//! Shifts that mend a finding: no distance is advised that was not tried.

use super::Scene;
use crate::floor::finding::Shift;
use crate::floor::shapes::{FloorArea, beyond_walls, overlap};
use crate::floor::{Obstacle, Placement, Point, SAME_POINT_M};
use crate::shop::StationId;

/// So much more than what is missing is tried, in steps: around things that are not convex it takes more than the depth.
const MOST_MORE_M: f64 = 0.6;
const STEP_M: f64 = 0.01;

/// Of so many findings of a rule it is tried what mends them; those behind get advice without a distance. Where there
/// are more, no shift of one thing is what a layout needs.
pub const MOST_TRIED: usize = 12;

/// Directions that are tried where any will do, all the way around.
const DIRECTIONS: u32 = 24;

/// All the way around, each of length 1.
pub fn all_around() -> Vec<Point> {
    let directions = (0..DIRECTIONS).map(|direction| {
        let angle = std::f64::consts::TAU * f64::from(direction) / f64::from(DIRECTIONS);
        Point::new(libm::cos(angle), libm::sin(angle))
    });
    directions.collect()
}

/// The least of the shifts tried that mends what lacks so many metres and does no harm, with what it comes to.
///
/// A direction in which the least shift that mends does harm is given up.
pub fn least_shift(
    missing: f64,
    directions: &[Point],
    mends: impl Fn(Point) -> bool,
    is_harmless: impl Fn(Point) -> bool,
) -> (Shift, Option<Point>) {
    let steps = (MOST_MORE_M / STEP_M) as u32;
    let mut given_up = vec![false; directions.len()];
    for step in 0..=steps {
        let far = missing + f64::from(step) * STEP_M;
        for (direction, &toward) in directions.iter().enumerate() {
            let by = toward * far;
            if given_up[direction] || !mends(by) {
                continue;
            }
            if is_harmless(by) {
                return (Shift::By(by.length()), Some(by));
            }
            given_up[direction] = true;
        }
    }
    let as_far = missing + MOST_MORE_M;
    (Shift::NoneHelps { as_far }, None)
}

/// A station that may be moved, and what is wrong about where it stands.
pub struct Mover<'s, 'a> {
    scene: &'s Scene<'a>,
    station: StationId,
    own: Obstacle,
    placement: &'s Placement,
    area: Option<FloorArea>,
    /// What is wrong where it stands now, in metres.
    now: f64,
}

impl<'s, 'a> Mover<'s, 'a> {
    pub fn new(
        scene: &'s Scene<'a>,
        station: StationId,
        placement: &'s Placement,
    ) -> Mover<'s, 'a> {
        let mut mover = Mover {
            scene,
            station,
            own: Obstacle::Station(station),
            placement,
            area: placement.footprint().map(FloorArea::new),
            now: 0.0,
        };
        mover.now = mover.wrong(Point::ORIGIN, mover.area.as_ref());
        mover
    }

    /// The least shift that mends what lacks so many metres, of which `counted` are part of what is wrong where the
    /// station stands, and that makes nothing else about it worse.
    pub fn least(
        &self,
        (missing, counted): (f64, f64),
        directions: &[Point],
        mends: impl Fn(Point, Option<&FloorArea>) -> bool,
    ) -> (Shift, Option<Point>) {
        let most = self.now - counted + SAME_POINT_M;
        let helps = |by: Point| {
            let area = self.area.as_ref().map(|area| area.shifted(by));
            mends(by, area.as_ref()) && self.wrong(by, area.as_ref()) <= most
        };
        least_shift(missing, directions, helps, |by| self.is_harmless(by))
    }

    /// Whether nothing has another fault when the station stands there.
    fn is_harmless(&self, by: Point) -> bool {
        let moves = self.scene.moves;
        moves.is_none_or(|judge| judge.makes_no_fault(self.station, &self.placed(by)))
    }

    /// The placement elsewhere.
    pub fn placed(&self, by: Point) -> Placement {
        Placement {
            at: self.placement.at + by,
            ..*self.placement
        }
    }

    /// What is wrong about a shift, in metres, all of it together: how deep the station then stands in walls, in other
    /// things and on floor that is kept free, and what people lack to stand at it and at the others.
    fn wrong(&self, by: Point, area: Option<&FloorArea>) -> f64 {
        let scene = self.scene;
        let radius = scene.site.body_width / 2.0;
        let lacks = |clear: f64| (radius - clear).max(0.0);
        let own = scene.clear_at(self.placement.standing() + by, Some(self.own));
        let own = own.map_or(0.0, |(clear, _)| lacks(clear));
        let Some(area) = area else { return own };
        let site = scene.site;
        let is_overhead = self.placement.heights.is_overhead(site.head_room);
        let room = scene.room().map(|room| &room.outline);
        let in_walls = room
            .and_then(|room| beyond_walls(area, room))
            .unwrap_or(0.0);
        let things = scene.footprints.iter();
        let heights = &self.placement.heights;
        let things = things.filter(|other| other.of != self.own && other.heights.meets(heights));
        let kept_free = site.doors.iter().filter_map(|door| door.before.as_ref());
        let kept_free = kept_free.chain(site.panels.iter().map(|panel| &panel.area));
        let kept_free = kept_free.filter(|_| !is_overhead);
        let areas = things.map(|other| &other.area).chain(kept_free);
        let on_others: f64 = areas.filter_map(|other| overlap(area, other)).sum();
        let others = scene.placed();
        let others = others.filter(|&(id, _)| !is_overhead && Obstacle::Station(id) != self.own);
        let near = others.filter_map(|(_, other)| {
            let place = other.standing();
            let bounds = area.bounds.grown(radius);
            bounds.holds(place).then(|| lacks(area.clear_of(place)))
        });
        in_walls + on_others + own + near.sum::<f64>()
    }
}
