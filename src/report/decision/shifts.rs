//! A layout that mends the faults by small shifts, beside the one that an answer speaks of.

use super::{Grounds, Recommendation};
use crate::experiment::farthest_move;
use crate::report::about;
use crate::report::difference::is_shown;
use crate::report::per_order::per_order;
use crate::report::tape::{Rounding, tape};

/// Moves of at most this share of the farthest one of the layout that is spoken of are small.
const SMALL: f64 = 0.5;

/// Another layout that mends as many faults by moving things a little: whoever moves for the faults alone may prefer it.
pub fn with_small_moves(grounds: &Grounds<'_>, choice: &Recommendation<'_>) -> Option<String> {
    let faults = grounds.faults(choice.chosen);
    if grounds.faults(choice.base) <= faults {
        return None;
    }
    let base = &grounds.study.candidates[choice.base];
    let moved = |index: usize| farthest_move(base, &grounds.study.candidates[index]);
    let far = moved(choice.chosen)?;
    let compared = grounds.findings.comparisons.iter();
    let others = compared.filter(|compared| {
        let is_drawn = grounds.fits[compared.other].is_some();
        compared.other != choice.chosen && is_drawn && grounds.faults(compared.other) <= faults
    });
    let near = others.filter_map(|compared| Some((compared, moved(compared.other)?)));
    let near = near.filter(|(_, near)| *near > 0.0 && *near <= SMALL * far);
    let (compared, near) = near.min_by(|a, b| a.1.total_cmp(&b.1))?;
    let (units, per) = (
        grounds.findings.units,
        per_order(&grounds.findings.candidates[compared.other]),
    );
    let difference = &compared.walking.difference;
    let walking = match is_shown(difference) {
        false => "with as much walking as now".to_owned(),
        true => {
            let less = if difference.mean < 0.0 {
                "less"
            } else {
                "more"
            };
            let by = about::length(units, difference.mean / per.orders);
            format!("with {by} {less} walking {} than now", per.unit)
        }
    };
    Some(format!(
        "{} mends as many faults and moves nothing by more than {}, {walking}.",
        grounds.quoted(compared.other),
        tape(units, near, Rounding::Up),
    ))
}
