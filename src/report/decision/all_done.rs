//! When the last of several orders is done: the time from start to finish is that of one of them.

use super::Grounds;
use crate::report::about;
use crate::report::sentence::all_orders;
use crate::shop::Arrivals;

/// "All 16 orders are done after 3¾ h." Nothing where there is one order, where orders come one after another, so that
/// the last is done when it happened to come, or where runs end at a horizon.
pub fn all_done(grounds: &Grounds<'_>, candidate: usize) -> Option<String> {
    let orders = several(grounds, candidate)?;
    let time = about::time(grounds.findings.candidates[candidate].makespan.mean);
    Some(format!("{} are done after {time}.", all_orders(orders)))
}

/// The same of two candidates that finish the same number; both times where a reader would see them differ.
pub fn all_done_in_both(grounds: &Grounds<'_>, base: usize, other: usize) -> Option<String> {
    let orders = several(grounds, other)?;
    if several(grounds, base)? != orders {
        return None;
    }
    let after = |index: usize| about::time(grounds.findings.candidates[index].makespan.mean);
    let instead = match after(base) == after(other) {
        true => String::new(),
        false => format!(", in {} after {}", grounds.quoted(base), after(base)),
    };
    Some(format!(
        "{} are done after {}{instead}.",
        all_orders(orders),
        after(other)
    ))
}

/// How many orders there are from the start, which every run finishes, where these are several.
fn several(grounds: &Grounds<'_>, candidate: usize) -> Option<u64> {
    let orders = grounds.findings.candidates[candidate].orders_done;
    let lines = &grounds.study.candidates[candidate].shop.orders;
    let at_start = |arrivals: &Arrivals| matches!(arrivals, Arrivals::AtStart { .. });
    let all_at_start = lines.iter().all(|line| at_start(&line.arrivals));
    let is_whole = orders.fract() == 0.0 && orders >= 2.0;
    (all_at_start && !grounds.findings.horizon && is_whole).then_some(orders as u64)
}
