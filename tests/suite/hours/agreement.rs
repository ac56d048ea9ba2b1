//! The engine against the independent second reading, on drawn shops that keep hours.

use crate::engine::both::{compare, shops_asked_for};
use crate::second_reading::generate::{LAYOUT, shop_with_hours};

const SHOPS: u64 = 240;

/// Plays so many shops; gives the tasks that fitted nowhere, and the shops in which anybody is away and anything is left
/// standing.
fn agree(shops: u64) -> [u64; 3] {
    let played = compare(shop_with_hours, LAYOUT, 0..shops);
    assert_eq!(played.len() as u64, shops);
    let any = |times: &[i64]| u64::from(times.iter().any(|time| *time > 0));
    played
        .iter()
        .fold([0; 3], |[forced, away, standing], (_, of)| {
            [
                forced + of.forced,
                away + any(&of.away_us),
                standing + any(&of.left_standing_us),
            ]
        })
}

#[test]
fn the_engine_and_the_second_reading_agree_on_shops_that_keep_hours() {
    let [forced, away, standing] = agree(SHOPS);
    assert!(forced > SHOPS / 2, "{forced} tasks fitted nowhere");
    assert!(away > SHOPS / 10, "in {away} shops somebody was away");
    assert!(
        standing > SHOPS / 20,
        "in {standing} shops something was left standing"
    );
}

/// As many as the environment says, for whoever has the time.
#[test]
#[ignore = "takes minutes: .ci/evidence agreement"]
fn they_agree_on_many_more() {
    println!(
        "forced, away, left standing: {:?}",
        agree(shops_asked_for())
    );
}
