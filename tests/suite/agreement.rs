//! The engine against an independent second reading of the procedure, on drawn shops.

use crate::engine::both::shops_asked_for;
use crate::second_reading::generate::{self, LAYOUT};
use crate::support::assert_none_differs;

const SHOPS: u64 = 600;

fn agree(shops: u64) {
    let mut differ = Vec::new();
    for seed in 0..shops {
        let yaml = generate::shop(seed);
        let expected = crate::second_reading::play(&yaml, LAYOUT);
        let found = crate::engine::play(&yaml, LAYOUT);
        if found != expected {
            differ.push((seed, yaml, found, expected));
        }
    }
    assert_none_differs(&differ, shops);
}

/// What these shops must exercise is held by `generated_shops`, on the first 600 of them.
#[test]
fn the_engine_and_the_second_reading_agree_on_every_figure() {
    agree(SHOPS);
}

/// As many as the environment says, for whoever has the time.
#[test]
#[ignore = "takes minutes: .ci/evidence agreement"]
fn they_agree_on_many_more() {
    let shops = shops_asked_for();
    agree(shops);
    println!("{shops} shops come to the same figures");
}
