//! How many lamps, and where.

use crate::services::light::{
    LIGHT_LOSS, PLANE_HEIGHT, Surfaces, UTILISATION, lamps_needed, mean_illuminance,
    room_cavity_ratio,
};

/// Rows of lamps stand at most so many times their height above the plane apart, or it is dark between them: a magazine's
/// column on strip lights.
pub const SPACING: f64 = 1.6;

/// A room and what is wanted in it, in m, lm and lx.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoomToLight {
    /// Along its front wall, and from there to its back wall.
    pub size: [f64; 2],
    /// How high its lamps hang, more than the plane.
    pub lamp_height: f64,
    pub lumens: f64,
    pub illuminance: f64,
    pub surfaces: Option<Surfaces>,
}

/// Lamps in rows.
#[derive(Debug, Clone, PartialEq)]
pub struct LampProposal {
    /// Along the front wall, and from there to the back wall.
    pub rows: [u32; 2],
    /// What the lumen method asks for, not rounded.
    pub needed: f64,
    /// In the mean, in lx.
    pub illuminance: f64,
    /// The share of their light that reaches the plane.
    pub utilisation: f64,
    pub cavity_ratio: f64,
    /// Between rows, in m.
    pub spacing: [f64; 2],
    /// The widest that is not dark between rows, in m.
    pub widest: f64,
    /// From the room's front left corner, in m.
    pub places: Vec<[f64; 2]>,
}

/// More rows than this are no shop's.
const MOST_ROWS: u32 = 200;

/// The fewest lamps in rows that give the light and stand no further apart than they may; of such as are as many, those
/// that stand most evenly. None where they hang no higher than the plane, or would be too many.
pub fn propose_lamps(room: &RoomToLight) -> Option<LampProposal> {
    let above = room.lamp_height - PLANE_HEIGHT;
    if above <= 0.0 {
        return None;
    }
    let [length, width] = room.size;
    let area = length * width;
    let utilisation = room.surfaces.map_or(UTILISATION, |surfaces| {
        surfaces.utilisation(length, width, above).whole
    });
    let needed = lamps_needed(room.illuminance, area, room.lumens, utilisation, LIGHT_LOSS);
    let widest = SPACING * above;
    let rows = fewest_rows(room.size, needed, widest)?;
    let count = rows[0] * rows[1];
    let spacing = [0, 1].map(|axis| room.size[axis] / f64::from(rows[axis]));
    let middle = |axis: usize, at: u32| (f64::from(at) + 0.5) * spacing[axis];
    let places = (0..rows[1]).flat_map(|y| (0..rows[0]).map(move |x| [x, y]));
    let places = places.map(|[x, y]| [middle(0, x), middle(1, y)]).collect();
    Some(LampProposal {
        rows,
        needed,
        illuminance: mean_illuminance(
            f64::from(count) * room.lumens,
            area,
            utilisation,
            LIGHT_LOSS,
        ),
        utilisation,
        cavity_ratio: room_cavity_ratio(length, width, above),
        spacing,
        widest,
        places,
    })
}

fn fewest_rows(size: [f64; 2], needed: f64, widest: f64) -> Option<[u32; 2]> {
    // What rounding adds to a whole number is no lamp more.
    let count = |value: f64| libm::ceil(value - 1e-9).max(1.0);
    let least = size.map(|side| count(side / widest));
    if needed > f64::from(MOST_ROWS) * f64::from(MOST_ROWS) || least[1] > f64::from(MOST_ROWS) {
        return None;
    }
    let mut best: Option<([u32; 2], f64)> = None;
    for across in least[1] as u32..=MOST_ROWS {
        let along = count(needed / f64::from(across)).max(least[0]);
        if along > f64::from(MOST_ROWS) {
            continue;
        }
        let rows = [along as u32, across];
        let uneven = (size[0] / along - size[1] / f64::from(across)).abs();
        let is_better = best.is_none_or(|(other, others)| {
            let counts = [rows, other].map(|rows| rows[0] * rows[1]);
            counts[0] < counts[1] || counts[0] == counts[1] && uneven < others
        });
        if is_better {
            best = Some((rows, uneven));
        }
    }
    best.map(|(rows, _)| rows)
}
