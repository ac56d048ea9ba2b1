//! Work that must not pause, what is forced, and what runs after hours.

use super::*;

#[test]
fn what_must_not_pause_is_begun_only_where_it_fits_and_others_go_past_it() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}{EVENINGS}
stations: {{oven: {{does: {{bend: {{per lot: 90 min, pausable: false}}, warm: {{per lot: 50 min}}}}}}}}
projects: {{rib: {{pieces: 1, route: [bend]}}, plank: {{pieces: 1, route: [warm]}}}}
orders: [{{project: rib}}, {{project: rib}}, {{project: plank}}]
"
    ));
    // Monday: the first rib until 20:30. Half an hour is too little for the second, so the plank is taken, pauses at
    // 21:00, and is ready on Tuesday at 19:20. The second rib fits then, until 20:50.
    assert_eq!(
        done(&outcome),
        [
            MON + 20 * H + 30 * MIN,
            TUE + 20 * H + 50 * MIN,
            TUE + 19 * H + 20 * MIN
        ]
    );
    assert_eq!(hours.forced, 0);
    assert_eq!(outcome.crew[0].waiting_us, 0);
    assert_eq!(outcome.stations[0].queued_us, 140 * MIN + 90 * MIN);
}

#[test]
fn what_ends_at_the_moment_of_closing_fits_and_a_microsecond_more_does_not() {
    let bend = |time: &str| {
        let (outcome, hours) = shop(&format!(
            "{AT_ONCE}{EVENINGS}
stations: {{oven: {{does: {{warm: {{per lot: 30 min}}, bend: {{setup: 10 min, per lot: {time}, teardown: 20 min, pausable: false}}}}}}}}
projects: {{plank: {{pieces: 1, route: [warm]}}, rib: {{pieces: 1, route: [bend]}}}}
orders: [{{project: plank}}, {{project: rib}}]
"
        ));
        assert_eq!(hours.forced, 0);
        done(&outcome)[1]
    };
    // After the plank 90 min are left of the evening.
    assert_eq!(bend("60 min"), MON + 21 * H);
    // Then an hour and a half, and a thousandth of a second, on the next evening.
    assert_eq!(bend("3600.001 s"), TUE + 20 * H + 30 * MIN + 1000);
}

