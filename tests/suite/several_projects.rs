//! Orders of different projects have no lead time in common: figures, differences and answers are those of each project.

use serde_json::Value;
use shopstride::experiment::run;
use shopstride::report::{answer, data, projects, tables};

use crate::first_minute::{line, said};
use crate::support::{data as file, study};

const FILE: &str = "scenarios/bookcase-and-dresser.yaml";

/// The comments of the file give both layouts step by step.
const BY_HAND: [[(&str, f64, f64); 2]; 2] = [
    [("bookcase", 91_870.0, 70.0), ("dresser", 18_130.0, 130.0)],
    [("bookcase", 91_860.0, 60.0), ("dresser", 18_090.0, 90.0)],
];

fn json() -> Value {
    data::json(&run(&study(&file(FILE)), 0, &|_| ()).expect("it does not get stuck"))
}

fn is(value: &Value, expected: f64) {
    let value = value.as_f64().expect("a figure");
    assert!((value - expected).abs() < 1e-6, "{value} {expected}");
}

#[test]
fn figures_and_differences_are_those_of_each_project() {
    let json = json();
    for (candidate, expected) in BY_HAND.iter().enumerate() {
        let found = &json["candidates"][candidate]["projects"];
        for (index, (name, lead_time, walked)) in expected.iter().enumerate() {
            let project = &found[index];
            assert_eq!(project["name"], *name);
            is(&project["lead_time_s"], *lead_time);
            is(&project["walking_per_order_m"], *walked);
            // A histogram is exact to a part in 128.
            let median = project["lead_time_p50_s"].as_f64().expect("a median");
            assert!((median / lead_time - 1.0).abs() < 1.0 / 64.0, "{median}");
        }
    }
    let compared = &json["comparisons"][0]["projects"];
    for (index, (base, other)) in BY_HAND[0].iter().zip(BY_HAND[1]).enumerate() {
        assert_eq!(compared[index]["name"], base.0);
        is(
            &compared[index]["lead_time"]["difference_s"],
            other.1 - base.1,
        );
        let metres = &compared[index]["walking_per_order"]["difference_m"];
        is(metres, other.2 - base.2);
        let soonest = &json["best"]["projects"][index];
        assert_eq!(soonest["name"], base.0);
        assert_eq!(soonest["lead_time"]["name"], "rack close by");
    }
}

/// The mean over both orders, 55 000 s or 15.3 h in the first layout, is the lead time of neither.
#[test]
fn no_answer_and_no_table_averages_them() {
    let said = |arguments: &[&str]| said(arguments, &file(FILE));
    let texts = [
        said(&["compare", "--no-charts", "--quiet"]),
        said(&["compare", "--no-charts", "--quiet", "--details"]),
        said(&["run", "--quiet"]),
        said(&["run", "--quiet", "--details"]),
        said(&["bottleneck", "--quiet", "--details"]),
    ];
    for text in &texts {
        assert!(
            !text.contains("15.3 h") && !text.contains("15¼ h"),
            "{text}"
        );
    }
    let [compare, _, run, _, bottleneck] = &texts;
    assert_eq!(
        line(compare, "Worth it?").expect("an answer"),
        "Hardly, by the time it saves: \"rack close by\" saves 50 m of walking in one run (25 %), which is 50 s of 6½ h \
         hands-on. Start to finish every project takes the same in both, to within 40 s: a bookcase 25.5 h, a dresser 5 h."
    );
    assert_eq!(
        line(run, "Takes").expect("an answer"),
        "A bookcase 25.5 h (94 % curing and drying) and a dresser 5 h (99 % work) from start to finish."
    );
    assert_eq!(
        line(run, "Would help").expect("an answer"),
        "Halving the times at the bench (mostly the cure after glue) saves 12.3 h of 25.5 h from start to finish of a \
         bookcase. That takes another glue or finish, which gets the time \
         that its maker says."
    );
    let flow = line(run, "Flow").expect("an answer");
    assert!(flow.ends_with("one is done every 30.3 h."), "{flow}");
    let most = line(bottleneck, "Helps most").expect("an answer");
    assert!(
        most.contains("the lead time of a bookcase of 25.5 h by 12.3 h (48 %) and that of a dresser of 5 h by 90 min (30 %)"),
        "{most}"
    );
}

#[test]
fn tables_have_a_row_for_each_project_below_its_layout() {
    let findings = run(&study(&file(FILE)), 0, &|_| ()).expect("it does not get stuck");
    let layouts = tables::layouts(&findings, &[], 80);
    let rows: Vec<Vec<&str>> = layouts
        .lines()
        .map(|row| row.split_whitespace().collect())
        .collect();
    let begins = |words: &[&str]| {
        let is_there = rows.iter().any(|row| row.starts_with(words));
        assert!(is_there, "{words:?}\n{layouts}");
    };
    begins(&["rack", "far", "away", "200", "m", "bench"]);
    begins(&["bookcase", "25.5", "h"]);
    begins(&["dresser", "5.04", "h"]);
    begins(&["−40.0", "s"]);
    let by_project = projects::comparison(&findings, 80).expect("there are two");
    assert!(by_project.contains("−40.0 m"), "{by_project}");
    assert!(
        answer::compare(&findings).contains(
            "Lead time in \"rack close by\" compared with \"rack far away\": that of a bookcase 10.0 s shorter and that \
             of a dresser 40.0 s shorter."
        ),
        "{}",
        answer::compare(&findings)
    );
}

/// With these ways the bookcase takes 80 s of walking instead of 70 s, and the dresser 125 s instead of 130 s.
#[test]
fn a_layout_is_sooner_only_if_no_project_is_later() {
    let scenario = file(FILE).replace(
        "rack: {saw: 20 m, bench: 30 m}, saw: {bench: 40 m}",
        "rack: {saw: 60 m, bench: 45 m}, saw: {bench: 20 m}",
    );
    let compare = said(&["compare", "--no-charts", "--quiet"], &scenario);
    assert_eq!(
        line(&compare, "Worth it?").expect("an answer"),
        "No: \"rack far away\" walks least, and \"rack close by\" finishes one project sooner and another one \
         later."
    );
}
