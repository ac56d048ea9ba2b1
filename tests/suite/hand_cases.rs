//! Shops small enough to reckon by hand, for what the worked cases leave out.
//!
//! The arithmetic stands beside each figure.

use crate::second_reading::play;
use crate::second_reading::result::{Manner, Outcome};

const M: i64 = 1_000_000_000;
const S: i64 = 1_000_000;

/// Plays a shop that needs no more than its layout `x`.
fn shop(rest: &str) -> Outcome {
    let yaml = format!("title: By hand\n{rest}");
    play(&yaml, "x")
}

const SLOW: &str = "walking speed: 1 m/s, loaded speed: 0.5 m/s, pick up: 1 s, put down: 3 s";

#[test]
fn a_chain_fills_a_gap_but_shortens_no_measured_pair_and_ways_may_differ() {
    let outcome = shop(&format!(
        "
stations: {{rack: {{}}, saw: {{does: {{cut: {{per lot: 10 s}}}}}}, bench: {{does: {{sand: {{per lot: 20 s}}}}}}}}
handling: {{{SLOW}}}
projects: {{box: {{pieces: 1, material at: rack, route: [cut, sand, cut]}}}}
orders: [{{project: box}}]
layouts:
  x:
    distances:
      rack: {{saw: 9 m, bench: 1 m}}
      bench: {{saw: 2 m}}
      saw: {{bench: 5 m}}
"
    ));
    // Rack to saw stays 9 m, though 3 m lead there by the bench; saw to bench is 5 m, back 2 m.
    assert_eq!(outcome.carrying_nm, (9 + 5 + 2) * M);
    assert_eq!(outcome.empty_nm, 0);
    // Three carries of 4 s handling, 16 m at half a metre a second, 10 + 20 + 10 s of work.
    assert_eq!(outcome.makespan_us, (12 + 32 + 40) * S);
    // Rack to saw, saw to bench, bench to saw.
    let trips: Vec<u64> = outcome.trips.values().map(|t| t.0).collect();
    assert_eq!(trips, [1, 1, 1]);
}

/// 4.23476235 m take 4.7052915 s at 0.9 m/s: half a microsecond more than a whole number of them. The double that is
/// nearest to 0.9 is a little more, so the time is a little less.
#[test]
fn a_walk_of_half_a_microsecond_more_is_rounded_as_its_double_has_it() {
    let yaml = "
title: By hand
stations: {rack: {}, saw: {does: {cut: {per lot: 10 s}}}}
handling: {loaded speed: 0.9 m/s, pick up: 0, put down: 0}
projects: {box: {pieces: 1, material at: rack, route: [cut]}}
orders: [{project: box}]
layouts: {x: {distances: {rack: {saw: 4.23476235 m}}}}
";
    let outcome = play(yaml, "x");
    assert_eq!(outcome.crew[0].walking_us, 4_705_291);
    assert_eq!(crate::engine::play(yaml, "x"), outcome);
}

#[test]
fn boards_are_fed_through_in_passes_and_carried_as_mass_allows() {
    let outcome = shop(&format!(
        "
stations: {{rack: {{}}, planer: {{does: {{plane: {{feed speed: 6 m/min, depth per pass: 1/16 in, faces: 2, per piece: 1 s}}}}}}}}
handling: {{{SLOW}, density: 500 kg/m3, carry: {{mass: 5 kg}}}}
projects:
  box:
    parts:
      board: {{pieces: 5, rough: [1 m, 20 cm, 1 in], finished: [1 m, 20 cm, 3/4 in], material at: rack, route: [plane]}}
orders: [{{project: box}}]
layouts: {{x: {{distances: {{rack: {{planer: 2 m}}}}}}}}
"
    ));
    // A board weighs 1 × 0.2 × 0.0254 × 500 = 2.54 kg: one a carry, five carries.
    assert_eq!(outcome.carrying_nm, 5 * 2 * M);
    assert_eq!(outcome.empty_nm, 4 * 2 * M);
    // 1/4 in is four passes of 1/16 in, two faces make eight, each 10 s long, and 1 s.
    assert_eq!(outcome.stations[1].running_us, 5 * (80 + 1) * S);
    // Five carries of 1 + 4 + 3 s and four ways back of 2 s come first.
    assert_eq!(outcome.stations[1].reserved_us, (5 * 8 + 4 * 2) * S);
    assert_eq!(outcome.makespan_us, (48 + 405) * S);
}

