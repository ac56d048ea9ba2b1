//! The lumen method.

use super::view_factor::facing_rectangles;
use crate::units::customary::INCH;

/// What is left of lamps that have aged and are dusty: the low end of the usual 0.7 to 0.85.
pub const LIGHT_LOSS: f64 = 0.7;
/// The share of the light that reaches the plane where nothing is known of the surfaces: the middle of the usual 0.4 to
/// 0.8.
pub const UTILISATION: f64 = 0.6;
/// How high the plane lies in which work is seen, in m: 36 in.
pub const PLANE_HEIGHT: f64 = 36.0 * INCH;

/// Which share of the light that falls on them the surfaces of a room send back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surfaces {
    pub ceiling: f64,
    pub walls: f64,
    pub floor: f64,
}

/// Which share of the light of all lamps reaches the plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Utilisation {
    /// Without a reflection: the view factor of the two facing rectangles.
    pub direct: f64,
    pub whole: f64,
}

impl Surfaces {
    /// Of a room of this length and width, with lamps that send all light down from so far above the plane, all in m.
    ///
    /// The balance of three surfaces that send light back evenly: ceiling at the lamps, walls, and the plane, which is as
    /// bright as the floor. Of what leaves ceiling or plane f reaches the other and 1 − f the walls.
    pub fn utilisation(&self, length: f64, width: f64, above: f64) -> Utilisation {
        let f = facing_rectangles(length, width, above);
        // From the walls to either of the two, and to walls.
        let to_each = (1.0 - f) * length * width / (2.0 * (length + width) * above);
        let to_walls = 1.0 - 2.0 * to_each;
        let by_walls = self.walls * to_each * (1.0 - f) / (1.0 - self.walls * to_walls);
        let across = f + by_walls;
        let back_from = |reflectance: f64| 1.0 - by_walls * reflectance;
        let whole = across
            / (back_from(self.ceiling) * back_from(self.floor)
                - across * across * self.ceiling * self.floor);
        Utilisation { direct: f, whole }
    }
}

/// Mean illuminance in lx of a plane of an area in m² from so many lumens of all lamps.
pub fn mean_illuminance(lumens: f64, area: f64, utilisation: f64, light_loss: f64) -> f64 {
    lumens * utilisation * light_loss / area
}

/// How many lamps of so many lumens each it takes for a mean illuminance in lx, not rounded up.
pub fn lamps_needed(illuminance: f64, area: f64, lumens: f64, utilisation: f64, loss: f64) -> f64 {
    illuminance * area / (lumens * utilisation * loss)
}

/// How low and wide a room is, for makers' tables of utilisation: 5 h (L + W) / (L W) with the height of the lamps above the
/// plane.
pub fn room_cavity_ratio(length: f64, width: f64, above: f64) -> f64 {
    5.0 * above * (length + width) / (length * width)
}
