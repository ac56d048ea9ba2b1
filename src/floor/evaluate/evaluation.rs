//! A placement that stations are moved on, one try after the other.

use super::kept::{Touched, kept_steps, narrow, with_numbers};
use super::score::{Flow, Prices, Score};
use crate::floor::check::{
    FirstStep, Missing, MissingParts, NarrowPlaces, Scene, Stage, WalkedLeg, first_steps,
};
use crate::floor::shapes::FloorArea;
use crate::floor::site::Footprint;
use crate::floor::tolerance::CROSSING_M;
use crate::floor::{
    FreeSpace, Going, Move, Moved, Obstacle, Outcome, Plan, Point, Polygon, Pose, Site, Trip, Trips,
};
use crate::shop::{PlaceId, StationId};

/// An accepted placement, and what is known of it: a move looks again only at what it touches.
///
/// Every verdict, and every total of an accepted move, is that of [`Site::evaluate`] for the same placement; lengths
/// that a move cannot touch are kept, so totals differ by roundings.
#[derive(Debug)]
pub struct Evaluation<'a> {
    site: &'a Site<'a>,
    flow: &'a Flow,
    prices: Prices,
    plan: Plan,
    /// Of the plan, as the rules look at them.
    footprints: Vec<Footprint>,
    /// Places to and from which somebody goes, in the order in which the walks know them.
    places: Vec<PlaceId>,
    /// Those between which trips lead, directly or by others of them: every placement that is known has a way for each.
    joined: Vec<PlaceId>,
    /// No rule asks for others; any width where a rule asks whether a way is told of at all.
    narrow: NarrowPlaces,
    /// What is known of the accepted placement; nothing where people go straight, or where a trip has no way.
    known: Option<Accepted>,
    score: Score,
    /// A move that has been tried and neither accepted nor taken back.
    tried: Option<Tried>,
}

#[derive(Debug)]
struct Accepted {
    trips: Trips,
    /// The floor for a body as wide as a way out.
    wide: FreeSpace,
    first_steps: Vec<FirstStep>,
    /// The narrow places of all legs, as far as they are narrow.
    widths: Vec<Option<WalkedLeg>>,
    parts: MissingParts,
}

/// How a station stood before a move, with its footprint.
type StoodBefore = (StationId, Pose, Option<FloorArea>);

#[derive(Debug)]
struct Tried {
    /// What stood elsewhere.
    before: Vec<StoodBefore>,
    score: Score,
    after: Option<After>,
}

/// What is known after a move.
#[derive(Debug)]
struct After {
    moved: Moved,
    wide: FreeSpace,
    first_steps: Vec<FirstStep>,
    widths: Vec<Option<WalkedLeg>>,
    parts: MissingParts,
}

