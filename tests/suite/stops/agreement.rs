//! The engine against the independent second reading, on drawn shops in which work stops.

use std::collections::BTreeMap;

use crate::engine::both::{compare, shops_asked_for};
use crate::second_reading::generate::{LAYOUT, shop_with_stops};

const SHOPS: u64 = 240;

fn agree(shops: u64) -> BTreeMap<u64, u64> {
    let mut compared = BTreeMap::new();
    for (seed, _) in compare(shop_with_stops, LAYOUT, 0..shops) {
        *compared.entry(seed % 12).or_default() += 1;
    }
    compared
}

#[test]
fn the_engine_and_the_second_reading_agree_on_shops_in_which_work_stops() {
    // The generator draws twelve kinds of shops in turn.
    let compared = agree(SHOPS);
    assert_eq!(compared.len(), 12);
    assert!(compared.values().all(|of_kind| *of_kind == SHOPS / 12));
}

/// As many as the environment says, for whoever has the time.
#[test]
#[ignore = "takes minutes: .ci/evidence agreement"]
fn they_agree_on_many_more() {
    println!("compared by kind: {:?}", agree(shops_asked_for()));
}
