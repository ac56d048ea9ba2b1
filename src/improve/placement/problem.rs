//! What is searched.

use super::boxes::{FrontPairs, overlaps_on_floor};
use super::poses::is_same;
use super::spots::FloorGrid;
use super::terms::PlacementTerms;
use super::wish::PlaceWish;
use crate::floor::check::{RULES, Scene};
use crate::floor::{
    FindingLevel, FindingSubject, Flow, Placement, Plan, Point, Pose, RuleId, Site, pieces_refused,
};
use crate::shop::{StationId, Table};

/// Stations in a room that may stand elsewhere.
pub struct PlacementProblem<'a> {
    pub site: &'a Site<'a>,
    /// Where everything stands now: moves are counted from here.
    pub now: &'a Plan,
    /// Other placements of the same stations, from which the search begins as well.
    pub starts: Vec<Plan>,
    /// Stations that may be moved, in the file's order.
    pub movable: Vec<StationId>,
    /// What is asked of the place of each station.
    pub wishes: Table<StationId, PlaceWish>,
    pub grid: FloorGrid,
    pub terms: PlacementTerms,
    /// What is walked if things stand so; nothing where that cannot be played.
    pub flow_on: &'a (dyn Fn(&Plan) -> Option<Flow> + Sync),
}

/// Stations that stay where they are whatever anybody asks: what hangs above others, and what stands below it, since one
/// stands before both.
pub fn kept_in_place(plan: &Plan) -> Vec<StationId> {
    let is_above = |above: &Placement, below: &Placement| {
        above.heights.hangs() && !below.heights.hangs() && overlaps_on_floor(above, below)
    };
    let is_kept = |one: &Placement| {
        let mut others = placed(plan);
        others.any(|(_, other)| is_above(one, other) || is_above(other, one))
    };
    let kept = placed(plan).filter(|(_, one)| is_kept(one));
    kept.map(|(station, _)| station).collect()
}

fn placed(plan: &Plan) -> impl Iterator<Item = (StationId, &Placement)> {
    let all = plan.placements.enumerate();
    all.filter_map(|(station, placed)| Some((station, placed.as_ref()?)))
}

/// What is in the throw of what.
pub(super) type Hazard = (FindingSubject, Option<FindingSubject>);

impl PlacementProblem<'_> {
    /// Faults that are there wherever what may be moved stands, such as of what may not, or of a sheet that comes in by no
    /// door.
    pub(super) fn faults_wherever(&self) -> u32 {
        let mut plan = self.now.clone();
        for &station in &self.movable {
            plan.placements[station] = None;
        }
        let scene = Scene::new(self.site, &plan, &[]);
        RULES.iter().map(|rule| (rule.judge)(&scene).faults).sum()
    }

    /// Who stands, or what opens, where which saw may throw a piece.
    pub(super) fn hazards(&self, plan: &Plan) -> Vec<Hazard> {
        let scene = Scene::new(self.site, plan, &[]);
        let kickback = RULES.iter().filter(|rule| rule.id == RuleId::Kickback);
        let found = kickback.flat_map(|rule| (rule.tell)(&scene));
        let found = found.filter(|finding| finding.level != FindingLevel::Note);
        found
            .map(|finding| (finding.subject, finding.other))
            .collect()
    }

    /// Stations that stand elsewhere than now.
    pub(super) fn moved_in(&self, plan: &Plan) -> Vec<StationId> {
        let movable = self.movable.iter().copied();
        movable
            .filter(
                |&station| match (&self.now.placements[station], &plan.placements[station]) {
                    (Some(was), Some(is)) => !is_same(&was.pose(), &is.pose()),
                    _ => false,
                },
            )
            .collect()
    }

    /// How many stations do not stand as it is asked for: those that stand elsewhere than now, and all of which somebody
    /// said it.
    pub(super) fn wishes_broken(&self, plan: &Plan, moved: &[StationId]) -> usize {
        let is_broken = |station: &&StationId| {
            let wish = &self.wishes[**station];
            let placed = plan.placements[**station].as_ref();
            (wish.is_said || moved.contains(station))
                && placed.is_some_and(|placed| {
                    !wish.holds(plan, placed) || !wish.holds_distances(plan, placed)
                })
        };
        self.movable.iter().filter(is_broken).count()
    }

    /// What is wrong that no rule knows of: pairs that stand in each other's way and do not now, stations that are not
    /// where somebody wants them, and pieces that no longer pass their machines.
    pub(super) fn broken_terms(
        &self,
        plan: &Plan,
        moved: &[StationId],
        fronts: &FrontPairs,
    ) -> usize {
        fronts.newly_closed(plan, moved)
            + self.wishes_broken(plan, moved)
            + pieces_refused(self.site, plan, &self.terms.pieces)
    }

    /// Where a station stands now.
    pub(super) fn home(&self, station: StationId) -> Option<Pose> {
        self.now.placements[station].as_ref().map(Placement::pose)
    }

    /// The corners of the box in which things may stand: around the room, or without one around all that stands now.
    pub(super) fn ground(&self) -> (Point, Point) {
        if let Some(room) = &self.now.room {
            return room.outline.bounds();
        }
        let placed = self.now.placements.iter().flatten();
        let corners = placed.flat_map(|placed| {
            let outline = placed.footprint();
            let corners = outline.map(|outline| outline.corners().to_vec());
            corners.unwrap_or_default().into_iter().chain([placed.at])
        });
        let (mut low, mut high) = (None, None);
        for corner in corners {
            let (least, most): (Point, Point) = (low.unwrap_or(corner), high.unwrap_or(corner));
            low = Some(Point::new(least.x.min(corner.x), least.y.min(corner.y)));
            high = Some(Point::new(most.x.max(corner.x), most.y.max(corner.y)));
        }
        (low.unwrap_or(Point::ORIGIN), high.unwrap_or(Point::ORIGIN))
    }
}
