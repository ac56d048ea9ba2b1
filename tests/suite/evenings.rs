//! What a shop that keeps hours is told of its evenings. Small shops of fixed times, reckoned on paper: work from 19:05 to
//! 21:20 on Tuesday and Thursday, which is 135 min each, from Monday, 30 November 2026 on. So the first five evenings have
//! 675 min, and the sixth, Thursday 17 December, lasts until 810 min are worked.

mod calendar;
mod spreadsheet;

use std::fs;

use serde_json::Value;

use crate::support::command::{done, folder, text};

const EVENINGS: &str = "sessions: [{days: [tue, thu], open: \"19:00\", close: \"21:30\", set up: 5 min, tidy up: 10 min}]\n";
const STARTS: &str = "run: {starts: 2026-11-30}\n";

/// One person who works at one bench; nothing is walked or handled unless somebody says how far it is.
pub fn shop(work: &str, orders: &str, more: &str) -> String {
    format!(
        "title: Boxes\nhandling: {{pick up: 0, put down: 0}}\nstations: {{bench: {{does: {{glue: {work}}}}}}}\n\
         projects: {{box: {{route: [glue]}}}}\norders: [{orders}]\nlayouts: {{here: {{distances: 0}}}}\n{EVENINGS}{more}"
    )
}

/// What a command says of a scenario, in one line.
pub fn said(command: &[&str], scenario: &str) -> String {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), scenario).expect("written");
    let arguments = [command, &["--quiet", "shop.yaml"]].concat();
    let answer = text(&done(&arguments, folder.path()).stdout);
    answer.split_whitespace().collect::<Vec<_>>().join(" ")
}

pub fn data(command: &[&str], scenario: &str) -> Value {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), scenario).expect("written");
    let arguments = [command, &["--quiet", "--json", "-", "shop.yaml"]].concat();
    serde_json::from_slice(&done(&arguments, folder.path()).stdout).expect("JSON")
}

/// 720 min are five evenings and 45 min of the sixth.
#[test]
fn one_order_is_done_on_an_evening_with_its_date() {
    let boxes = shop("{per lot: 720 min}", "{project: box}", STARTS);
    let answer = said(&["run"], &boxes);
    assert!(
        answer.contains(
            "A box is done on the sixth evening, Thu 17 Dec. That takes 12 h of open time"
        ),
        "{answer}"
    );
    let found = &data(&["run"], &boxes)["candidates"][0];
    let done_at = &found["done_at"];
    let seconds = f64::from(((17 * 24 + 19) * 60 + 50) * 60);
    assert_eq!(done_at["p50_s"], seconds);
    assert_eq!(done_at["p50_session"], 6);
    assert_eq!(done_at["p90_date"], "2026-12-17");
    assert_eq!(done_at["sessions"], 6.0);
    assert_eq!(found["projects"][0]["done_at"], *done_at);
    assert_eq!(found["lead_time"]["sessions_p90"], 6);
    assert_eq!(found["lead_time"]["in_shop_time_s"], 720.0 * 60.0);
}

#[test]
fn without_a_date_it_is_a_day_of_some_week() {
    let answer = said(&["run"], &shop("{per lot: 720 min}", "{project: box}", ""));
    let expected = "done on the sixth evening, Thursday of the third week.";
    assert!(answer.contains(expected), "{answer}");
    assert!(data(&["run"], &shop("{per lot: 1 h}", "{project: box}", ""))["candidates"][0]
        ["done_at"]["p50_date"]
        .is_null());
}

/// A tenth of the runs each takes 600 min, which ends on the fifth evening, and 850 min, which ends on the seventh.
#[test]
fn of_what_varies_it_is_said_from_when_to_when() {
    let boxes = shop(VARIED, "{project: box}", STARTS);
    let answer = said(&["run"], &boxes);
    let expected =
        "done on the sixth evening, Thu 17 Dec (from the fifth to the seventh in 9 of 10 runs).";
    assert!(answer.contains(expected), "{answer}");
    let done_at = &data(&["run"], &boxes)["candidates"][0]["done_at"];
    let sessions = ["p05", "p50", "p95"].map(|of| done_at[format!("{of}_session")].clone());
    assert_eq!(sessions, [5, 6, 7]);
    assert_eq!(done_at["p05_date"], "2026-12-15");
    let mean = done_at["sessions"].as_f64().expect("a number");
    assert!((mean - 6.0).abs() < 0.05, "{mean}");
}

