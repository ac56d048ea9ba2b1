//! The scenarios whose comments work out by hand why a shorter way, or one more machine, may bring nothing.

use crate::support::command::{done, folder, text};
use serde_json::Value;

fn path(scenario: &str) -> String {
    format!("{}/scenarios/{scenario}.yaml", env!("CARGO_MANIFEST_DIR"))
}

struct Compared {
    candidate: String,
    /// In seconds.
    lead_time: f64,
    /// In metres.
    walked: f64,
    /// The share of its time that each station is in use.
    in_use: Vec<(String, f64)>,
}

fn compared(scenario: &str) -> Vec<Compared> {
    let file = path(scenario);
    let arguments = ["compare", "--no-charts", "--quiet", "--json", "-", &file];
    let output = done(&arguments, folder().path());
    let document: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let candidates = document["candidates"].as_array().expect("candidates");
    let number = |value: &Value| value.as_f64().expect("a number");
    let name = |value: &Value| value["name"].as_str().expect("a name").to_owned();
    let figures = candidates.iter().map(|candidate| {
        let stations = candidate["stations"].as_array().expect("stations");
        let in_use = stations
            .iter()
            .map(|station| (name(station), number(&station["utilisation"])));
        Compared {
            candidate: name(candidate),
            lead_time: number(&candidate["lead_time"]["mean_s"]),
            walked: number(&candidate["walking"]["mean_m"]),
            in_use: in_use.collect(),
        }
    });
    figures.collect()
}

/// What is said of the candidates of a scenario that is not in a file yet.
fn candidates_of(scenario: &str) -> Vec<Value> {
    let folder = folder();
    std::fs::write(folder.path().join("other.yaml"), scenario).expect("a file");
    let arguments = [
        "compare",
        "--no-charts",
        "--quiet",
        "--json",
        "-",
        "other.yaml",
    ];
    let output = done(&arguments, folder.path());
    let document: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    document["candidates"]
        .as_array()
        .expect("candidates")
        .clone()
}

/// When orders are done, in seconds.
fn orders_done(scenario: &str, candidate: &str) -> Vec<f64> {
    let file = path(scenario);
    let arguments = [
        "run", "--quiet", "--layout", candidate, "--trace", "-", &file,
    ];
    let output = done(&arguments, folder().path());
    let lines = text(&output.stdout);
    let lines = lines
        .lines()
        .map(|line| serde_json::from_str::<Value>(line).expect("JSON"));
    lines
        .filter(|line| line["what"] == "order done")
        .map(|line| line["end_s"].as_f64().expect("a moment"))
        .collect()
}

/// Everybody takes what has been ready longest, so all six are shaped first, two at a time in 20 min, and the first is
/// bored from 60 min on, in 30 min: the table in the comment of the file.
#[test]
fn one_more_machine_helps_nobody_while_something_else_is_short() {
    let one_at_a_time = [90.0, 120.0, 150.0, 180.0, 210.0, 240.0];
    let expected = [
        ("one drill press", one_at_a_time, 0.75),
        ("second drill press", one_at_a_time, 0.375),
        ("second jig", one_at_a_time, 0.75),
        ("both", [90.0, 90.0, 120.0, 120.0, 150.0, 150.0], 0.6),
    ];
    let compared = compared("second-machine");
    assert_eq!(compared.len(), expected.len());
    for (found, (candidate, done, utilisation)) in compared.iter().zip(expected) {
        assert_eq!(found.candidate, candidate);
        let moments = orders_done("second-machine", candidate);
        assert_eq!(moments, done.map(|minutes| 60.0 * minutes), "{candidate}");
        // The mean of six, in seconds.
        assert_eq!(
            found.lead_time,
            10.0 * done.iter().sum::<f64>(),
            "{candidate}"
        );
        assert_eq!(found.walked, 0.0);
        // Six times half an hour, of as long as the run takes, by one machine or two.
        let drill_press = found.in_use.iter().find(|(name, _)| name == "drill press");
        let (_, in_use) = drill_press.expect("there is one");
        assert!((in_use - utilisation).abs() < 1e-9, "{candidate}: {in_use}");
    }
}

