//! How dry wood gets in a heated shop, and what it does when it moves into a house.

use crate::services::heat::HeatPlan;
use crate::services::moisture::{equilibrium_moisture, humidity_at, movement};
use crate::shop::Shop;
use crate::units::customary::{INCH, celsius};

/// Of winter air outdoors: usual in most places (from memory).
const OUTDOORS: f64 = 0.8;
/// A heated house in winter, in °C and as relative humidity (common practice).
pub const HOUSE: (f64, f64) = (celsius(70.0), 0.35);
/// What flat-sawn red oak moves across its grain for each share of moisture: Wood Handbook, table 13-5 (0.00369 a per cent).
const FLAT_SAWN_RED_OAK: f64 = 0.369;
/// What is narrower moves by nothing that anybody sees, in m.
const NARROW: f64 = 6.0 * INCH;

/// The wood of a candidate in the coldest month: shares of its dry mass, relative humidities as shares, m.
#[derive(Debug, Clone, PartialEq)]
pub struct MoistureFindings {
    /// Of the air outdoors, which is taken to be so, and of the same air in the shop.
    pub outdoors: f64,
    pub humidity: f64,
    /// At which wood settles in the shop, and in a house.
    pub in_shop: f64,
    pub in_house: f64,
    /// The widest piece that is built, if it is wide at all.
    pub widest: Option<WidestPiece>,
}

/// A piece, and by how much it grows in a house if it is flat-sawn red oak; below 0 where it shrinks.
#[derive(Debug, Clone, PartialEq)]
pub struct WidestPiece {
    pub name: String,
    pub width: f64,
    pub grows: f64,
}

pub(super) fn moisture_findings(heat: &HeatPlan, outside: f64, shop: &Shop) -> MoistureFindings {
    // Air that is cooled to its dew point holds no more.
    let humidity = humidity_at(outside, OUTDOORS, heat.open).min(0.99);
    let in_shop = equilibrium_moisture(heat.open, humidity);
    let in_house = equilibrium_moisture(HOUSE.0, HOUSE.1);
    let items = shop.projects.iter().flat_map(|project| &project.items);
    let sized = items.filter_map(|item| Some((&item.name, item.finished?.width)));
    let widest = sized.reduce(|one, other| if other.1 > one.1 { other } else { one });
    MoistureFindings {
        outdoors: OUTDOORS,
        humidity,
        in_shop,
        in_house,
        widest: widest
            .filter(|&(_, width)| width >= NARROW)
            .map(|(name, width)| WidestPiece {
                name: name.clone(),
                width,
                grows: movement(width, FLAT_SAWN_RED_OAK, in_shop, in_house),
            }),
    }
}
