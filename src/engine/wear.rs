//! Where it is counted what stations wear: of what is shared in one place, of all else for each unit by itself.

use crate::shop::{Shop, StationId};

#[derive(Debug)]
pub(super) struct WearPlaces {
    of_stations: Vec<Vec<WearPlace>>,
    /// How many places there are.
    pub count: usize,
}

#[derive(Debug, Clone, Copy)]
enum WearPlace {
    Shared(usize),
    /// The first of the places of its units.
    OfUnits(usize),
}

impl WearPlaces {
    pub fn new(shop: &Shop) -> WearPlaces {
        let stations = shop.stations.iter();
        let shared = stations.clone().flat_map(|station| &station.upkeep);
        let shared = shared.filter_map(|upkeep| Some(upkeep.shared? as usize + 1));
        let mut count = shared.max().unwrap_or(0);
        let mut of_stations = Vec::new();
        for station in stations {
            let mut of_station = Vec::new();
            for upkeep in &station.upkeep {
                of_station.push(match upkeep.shared {
                    Some(shared) => WearPlace::Shared(shared as usize),
                    None => {
                        count += station.count as usize;
                        WearPlace::OfUnits(count - station.count as usize)
                    }
                });
            }
            of_stations.push(of_station);
        }
        WearPlaces { of_stations, count }
    }

    /// Where it is counted what a unit of a station has worn since the nth upkeep of the station.
    pub fn place(&self, station: StationId, unit: usize, nth: usize) -> usize {
        match self.of_stations[station.index()][nth] {
            WearPlace::Shared(place) => place,
            WearPlace::OfUnits(first) => first + unit,
        }
    }
}