/// A board of 1 m x 20 cm x 40 mm weighs 4 kg at 500 kg/m3, half of it 2 kg and a quarter 1 kg, so that carries of 5 kg
/// take one, two and five of them.
#[test]
fn a_piece_weighs_what_is_left_of_it_when_it_is_carried() {
    let yaml = format!(
        "
stations:
  rack: {{}}
  saw: {{does: {{rip: {{per lot: 10 s, cuts: width}}}}}}
  planer: {{does: {{plane: {{per lot: 10 s, cuts: thickness}}}}}}
  bench: {{does: {{sand: {{per lot: 10 s}}, join: {{per lot: 10 s}}}}}}
  door: {{}}
handling: {{{SLOW}, density: 500 kg/m3, carry: {{mass: 5 kg}}}}
projects:
  box:
    parts:
      board: {{pieces: 4, rough: [1 m, 20 cm, 40 mm], finished: [1 m, 10 cm, 20 mm], material at: rack, route: [rip, plane, sand]}}
      back: {{pieces: 3, rough: [1 m, 20 cm, 40 mm], finished: [1 m, 20 cm, 10 mm], material at: door, route: [plane]}}
    assemblies:
      frame: {{made of: [board, back], pieces: 2, route: [join], deliver to: door}}
orders: [{{project: box}}]
layouts: {{x: {{distances: {{rack: {{saw: 2 m}}, saw: {{planer: 3 m}}, planer: {{bench: 5 m}}, bench: {{door: 7 m}}, door: {{planer: 1 m}}}}}}}}
"
    );
    let outcome = shop(&yaml);
    // Boards: 4 carries of one, 2 of two, 1 of all four.
    let boards = 4 * 2 + 2 * 3 + 5;
    // Backs: 3 carries of one to the planer; of the 1 kg that is left of each, 1 carry of three to the bench.
    let backs = 3 + 5;
    // Two frames of (4 x 1 kg + 3 x 1 kg) / 2 = 3.5 kg: one a carry.
    assert_eq!(outcome.carrying_nm, (boards + backs + 2 * 7) * M);
}

#[test]
fn gear_and_what_else_is_needed_are_fetched_one_trip_each() {
    let outcome = shop(&format!(
        "
stations: {{rack: {{}}, bench: {{does: {{glue: {{per lot: 1 min, gear: {{clamps: 2}}, fetch from: rack, cure: {{time: 1 h}}}}}}}}, wall: {{}}}}
gear: {{clamps: {{count: 2, stored at: wall}}}}
handling: {{{SLOW}}}
projects: {{box: {{pieces: 1, material at: bench, route: [glue]}}}}
orders: [{{project: box, count: 2}}]
layouts: {{x: {{distances: {{bench: {{rack: 4 m, wall: 1 m}}, rack: {{wall: 5 m}}}}}}}}
"
    ));
    // For each box: to the wall and back, to the rack and back; before the first, from the rack
    // to the bench. The clamps are tied up by the cure, so one box comes after the other.
    assert_eq!(outcome.empty_nm, (4 + 2 * (1 + 4)) * M);
    assert_eq!(outcome.carrying_nm, 2 * (1 + 4) * M);
    // To the bench 4 s; wall 1 + 1 + 2 + 3 s; rack 4 + 1 + 8 + 3 s; then a minute and the cure.
    let each = (7 + 16 + 60 + 3600) * S;
    assert_eq!(outcome.orders[0].done_us, Some(4 * S + each));
    assert_eq!(outcome.orders[1].done_us, Some(4 * S + 2 * each));
    assert_eq!(outcome.stations[1].curing_us, 7200 * S);
    assert_eq!(outcome.crew[0].working_us, 120 * S);
}

