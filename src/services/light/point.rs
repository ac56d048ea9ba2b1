//! Light at one place, without reflections.

use std::f64::consts::PI;

use crate::units::customary::INCH;

/// A lamp that sends all its light down, evenly by its projected area.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DownLamp {
    pub lumens: f64,
    /// Of its middle, in m: x, y and its height.
    pub at: [f64; 3],
    /// Of a tube, in m; 0 for a lamp that is short beside its distance.
    pub length: f64,
    /// Of the tube on the plan, in radians from the x axis.
    pub turn: f64,
}

/// Tubes are taken in pieces of this length, in m.
const PIECE: f64 = 6.0 * INCH;

/// Who stands between lamps and work: an upright rectangle, square to the way to the work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Onlooker {
    pub stands: [f64; 2],
    /// Across, in m.
    pub width: f64,
    pub height: f64,
}

impl Onlooker {
    /// How high a body hides light, in m: 68 in. Ours, without a source.
    pub const HEIGHT: f64 = 68.0 * INCH;

    /// Whether the straight line from a lamp to the work passes the body.
    fn hides(&self, lamp: [f64; 3], work: [f64; 3]) -> bool {
        let way = [work[0] - self.stands[0], work[1] - self.stands[1]];
        let length = libm::hypot(way[0], way[1]);
        if length == 0.0 {
            return false;
        }
        let ahead = [way[0] / length, way[1] / length];
        // Along the way to the work and across it, from the body.
        let seen = |at: [f64; 3]| {
            let from = [at[0] - self.stands[0], at[1] - self.stands[1]];
            let along = from[0] * ahead[0] + from[1] * ahead[1];
            let across = from[1] * ahead[0] - from[0] * ahead[1];
            (along, across)
        };
        let ((lamp_along, lamp_across), (work_along, work_across)) = (seen(lamp), seen(work));
        if lamp_along >= 0.0 {
            return false;
        }
        let share = -lamp_along / (work_along - lamp_along);
        let across = lamp_across + share * (work_across - lamp_across);
        let height = lamp[2] + share * (work[2] - lamp[2]);
        across.abs() <= self.width / 2.0 && height <= self.height
    }
}

/// Illuminance in lx of a level surface at a place (x, y and height in m): Σ lm / π × cos² θ / d², of the pieces that
/// nobody's body hides.
pub fn direct_illuminance(lamps: &[DownLamp], work: [f64; 3], onlooker: Option<Onlooker>) -> f64 {
    let pieces = lamps.iter().flat_map(pieces);
    let seen = pieces.filter(|&(at, _)| onlooker.is_none_or(|onlooker| !onlooker.hides(at, work)));
    seen.map(|(at, lumens)| from_piece(at, lumens, work)).sum()
}

fn pieces(lamp: &DownLamp) -> impl Iterator<Item = ([f64; 3], f64)> {
    let count = libm::ceil(lamp.length / PIECE - 1e-9).max(1.0);
    let step = lamp.length / count;
    let (sin, cos) = (libm::sin(lamp.turn), libm::cos(lamp.turn));
    let (lamp, count) = (*lamp, count as u32);
    (0..count).map(move |piece| {
        let off = (f64::from(piece) + 0.5) * step - lamp.length / 2.0;
        let [x, y, height] = lamp.at;
        let at = [x + off * cos, y + off * sin, height];
        (at, lamp.lumens / f64::from(count))
    })
}

fn from_piece(at: [f64; 3], lumens: f64, work: [f64; 3]) -> f64 {
    let [dx, dy, above] = [0, 1, 2].map(|axis| at[axis] - work[axis]);
    if above <= 0.0 {
        return 0.0;
    }
    let square = dx * dx + dy * dy + above * above;
    lumens / PI * above * above / (square * square)
}
