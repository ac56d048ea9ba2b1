//! Where one stands at a station, for single operations too.

use super::Scene;
use crate::floor::Placement;
use crate::shop::{PlaceId, StationId};

/// Where one stands at a station.
pub struct PlaceToStand {
    pub place: PlaceId,
    /// Of the station, with this as where one stands.
    pub placement: Placement,
}

/// Where one stands at a station, and where else for single operations.
pub fn stances(scene: &Scene<'_>, station: StationId) -> Vec<PlaceToStand> {
    let mut stances: Vec<PlaceToStand> = Vec::new();
    for place in scene.plan.places_at(station) {
        let known = |placement: &Placement| stances.iter().any(|of| of.placement == *placement);
        match scene.plan.placement_at(place) {
            Some(placement) if !known(&placement) => {
                stances.push(PlaceToStand { place, placement })
            }
            _ => {}
        }
    }
    stances
}

/// A dust collector or a heap of offcuts to which no work leads stands where nobody need stand, and so does a station where
/// one stands elsewhere for all that is done there.
pub fn stands_somebody(scene: &Scene<'_>, place: PlaceId) -> bool {
    let stands_elsewhere = || {
        let mut stands = scene.plan.work_stands.iter();
        stands.any(|stand| PlaceId::from(stand.station) == place)
    };
    let is_worked_at = |station: StationId| scene.shop().stations[station].is_worked_at;
    scene.site.uses(place)
        || scene.plan.station_at(place).is_some_and(is_worked_at) && !stands_elsewhere()
}
