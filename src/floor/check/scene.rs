//! What the rules look at: a site with everything that stands on it.

use std::sync::OnceLock;

use super::WalkedLeg;
use super::first_step::FirstStep;
use super::leg::door_at;
use crate::floor::finding::Between;
use crate::floor::shapes::{FloorArea, signed_distance};
use crate::floor::site::{Footprint, Site};
use crate::floor::strips::{FreeRun, Strip};
use crate::floor::{
    Door, FreeSpace, HeightRange, Limits, Obstacle, Placement, Plan, Point, Room, TakenWay,
};
use crate::shop::{PlaceId, Shop, StationId};

/// What advice asks before it names a move.
pub trait JudgesMoves: std::fmt::Debug + Sync {
    /// Whether nothing has a fault that is new or larger when a station stands so.
    fn makes_no_fault(&self, station: StationId, placement: &Placement) -> bool;
}

/// A site on which stations are placed, ready to be judged.
#[derive(Debug)]
pub struct Scene<'a> {
    pub site: &'a Site<'a>,
    pub plan: &'a Plan,
    pub walked: &'a [WalkedLeg],
    /// The ways themselves, as far as they are known, for what hangs on a gap.
    pub ways: &'a [TakenWay<'a>],
    /// Who judges the moves that are advised; without one they are not looked at beyond the rule that advises them.
    pub moves: Option<&'a dyn JudgesMoves>,
    /// Footprints in the file's order, then the things of the room.
    pub footprints: Vec<Footprint>,
    /// Where a person can be.
    person: Ground<'a>,
    /// Where a body as wide as a way out can be.
    wide: Ground<'a>,
    /// As far as they are known, in the order of their places.
    first_steps: Vec<FirstStep>,
    /// Places between which people are known to get, in their order.
    joined: &'a [PlaceId],
}

/// The floor for a body of one size: somebody else's, or found when it is first asked for.
#[derive(Debug)]
enum Ground<'a> {
    Lent(&'a FreeSpace),
    Own(OnceLock<Box<FreeSpace>>),
}

impl Ground<'_> {
    fn get(&self, find: impl FnOnce() -> FreeSpace) -> &FreeSpace {
        match self {
            Ground::Lent(ground) => ground,
            Ground::Own(ground) => ground.get_or_init(|| Box::new(find())),
        }
    }
}

