//! The lamps of a shop, and what they give.

use super::lumens::{
    LIGHT_LOSS, PLANE_HEIGHT, Surfaces, UTILISATION, Utilisation, mean_illuminance,
};
use super::point::{DownLamp, Onlooker, direct_illuminance};
use super::view_factor::facing_rectangles;
use crate::shop::StationId;

/// Lamps, and what is wanted of them; lengths in m.
#[derive(Debug, Clone, PartialEq)]
pub struct LightPlan {
    /// The sides of the room, or of a rectangle of its area.
    pub room: [f64; 2],
    pub lamps: Vec<LampRow>,
    /// What the surfaces send back; nothing where nobody says so.
    pub surfaces: Option<Surfaces>,
    pub wanted: Vec<WantedLight>,
}

/// Lamps of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct LampRow {
    pub lumens: f64,
    pub count: u32,
    /// What each takes, in W, where somebody says so.
    pub power: Option<f64>,
    /// Above the floor, more than the plane.
    pub height: f64,
    /// Where each is; nothing where nobody says so.
    pub places: Vec<[f64; 2]>,
    /// Of a tube, and how it is turned on the plan, in radians.
    pub length: f64,
    pub turn: f64,
}

/// So many lx at a station.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WantedLight {
    pub station: StationId,
    pub illuminance: f64,
    /// Whether the file does not say it.
    pub is_usual: bool,
}

/// What is wanted where somebody works and the file says nothing, in lx: EN 12464-1 for work at machines that shape wood
/// (from memory).
pub const USUALLY_WANTED: f64 = 500.0;

impl LightPlan {
    fn area(&self) -> f64 {
        self.room[0] * self.room[1]
    }

    pub fn lumens(&self) -> f64 {
        let lamps = self.lamps.iter();
        lamps.map(|row| row.lumens * f64::from(row.count)).sum()
    }

    /// Whether it is known where all lamps are.
    pub fn is_placed(&self) -> bool {
        self.lamps.iter().all(|row| !row.places.is_empty())
    }

    /// Of all lamps together, each by its light.
    pub fn utilisation(&self) -> Utilisation {
        let [length, width] = self.room;
        let mut all = Utilisation {
            direct: 0.0,
            whole: 0.0,
        };
        for row in &self.lamps {
            let above = row.height - PLANE_HEIGHT;
            let of_row = match &self.surfaces {
                Some(surfaces) => surfaces.utilisation(length, width, above),
                None => Utilisation {
                    direct: facing_rectangles(length, width, above),
                    whole: UTILISATION,
                },
            };
            let share = row.lumens * f64::from(row.count) / self.lumens();
            all.direct += share * of_row.direct;
            all.whole += share * of_row.whole;
        }
        all
    }

    /// Over the plane, in lx.
    pub fn mean(&self) -> f64 {
        mean_illuminance(
            self.lumens(),
            self.area(),
            self.utilisation().whole,
            LIGHT_LOSS,
        )
    }

    /// At one place (x, y and height in m), past somebody's body: what comes straight from lamps, and the mean of what is
    /// sent back.
    pub fn at(&self, work: [f64; 3], onlooker: Option<Onlooker>) -> f64 {
        let lamps: Vec<DownLamp> = self.lamps.iter().flat_map(LampRow::each).collect();
        let utilisation = self.utilisation();
        let sent_back = (utilisation.whole - utilisation.direct).max(0.0);
        LIGHT_LOSS * direct_illuminance(&lamps, work, onlooker)
            + mean_illuminance(self.lumens(), self.area(), sent_back, LIGHT_LOSS)
    }
}

impl LampRow {
    fn each(&self) -> impl Iterator<Item = DownLamp> {
        self.places.iter().map(|&[x, y]| DownLamp {
            lumens: self.lumens,
            at: [x, y, self.height],
            length: self.length,
            turn: self.turn,
        })
    }
}
