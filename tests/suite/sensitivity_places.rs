//! To which times one factor of doubt belongs: those of one place in a scenario, and of whoever walks alike.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use shopstride::experiment::{Study, doubted};

use crate::sensitivity::{SHARE, assert_same, factors, works};
use crate::support::study;

/// A step's time is its own at whichever station, a station's at each station, and a changed time is off as before.
#[test]
fn a_factor_belongs_to_the_place_where_the_time_is_given() {
    let study = study(
        "title: Places
stations:
  first: {does: {cut: {per piece: 60 s}, sand: {area rate: 1 m2/min}}}
  second: {does: {cut: {per piece: 60 s}, sand: {}}}
operations: {cut: {per lot: 60 s}, sand: {feed speed: 1 m/s, area rate: 2 m2/min}}
projects:
  box:
    pieces: 1
    rough: [1 m, 10 cm, 2 cm]
    finished: [1 m, 10 cm, 2 cm]
    route: [cut, {op: cut, setup: 60 s}, sand]
  crate: {pieces: 1, route: [{op: cut, setup: 60 s}]}
orders: [{project: box}, {project: crate}]
layouts: {one: {distances: 0}}
candidates:
  other:
    layout: one
    change:
      operations: {cut: {per lot: 90 s}, sand: {feed speed: 2 m/s}}
      projects: {box: {route: [cut, {op: cut, setup: 90 s}, sand]}}
",
    );
    let of = |candidate: usize| -> Vec<Vec<f64>> {
        let before = &study.candidates[candidate].shop;
        let after = doubted(&study, candidate, SHARE, 5, 0);
        (works(before).iter().zip(works(&after)))
            .map(|(before, after)| factors(before, after))
            .collect()
    };
    // cut at first, at second; cut with a setup at first, at second; sand at first, at second; the crate's cut.
    let found = of(0);
    let lengths: Vec<usize> = found.iter().map(Vec::len).collect();
    assert_eq!(lengths, [2, 2, 3, 3, 1, 1, 3, 3]);
    let (piece, lot) = (found[0][0], found[0][1]);
    assert_same(found[1][1], lot);
    assert_same(found[2][0], found[3][0]);
    assert_same(found[2][1], piece);
    assert_same(found[6][0], found[7][0]);
    let mut different = [piece, found[1][0], lot, found[2][0], found[6][0]];
    different.sort_by(f64::total_cmp);
    assert!(different.windows(2).all(|two| two[1] - two[0] > 1e-6));
    let changed = of(1);
    for index in [0, 1, 2, 3, 6, 7] {
        for (&a, &b) in found[index].iter().zip(&changed[index]) {
            assert_same(a, b);
        }
    }
    // 1 s of feed, and a surface of 2 (0.1 + 0.02 + 0.002) m2 at 1 m2/min or 2 m2/min: two factors by hand. The feed
    // speed of the candidate is twice as high; it is off by the same.
    let surface = 0.244 * 60.0;
    let feed = |of: &[Vec<f64>], feed: f64, other: f64| {
        // Seconds off at the second station with both candidates' feeds leave one unknown each.
        of[5][0] * (feed + other)
    };
    let (slow, fast) = (
        feed(&found, 1.0, surface / 2.0),
        feed(&changed, 0.5, surface / 2.0),
    );
    let feed_factor = (slow - fast) / 0.5;
    let rate_factor = (slow - feed_factor) / (surface / 2.0);
    let limits = 1.0 / 1.2 - 1e-9..=1.2 + 1e-9;
    assert!(limits.contains(&feed_factor) && limits.contains(&rate_factor));
    let at_first = found[4][0] * (1.0 + surface) - feed_factor;
    let station_factor = at_first / surface;
    assert!(limits.contains(&station_factor));
    assert!((station_factor - rate_factor).abs() > 1e-6);
    assert_same(
        changed[4][0] * (0.5 + surface),
        0.5 * feed_factor + surface * station_factor,
    );
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 40,
        rng_seed: RngSeed::Fixed(1),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// Steps of one operation with times of their own, some of them alike: whichever is taken out, the others are off
    /// by the same as before, and only those by the same that say the same.
    #[test]
    fn a_step_taken_out_leaves_the_others_as_they_were(
        seconds in prop::collection::vec(1u32..5, 2..6),
        out in any::<prop::sample::Index>(),
        draw in 0u32..1000,
    ) {
        let out = out.index(seconds.len());
        let route = |without: Option<usize>| {
            let steps = (0..seconds.len()).filter(|&step| Some(step) != without);
            let steps: Vec<String> = steps
                .map(|step| format!("{{op: cut, per lot: {} s}}", seconds[step]))
                .collect();
            steps.join(", ")
        };
        let text = |first: &str, second: &str| format!(
            "title: Steps
stations: {{saw: {{does: {{cut: {{per lot: 9 s}}}}}}}}
projects: {{box: {{pieces: 1, route: [{first}]}}}}
orders: [{{project: box}}]
layouts: {{one: {{distances: 0}}}}
candidates: {{other: {{layout: one, change: {{projects: {{box: {{route: [{second}]}}}}}}}}}}
");
        let of = |study: &Study, candidate: usize| -> Vec<f64> {
            let after = doubted(study, candidate, SHARE, 1, draw);
            let before = works(&study.candidates[candidate].shop);
            before.iter().zip(works(&after)).flat_map(|(a, b)| factors(a, b)).collect()
        };
        let forth = study(&text(&route(None), &route(Some(out))));
        let (all, mut left) = (of(&forth, 0), of(&forth, 1));
        prop_assert_eq!(left.len() + 1, all.len());
        left.insert(out, all[out]);
        for (a, b) in all.iter().zip(&left) {
            assert_same(*a, *b);
        }
        for (a, &x) in all.iter().zip(&seconds) {
            for (b, &y) in all.iter().zip(&seconds) {
                prop_assert_eq!((a / b - 1.0).abs() < 1e-9, x == y);
            }
        }
        // The candidates in the other order.
        let back = study(&text(&route(Some(out)), &route(None)));
        prop_assert_eq!(all, of(&back, 1));
        prop_assert_eq!(of(&forth, 1), of(&back, 0));
    }
}

/// Whoever walks at the usual speed is off by the same, whatever they are called and whoever joins them.
#[test]
fn walking_speeds_are_known_by_who_walks() {
    let study = study(
        "title: Crews
stations: {saw: {does: {cut: {per lot: 1 min}}}}
crew: {anna: {}, ben: {}}
projects: {box: {pieces: 1, route: [cut]}}
orders: [{project: box}]
layouts: {one: {distances: 0}}
candidates:
  slow one first: {layout: one, change: {crew: {anna: null, ben: null, slow: {walking speed: 0.5 m/s}, carl: {}}}}
  slower: {layout: one, change: {crew: {slow: {walking speed: 0.4 m/s}}}}
",
    );
    let mut found = std::collections::BTreeMap::new();
    for (index, candidate) in study.candidates.iter().enumerate() {
        let after = doubted(&study, index, SHARE, 1, 0);
        for (person, after) in candidate.shop.crew.iter().zip(&after.crew) {
            let factor =
                person.walking_speed.metres_per_second() / after.walking_speed.metres_per_second();
            let same = *found.entry(person.name.clone()).or_insert(factor);
            assert_same(same, factor);
        }
    }
    assert_eq!(found.len(), 4);
    assert_same(found["anna"], found["ben"]);
    assert_same(found["anna"], found["carl"]);
    assert!((found["slow"] / found["anna"] - 1.0).abs() > 1e-6);
}
