//! What is said of the times of steps.

use shopstride::report::times;

use crate::support::study;

/// Everything that a step can take, each with its line.
#[test]
fn times_are_told_with_how_they_come_about() {
    let study = study(
        "title: All lines
show: metric
stations:
  rack: {}
  saw:
    does:
      cut: {setup: 30 s, per lot: 60 s, per piece: {uniform: [10 s, 30 s]}, teardown: 20 s, spoils: 2 %, people: 2}
      feed: {feed speed: 6 m/min, passes: 2}
  mill: {does: {carve: {per piece: 2 min, people: 0}}}
  bench: {does: {glue: {per lot: 5 min, gear: {clamps: 4}, fetch from: rack, cure: {time: 45 min}}}}
crew: {ann: {}, bob: {}}
gear: {clamps: {count: 4}}
handling: {carts: {count: 1, stored at: rack, pieces: 4, at least: 6}}
projects:
  box:
    parts:
      side:
        pieces: 4
        batch: 2
        rough: [1 m, 10 cm, 2 cm]
        material at: rack
        route: [cut, feed, carve]
      slat: {pieces: 8, material at: rack, route: [cut]}
    assemblies:
      frame: {made of: [side, slat], route: [glue], deliver to: rack}
orders: [{project: box}]
layouts: {plan: {distances: {rack: {saw: 3 m, bench: 4 m}, saw: {mill: 2 m, bench: 2 m}}}}
",
    );
    let told = times::routes(&study.candidates[0], study.units, 80);
    let expected = include_str!("../../golden/times.txt");
    if std::env::var_os("UPDATE_EXPECTED").is_some() {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/times.txt");
        std::fs::write(path, &told).expect("it can be written");
    } else {
        assert_eq!(told, expected);
    }
}