impl<'a> Evaluation<'a> {
    /// Of a placement in the room of a site.
    pub fn new(site: &'a Site<'a>, plan: &Plan, flow: &'a Flow, prices: Prices) -> Evaluation<'a> {
        let mut places: Vec<PlaceId> = (flow.legs.iter())
            .flat_map(|leg| [leg.from, leg.to])
            .collect();
        places.sort();
        places.dedup();
        let mut evaluation = Evaluation {
            site,
            flow,
            prices,
            plan: plan.clone(),
            footprints: Scene::footprints_of(site, plan),
            places,
            joined: flow.joined(),
            narrow: narrow(site, plan),
            known: None,
            score: Score {
                missing: Missing::default(),
                metres: 0.0,
            },
            tried: None,
        };
        match evaluation.look() {
            Some((known, score)) => (evaluation.known, evaluation.score) = (Some(known), score),
            None => evaluation.score = site.evaluate(plan, flow),
        }
        evaluation
    }

    /// What the accepted placement comes to.
    pub fn score(&self) -> Score {
        self.score
    }

    /// What the accepted placement costs, in metres of walking.
    pub fn cost(&self) -> f64 {
        self.prices.cost(&self.score)
    }

    /// The accepted placement, or the one that has been tried and not been taken back.
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// What it comes to if stations stand elsewhere; nothing as soon as it is certain that it costs more than `limit`
    /// metres, or if one of the stations is not placed. The move stands until it is taken back or another one is tried.
    pub fn try_move(&mut self, moves: &[(StationId, Pose)], limit: f64) -> Option<Score> {
        self.take_back();
        let before = self.place(moves)?;
        let footprints = std::mem::take(&mut self.footprints);
        let (footprints, found) = self.judged(footprints, &before, limit);
        self.footprints = footprints;
        match found {
            Some((score, after)) => {
                self.tried = Some(Tried {
                    before,
                    score,
                    after,
                });
                Some(score)
            }
            None => {
                self.put_back(before);
                None
            }
        }
    }

    /// Whether the move that was tried last and stands lacks nothing more than the accepted placement, by any rule at any
    /// station, gap or door; nothing where that is not known.
    pub(in crate::floor) fn is_no_worse(&self) -> Option<bool> {
        let after = self.tried.as_ref()?.after.as_ref()?;
        Some(after.parts.is_no_worse_than(&self.known.as_ref()?.parts))
    }

    /// Accepts the move that was tried last, if it was not refused.
    pub fn accept(&mut self) {
        let Some(Tried {
            before,
            score,
            after,
        }) = self.tried.take()
        else {
            return;
        };
        self.score = score;
        let (obstacles, places) = self.changes(&before);
        match (&mut self.known, after) {
            (Some(known), Some(after)) => {
                let change = Move {
                    obstacles: &obstacles,
                    places: &places,
                };
                known.trips.accept(&change, after.moved);
                (known.wide, known.widths) = (after.wide, after.widths);
                (known.first_steps, known.parts) = (after.first_steps, after.parts);
            }
            _ => self.known = self.look().map(|(known, _)| known),
        }
    }

    /// Takes the move back that was tried last, unless it has been accepted.
    pub fn take_back(&mut self) {
        if let Some(tried) = self.tried.take() {
            self.put_back(tried.before);
        }
    }

    /// Places stations elsewhere and says where they stood; nothing, and nothing moves, if one is not placed.
    fn place(&mut self, moves: &[(StationId, Pose)]) -> Option<Vec<StoodBefore>> {
        let placements = &self.plan.placements;
        let is_placed = |&(station, _): &(StationId, Pose)| {
            station.index() < placements.len() && placements[station].is_some()
        };
        if !moves.iter().all(is_placed) {
            return None;
        }
        let mut before = Vec::with_capacity(moves.len());
        for &(station, pose) in moves {
            let Some(placement) = self.plan.placements[station].as_mut() else {
                continue;
            };
            let old = placement.pose();
            (placement.at, placement.turn) = (pose.at, pose.turn);
            let area = placement.footprint().map(FloorArea::new);
            let of = Obstacle::Station(station);
            let mut footprints = self.footprints.iter_mut();
            let footprint = footprints.find(|footprint| footprint.of == of);
            let old_area = footprint
                .zip(area)
                .map(|(footprint, area)| std::mem::replace(&mut footprint.area, area));
            before.push((station, old, old_area));
        }
        Some(before)
    }

    fn put_back(&mut self, before: Vec<StoodBefore>) {
        // The last one first, so that a station that was moved twice goes back to where it stood before both.
        for (station, pose, area) in before.into_iter().rev() {
            if let Some(placement) = self.plan.placements[station].as_mut() {
                (placement.at, placement.turn) = (pose.at, pose.turn);
            }
            let of = Obstacle::Station(station);
            let mut footprints = self.footprints.iter_mut();
            let footprint = footprints.find(|footprint| footprint.of == of);
            if let Some((footprint, area)) = footprint.zip(area) {
                footprint.area = area;
            }
        }
    }

    /// The outlines and standing places that the plan has now, of what stood elsewhere before.
    #[allow(clippy::type_complexity)]
    fn changes(&self, before: &[StoodBefore]) -> (Vec<(usize, Polygon)>, Vec<(usize, Point)>) {
        let mut obstacles: Vec<(usize, Polygon)> = Vec::new();
        let mut places: Vec<(usize, Point)> = Vec::new();
        for &(station, ..) in before {
            let Some(placement) = self.plan.placements[station].as_ref() else {
                continue;
            };
            let mut with_footprint = self.plan.placements.enumerate().filter_map(|(id, placed)| {
                self.plan.walked_around(placed.as_ref()?)?;
                Some(id)
            });
            if let Some(index) = with_footprint.position(|id| id == station)
                && let Some(outline) = self.plan.walked_around(placement)
                && obstacles.iter().all(|&(other, _)| other != index)
            {
                obstacles.push((index, outline));
            }
            for place in self.plan.places_at(station) {
                let index = self.places.binary_search(&place).ok();
                let standing = index.zip(self.plan.standing(place));
                places.extend(standing.filter(|own| places.iter().all(|one| one.0 != own.0)));
            }
        }
        (obstacles, places)
    }

    /// Looks at the plan from scratch, for what moves can keep, and for what it comes to; nothing where people go
    /// straight, or where a trip has no way.
    fn look(&self) -> Option<(Accepted, Score)> {
        let plan = &self.plan;
        let by_wide_cart = self.flow.wide_metres(plan);
        if plan.going != Going::Around || !by_wide_cart.is_finite() {
            return None;
        }
        let standing = self.places.iter().map(|&place| plan.standing(place));
        let standing: Vec<Point> = standing.collect::<Option<_>>()?;
        let radius = plan.body_width / 2.0;
        let obstacles: Vec<Polygon> = plan.obstacles().map(|(_, outline)| outline).collect();
        let trips = self
            .flow
            .legs
            .iter()
            .enumerate()
            .filter_map(|(index, leg)| {
                let from = self.places.binary_search(&leg.from).ok()?;
                let to = self.places.binary_search(&leg.to).ok()?;
                Some(Trip {
                    between: [from, to],
                    weight: match self.flow.is_wide(index, plan) {
                        true => 0.0,
                        false => leg.trips,
                    },
                })
            });
        let trips = trips.collect();
        let trips = Trips::new(
            plan.walls(radius).as_ref(),
            obstacles,
            radius,
            standing,
            trips,
        )?;
        let wide = plan.ground(self.site.way_out() / 2.0);
        wide.survey();
        let path = |leg: usize| Some(trips.path(leg));
        let widths = self.flow.widths(plan, self.narrow, &path, &|_| None);
        let (first_steps, parts) = {
            let (ways, walked) = with_numbers(&widths);
            let mut scene = Scene::with(self.site, plan, &walked, self.footprints.clone());
            scene.lend_person(trips.space());
            scene.lend_wide(&wide);
            scene.lend_joined(&self.joined);
            let first_steps = first_steps(&scene);
            let mut parts = MissingParts::new(&scene);
            parts.walked(&scene, &|leg| trips.path(ways[leg]).polyline(CROSSING_M));
            parts.reached(&scene);
            (first_steps, parts)
        };
        let score = Score {
            missing: parts.missing(Stage::All),
            metres: trips.total() + by_wide_cart,
        };
        let known = Accepted {
            trips,
            wide,
            first_steps,
            widths,
            parts,
        };
        Some((known, score))
    }

    /// What the plan comes to after a move, cheapest first; nothing if that is certain to cost more than the limit.
    fn judged(
        &self,
        footprints: Vec<Footprint>,
        before: &[StoodBefore],
        limit: f64,
    ) -> (Vec<Footprint>, Option<(Score, Option<After>)>) {
        let Some(known) = &self.known else {
            let score = self.site.evaluate(&self.plan, self.flow);
            let fits = self.prices.cost(&score) <= limit;
            return (footprints, fits.then_some((score, None)));
        };
        let mut scene = Scene::with(self.site, &self.plan, &[], footprints);
        let found = self.judged_near(known, &scene, before, limit);
        let footprints = std::mem::take(&mut scene.footprints);
        drop(scene);
        let Some((parts, missing, touched)) = found else {
            return (footprints, None);
        };
        let (obstacles, places) = self.changes(before);
        let change = Move {
            obstacles: &obstacles,
            places: &places,
        };
        let left = limit - self.prices.of(&missing);
        let Outcome::Moved(moved) = known.trips.try_move(&change, left) else {
            return (footprints, None);
        };
        let metres = moved.total + self.flow.wide_metres(&self.plan);
        if metres > left {
            return (footprints, None);
        }
        let near = (parts, moved, metres);
        self.judged_far(known, footprints, (&change, &touched), near, limit)
    }

    /// What is missing near to what was moved.
    fn judged_near(
        &self,
        known: &Accepted,
        scene: &Scene<'_>,
        before: &[StoodBefore],
        limit: f64,
    ) -> Option<(MissingParts, Missing, Touched)> {
        let moved: Vec<StationId> = before.iter().map(|&(station, ..)| station).collect();
        let old = before.iter().filter_map(|(.., area)| area.as_ref());
        let is_moved = |footprint: &&Footprint| match footprint.of {
            Obstacle::Station(station) => moved.contains(&station),
            _ => false,
        };
        let new = scene.footprints.iter().filter(is_moved);
        let areas = old.chain(new.map(|footprint| &footprint.area));
        let boxes = areas.map(|area| area.bounds).collect();
        let touched = Touched {
            stations: moved,
            boxes,
        };
        let change = touched.change();
        let mut parts = known.parts.clone();
        parts.covered(scene, &change);
        if self.prices.of(&parts.missing(Stage::Covered)) > limit {
            return None;
        }
        parts.around(scene, &change);
        let missing = parts.missing(Stage::Around);
        (self.prices.of(&missing) <= limit).then_some((parts, missing, touched))
    }

    /// What is missing along the ways that people walk, and where they get.
    fn judged_far(
        &self,
        known: &Accepted,
        footprints: Vec<Footprint>,
        (change, touched): (&Move<'_>, &Touched),
        (mut parts, moved, metres): (MissingParts, Moved, f64),
        limit: f64,
    ) -> (Vec<Footprint>, Option<(Score, Option<After>)>) {
        let way = |leg: usize| moved.path(leg).unwrap_or_else(|| known.trips.path(leg));
        // What makes a way narrow is no farther from it than the way is wide, so a way that has not changed stays as wide as
        // it was unless something moved within that distance.
        let kept = |leg: usize| {
            let is_same =
                moved.path(leg).is_none() && !touched.comes_near(way(leg), self.narrow.widest());
            is_same.then(|| known.widths[leg])
        };
        let path = |leg: usize| Some(way(leg));
        let widths = (self.flow).widths(&self.plan, self.narrow, &path, &kept);
        let (ways, walked) = with_numbers(&widths);
        let person = moved.space(&known.trips, change);
        let mut scene = Scene::with(self.site, &self.plan, &walked, footprints);
        scene.lend_person(person);
        scene.lend_joined(&self.joined);
        parts.walked(&scene, &|leg| way(ways[leg]).polyline(CROSSING_M));
        if self.prices.of(&parts.missing(Stage::Walked)) + metres > limit {
            return (scene.footprints, None);
        }
        let wide = known.wide.moved(change.obstacles);
        scene.lend_wide(&wide);
        scene.lend_first_steps(kept_steps(&self.plan, &known.first_steps, touched));
        let first_steps = first_steps(&scene);
        scene.lend_first_steps(first_steps.clone());
        parts.reached(&scene);
        let footprints = std::mem::take(&mut scene.footprints);
        drop(scene);
        let score = Score {
            missing: parts.missing(Stage::All),
            metres,
        };
        if self.prices.cost(&score) > limit {
            return (footprints, None);
        }
        let after = After {
            moved,
            wide,
            first_steps,
            widths,
            parts,
        };
        (footprints, Some((score, Some(after))))
    }
}
