//! What is said of walls: how much of each is taken, and at which heights there is room left.

use serde_json::{Value, json};

use super::phrase::{Wording, at_most, metres, wording};
use crate::experiment::Candidate;
use crate::floor::{Point, WallUse, wall_uses};

/// What the bands of height are called, from the floor up.
const BANDS: [&str; 4] = ["at the floor", "over benches", "high", "under the ceiling"];

/// Nothing hangs on less wall, in metres.
const NARROWEST_M: f64 = 0.001;

/// The walls of a layout in which somebody said how high something is: of the others only the floor could be told.
pub fn of(candidate: &Candidate) -> Vec<WallUse> {
    let Some(plan) = &candidate.plan else {
        return Vec::new();
    };
    let mut placed = plan.placements.iter().flatten();
    match placed.any(|placement| placement.heights.is_known()) {
        true => wall_uses(plan, &candidate.limits),
        false => Vec::new(),
    }
}

/// What walls are called as they are drawn, those of one side with numbers.
fn names(walls: &[WallUse]) -> Vec<String> {
    let side = |wall: &WallUse| {
        let Point { x, y } = wall.outward();
        match () {
            () if y.abs() > x.abs() => {
                if y > 0.0 {
                    "upper"
                } else {
                    "lower"
                }
            }
            () => {
                if x > 0.0 {
                    "right"
                } else {
                    "left"
                }
            }
        }
    };
    let sides: Vec<&str> = walls.iter().map(side).collect();
    let name = |(index, side): (usize, &&str)| {
        let alike = |of: &[&str]| of.iter().filter(|other| *other == side).count();
        match alike(&sides) {
            1 => format!("{side} wall"),
            _ => format!("{side} wall {}", alike(&sides[..=index])),
        }
    };
    sides.iter().enumerate().map(name).collect()
}

/// A sentence for each wall.
pub fn told(walls: &[WallUse]) -> Vec<Wording> {
    let told = names(walls).into_iter().zip(walls).map(|(name, wall)| {
        let mut says = wording![format!("{name}, "), metres(wall.length())];
        for (index, (band, of)) in BANDS.iter().zip(&wall.bands).enumerate() {
            let (between, free) = if index == 0 {
                (": ", " free")
            } else {
                ("; ", "")
            };
            let band = format!("{free} {band}");
            says = says.and(match of.used {
                0.0 => wording![format!("{between}all of it{band}")],
                _ if of.free <= NARROWEST_M => wording![format!("{between}nothing{band}")],
                _ if of.free - of.longest > NARROWEST_M => wording![
                    between,
                    at_most(of.free),
                    format!("{band} ("),
                    at_most(of.longest),
                    " in one piece)"
                ],
                _ => wording![between, at_most(of.free), band],
            });
        }
        says
    });
    told.collect()
}

pub fn json(walls: &[WallUse]) -> Value {
    let point = |point: Point| [point.x, point.y];
    let walls = names(walls).into_iter().zip(walls).map(|(name, wall)| {
        let bands = BANDS.iter().zip(&wall.bands).map(|(band, of)| {
            json!({
                "band": band,
                "bottom_m": of.bottom,
                "top_m": of.top,
                "used_m": of.used,
                "free_m": of.free,
                "longest_free_m": of.longest,
            })
        });
        json!({
            "wall": name,
            "from_m": point(wall.from),
            "to_m": point(wall.to),
            "length_m": wall.length(),
            "bands": bands.collect::<Vec<Value>>(),
        })
    });
    walls.collect()
}
