//! The layout that a new file shows in comments, so that its user sees how one more is written.

use shopstride::experiment::Study;
use shopstride::floor::FindingLevel;
use shopstride::scenario::new_shop::NewShop;

use super::{findings, loaded};

/// How many stations stand elsewhere in one of two layouts.
pub fn differing(study: &Study, layouts: [usize; 2]) -> usize {
    let [one, other] = layouts.map(|at| study.candidates[at].plan.as_ref().expect("drawn"));
    let both = one.placements.iter().zip(other.placements.iter());
    both.filter(|(one, other)| one != other).count()
}

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
    assert_eq!(differing(&study, [layouts, 0]), 1, "{shown}");
    for other in 0..layouts {
        assert!(
            differing(&study, [layouts, other]) > 0,
            "another one: {shown}"
        );
    }
    let findings = &findings(&study)[layouts];
    findings
        .iter()
        .all(|found| found.level != FindingLevel::Fault)
}
