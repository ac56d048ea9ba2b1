//! Shop time and the calendar: pauses over night, cures, releases, what is set up and tidied up, dates.

use super::*;

#[test]
fn work_pauses_at_closing_and_goes_on_at_opening_with_its_setup_kept() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}
sessions: [{{days: [tue, thu], open: \"19:00\", close: \"21:30\"}}]
stations: {{saw: {{does: {{cut: {{setup: 30 min, per lot: 4 h}}}}}}}}
projects: {{box: {{pieces: 1, route: [cut]}}}}
orders: [{{project: box, count: 2}}]
"
    ));
    // Both come at the first opening. The first: Tuesday 19:00 to 21:30, then two hours on Thursday. The second: half an
    // hour on that Thursday, two and a half on the next Tuesday, one on the next Thursday.
    assert_eq!(outcome.orders[0].released_us, TUE + 19 * H);
    assert_eq!(done(&outcome), [THU + 21 * H, WEEK + THU + 20 * H]);
    assert_eq!(hours.orders, [Some((270 * MIN, 2)), Some((510 * MIN, 4))]);
    assert_eq!(outcome.makespan_us, WEEK + THU + 20 * H);
    // Two evenings, and two of which the last ends after an hour.
    assert_eq!(hours.open_us, 3 * 150 * MIN + 60 * MIN);
    assert_eq!(outcome.stations[0].setup_us, 30 * MIN);
    assert_eq!(outcome.stations[0].running_us, 8 * H);
    assert_eq!(outcome.stations[0].queued_us, 270 * MIN);
    assert_eq!(outcome.crew[0].working_us, 510 * MIN);
    assert_eq!(outcome.crew[0].waiting_us, 0);
}

#[test]
fn setting_up_and_tidying_up_are_not_open_time_and_a_date_says_the_weekday() {
    // The third of December 2026 is a Thursday, so that Saturday is the third day of the run.
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}
sessions: {{when: [{{days: [sat], open: \"9:00\", close: \"12:00\", set up: 15 min, tidy up: 30 min}}]}}
run: {{starts: 2026-12-03}}
stations: {{saw: {{does: {{cut: {{per lot: 3 h}}}}}}}}
projects: {{box: {{pieces: 1, route: [cut]}}}}
orders: [{{project: box}}]
"
    ));
    // 9:15 to 11:30 is 2 h 15 min; the other 45 min end at 10:00 a week later.
    assert_eq!(outcome.orders[0].released_us, 48 * H + 9 * H + 15 * MIN);
    assert_eq!(done(&outcome), [WEEK + 48 * H + 10 * H]);
    assert_eq!(hours.orders, [Some((3 * H, 2))]);
    assert_eq!(hours.open_us, 3 * H);
}

#[test]
fn cures_last_over_night_and_what_came_first_at_night_is_taken_first() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}{EVENINGS}
stations:
  bench: {{count: 2, does: {{glue: {{per lot: 20 min, cure: {{time: 8 h}}}}}}}}
  table: {{does: {{sand: {{per lot: 30 min}}}}}}
projects:
  slow: {{pieces: 1, route: [glue, sand]}}
  quick: {{pieces: 1, route: [{{op: glue, cure: {{time: 5 h}}}}, sand]}}
orders: [{{project: slow}}, {{project: quick}}]
"
    ));
    // Monday: slow is glued until 19:20 and cures until 3:20, quick until 19:40 and 0:40. On Tuesday evening quick has
    // been ready longer: sanded until 19:30, and slow until 20:00.
    assert_eq!(done(&outcome), [TUE + 20 * H, TUE + 19 * H + 30 * MIN]);
    assert_eq!(hours.orders, [Some((3 * H, 2)), Some((150 * MIN, 2))]);
    // Shut are the 22 hours of the night, less what is left of the cures: 6 h 20 min of slow's, 3 h 40 min of quick's.
    let shut = [22 * H - 380 * MIN, 22 * H - 220 * MIN];
    assert_eq!(hours.shop_shut_us, shut.map(Some));
    // In shop time nothing waited but slow, while quick was sanded. The benches cure until closing.
    assert_eq!(outcome.stations[1].queued_us, 30 * MIN);
    assert_eq!(outcome.stations[1].queue_max, 1);
    assert_eq!(outcome.stations[0].curing_us, 100 * MIN + 80 * MIN);
    assert_eq!(outcome.crew[0].waiting_us, 3 * H - 100 * MIN);
}

#[test]
fn what_ends_at_closing_ends_then_and_nothing_starts_until_the_opening() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}{EVENINGS}
stations:
  bench: {{does: {{glue: {{per lot: 2 h, cure: {{time: 22 h}}}}, sand: {{per lot: 10 min}}}}}}
projects: {{box: {{pieces: 1, route: [glue]}}, top: {{pieces: 1, route: [sand]}}, lid: {{pieces: 1, route: [{{op: sand, per lot: 0}}]}}}}
orders: [{{project: box}}, {{project: top, first: 19 h}}, {{project: lid, first: 21 h}}]
"
    ));
    // The glue cures from 21:00 to 19:00 on the next evening, the very moment of opening. Top is sanded then, and lid,
    // which came at the moment of closing and takes no time, after it.
    let opening = TUE + 19 * H;
    assert_eq!(
        done(&outcome),
        [opening, opening + 10 * MIN, opening + 10 * MIN]
    );
    // The box was done without any open time after the first evening; lid came when that was over.
    assert_eq!(
        hours.orders,
        [Some((2 * H, 1)), Some((130 * MIN, 2)), Some((10 * MIN, 1))]
    );
    assert_eq!(outcome.stations[0].curing_us, 0);
    assert_eq!(outcome.stations[0].queued_us, 120 * MIN + 10 * MIN);
    // In the night both wait, but that is one instant of shop time.
    assert_eq!(outcome.stations[0].queue_max, 1);
}

