//! The layout that a new file shows in comments, so that its user sees how one more is written.

use shopstride::floor::FindingLevel;
use shopstride::scenario::new_shop::NewShop;

use super::{findings, loaded};

/// The last five lines show one more layout in comments; without them it loads, moves one station, and has no fault.
pub fn is_shown(shop: &NewShop, layouts: usize) -> bool {
    let Some(at) = shop.text.find("# One more layout: take the # ") else {
        return false;
    };
    let (before, shown) = shop.text.split_at(at);
    assert_eq!(shown.lines().count(), 5, "{shown}");
    let lines = shown.lines().skip(1).map(|line| &line[1..]);
    let text = format!("{before}{}\n", lines.collect::<Vec<_>>().join("\n"));
    let study = loaded(&NewShop {
        text,
        ..shop.clone()
    });
    assert_eq!(study.candidates.len(), layouts + 1, "{shown}");
    let [plan, first] = [layouts, 0].map(|at| study.candidates[at].plan.as_ref().expect("drawn"));
    let both = plan.placements.iter().zip(first.placements.iter());
    assert_eq!(
        both.filter(|(one, other)| one != other).count(),
        1,
        "{shown}"
    );
    let findings = &findings(&study)[layouts];
    findings
        .iter()
        .all(|found| found.level != FindingLevel::Fault)
}
