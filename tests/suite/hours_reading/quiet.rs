//! Machines that must be silent in the evening, and blades that stand still when people are tired.

use super::*;

const LATE: &str =
    "[{days: [mon, tue, wed, thu, fri, sat, sun], open: \"19:00\", close: \"22:00\"}]";

#[test]
fn what_quiet_time_would_interrupt_is_not_begun() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}
sessions: {{when: {LATE}, quiet: {{from: \"21:00\", to: \"8:00\"}}}}
stations: {{planer: {{loud: true, does: {{plane: {{per lot: 75 min}}}}}}, bench: {{does: {{sand: {{per lot: 2 h}}}}}}}}
projects: {{board: {{pieces: 1, route: [plane]}}, top: {{pieces: 1, route: [sand]}}}}
orders: [{{project: board, count: 2}}, {{project: top}}]
"
    ));
    // A board until 20:15; the second would be planed until 21:30. The top is sanded instead, past 21:00 and closing, and
    // on Tuesday until 19:15; then the board until 20:30.
    assert_eq!(
        done(&outcome),
        [
            MON + 20 * H + 15 * MIN,
            TUE + 20 * H + 30 * MIN,
            TUE + 19 * H + 15 * MIN
        ]
    );
    assert_eq!(hours.forced, 0);
    assert_eq!(hours.left_standing_us, [0, 0]);
    assert_eq!(outcome.crew[0].waiting_us, 0);
}

#[test]
fn loud_work_goes_on_after_a_closing_that_is_not_quiet_before_it() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}
sessions: {{when: [{{days: [sat], open: \"14:00\", close: \"16:00\"}}, {{days: [mon], open: \"19:00\", close: \"22:00\"}}], quiet: {{from: \"21:00\", to: \"8:00\"}}}}
stations: {{planer: {{loud: true, does: {{plane: {{per lot: 3 h}}}}}}}}
projects: {{board: {{pieces: 1, route: [plane]}}}}
orders: [{{project: board, count: 2}}]
"
    ));
    // Between Saturday at 14:00 and Monday at 21:00 lie four hours of open time, and no quiet in them: a board is planed
    // for two hours and one. On Monday at 19:00 of the first week there were but two hours; on that of the second, after
    // 20:00, there is one.
    assert_eq!(
        done(&outcome),
        [WEEK + MON + 20 * H, 2 * WEEK + MON + 20 * H]
    );
    assert_eq!(hours.forced, 0);
    assert_eq!(outcome.stations[0].queued_us, (3 + 3 + 2 + 3) * H);
}

#[test]
fn forced_work_pauses_for_quiet_time_and_is_left_standing() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}
sessions: {{when: {LATE}, quiet: {{from: \"21:00\", to: \"8:00\"}}}}
stations: {{planer: {{loud: true, does: {{plane: {{per lot: 3 h}}}}}}}}
crew: {{maker: {{}}}}
projects: {{board: {{pieces: 1, route: [plane]}}}}
orders: [{{project: board, first: 20 h}}]
"
    ));
    // Two hours are the longest stretch: not at 20:00, but at 19:00 on the next evening, until 21:00, and on the third
    // until 20:00.
    assert_eq!(done(&outcome), [WED + 20 * H]);
    assert_eq!(hours.forced, 1);
    assert_eq!(hours.left_standing_us, [H]);
    assert_eq!(outcome.stations[0].queued_us, 2 * H);
    assert_eq!(outcome.crew[0].working_us, 3 * H);
    // Monday's three hours, and the hour of quiet.
    assert_eq!(outcome.crew[0].waiting_us, 3 * H + H);
}

#[test]
fn blades_stand_still_late_and_quiet_time_ends_in_the_morning() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}
sessions: {{when: [{{days: [mon], open: \"7:00\", close: \"24:00\"}}], quiet: {{from: \"22:00\", to: \"8:00\"}}, rested: {{no blades after: \"21:30\"}}}}
stations:
  saw: {{blade: true, does: {{cut: {{per lot: 1 h}}}}}}
  drum: {{loud: true, does: {{smooth: {{per lot: 1 h}}}}}}
  both: {{loud: true, blade: true, does: {{shape: {{per lot: 1 h}}}}}}
crew: {{ann: {{can: [cut]}}, bob: {{can: [smooth]}}, cyd: {{can: [shape]}}}}
projects:
  a: {{pieces: 1, route: [cut]}}
  b: {{pieces: 1, route: [smooth]}}
  c: {{pieces: 1, route: [shape]}}
orders: [{{project: a, first: 20.5 h}}, {{project: a, first: 7 h}}, {{project: b, first: 7 h}}, {{project: c, first: 7 h}}, {{project: c, first: 20.6 h}}, {{project: b, first: 21 h}}]
"
    ));
    // The saw at once; what is loud from 8:00. In the evening the saw ends just at 21:30 and the drum at 22:00; the third
    // machine, which has to stand still from 21:30, has 54 min too few, and waits for the next Monday at 8:00.
    let released: Vec<&str> = outcome.orders.iter().map(|o| &*o.project).collect();
    assert_eq!(released, ["a", "b", "c", "a", "c", "b"]);
    assert_eq!(
        done(&outcome),
        [8 * H, 9 * H, 9 * H, 21 * H + 30 * MIN, WEEK + 9 * H, 22 * H]
    );
    assert_eq!(hours.forced, 0);
}
