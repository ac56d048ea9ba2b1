//! A place for a station that has come to a layout.

use super::bare_shop::spot_grid;
use super::habits::habits;
use super::project_more::usual_longest;
use crate::experiment::{Candidate, Study, flow_if_placed};
use crate::floor::{Flow, Pose};
use crate::improve::{PlaceSearch, place_beside};
use crate::scenario::kinds::{self, StationKind};
use crate::shop::StationId;

/// Where a station of a layout would usually stand beside all the others, which stay, and where the rules find no more
/// faults than without it; nothing where there is no such place.
pub fn one_more(study: &Study, candidate: &Candidate, station: StationId) -> Option<Pose> {
    let plan = candidate.plan.as_ref()?;
    let site = candidate.site()?;
    let stations = candidate.shop.stations.iter();
    let kinds: Vec<Option<&StationKind>> = stations
        .map(|station| station.kind.and_then(kinds::find))
        .collect();
    let (habits, affinities) = habits(&kinds, usual_longest(study.units));
    let flow = flow_if_placed(study, candidate, &site, plan);
    let flow = flow.unwrap_or(Flow { legs: Vec::new() });
    let search = PlaceSearch {
        site: &site,
        flow: &flow,
        habits: &habits,
        affinities: &affinities,
        grid: spot_grid(study.units),
        elbow_room: 1.0,
    };
    let placed = place_beside(&search, plan, station).ok()?;
    Some(placed.pose())
}