/// The sums of the table in the comment of the file.
#[test]
fn the_shorter_walk_takes_longer() {
    let compared = compared("shorter-walk-longer-lead");
    let found: Vec<_> = compared
        .iter()
        .map(|found| (&*found.candidate, found.lead_time, found.walked))
        .collect();
    let expected = [
        ("glue table by the rack", 6406.0, 718.0),
        ("saw by the rack", 6682.0, 442.0),
    ];
    assert_eq!(found, expected);
}

/// The table in the comment of the file. The shop opens with work at 19:05 on a Tuesday; the fifth evening is two weeks
/// later, the fourth on the Thursday before.
#[test]
fn gluing_last_saves_the_evening_that_the_shorter_way_does_not() {
    const DAY: f64 = 86_400.0;
    let compared = compared("evenings");
    let found: Vec<_> = compared
        .iter()
        .map(|found| (&*found.candidate, found.lead_time, found.walked))
        .collect();
    let fifth_evening = 14.0 * DAY + 40.0 * 60.0;
    let fourth_evening = 9.0 * DAY + 100.0 * 60.0;
    let expected = [
        ("bench at the back", fifth_evening, 490.0),
        ("bench by the saw", fifth_evening, 175.0),
        ("glued last in a session", fourth_evening, 490.0),
    ];
    assert_eq!(found, expected);
}

/// The exercises at the end of the comment of `evenings`: where it turns.
#[test]
fn what_else_saves_evenings() {
    let all = std::fs::read_to_string(path("evenings")).expect("readable");
    let sessions = |was: &str, is: &str| -> Vec<f64> {
        assert_eq!(all.matches(was).count(), 1, "{was}");
        let candidates = candidates_of(&all.replace(was, is));
        let of = |candidate: &Value| candidate["lead_time"]["sessions"].as_f64();
        let sessions = candidates.iter().map(of);
        sessions.map(|found| found.expect("a number")).collect()
    };
    // With an hour in the clamps two panels are glued in the second evening, whatever comes first; so they are in
    // evenings half an hour longer; and a second bench saves two.
    assert_eq!(sessions("time: 90 min", "time: 60 min"), [4.0; 3]);
    assert_eq!(sessions("close: \"21:10\"", "close: \"21:40\""), [4.0; 3]);
    let only_one = "# the only one: what is in clamps lies on it";
    let second_bench = sessions(only_one, "\n    count: 2");
    assert_eq!(second_bench[..2], [3.0; 2]);
}

/// The exercise at the end of the comment: with the slats first the better layout is the other one.
#[test]
fn with_the_slats_first_the_shorter_walk_is_the_sooner_one() {
    let all = std::fs::read_to_string(path("shorter-walk-longer-lead")).expect("readable");
    let (plank, slat) = (all.find("      plank:\n"), all.find("      slat:\n"));
    let end = all.find("\norders:\n");
    let (plank, slat, end) = (
        plank.expect("planks"),
        slat.expect("slats"),
        end.expect("orders"),
    );
    let turned = [
        &all[..plank],
        &all[slat..end],
        &all[plank..slat],
        &all[end..],
    ]
    .concat();
    let candidates = candidates_of(&turned);
    let found: Vec<_> = candidates
        .iter()
        .map(|candidate| {
            (
                candidate["lead_time"]["mean_s"].as_f64().expect("a number"),
                candidate["walking"]["mean_m"].as_f64().expect("a number"),
            )
        })
        .collect();
    // Lots of six slats over d metres to the saw: 6 (4 + d) + 5 d + 540 s each, d between them and d back to the rack;
    // then the planks over e metres, 12 (4 + e) + 11 e, glue-up and cure 75 min, flattening 30 min.
    let by_hand = |d: f64, e: f64| {
        let slats = 4.0 * (6.0 * (4.0 + d) + 5.0 * d + 540.0) + 3.0 * d + d;
        let planks = 12.0 * (4.0 + e) + 11.0 * e;
        (slats + planks + 6300.0, 48.0 * d + 23.0 * e)
    };
    assert_eq!(by_hand(14.0, 2.0), (9322.0, 718.0));
    assert_eq!(by_hand(2.0, 14.0), (9022.0, 418.0));
    assert_eq!(found, [by_hand(14.0, 2.0), by_hand(2.0, 14.0)]);
}
