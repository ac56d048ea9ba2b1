//! What more of something costs, and how much is built in a year. No run depends on it.

use std::collections::BTreeMap;

use super::{GearId, StationId};

/// Prices in whatever money the file has; what has none is not ranked by it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PriceList {
    /// Of one more unit.
    pub stations: BTreeMap<StationId, f64>,
    /// Of one more of it.
    pub gear: BTreeMap<GearId, f64>,
    pub cart: Option<f64>,
    /// Of a spare, or of what lasts longer, by the station and its number there.
    pub upkeep: BTreeMap<(StationId, usize), f64>,
    /// Orders that are built in a year, in the mix of the file.
    pub orders_a_year: Option<f64>,
}

impl PriceList {
    /// Whether anything has a price.
    pub fn is_any(&self) -> bool {
        let of_stations = !self.stations.is_empty() || !self.upkeep.is_empty();
        of_stations || !self.gear.is_empty() || self.cart.is_some()
    }
}
