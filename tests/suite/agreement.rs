//! The engine against an independent second reading of the procedure, on thousands of random shops.

use crate::second_reading::generate::{self, LAYOUT};
use crate::support::assert_none_differs;

const SHOPS: u64 = 3000;

#[test]
fn the_engine_and_the_second_reading_agree_on_every_figure() {
    let mut differ = Vec::new();
    for seed in 0..SHOPS {
        let yaml = generate::shop(seed);
        let expected = crate::second_reading::play(&yaml, LAYOUT);
        let found = crate::engine::play(&yaml, LAYOUT);
        if found != expected {
            differ.push((seed, yaml, found, expected));
        }
    }
    assert_none_differs(&differ, SHOPS);
}