#[test]
fn fetching_belongs_to_what_must_fit_and_what_fits_nowhere_is_forced_where_most_room_is() {
    let (outcome, hours) = shop(
        "
sessions: [{days: [mon], open: \"8:00\", close: \"8:30\"}, {days: [wed], open: \"8:00\", close: \"8:40\"}]
stations: {rack: {}, oven: {does: {bend: {per lot: 40 min, pausable: false}}}}
handling: {walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 1 s, put down: 1 s}
projects: {rib: {pieces: 2, material at: rack, route: [bend]}}
orders: [{project: rib, count: 2}]
layouts: {x: {distances: {rack: {oven: 8 m}}}}
",
    );
    // Carrying takes 1 + 8 + 1 s. The work alone would fit on Wednesday, with its carrying it does not: it is begun on
    // Wednesday all the same, not on Monday, and its last ten seconds are done on the next Monday. The second one is
    // begun on the next Wednesday; the way back to the rack makes it 18 s.
    let next = WEEK + MON + 8 * H;
    assert_eq!(done(&outcome), [next + 10 * S, next + WEEK + 18 * S]);
    assert_eq!(hours.forced, 2);
    assert_eq!(hours.left_standing_us, [0, 0]);
    assert_eq!(outcome.stations[1].running_us, 80 * MIN);
    assert_eq!(outcome.stations[1].reserved_us, 28 * S);
    // Two Mondays and Wednesdays in which nothing else was done.
    assert_eq!(hours.open_us, 2 * 70 * MIN + 18 * S);
    assert_eq!(
        outcome.crew[0].waiting_us,
        2 * 70 * MIN + 18 * S - 80 * MIN - 28 * S
    );
    assert_eq!(outcome.orders[0].released_us, MON + 8 * H);
}

#[test]
fn a_machine_that_works_alone_stops_at_closing_unless_it_runs_after_hours() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}{EVENINGS}
stations:
  lathe: {{does: {{turn: {{setup: 10 min, per lot: 3 h, people: 0}}}}}}
  mill: {{does: {{carve: {{setup: 10 min, per lot: 3 h, teardown: 1 min, people: 0, after hours: true}}}}}}
projects: {{bowl: {{pieces: 1, route: [turn]}}, sign: {{pieces: 1, route: [carve]}}}}
orders: [{{project: bowl}}, {{project: sign, first: 20 h}}, {{project: sign, first: 21 h}}]
"
    ));
    // The lathe works for two hours on Monday and 70 min on Tuesday. The mill works from 20:00 to 23:11; what came at
    // closing it begins on Tuesday at 19:00, without a setup, and ends at 22:01.
    assert_eq!(
        done(&outcome),
        [
            TUE + 20 * H + 10 * MIN,
            MON + 23 * H + 11 * MIN,
            TUE + 22 * H + MIN
        ]
    );
    // Only what lies in open time is counted: 10 + 50 min on Monday, two hours on Tuesday.
    assert_eq!(outcome.stations[1].setup_us, 10 * MIN);
    assert_eq!(outcome.stations[1].running_us, 170 * MIN);
    assert_eq!(hours.orders[1], Some((H, 1)));
    assert_eq!(hours.orders[2], Some((2 * H, 1)));
    assert_eq!(hours.open_us, 4 * H);
    assert_eq!(outcome.crew[0].waiting_us, 4 * H);
    // The bowl stood on the lathe for a night; the signs were carved on, but the second had waited for the opening.
    assert_eq!(hours.shop_shut_us, [Some(22 * H), Some(0), Some(22 * H)]);
}

#[test]
fn what_is_fetched_until_closing_runs_on_from_closing_after_hours() {
    let (outcome, _) = shop(
        "
sessions: [{days: [mon, tue], open: \"19:00\", close: \"19:10\"}]
stations: {rack: {}, mill: {does: {carve: {per lot: 1 h, people: 0, after hours: true}}}, bench: {does: {sand: {per lot: 595 s}}}}
handling: {walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0}
projects: {chair: {pieces: 1, material at: bench, route: [sand]}, sign: {pieces: 1, material at: bench, route: [carve]}}
orders: [{project: chair}, {project: sign}, {project: sign}]
layouts: {x: {distances: {bench: {rack: 0, mill: 5 m}, rack: {mill: 5 m}}}}
",
    );
    // Sanding ends at 19:09:55, the way to the mill at closing: it carves from 19:10 to 20:10. The next sign takes five
    // seconds back and five there on Tuesday.
    assert_eq!(
        done(&outcome),
        [
            MON + 19 * H + 595 * S,
            MON + 20 * H + 10 * MIN,
            TUE + 20 * H + 10 * S
        ]
    );
    assert_eq!(outcome.stations[1].running_us, 590 * S);
    assert_eq!(outcome.stations[1].reserved_us, 15 * S);
}

#[test]
fn work_that_needs_nobody_must_fit_too_and_the_next_that_fits_goes_past() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}{EVENINGS}
stations: {{kiln: {{does: {{bake: {{per lot: 100 min, people: 0, pausable: false}}}}}}}}
projects: {{tile: {{pieces: 1, route: [bake]}}, bead: {{pieces: 1, route: [{{op: bake, per lot: 20 min}}]}}}}
orders: [{{project: tile}}, {{project: tile}}, {{project: bead}}]
"
    ));
    // A tile until 20:40, then the bead until 21:00, and the second tile on Tuesday.
    assert_eq!(
        done(&outcome),
        [
            MON + 20 * H + 40 * MIN,
            TUE + 20 * H + 40 * MIN,
            MON + 21 * H
        ]
    );
    assert_eq!(hours.forced, 0);
}