/// 45 min of work on the first evening, Tuesday until 19:50, and a day of drying.
#[test]
fn what_dries_on_after_the_last_evening_is_told() {
    let glued = "{per lot: 45 min, cure: {time: 24 h, ties up: []}}";
    let answer = said(&["run"], &shop(glued, "{project: box}", STARTS));
    let expected = "done on the first evening, Tue 1 Dec; what goes on by itself, as drying does, ends on Wed 2 Dec.";
    assert!(answer.contains(expected), "{answer}");
}

/// Three boxes of 240 min are 720 min. Each is in the shop from the first evening on, and is done after 240, 480 and 720
/// min: on the second, the fourth and the sixth evening.
#[test]
fn of_several_orders_the_last_has_a_date_and_each_its_evenings() {
    let boxes = shop("{per lot: 240 min}", "{project: box, count: 3}", STARTS);
    let answer = said(&["run"], &boxes);
    let expected = "All 3 orders are done on the sixth evening, Thu 17 Dec. One takes 4 evenings (6 or fewer for 9 in 10 \
                    orders) from start to finish, with 8 h of open time";
    assert!(answer.contains(expected), "{answer}");
    assert!(!answer.contains("done after"), "{answer}");
    assert!(!answer.contains(" d each"), "{answer}");
}

/// One box of 200 min a week: 135 min on Tuesday and the rest on Thursday.
#[test]
fn orders_that_come_one_after_another_have_evenings_and_no_date() {
    let boxes = shop(
        "{per lot: 200 min}",
        "{project: box, every: 7 d, count: 3}",
        STARTS,
    );
    let answer = said(&["run"], &boxes);
    let expected = "A box takes 2 evenings from start to finish, with 3¼ h of open time";
    assert!(answer.contains(expected), "{answer}");
    assert!(data(&["run"], &boxes)["candidates"][0]["done_at"].is_null());
}

#[test]
fn each_project_has_its_own_evening() {
    let two = "title: Two\nhandling: {pick up: 0, put down: 0}\n\
               stations: {bench: {does: {glue: {per lot: 135 min}, carve: {per lot: 585 min}}}}\n\
               projects: {box: {route: [glue]}, chest: {route: [carve]}}\n\
               orders: [{project: box}, {project: chest}]\nlayouts: {here: {distances: 0}}\n";
    let answer = said(&["run"], &format!("{two}{EVENINGS}{STARTS}"));
    for expected in [
        "Both orders are done on the sixth evening, Thu 17 Dec.",
        "A box is done on the first evening, Tue 1 Dec, with 135 min of open time",
        "A chest is done on the sixth evening, Thu 17 Dec, with 12 h of open time",
    ] {
        assert!(answer.contains(expected), "{expected}: {answer}");
    }
}

/// Boards are carried 1200 m at 1 m/s, which is 20 min, or nowhere.
fn far_and_near(minutes: u32) -> String {
    format!(
        "title: Boxes\nhandling: {{pick up: 0, put down: 0, loaded speed: 1 m/s}}\n\
         stations: {{rack: {{}}, bench: {{does: {{glue: {{per lot: {minutes} min}}}}}}}}\n\
         projects: {{box: {{material at: rack, route: [glue]}}}}\norders: [{{project: box}}]\n\
         layouts:\n  far: {{distances: {{rack: {{bench: 1200 m}}}}}}\n  near: {{distances: {{rack: {{bench: 0}}}}}}\n\
         {EVENINGS}{STARTS}"
    )
}

/// 720 and 700 min both end on the sixth evening: less walking is not sold as being done sooner.
#[test]
fn walking_that_changes_no_evening_is_not_oversold() {
    let answer = said(&["compare", "--no-charts"], &far_and_near(700));
    for expected in [
        "Less walking, but no evening sooner: \"near\" saves 1200 m of walking per box (100 %), which is 20 min of 12 h hands-on.",
        "A box is done on the same evening in both: the sixth evening, Thu 17 Dec.",
        "the same evening",
    ] {
        assert!(answer.contains(expected), "{expected}: {answer}");
    }
    assert!(!answer.contains("Start to finish"), "{answer}");
    let change =
        &data(&["compare", "--no-charts"], &far_and_near(700))["comparisons"][0]["done_at"];
    assert_eq!(
        (&change["sooner_share"], &change["difference_sessions"]),
        (&0.0.into(), &0.0.into())
    );
}

/// 680 min end on the sixth evening, 660 min on the fifth.
#[test]
fn walking_that_saves_an_evening_is_told_so() {
    let answer = said(&["compare", "--no-charts"], &far_and_near(660));
    let expected = "A box is done on the fifth evening, Tue 15 Dec, instead of the sixth evening, Thu 17 Dec; an evening or \
                    more sooner.";
    assert!(answer.contains(expected), "{answer}");
    assert!(
        answer.contains("−1 evening") || answer.contains("−1.00 evenings"),
        "{answer}"
    );
    assert!(!answer.contains("no evening sooner"), "{answer}");
}

