//! The engine against the independent second reading, on drawn shops that keep hours.

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::second_reading::generate::{LAYOUT, shop_with_hours};
use crate::second_reading::play_hours;
use crate::support::assert_none_differs;

const SHOPS: u64 = 5000;

/// What the second reading knows and the engine does not: such shops are refused.
const NOT_YET: [&str; 5] = [
    "\"hours\"",
    "\"quiet\"",
    "\"rested\"",
    "\"loud\"",
    "\"blade\"",
];

/// Shop time and sessions that the orders of a project take together.
type HoursByProject = BTreeMap<String, (i128, u64)>;

/// What is played of one shop, by the second reading or by the engine: the outcome, the hours by project, open time, and
/// how many tasks fitted nowhere.
type Played = (
    crate::second_reading::result::Outcome,
    HoursByProject,
    i64,
    u64,
);

fn read(yaml: &str) -> Played {
    let (outcome, hours) = play_hours(yaml, LAYOUT);
    let mut by_project = HoursByProject::new();
    for (order, of) in outcome.orders.iter().zip(&hours.orders) {
        let sums = by_project.entry(order.project.clone()).or_default();
        let (time, sessions) = of.unwrap_or_default();
        *sums = (sums.0 + i128::from(time), sums.1 + sessions);
    }
    (outcome, by_project, hours.open_us, hours.forced)
}

fn simulated(yaml: &str) -> Played {
    let (outcome, record, study) = crate::engine::play_hours(yaml, LAYOUT);
    let candidate = study.candidates.iter().find(|one| one.name == LAYOUT);
    let projects = &candidate.expect("the layout is there").shop.projects;
    let mut by_project = HoursByProject::new();
    for order in &outcome.orders {
        by_project.entry(order.project.clone()).or_default();
    }
    for (project, of) in projects.iter().zip(&record.projects) {
        if let Some(sums) = by_project.get_mut(&project.name) {
            *sums = (of.in_shop_time(), of.sessions);
        }
    }
    (outcome, by_project, record.end.micros(), record.forced)
}

#[test]
fn the_engine_and_the_second_reading_agree_on_shops_that_keep_hours() {
    let played: Vec<_> = (0..SHOPS)
        .into_par_iter()
        .filter_map(|seed| {
            let yaml = shop_with_hours(seed);
            if NOT_YET.iter().any(|key| yaml.contains(key)) {
                return None;
            }
            let (found, expected) = (simulated(&yaml), read(&yaml));
            let forced = found.3;
            Some((
                forced,
                (found != expected).then_some((seed, yaml, found, expected)),
            ))
        })
        .collect();
    let compared = played.len() as u64;
    let forced: u64 = played.iter().map(|(forced, _)| forced).sum();
    let differ: Vec<_> = played
        .into_iter()
        .filter_map(|(_, differ)| differ)
        .collect();
    assert_none_differs(&differ, compared);
    assert!(compared > SHOPS / 8, "{compared} shops were compared");
    assert!(forced > 20, "{forced} tasks fitted nowhere");
}