impl<'a> Scene<'a> {
    pub fn new(site: &'a Site<'a>, plan: &'a Plan, walked: &'a [WalkedLeg]) -> Scene<'a> {
        let footprints = Scene::footprints_of(site, plan);
        Scene::with(site, plan, walked, footprints)
    }

    /// Footprints in the file's order, then the things of the room.
    pub fn footprints_of(site: &Site<'_>, plan: &Plan) -> Vec<Footprint> {
        let placements = plan.placements.enumerate();
        let stations = placements.filter_map(|(station, placement)| {
            let placement = placement.as_ref()?;
            Some(Footprint {
                of: Obstacle::Station(station),
                area: FloorArea::new(placement.footprint()?),
                heights: placement.heights,
            })
        });
        stations.chain(site.things.iter().cloned()).collect()
    }

    /// With the footprints of the plan.
    pub fn with(
        site: &'a Site<'a>,
        plan: &'a Plan,
        walked: &'a [WalkedLeg],
        footprints: Vec<Footprint>,
    ) -> Scene<'a> {
        Scene {
            site,
            plan,
            walked,
            ways: &[],
            moves: None,
            footprints,
            person: Ground::Own(OnceLock::new()),
            wide: Ground::Own(OnceLock::new()),
            first_steps: Vec::new(),
            joined: &[],
        }
    }

    /// The same with the floor for a person, where that is known.
    pub fn lend_person(&mut self, person: &'a FreeSpace) {
        self.person = Ground::Lent(person);
    }

    /// The same with the floor for a body as wide as a way out.
    pub fn lend_wide(&mut self, wide: &'a FreeSpace) {
        self.wide = Ground::Lent(wide);
    }

    /// The same with steps onto that floor, in the order of their places.
    pub fn lend_first_steps(&mut self, steps: Vec<FirstStep>) {
        self.first_steps = steps;
    }

    /// The same with places, in their order, between which walks have been found.
    pub fn lend_joined(&mut self, joined: &'a [PlaceId]) {
        self.joined = joined;
    }

    /// Whether people are known to get from each of these places to all others of them.
    pub fn are_joined(&self, places: &[PlaceId]) -> bool {
        let is_joined = |place: &PlaceId| self.joined.binary_search(place).is_ok();
        places.iter().all(is_joined)
    }

    /// The step from where one stands at a place, if it is known.
    pub fn first_step(&self, place: PlaceId) -> Option<FirstStep> {
        let steps = &self.first_steps;
        let at = steps.binary_search_by_key(&place, |step| step.place);
        at.ok().map(|at| steps[at])
    }

    pub fn shop(&self) -> &'a Shop {
        self.site.premises.shop
    }

    pub fn limits(&self) -> &'a Limits {
        self.site.premises.limits
    }

    pub fn room(&self) -> Option<&'a Room> {
        self.site.premises.room
    }

    pub fn doors(&self) -> &'a [Door] {
        self.site.premises.doors()
    }

    /// The stations that the layout places, those without a footprint too.
    pub fn placed(&self) -> impl Iterator<Item = (StationId, &'a Placement)> + use<'a> {
        let placements = self.plan.placements.enumerate();
        placements.filter_map(|(id, placed)| Some((id, placed.as_ref()?)))
    }

    /// The places to which somebody goes, as far as the layout places them.
    pub fn used(&self) -> impl Iterator<Item = PlaceId> {
        let used = self.site.used.iter().copied();
        used.filter(|&place| self.plan.standing(place).is_some())
    }

    /// The footprints of stations.
    pub fn stations(&self) -> impl Iterator<Item = &Footprint> {
        let all = self.footprints.iter();
        all.filter(|footprint| matches!(footprint.of, Obstacle::Station(_)))
    }

    /// What is in the way of people: all but what leaves them head room below it.
    pub fn walked_around(&self) -> impl Iterator<Item = &Footprint> {
        let head_room = self.plan.head_room;
        let all = self.footprints.iter();
        all.filter(move |footprint| !footprint.heights.is_overhead(head_room))
    }

    /// Between which heights something is.
    pub fn heights_of(&self, of: Obstacle) -> HeightRange {
        let found = self.footprints.iter().find(|footprint| footprint.of == of);
        found.map_or(HeightRange::default(), |found| found.heights)
    }

    /// The floor on which a person walks.
    pub fn person(&self) -> &FreeSpace {
        self.person
            .get(|| self.plan.ground(self.site.body_width / 2.0))
    }

    /// The floor for a body as wide as a way out.
    pub fn wide(&self) -> &FreeSpace {
        self.wide
            .get(|| self.plan.ground(self.site.way_out() / 2.0))
    }

    /// Distance in metres from a place to what is nearest of everything but one thing, and what that is; negative within
    /// it or outside the room.
    pub fn clear_at(&self, place: Point, left_out: Option<Obstacle>) -> Option<(f64, Obstacle)> {
        let wall = self.room().map(|room| {
            let is_outside = !room.outline.contains(place);
            let away = signed_distance(&room.outline, is_outside, place);
            (away, Obstacle::Wall)
        });
        let footprints = self.walked_around();
        let footprints = footprints.filter(|footprint| Some(footprint.of) != left_out);
        footprints.fold(wall, |nearest, footprint| {
            let least = nearest.map_or(f64::INFINITY, |(away, _)| away);
            if footprint.area.bounds.is_surely_farther(place, least) {
                return nearest;
            }
            let away = footprint.area.clear_of(place);
            match away.total_cmp(&least).is_lt() || nearest.is_none() {
                true => Some((away, footprint.of)),
                false => nearest,
            }
        })
    }

    /// How far a strip is free for people, of everything but one station.
    pub fn run(&self, strip: Strip, station: StationId) -> FreeRun {
        let all = self.walked_around();
        let others = all.filter(|footprint| footprint.of != Obstacle::Station(station));
        let others = others.map(|footprint| (footprint.of, &footprint.area.outline));
        strip.run(&self.site.walls, self.doors(), others)
    }

    /// How far it is along a strip to the first wall.
    pub fn to_wall(&self, strip: Strip) -> Option<f64> {
        strip.run(&self.site.walls, self.doors(), []).free
    }

    /// Where a gap is that these things leave.
    pub fn between(&self, sides: [Obstacle; 2], place: Point) -> Between {
        if sides != [Obstacle::Wall; 2] {
            return Between::Sides(sides);
        }
        door_at(self.doors(), place).map_or(Between::Walls, Between::Door)
    }
}
