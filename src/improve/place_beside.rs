//! One more station beside all that stands.

use super::arrange::{AcceptedPlaces, NoPlace, place_if};
use super::dislike::Likes;
use super::habit::PlaceSearch;
use crate::floor::{Placement, Plan};
use crate::shop::StationId;

/// Where one station would stand of a plan in which all others stay: where the rules find no more faults than they do
/// without it. The plan says what it is like.
///
/// # Errors
/// Why it finds no place; it belongs on the floor in any case where there is no room to stand in.
pub fn place_beside(
    search: &PlaceSearch<'_>,
    plan: &Plan,
    station: StationId,
) -> Result<Placement, NoPlace> {
    let likes = Likes::new(search).ok_or(NoPlace::Standing)?;
    let mut others = plan.clone();
    others.placements[station] = None;
    let spot = place_if(&likes, plan, &others, station, AcceptedPlaces::AsBefore)?;
    Ok(spot.placement)
}
