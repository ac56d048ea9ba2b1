//! The engine against the independent second reading, on drawn shops in which work stops.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::engine::both::compare;
use crate::second_reading::generate::{LAYOUT, shop_with_stops};

const SHOPS: u64 = 1200;

/// Of the twelve kinds of shops that the generator draws in turn, so many of a hundred are compared at least. The third
/// leaves cures for the end of a session, which the engine does not know yet; the last three have some of all.
const COMPARED: [u64; 12] = [100, 100, 100, 0, 100, 100, 100, 100, 100, 40, 40, 40];

/// A drawn shop without what only the second reading knows: hours of single people, and times at which it has to be quiet.
fn drawn(seed: u64) -> String {
    let mut root: Value =
        serde_json::from_str(&shop_with_stops(seed)).expect("the generator writes JSON");
    let sessions = root.get("sessions").filter(|sessions| sessions.is_object());
    if let Some(sessions) = sessions.cloned() {
        match sessions.get("when") {
            Some(when) => root["sessions"] = when.clone(),
            None => remove(&mut root, "sessions"),
        }
    }
    for (of, keys) in [("crew", &["hours"][..]), ("stations", &["loud", "blade"])] {
        let all = root.get_mut(of).and_then(Value::as_object_mut);
        for (_, one) in all.into_iter().flatten() {
            keys.iter().for_each(|key| remove(one, key));
        }
    }
    serde_json::to_string_pretty(&root).expect("it can be written")
}

fn remove(value: &mut Value, key: &str) {
    if let Some(keys) = value.as_object_mut() {
        keys.remove(key);
    }
}

fn agree(shops: u64) -> BTreeMap<u64, u64> {
    let mut compared = BTreeMap::new();
    for (seed, _) in compare(drawn, LAYOUT, 0..shops) {
        *compared.entry(seed % 12).or_default() += 1;
    }
    compared
}

#[test]
fn the_engine_and_the_second_reading_agree_on_shops_in_which_work_stops() {
    let compared = agree(SHOPS);
    for (kind, least) in (0..).zip(COMPARED) {
        let of_kind = compared.get(&kind).copied().unwrap_or(0);
        assert!(
            of_kind >= least,
            "{of_kind} shops of kind {kind} were compared"
        );
    }
}

/// As many as the environment says, for whoever has the time.
#[test]
#[ignore = "takes minutes: .ci/evidence stops"]
fn they_agree_on_many_more() {
    let shops = std::env::var("SHOPS")
        .ok()
        .and_then(|shops| shops.parse().ok());
    println!("compared by kind: {:?}", agree(shops.unwrap_or(24_000)));
}
