//! Floors on which things that are parked have been rolled out to where they are used.
//!
//! People walk where everything is parked, except to and from a station that has been rolled out: there it stands out
//! alone, and of two that are both rolled out both do.

use super::check::{Scene, strips};
use super::shapes::{FloorArea, overlap};
use super::{Distances, Limits, NoWay, Plan, Polygon, RolledOut, Site};
use crate::shop::{PlaceId, SharedFloor, Shop, StationId};

impl Plan {
    /// The floor with some of the things that are parked where they are used instead, to be looked at as it is.
    pub fn rolled_out_to<'o>(&self, out: impl IntoIterator<Item = &'o RolledOut>) -> Plan {
        let mut floor = Plan {
            rolled_out: Vec::new(),
            ..self.clone()
        };
        let mut parked: Vec<StationId> = self.rolled_out.iter().map(|one| one.station).collect();
        for thing in out {
            floor.placements[thing.station] = Some(thing.placement);
            parked.retain(|&station| station != thing.station);
        }
        // One stands before what is parked as it is used for nothing there.
        for stand in &mut floor.work_stands {
            if parked.contains(&stand.station) {
                stand.stand = None;
            }
        }
        floor
    }

    /// The floor with each thing rolled out, alone.
    pub fn each_rolled_out(&self) -> impl Iterator<Item = (StationId, Plan)> + '_ {
        let all = self.rolled_out.iter();
        all.map(|thing| (thing.station, self.rolled_out_to([thing])))
    }

    /// The floor with everything parked, and then with each thing rolled out, alone.
    pub fn floors(&self) -> impl Iterator<Item = Plan> + '_ {
        let parked = self.rolled_out_to([]);
        std::iter::once(parked).chain(self.each_rolled_out().map(|(_, floor)| floor))
    }

    /// Outlines of what stands elsewhere at times: where it is rolled out to, or where it parks while the shop is shut.
    pub fn at_other_times(&self) -> impl Iterator<Item = Polygon> + '_ {
        let out = self.rolled_out.iter();
        let out = out.filter_map(|thing| thing.placement.footprint());
        let parks = self.room.iter().flat_map(|room| &room.parks);
        out.chain(parks.map(|thing| thing.outline.clone()))
    }

    /// The walks with everything parked, and those that begin or end at what is rolled out.
    pub(super) fn with_rolled_out(
        &self,
        parked: Distances,
        used: &[PlaceId],
        pushes: bool,
    ) -> Result<Distances, Vec<NoWay>> {
        let used_at = |thing: &RolledOut| -> Vec<PlaceId> {
            let places = self.places_at(thing.station);
            places.filter(|place| used.contains(place)).collect()
        };
        let rows = self.rolled_out.iter();
        let rows = rows.flat_map(|thing| self.places_at(thing.station));
        let mut walks = parked.with_rows_for(rows.collect());
        for (nth, one) in self.rolled_out.iter().enumerate() {
            let here = used_at(one);
            if here.is_empty() {
                continue;
            }
            let (alone, _) = self.rolled_out_to([one]).walks_as_placed(used, pushes)?;
            for (nth, &from) in here.iter().enumerate() {
                for &place in used.iter().filter(|place| !here.contains(place)) {
                    walks.copy((from, true), (place, false), &alone);
                }
                for &beside in &here[nth + 1..] {
                    walks.copy((from, true), (beside, true), &alone);
                }
            }
            for other in &self.rolled_out[nth + 1..] {
                let there = used_at(other);
                if there.is_empty() {
                    continue;
                }
                // Where no way leads from one to the other with both out, as where they are used in the same place and
                // never are, it is as if the other one were parked.
                let floor = self.rolled_out_to([one, other]);
                let both: Vec<PlaceId> = here.iter().chain(&there).copied().collect();
                let both = floor.walks_as_placed(&both, pushes);
                let way = both.as_ref().map_or(&alone, |(both, _)| both);
                for (&from, &to) in here
                    .iter()
                    .flat_map(|from| there.iter().map(move |to| (from, to)))
                {
                    walks.copy((from, true), (to, true), way);
                }
            }
        }
        Ok(walks)
    }
}

/// Which stations need floor, for themselves or for what is fed through them, that another one is rolled out to. What
/// hangs so high that people walk below it takes none.
pub fn shared_floor(shop: &Shop, plan: &Plan, limits: &Limits) -> Vec<SharedFloor> {
    if plan.rolled_out.is_empty() {
        return Vec::new();
    }
    let site = Site::new(shop, plan, limits);
    let parked = taken_floor(&site, plan);
    let is_parked = |station| plan.rolled_out.iter().any(|thing| thing.station == station);
    let stays = parked
        .into_iter()
        .filter(|&(station, _)| !is_parked(station));
    let stays: Vec<(StationId, FloorArea)> = stays.collect();
    let mut out: Vec<(StationId, FloorArea)> = Vec::new();
    let mut shared: Vec<SharedFloor> = Vec::new();
    for (rolled_out, floor) in plan.each_rolled_out() {
        let taken = taken_floor(&site, &floor);
        let own: Vec<(StationId, FloorArea)> = taken
            .into_iter()
            .filter(|&(station, _)| station == rolled_out)
            .collect();
        let others = stays.iter().chain(&out);
        let meets = others
            .filter(|(_, area)| (own.iter()).any(|(_, taken)| overlap(taken, area).is_some()));
        let meets = meets.map(|&(other, _)| SharedFloor { rolled_out, other });
        let mut meets: Vec<SharedFloor> = meets.collect();
        meets.sort_by_key(|floor| floor.other);
        meets.dedup();
        shared.extend(meets);
        out.extend(own);
    }
    shared
}

/// The floor that each station takes, and that what is fed through it takes.
fn taken_floor(site: &Site<'_>, plan: &Plan) -> Vec<(StationId, FloorArea)> {
    let scene = Scene::new(site, plan, &[]);
    let bodies = plan.placements.enumerate().filter_map(|(station, placed)| {
        let body = plan.walked_around(placed.as_ref()?)?;
        Some((station, body))
    });
    let fed = strips(&scene).into_iter();
    let fed = fed.map(|strip| (strip.station, strip.outline));
    let area = |(station, outline): (StationId, Polygon)| (station, FloorArea::new(outline));
    bodies.chain(fed).map(area).collect()
}
