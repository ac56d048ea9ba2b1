//! Random shops in which nothing varies, and what must hold for each of them.

use crate::second_reading::generate::{self, LAYOUT};
use crate::second_reading::read;
use crate::second_reading::shop::Shop;

const SHOPS: u64 = 600;

/// How many works a full run of the shop takes: routes times batches, over all orders.
fn works(shop: &Shop, outcome: &crate::second_reading::result::Outcome) -> u64 {
    let mut works = 0;
    for line in &shop.orders {
        let project = &shop.projects[line.project];
        let of_line: u64 = project
            .lines
            .iter()
            .map(|l| {
                let pieces = (l.pieces * line.together) as u64;
                let batches = l.batch.map_or(1, |b| pieces.div_ceil(b as u64));
                batches * l.route.len() as u64
            })
            .sum();
        // Each order of the line is known by its number only, so the lines are counted anew.
        let count = match (line.every, line.count, line.until) {
            (None, count, _) => count.unwrap_or(1),
            (Some(_), Some(count), None) => count,
            (Some(every), count, Some(until)) => {
                let by_then = (until - line.first).div_euclid(every) + 1;
                count.map_or(by_then, |c| c.min(by_then))
            }
            (Some(_), None, None) => unreachable!("such a line has no end"),
        };
        works += of_line * count as u64;
    }
    assert!(outcome.orders.iter().all(|o| o.done_us.is_some()));
    works
}

#[test]
fn every_shop_plays_to_its_end_and_its_books_balance() {
    for seed in 0..SHOPS {
        let yaml = generate::shop(seed);
        let shop = read::read(&yaml);
        let outcome = crate::second_reading::play(&yaml, LAYOUT);
        let end = outcome.makespan_us;
        match shop.horizon {
            Some(horizon) => assert_eq!(end, horizon, "seed {seed}"),
            None => {
                let worked: u64 = outcome.stations.iter().map(|s| s.lots).sum();
                assert_eq!(worked, works(&shop, &outcome), "seed {seed}");
            }
        }
        for person in &outcome.crew {
            assert!(person.waiting_us >= 0, "seed {seed}: {person:?}");
        }
        for (station, of_shop) in outcome.stations.iter().zip(&shop.stations) {
            let busy =
                station.running_us + station.setup_us + station.curing_us + station.reserved_us;
            assert!(
                busy <= end * of_shop.count as i64,
                "seed {seed}: {station:?}"
            );
            assert!(
                station.waits_over <= station.waits,
                "seed {seed}: {station:?}"
            );
        }
        let by_person: i64 = outcome.crew.iter().map(|p| p.walked_nm).sum();
        let by_trip: i64 = outcome.trips.values().map(|t| t.1).sum();
        assert_eq!(outcome.walking_nm(), by_person, "seed {seed}");
        assert_eq!(outcome.walking_nm(), by_trip, "seed {seed}");
    }
}

#[test]
fn the_same_seed_is_the_same_shop() {
    for seed in 0..20 {
        assert_eq!(generate::shop(seed), generate::shop(seed));
        assert_ne!(generate::shop(seed), generate::shop(seed + 1));
    }
}

/// What the shops must exercise, as the words by which a file says so.
const WORDS: [&str; 58] = [
    "\n    count: 2\n",
    "can: [op",
    "walking speed: 0.5",
    "starts at:",
    "stored at:",
    "carts:",
    "carry: {pieces:",
    "mass:",
    "pick up: 0",
    "put down: 0",
    "operations:",
    "setup:",
    "teardown:",
    "per piece:",
    "per lot:",
    "per lot: 0",
    "feed speed:",
    "passes:",
    "depth per pass:",
    "faces: 2",
    "along: width",
    "area rate:",
    "cuts: [",
    ", cuts: length",
    "piece: [",
    "stock: [",
    "people: 0",
    "people: 1",
    "people: 2",
    "people: 3",
    "cure:",
    "ties up: []",
    "ties up: [station]",
    "ties up: [clamps]",
    "gear: {",
    "fetch from:",
    ", on: ",
    "batch:",
    "made of: [asm",
    "deliver to:",
    "every:",
    "first:",
    "s, until:",
    "seed: 1, until:",
    "in progress:",
    "due:",
    "together:",
    "distances: 0",
    "walk: straight",
    "walk: rectilinear",
    "turn:",
    "stand:",
    "queue: edd",
    "queue: mwkr",
    "switch station: when its queue is empty",
    "choose next: nearest",
    "choose next: due date",
    "choose next: most work left",
];

#[test]
fn every_feature_is_exercised_often() {
    let shops: Vec<String> = (0..SHOPS).map(generate::shop).collect();
    for word in WORDS {
        let with = shops.iter().filter(|s| s.contains(word)).count();
        assert!(with >= 12, "{word} occurs in {with} of {SHOPS} shops");
    }
}