#[test]
fn a_cart_goes_back_and_forth_and_stays_where_it_was_unloaded() {
    let outcome = shop(&format!(
        "
stations: {{rack: {{}}, saw: {{does: {{cut: {{per lot: 10 s}}}}}}, door: {{}}, bay: {{}}}}
handling: {{{SLOW}, carts: {{count: 1, stored at: bay, pieces: 3, speed: 2 m/s, at least: 4, load: 5 s, unload: 6 s}}}}
projects:
  box:
    parts:
      side: {{pieces: 5, material at: rack, route: [cut], deliver to: door}}
orders: [{{project: box}}]
layouts: {{x: {{distances: {{rack: {{saw: 4 m, bay: 2 m, door: 9 m}}, saw: {{door: 6 m, bay: 7 m}}, bay: {{door: 8 m}}}}}}}}
"
    ));
    // To the bay 2 m; the cart to the rack 2 m, to the saw 4 m, back 4 m, to the saw 4 m. The cart
    // is at the saw then, and so is the person: to the door 6 m, back 6 m, to the door 6 m.
    assert_eq!(outcome.empty_nm, 2 * M);
    assert_eq!(outcome.carrying_nm, 0);
    assert_eq!(outcome.pushing_nm, (2 + 4 + 4 + 4 + 6 + 6 + 6) * M);
    // 2 s empty, 32 m at 2 m/s, four times 5 + 6 s, and the cut.
    assert_eq!(outcome.makespan_us, (2 + 16 + 44 + 10) * S);
    let key = ("saw".to_string(), "door".to_string(), Manner::Pushing);
    assert_eq!(outcome.trips[&key], (2, 12 * M));
}

#[test]
fn two_in_progress_follow_each_other_until_the_horizon_cuts() {
    let outcome = shop(
        "
stations: {saw: {does: {cut: {per lot: 40 s}}}}
projects: {box: {pieces: 1, route: [cut]}}
orders: [{project: box, in progress: 2}]
layouts: {x: {distances: 0}}
run: {until: 100 s}
",
    );
    // Cuts end at 40 and 80 s; the third is cut off after 20 s. A release follows each done order.
    assert_eq!(outcome.makespan_us, 100 * S);
    let released: Vec<i64> = outcome.orders.iter().map(|o| o.released_us / S).collect();
    assert_eq!(released, [0, 0, 40, 80]);
    assert_eq!(outcome.lead_times_s(), [40.0, 80.0]);
    assert_eq!(outcome.stations[0].running_us, 100 * S);
    assert_eq!(outcome.stations[0].lots, 2);
    // The second waits 40 s, the third from 40 to 80 s, the fourth from 80 to 100 s.
    assert_eq!(outcome.stations[0].queued_us, 100 * S);
    assert_eq!(outcome.crew[0].waiting_us, 0);
}

#[test]
fn only_those_with_the_skill_help_and_work_begins_when_the_last_one_is_there() {
    let outcome = shop(
        "
stations: {rack: {}, bench: {does: {lift: {per lot: 10 s, people: 2}, sand: {per lot: 5 s}}}}
crew: {ann: {can: [sand]}, bob: {starts at: bench}, cyd: {walking speed: 0.5 m/s}}
handling: {walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0}
projects: {box: {pieces: 1, material at: rack, route: [lift, sand]}}
orders: [{project: box}]
layouts: {x: {distances: {rack: {bench: 6 m}}}}
",
    );
    // Ann cannot lift. Bob walks to the rack and carries back, 12 s; Cyd walks 6 m in 12 s. Then
    // ten seconds of lifting, and Ann, first in the file, walks 6 m and sands for 5 s.
    assert_eq!(outcome.makespan_us, (12 + 10 + 6 + 5) * S);
    let walked: Vec<i64> = outcome.crew.iter().map(|p| p.walked_nm / M).collect();
    assert_eq!(walked, [6, 12, 6]);
    let working: Vec<i64> = outcome.crew.iter().map(|p| p.working_us / S).collect();
    assert_eq!(working, [5, 10, 10]);
    assert_eq!(outcome.stations[1].reserved_us, 18 * S);
}
