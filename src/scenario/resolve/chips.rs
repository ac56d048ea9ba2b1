//! How much room the chips take that a step makes of a piece.
//!
//! What goes off the thickness is planed off as shavings. What is cut off the length or the width falls as an offcut, and
//! only what the saw takes becomes sawdust.

use crate::scenario::fields::Fields;
use crate::scenario::problem::Problem;
use crate::scenario::reader;
use crate::services::air::{Residue, loose_volume};
use crate::shop::Size;
use crate::units::Chips;

/// Metres that a saw takes: 1/8 in, common practice for circular blades.
const KERF: f64 = 0.003_175;
/// Less is a matter of how sizes are written.
const NOTHING: f64 = 1e-9;

/// Loose volume of what one piece loses between two sizes, with this bulk or the usual ones.
pub fn per_piece(bulk: Option<f64>, before: Size, after: Size) -> Chips {
    let kerf = |off: f64| if off > NOTHING { off.min(KERF) } else { 0.0 };
    let crosscut = kerf(before.length - after.length) * before.width * before.thickness;
    let ripped = kerf(before.width - after.width) * before.length * before.thickness;
    let planed = (before.thickness - after.thickness).max(0.0) * before.length * before.width;
    let loose = |solid: f64, residue| match bulk {
        Some(bulk) => solid * bulk,
        None => loose_volume(solid, residue),
    };
    let all = loose(crosscut + ripped, Residue::Sawdust) + loose(planed, Residue::Shavings);
    Chips::from_cubic_metres(all)
}

/// Reads `bulk`.
pub fn read_bulk(fields: &Fields) -> Option<f64> {
    let node = fields.get("bulk")?;
    let bulk = reader::number(node, fields.sink)?;
    if !(1.0..=100.0).contains(&bulk) {
        let what = format!("chips do not take {bulk} times the room of the wood");
        fields.sink.report(Problem::error(&node.span, what).hint(
            "write a number from 1 to 100: sawdust takes about 2.5 times as much, shavings 4 times",
        ));
        return None;
    }
    Some(bulk)
}
