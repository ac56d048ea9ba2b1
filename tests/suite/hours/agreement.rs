//! The engine against the independent second reading, on drawn shops that keep hours.

use crate::engine::both::compare;
use crate::second_reading::generate::{LAYOUT, shop_with_hours};

const SHOPS: u64 = 5000;

#[test]
fn the_engine_and_the_second_reading_agree_on_shops_that_keep_hours() {
    let played = compare(shop_with_hours, LAYOUT, 0..SHOPS);
    let compared = played.len() as u64;
    let forced: u64 = played.iter().map(|(_, played)| played.forced).sum();
    assert!(compared > SHOPS / 8, "{compared} shops were compared");
    assert!(forced > 20, "{forced} tasks fitted nowhere");
}
