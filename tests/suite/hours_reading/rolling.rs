//! Things that are parked, rolled out to be used and rolled in again.

use super::*;

const HANDLING: &str =
    "handling: {walking speed: 1 m/s, loaded speed: 0.5 m/s, pick up: 1 s, put down: 3 s}";

#[test]
fn a_machine_is_rolled_out_for_its_work_and_rolled_in_before_the_next_one() {
    let (outcome, hours) = shop(&format!(
        "
stations:
  rack: {{stand: [0, 0]}}
  saw: {{stand: [0, 0], roll out: 90 s, roll in: 60 s, does: {{rip: {{setup: 1 min, per lot: 10 min}}}}}}
  bench: {{stand: [0, 0], does: {{sand: {{per lot: 20 min}}}}}}
{HANDLING}
projects: {{board: {{pieces: 1, material at: rack, route: [rip, sand, rip]}}}}
orders: [{{project: board}}]
layouts:
  x:
    walk: straight
    at:
      rack: [0, 0]
      saw: {{at: [6 m, 8 m], parked: {{at: [0, 4 m]}}}}
      bench: [3 m, 0]
"
    ));
    // To where the saw is parked 4 m: 1, 8, 3; out 90; a minute and ten. Then in again 60, and 5 m to the bench: 1, 10, 3;
    // twenty minutes. The same way back, out again, and ten minutes: it is still set up.
    let first = (12 + 90) * S + 11 * MIN;
    let second = (60 + 14) * S + 20 * MIN;
    let third = (14 + 90) * S + 10 * MIN;
    assert_eq!(done(&outcome), [first + second + third]);
    assert_eq!(outcome.carrying_nm, (4 + 5 + 5) * 1_000_000_000);
    assert_eq!(outcome.empty_nm, 0);
    // Rolling is handling, and the saw is reserved meanwhile.
    assert_eq!(outcome.crew[0].handling_us, (3 * 4 + 2 * 90 + 60) * S);
    assert_eq!(
        outcome.stations[1].reserved_us,
        (12 + 90 + 60 + 14 + 90) * S
    );
    assert_eq!(outcome.stations[1].running_us, 20 * MIN);
    assert_eq!(hours.forced, 0);
}

#[test]
fn two_that_are_rolled_out_to_one_place_wait_for_each_other_and_whoever_needs_it_clears_it() {
    let (outcome, _) = shop(&format!(
        "
stations:
  rack: {{stand: [0, 0]}}
  saw: {{size: [1 m, 1 m], stand: [0, 0], roll out: 90 s, roll in: 60 s, does: {{rip: {{per lot: 10 min}}}}}}
  planer: {{size: [1 m, 1 m], stand: [0, 0], roll out: 30 s, roll in: 20 s, does: {{plane: {{per lot: 20 min}}}}}}
crew: {{ann: {{can: [rip]}}, bob: {{can: [plane]}}}}
{HANDLING}
projects: {{board: {{pieces: 1, material at: rack, route: [rip]}}, lid: {{pieces: 1, material at: rack, route: [plane]}}}}
orders: [{{project: board}}, {{project: lid}}]
layouts:
  x:
    walk: straight
    at:
      rack: [0, 0]
      saw: {{at: [6 m, 8 m], parked: {{at: [0, 4 m]}}}}
      planer: {{at: [6.5 m, 8 m], parked: {{at: [3 m, 0]}}}}
"
    ));
    // Ann is done after 12, 90 and ten minutes, and leaves the saw where it is. Bob goes there, 10 m, and rolls it in; back
    // to the rack 4 m, and with the lid 3 m to where the planer is parked: 1, 6, 3; out 30; twenty minutes.
    let ann = (12 + 90) * S + 10 * MIN;
    let bob = (10 + 60 + 4 + 10 + 30) * S + 20 * MIN;
    assert_eq!(done(&outcome), [ann, ann + bob]);
    assert_eq!(outcome.stations[1].reserved_us, (12 + 90 + 10 + 60) * S);
    assert_eq!(outcome.stations[2].reserved_us, (10 + 60 + 4 + 10 + 30) * S);
    assert_eq!(outcome.empty_nm, 14_000_000_000);
    assert_eq!(outcome.crew[0].handling_us, (4 + 90) * S);
}

#[test]
fn whoever_used_it_last_rolls_it_in_and_not_who_rolled_it_out() {
    let (outcome, _) = shop(&format!(
        "
stations:
  rack: {{stand: [0, 0]}}
  saw: {{stand: [0, 0], roll out: 90 s, roll in: 60 s, does: {{rip: {{per lot: 10 min}}, trim: {{per lot: 5 min}}}}}}
  bench: {{stand: [0, 0], does: {{sand: {{per lot: 20 min}}}}}}
  table: {{stand: [0, 0], does: {{glue: {{per lot: 100 s}}}}}}
crew: {{ann: {{can: [rip, sand]}}, bob: {{can: [trim, glue]}}}}
{HANDLING}
projects:
  board: {{pieces: 1, material at: rack, route: [rip, trim]}}
  lid: {{pieces: 1, material at: bench, route: [sand]}}
  box: {{pieces: 1, material at: table, route: [glue]}}
orders: [{{project: board}}, {{project: lid, first: 1500 s}}, {{project: box, first: 1600 s}}]
layouts:
  x:
    walk: straight
    at:
      rack: [0, 0]
      saw: {{at: [6 m, 8 m], parked: {{at: [0, 4 m]}}}}
      bench: [6 m, 0]
      table: [9 m, 4 m]
"
    ));
    // Ann rips until 12 + 90 + 600 s. Bob comes to where the saw stands, 10 m, and trims until 1012 s. Ann, who rolled it out,
    // goes straight to the bench at 1500 s, 8 m. Bob, who used it last, rolls it in at 1600 s, and goes 9 m from there.
    assert_eq!(done(&outcome), [1012 * S, 1508 * S + 20 * MIN, 1769 * S]);
    assert_eq!(outcome.crew[0].handling_us, (4 + 90) * S);
    assert_eq!(outcome.crew[1].handling_us, 60 * S);
    assert_eq!(outcome.stations[1].reserved_us, (102 + 10 + 60) * S);
    assert_eq!(outcome.empty_nm, (10 + 8 + 9) * 1_000_000_000);
}