/// A shop that is open on Saturday too has shop days, one that is open twice a day has sessions: 30 min on Tuesday morning and 30
/// in the evening.
#[test]
fn evenings_are_spoken_of_where_there_are_evenings() {
    let base = shop("{per lot: 1 h}", "{project: box}", STARTS);
    let saturday = base.replace(
        "sessions: [",
        "sessions: [{days: [sat], open: \"9:00\", close: \"12:00\"}, ",
    );
    assert!(
        said(&["run"], &saturday).contains("on the first shop day, Tue 1 Dec"),
        "{saturday}"
    );
    let twice = base.replace(
        "sessions: [",
        "sessions: [{days: [tue], open: \"9:00\", close: \"9:30\"}, ",
    );
    assert!(
        said(&["run"], &twice).contains("in the second session, Tue 1 Dec"),
        "{twice}"
    );
}

/// The shortest of three times ends on the fifth evening, the last on the seventh: a tenth of the runs each.
const VARIED: &str = "{per lot: {observed: [600 min, 720 min, 720 min, 720 min, 720 min, 720 min, 720 min, 720 min, \
                      720 min, 850 min]}}";

/// The share of runs in which an order line is done by then, in and out of words.
fn in_time(scenario: &str) -> (f64, String) {
    let found = &data(&["run"], scenario)["candidates"][0]["in_time"][0];
    let share = found["share"].as_f64().expect("a share");
    (share, said(&["run"], scenario))
}

#[test]
fn how_often_a_day_is_met_is_told() {
    let by = |day: &str| {
        in_time(&shop(
            VARIED,
            &format!("{{project: box, by: {day}}}"),
            STARTS,
        ))
    };
    let (share, answer) = by("2026-12-15");
    assert!((share - 0.1).abs() < 0.025, "{share}");
    let of_100 = (100.0 * share).round();
    let expected = format!("In time A box is done by Tue 15 Dec in {of_100} of 100 runs.");
    assert!(answer.contains(&expected), "{answer}");
    // Seventeen days are over when Wednesday, the 16th, is.
    let (same, answer) = by("17 d");
    assert_eq!(same, share);
    assert!(answer.contains("done by Wed 16 Dec in"), "{answer}");
    let (most, _) = by("2026-12-17");
    assert!((most - 0.9).abs() < 0.025, "{most}");
    assert!(
        by("2026-12-22")
            .1
            .contains("by Tue 22 Dec in all 2000 runs.")
    );
    assert!(
        by("2026-12-10")
            .1
            .contains("by Thu 10 Dec in none of 2000 runs.")
    );
    let found = &data(
        &["run"],
        &shop(VARIED, "{project: box, by: 2026-12-10}", STARTS),
    )["candidates"][0]["in_time"][0];
    assert_eq!(
        (&found["low"], &found["by_date"]),
        (&0.0.into(), &"2026-12-10".into())
    );
    // Wilson's upper end for none of n at 95 % is z² / (n + z²), z = 1.96.
    let high = found["high"].as_f64().expect("an end");
    assert!((high - 3.8416 / 2003.8416).abs() < 1e-6, "{high}");
}

/// Where nothing varies, a day is met or it is not; of several orders by the last one.
#[test]
fn a_day_is_met_when_all_of_a_line_is_done() {
    let one = |by: &str| {
        shop(
            "{per lot: 720 min}",
            &format!("{{project: box, by: {by}}}"),
            STARTS,
        )
    };
    let three = |by: &str| {
        shop(
            "{per lot: 240 min}",
            &format!("{{project: box, count: 3, by: {by}}}"),
            STARTS,
        )
    };
    // Released on three Tuesdays, each done on the Thursday after: the last on 17 December.
    let weekly = |by: &str| {
        shop(
            "{per lot: 200 min}",
            &format!("{{project: box, every: 7 d, count: 3, by: {by}}}"),
            STARTS,
        )
    };
    let always_open = |by: &str| {
        one(by)
            .replace(EVENINGS, "")
            .replace(STARTS, "")
            .replace("720 min", "10 min")
    };
    let cases = [
        (
            one("2026-12-17"),
            1.0,
            "A box is always done by Thu 17 Dec.",
        ),
        (one("2026-12-16"), 0.0, "A box is never done by Wed 16 Dec."),
        (
            three("2026-12-17"),
            1.0,
            "All 3 orders of a box are always done by Thu 17 Dec.",
        ),
        (three("2026-12-16"), 0.0, "never done by Wed 16 Dec."),
        (weekly("2026-12-17"), 1.0, "always done by Thu 17 Dec."),
        (weekly("2026-12-16"), 0.0, "never done by Wed 16 Dec."),
        (
            always_open("10 min"),
            1.0,
            "A box is always done within 10 min of the start.",
        ),
        (
            always_open("9 min"),
            0.0,
            "A box is never done within 9 min of the start.",
        ),
    ];
    for (scenario, share, expected) in cases {
        let (found, answer) = in_time(&scenario);
        assert_eq!(found, share, "{scenario}");
        assert!(answer.contains(expected), "{expected}: {answer}");
    }
}

