//! When spoiled pieces begin anew: at the end of the run that spoiled them, not after tear-down or cure.

use shopstride::experiment::{Study, trace};
use shopstride::metrics::TraceLine;
use shopstride::report::trace::json_line;
use shopstride::scenario;

/// Two units and two people, so that a new lot can be begun while the old one is still cleaned up after.
const SHOP: &str = "
title: Spoiled pieces
stations:
  lathe: {count: 2, does: {turn: {per piece: 10 s, setup: 5 s, teardown: 7 s, spoils: 50 %, cure: {time: 30 s, ties up: []}}}}
crew: {first: {}, second: {}}
projects: {bowl: {pieces: 4, material at: lathe, route: [turn]}}
orders: [{project: bowl, count: 5}]
layouts: {one: {distances: 0}}
";

struct Line {
    start: f64,
    end: f64,
    what: String,
    /// Order and batch.
    lot: (u64, u64),
    pieces: u64,
}

fn lines(study: &Study) -> Vec<Line> {
    let mut text = String::new();
    let tell = |line: &TraceLine| text += &json_line(&study.candidates[0].shop, line);
    trace(study, 0, 0, tell).unwrap_or_else(|failure| panic!("{failure:?}"));
    let read = |line: &str| -> Line {
        let value: serde_json::Value = serde_json::from_str(line).expect("JSON");
        Line {
            start: value["start_s"].as_f64().expect("a time"),
            end: value["end_s"].as_f64().expect("a time"),
            what: value["what"].as_str().expect("a word").to_owned(),
            lot: (
                value["order"].as_u64().unwrap_or(0),
                value["batch"].as_u64().unwrap_or(0),
            ),
            pieces: value["pieces"].as_u64().unwrap_or(0),
        }
    };
    text.lines().map(read).collect()
}

#[test]
fn spoiled_pieces_are_ready_when_the_run_ends() {
    let loaded = scenario::load("spoiled.yaml", SHOP.as_bytes());
    let study = loaded
        .unwrap_or_else(|problems| panic!("{}", problems.render(false)))
        .study;
    let lines = lines(&study);
    let runs: Vec<&Line> = lines
        .iter()
        .filter(|line| line.what == "station run")
        .collect();
    let joins = lines.iter().filter(|line| line.what == "lot joins queue");
    let new: Vec<&Line> = joins.filter(|line| line.lot.1 > 1).collect();
    assert!(
        new.len() > 4,
        "half of twenty pieces are spoiled: {}",
        new.len()
    );
    for joins in &new {
        // Of the same order, and of more pieces: the run that it was spoiled in.
        let spoiled_in = runs.iter().any(|run| {
            run.lot.0 == joins.lot.0 && run.pieces >= joins.pieces && run.end == joins.start
        });
        assert!(
            spoiled_in,
            "order {} batch {} at {}",
            joins.lot.0, joins.lot.1, joins.start
        );
    }
    // Every piece that is begun anew is run once more: pieces run are those ordered and those spoiled.
    let run: u64 = runs.iter().map(|run| run.pieces).sum();
    let spoiled: u64 = new.iter().map(|line| line.pieces).sum();
    assert_eq!(run, 5 * 4 + spoiled);
}

#[test]
fn a_lot_of_which_nothing_is_sound_is_done_without_a_cure() {
    let shop = SHOP
        .replace("pieces: 4", "pieces: 1")
        .replace("count: 5", "count: 40");
    let loaded = scenario::load("spoiled.yaml", shop.as_bytes());
    let study = loaded
        .unwrap_or_else(|problems| panic!("{}", problems.render(false)))
        .study;
    let lines = lines(&study);
    let count = |what: &str| lines.iter().filter(|line| line.what == what).count();
    // One sound piece a lot at most, so every order cures once, however often its piece was spoiled.
    assert_eq!(count("lot curing, set aside"), 40);
    assert!(count("station run") > 50);
}
