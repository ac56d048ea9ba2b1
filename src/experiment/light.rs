//! The light at the stations of a candidate.

use super::Candidate;
use crate::services::light::{LightPlan, Onlooker, PLANE_HEIGHT};
use crate::shop::PlaceId;

/// What the lamps of a candidate give, in lx.
#[derive(Debug, Clone, PartialEq)]
pub struct LightFindings {
    /// By the lumen method, over a plane 36 in above the floor.
    pub mean: f64,
    pub lumens: f64,
    /// Which share of it reaches that plane, and whether that is only usual, since nobody says what the surfaces send back.
    pub utilisation: f64,
    pub is_utilisation_usual: bool,
    /// Nothing where nobody says where lamps are; none of stations that are not drawn.
    pub stations: Vec<StationLight>,
}

/// The light in the middle of a station's top.
#[derive(Debug, Clone, PartialEq)]
pub struct StationLight {
    pub name: String,
    /// Past the body of whoever works there, and if nobody stood there.
    pub illuminance: f64,
    pub without_body: f64,
    pub wanted: f64,
    pub is_wanted_usual: bool,
}

impl StationLight {
    pub fn is_dark(&self) -> bool {
        self.illuminance < self.wanted
    }
}

/// Nothing where nobody says anything of light.
pub(super) fn light_findings(candidate: &Candidate) -> Option<LightFindings> {
    let light = candidate.services.as_ref()?.light.as_ref()?;
    Some(LightFindings {
        mean: light.mean(),
        lumens: light.lumens(),
        utilisation: light.utilisation().whole,
        is_utilisation_usual: light.surfaces.is_none(),
        stations: match light.is_placed() {
            true => at_stations(candidate, light),
            false => Vec::new(),
        },
    })
}

fn at_stations(candidate: &Candidate, light: &LightPlan) -> Vec<StationLight> {
    let Some(plan) = &candidate.plan else {
        return Vec::new();
    };
    let stations = light.wanted.iter().filter_map(|wanted| {
        let place = plan.placements[wanted.station].as_ref()?;
        let stands = plan.standing(PlaceId(wanted.station.0))?;
        let top = place.table.unwrap_or(PLANE_HEIGHT);
        let work = [place.at.x, place.at.y, top];
        let body = Onlooker {
            stands: [stands.x, stands.y],
            width: plan.body_width,
            height: Onlooker::HEIGHT,
        };
        Some(StationLight {
            name: candidate.shop.stations[wanted.station].name.clone(),
            illuminance: light.at(work, Some(body)),
            without_body: light.at(work, None),
            wanted: wanted.illuminance,
            is_wanted_usual: wanted.is_usual,
        })
    });
    stations.collect()
}