#[test]
fn touching_sessions_pause_nothing_and_count_as_two() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}
sessions: [{{days: [mon], open: \"8:00\", close: \"9:00\"}}, {{days: [mon], open: \"9:00\", close: \"10:00\"}}, {{days: [sun], open: \"23:00\", close: \"24:00\"}}, {{days: [mon], open: \"0:00\", close: \"1:00\"}}]
stations: {{saw: {{does: {{cut: {{per lot: 90 min, pausable: false}}}}}}}}
projects: {{box: {{pieces: 1, route: [cut]}}}}
orders: [{{project: box, count: 3, first: 8 h}}]
"
    ));
    // Monday 8:00 to 9:30 without a pause; Sunday 23:00 over midnight to 0:30; Monday 8:00 to 9:30 again.
    assert_eq!(
        done(&outcome),
        [9 * H + 30 * MIN, WEEK + 30 * MIN, WEEK + 9 * H + 30 * MIN]
    );
    let sessions: Vec<u64> = hours.orders.iter().flatten().map(|o| o.1).collect();
    assert_eq!(sessions, [2, 4, 6]);
    assert_eq!(hours.forced, 0);
}

#[test]
fn orders_come_by_the_calendar_and_a_horizon_cuts_in_the_night() {
    let (outcome, hours) = shop(&format!(
        "{AT_ONCE}{EVENINGS}
stations: {{saw: {{does: {{cut: {{per lot: 50 min}}}}}}, bench: {{does: {{glue: {{per lot: 10 min, cure: {{time: 9 h, ties up: []}}}}}}}}}}
projects: {{box: {{pieces: 1, route: [cut]}}, top: {{pieces: 1, route: [glue]}}}}
orders: [{{project: box, every: 20 h, first: 0, until: 50 h}}, {{project: top, in progress: 1}}]
run: {{until: 53 h}}
"
    ));
    // Boxes come on Monday at 0:00 and at 20:00, and on Tuesday at 16:00; a top at the first opening, and another one
    // whenever one is done, in the night.
    let released: Vec<(i64, &str)> = outcome
        .orders
        .iter()
        .map(|o| (o.released_us, &*o.project))
        .collect();
    assert_eq!(
        released,
        [
            (0, "box"),
            (19 * H, "top"),
            (20 * H, "box"),
            (29 * H, "top"),
            (40 * H, "box"),
            (TUE + 28 * H + 10 * MIN, "top"),
        ]
    );
    // Monday: box, since 0:00, until 19:50, top until 20:00 (cured at 5:00), box until 20:50. Tuesday: top, since 5:00, until 19:10
    // (cured at 4:10 on Wednesday), box, since 16:00, until 20:00. The run ends on Wednesday at 5:00, after a third top
    // has come.
    let all: Vec<Option<i64>> = outcome.orders.iter().map(|o| o.done_us).collect();
    assert_eq!(
        all,
        [
            Some(19 * H + 50 * MIN),
            Some(29 * H),
            Some(20 * H + 50 * MIN),
            Some(TUE + 28 * H + 10 * MIN),
            Some(TUE + 20 * H),
            None
        ]
    );
    assert_eq!(outcome.makespan_us, 53 * H);
    assert_eq!(hours.open_us, 4 * H);
    assert_eq!(outcome.crew[0].waiting_us, 4 * H - 170 * MIN);
    // The box that came at 20:00 waited for none; the third one, since the afternoon, for ten minutes of open time.
    assert_eq!(outcome.stations[0].queued_us, 10 * MIN);
    assert_eq!(hours.orders[3], Some((2 * H, 1)));
}

#[test]
fn people_walk_in_from_the_door_and_out_again_and_nobody_counts_that_as_walking() {
    let (outcome, hours) = shop(
        "
sessions: {when: [{days: [mon, tue], open: \"19:00\", close: \"20:00\"}], door: side}
room: {size: [10 m, 10 m], doors: [{name: big, between: [[1 m, 0], [3 m, 0]]}, {name: side, between: [[0, 4 m], [0, 5 m]]}]}
stations: {rack: {stand: [0, 0]}, saw: {stand: [0, 0], does: {cut: {per lot: 70 min}}}}
handling: {walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0}
crew: {ann: {starts at: saw}, bob: {can: []}}
projects: {box: {pieces: 1, material at: rack, route: [cut]}}
orders: [{project: box}]
layouts: {x: {walk: rectilinear, at: {rack: [2 m, 2 m], saw: [6 m, 5 m]}}}
",
    );
    // From the middle of the side door, [0, 4.5 m], to the rack 4.5 m, to the saw 6.5 m; from the rack to the saw 7 m.
    // Ann comes in to the saw on both evenings and goes out once; Bob stands at the rack.
    const DM: i64 = 100_000_000;
    assert_eq!(hours.going_nm, Some((3 * 65 + 3 * 45) * DM));
    assert_eq!(outcome.walking_nm(), 140 * DM);
    // 14 s of walking and 4200 s of cutting are 614 s longer than the first evening.
    assert_eq!(done(&outcome), [TUE + 19 * H + 614 * S]);
    assert_eq!(outcome.crew[1].waiting_us, H + 614 * S);
}
