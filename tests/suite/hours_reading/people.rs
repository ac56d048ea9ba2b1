//! People who come and go at hours of their own.

use super::*;

const SATURDAYS: &str = "sessions: [{days: [sat], open: \"9:00\", close: \"16:00\"}]\n";

#[test]
fn what_takes_somebody_who_goes_must_end_before_they_go() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}{SATURDAYS}
crew: {{maker: {{}}, helper: {{can: [lift], hours: [{{days: [sat], open: \"10:00\", close: \"12:00\"}}]}}}}
stations: {{saw: {{does: {{cut: {{per lot: 100 min}}}}}}, bench: {{does: {{lift: {{per lot: 90 min, people: 2}}}}}}}}
projects: {{board: {{pieces: 1, route: [cut]}}, desk: {{pieces: 1, route: [lift]}}}}
orders: [{{project: board}}, {{project: desk}}]
"
    ));
    // The maker cuts until 10:40. From there on 80 min are too few; on the next Saturday the helper comes at 10:00.
    assert_eq!(
        done(&outcome),
        [SAT + 10 * H + 40 * MIN, WEEK + SAT + 11 * H + 30 * MIN]
    );
    assert_eq!(hours.forced, 0);
    // Until the end at 11:30 the helper was away five hours and one, there two hours and 90 min.
    assert_eq!(hours.away_us, [0, 6 * H]);
    assert_eq!(outcome.crew[1].waiting_us, 2 * H);
    assert_eq!(outcome.crew[1].working_us, 90 * MIN);
    assert_eq!(outcome.crew[0].waiting_us, (7 * 60 + 150 - 190) * MIN);
}

#[test]
fn what_fits_in_nobodys_hours_is_forced_and_left_standing_while_they_are_away() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}{SATURDAYS}
crew: {{maker: {{can: []}}, helper: {{hours: [{{days: [sat], open: \"10:00\", close: \"12:00\"}}]}}}}
stations: {{bench: {{does: {{carve: {{setup: 30 min, per lot: 150 min}}}}}}}}
projects: {{bowl: {{pieces: 1, route: [carve]}}}}
orders: [{{project: bowl}}]
"
    ));
    // Three hours in stretches of two: from 10:00 to 12:00, and a week later from 10:00 to 11:00.
    assert_eq!(done(&outcome), [WEEK + SAT + 11 * H]);
    assert_eq!(hours.forced, 1);
    // In between the shop was open from 12:00 to 16:00 and from 9:00 to 10:00.
    assert_eq!(hours.left_standing_us, [5 * H]);
    assert_eq!(outcome.stations[0].setup_us, 30 * MIN);
    assert_eq!(outcome.stations[0].running_us, 150 * MIN);
    // Away from 9:00 to 10:00 as well.
    assert_eq!(hours.away_us, [0, 6 * H]);
    assert_eq!(outcome.crew[1].waiting_us, 0);
    assert_eq!(outcome.stations[0].queued_us, H);
}

#[test]
fn what_somebody_else_can_do_without_going_is_not_forced_on_a_helper() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}{SATURDAYS}
crew: {{helper: {{hours: [{{days: [sat], open: \"9:00\", close: \"16:00\"}}]}}, maker: {{}}}}
stations: {{bench: {{count: 2, does: {{carve: {{per lot: 8 h}}}}}}}}
projects: {{bowl: {{pieces: 1, route: [carve]}}}}
orders: [{{project: bowl, count: 2}}]
"
    ));
    // The helper goes when the shop closes, the maker's work pauses: eight hours fit for nobody with hours of their own.
    // Both bowls are the maker's: seven hours and one, six and two.
    assert_eq!(
        done(&outcome),
        [WEEK + SAT + 10 * H, 2 * WEEK + SAT + 11 * H]
    );
    assert_eq!(hours.forced, 0);
    assert_eq!(outcome.crew[0].working_us, 0);
}

#[test]
fn those_help_who_stay_longest() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}{SATURDAYS}
crew:
  ann: {{hours: [{{days: [sat], open: \"9:00\", close: \"12:00\"}}]}}
  bob: {{can: [lift], hours: [{{days: [sat], open: \"9:00\", close: \"10:00\"}}]}}
  cyd: {{can: [lift], hours: [{{days: [sat], open: \"9:00\", close: \"11:30\"}}]}}
stations: {{bench: {{does: {{lift: {{per lot: 30 min, people: 2}}}}}}}}
projects: {{desk: {{pieces: 1, route: [lift]}}}}
orders: [{{project: desk}}]
"
    ));
    // Bob stands first in the file and would stay long enough; Cyd stays longer.
    assert_eq!(done(&outcome), [SAT + 9 * H + 30 * MIN]);
    let working: Vec<i64> = outcome.crew.iter().map(|p| p.working_us / MIN).collect();
    assert_eq!(working, [30, 0, 30]);
    assert_eq!(hours.away_us, [0, 0, 0]);
}

#[test]
fn a_helper_loads_a_machine_and_goes() {
    let (outcome, hours) = shop(
        "
sessions: [{days: [sat], open: \"9:00\", close: \"16:00\"}]
stations: {rack: {}, mill: {does: {carve: {per lot: 90 min, people: 0}}}}
crew: {helper: {hours: [{days: [sat], open: \"10:00\", close: \"10:01\"}]}}
handling: {walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 5 s, put down: 5 s}
projects: {sign: {pieces: 1, material at: rack, route: [carve], deliver to: rack}}
orders: [{project: sign, count: 2}]
layouts: {x: {distances: {rack: {mill: 20 m}}}}
",
    );
    // Thirty seconds of carrying fit into the minute; the mill works until 11:30:30. A week later the second sign, which
    // has been ready longer, is brought in fifty seconds, the way back to the rack included; ten are too few to bring the
    // first one back. That takes thirty on the third Saturday, and thirty are too few for the second, which comes back on
    // the fourth, in fifty.
    assert_eq!(
        done(&outcome),
        [
            2 * WEEK + SAT + 10 * H + 30 * S,
            3 * WEEK + SAT + 10 * H + 50 * S
        ]
    );
    assert_eq!(hours.forced, 0);
    assert_eq!(hours.left_standing_us, [0, 0]);
    assert_eq!(outcome.stations[1].running_us, 180 * MIN);
    assert_eq!(
        outcome.crew[0].waiting_us,
        (3 * 60 + 50 - 30 - 50 - 30 - 50) * S
    );
}