#[test]
fn two_layouts_are_held_against_the_same_day() {
    let scenario = far_and_near(660).replace("{project: box}", "{project: box, by: 2026-12-15}");
    let answer = said(&["compare", "--no-charts"], &scenario);
    let expected = "A box is done by Tue 15 Dec never in \"far\" and always in \"near\".";
    assert!(answer.contains(expected), "{answer}");
    assert!(answer.contains("in time"), "{answer}");
}

/// Until 20:20 there are 75 min an evening: 720 min are nine evenings and 45 min of the tenth, in place of six.
#[test]
fn what_quiet_time_costs_is_told() {
    let quiet = EVENINGS
        .replace("sessions: ", "sessions: {when: ")
        .replace("]\n", "], quiet: {from: \"20:20\", to: \"8:00\"}}\n");
    let loud = shop("{per lot: 720 min}", "{project: box}", STARTS)
        .replace("bench: {", "bench: {loud: true, ");
    let kept = loud.replace(EVENINGS, &quiet);
    let costs = "No quiet time at all saves 4 evenings of 10 evenings from start to finish";
    let answer = said(&["run"], &kept);
    assert!(
        answer.contains(&format!("Quiet time holds loud work up. {costs}.")),
        "{answer}"
    );
    let answer = said(&["bottleneck"], &kept);
    assert!(answer.contains(&format!("Quiet time {costs}")), "{answer}");
    // Nothing is said of it where there is none, or where nothing is loud.
    assert!(!said(&["bottleneck"], &loud).contains("uiet time"));
    let silent = kept.replace("loud: true", "loud: false");
    let untried = data(&["bottleneck"], &silent)["relief_not_tried"].clone();
    let mut untried = untried.as_array().expect("a list").iter();
    let of_quiet = untried.find(|untried| untried["kind"] == "quiet");
    assert_eq!(
        of_quiet.expect("told")["why"],
        "nothing that is ordered is done at a loud station"
    );
}

/// 720 min from Tuesday, 1 December, 19:05 to Thursday, 17 December, 19:50. With Wednesdays they are 135 min on three evenings a
/// week, so that the sixth evening is Thursday, 10 December: seven days less.
#[test]
fn one_more_evening_is_tried_and_told_in_days() {
    let boxes = shop("{per lot: 720 min}", "{project: box}", STARTS);
    let answer = said(&["bottleneck"], &boxes);
    let expected = "One more evening a week (Wed 19:00 to 21:30) saves 7 calendar days of 16 from start to finish (44 %).";
    assert!(answer.contains(expected), "{answer}");
    let found = data(&["bottleneck"], &boxes);
    let reliefs = found["relief"].as_array().expect("a list");
    let of = |kind: &str, change: &str| {
        let mut same = reliefs.iter();
        same.find(|relief| relief["kind"] == kind && relief["change"] == change)
            .expect("tried")
            .clone()
    };
    let more = of("session", "one more, Wed 19:00 to 21:30");
    assert_eq!(more["lead_time"]["difference_s"], -7.0 * 86_400.0);
    assert_eq!(more["sessions"]["difference"], 0.0);
    // Half of 720 min ends on the third evening, and a tenth less, 648 min, on the fifth.
    assert_eq!(of("station", "times −50 %")["sessions"]["difference"], -3.0);
    assert_eq!(of("station", "times −10 %")["sessions"]["difference"], -1.0);
    assert!(
        answer.contains("saves 3 evenings of 6 evenings from start to finish"),
        "{answer}"
    );
    // Where each day has a session, there is no day for another one.
    let every_day = boxes.replace("[tue, thu]", "[mon, tue, wed, thu, fri, sat, sun]");
    let untried = data(&["bottleneck"], &every_day)["relief_not_tried"].clone();
    let mut untried = untried.as_array().expect("a list").iter();
    let more = untried
        .find(|untried| untried["kind"] == "session")
        .expect("told");
    assert_eq!(more["why"], "the shop is open on every day of the week");
}
