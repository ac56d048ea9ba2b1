//! Winners that have won by nothing that matters: what `--select` and `--doubt` say of them, and how sure that is.

use std::process::Command;

use crate::support::{data, study};
use rayon::prelude::*;
use serde_json::Value;
use shopstride::experiment::{DRAWS, Indifference, Race, STAGE, Study, doubt, select};

fn trays() -> String {
    data("scenarios/won-by-nothing.yaml")
}

/// The two layouts alone.
fn two_layouts() -> String {
    let all = trays();
    let (before, _) = all.split_once("candidates:").expect("there are others");
    before.to_owned()
}

fn raced(study: &Study, indifference: Indifference) -> Race {
    select(study, indifference, &|_| {}).unwrap_or_else(|none| panic!("{none:?}"))
}

/// What the command says, with spaces for breaks of lines, and its data.
fn compared(yaml: &str, more: &[&str]) -> (String, Value) {
    let said = |more: &[&str]| {
        let folder = std::env::temp_dir().join(format!(
            "shopstride-won-{}-{:?}",
            std::process::id(),
            std::thread::current().id()
        ));
        std::fs::create_dir_all(&folder).expect("a folder");
        let file = folder.join("trays.yaml");
        std::fs::write(&file, yaml).expect("a file");
        let output = Command::new(env!("CARGO_BIN_EXE_shopstride"))
            .args(["compare", "--no-charts", "--quiet"])
            .arg(&file)
            .args(more)
            .output()
            .expect("the program runs");
        std::fs::remove_dir_all(&folder).expect("it can be removed");
        let errors = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{errors}");
        String::from_utf8(output.stdout).expect("UTF-8")
    };
    let text = said(more).split_whitespace().collect::<Vec<_>>().join(" ");
    let json = said(&[more, &["--json", "-"]].concat());
    (text, serde_json::from_str(&json).expect("JSON"))
}

#[track_caller]
fn assert_says(text: &str, words: &str) {
    assert!(text.contains(words), "{words:?} in {text}");
}

/// From the rack to the saw and on to the shelf it is 14 or 60 m: 46 s at 1 m/s, in every replication.
#[test]
fn a_difference_that_does_not_matter_selects_nobody() {
    let study = study(&two_layouts());
    let race = raced(&study, Indifference::LeadTime(300.0));
    assert_eq!((race.leader(), race.as_good()), (0, vec![1]));
    assert!((race.behind[1].mean - 46.0).abs() < 1e-6);
    let (text, data) = compared(&two_layouts(), &["--select", "5 min"]);
    assert_says(
        &text,
        "No difference of 5 min in lead time between \"near\" and \"far\" (46.0 s longer, of 26.",
    );
    assert!(!text.contains("Selected"), "{text}");
    let selection = &data["selection"];
    assert_eq!(selection["selected"], Value::Null);
    for row in selection["candidates"].as_array().expect("two") {
        assert_eq!(row["no_difference"], true);
    }
    assert!(
        (selection["candidates"][1]["behind"]["mean"]
            .as_f64()
            .unwrap()
            - 46.0)
            .abs()
            < 1e-6
    );
}

#[test]
fn a_difference_that_matters_selects() {
    let study = study(&two_layouts());
    for matters in [Indifference::LeadTime(45.0), Indifference::Walking(45.0)] {
        let race = raced(&study, matters);
        assert_eq!((race.choice(), race.as_good()), (Some(0), vec![]));
    }
    // Just above it does not.
    for matters in [Indifference::LeadTime(47.0), Indifference::Walking(47.0)] {
        assert_eq!(raced(&study, matters).as_good(), [1]);
    }
    let (text, data) = compared(&two_layouts(), &["--select", "20 s"]);
    assert_says(
        &text,
        "Selected for the shortest lead time, after 20 runs: \"near\".",
    );
    assert_eq!(data["selection"]["selected"], "near");
}

/// Oil beats varnish by a day; whether it does so near or far does not matter.
#[test]
fn whoever_is_as_good_as_the_one_selected_is_named() {
    let (text, data) = compared(&trays(), &["--select", "5 min"]);
    assert_says(&text, "after 20 runs: \"near, oiled\".");
    assert_says(
        &text,
        "But between \"near, oiled\" and \"far, oiled\" there is no difference of 5 min (46.0 s longer, of 8.5",
    );
    assert_eq!(data["selection"]["selected"], "near, oiled");
    let rows = data["selection"]["candidates"].as_array().expect("four");
    let alike: Vec<bool> = rows
        .iter()
        .map(|row| row["no_difference"].as_bool().unwrap())
        .collect();
    assert_eq!(alike, [false, false, false, true]);
}

#[test]
fn where_nothing_varies_the_difference_is_exact() {
    let fixed = two_layouts()
        .replace("{triangular: [8 min, 10 min, 15 min]}", "10 min")
        .replace("{triangular: [20 h, 24 h, 32 h]}", "24 h");
    let (text, _) = compared(&fixed, &["--select", "5 min"]);
    // 14 s, 10 min, 20 min, 24 h.
    assert_says(
        &text,
        "between \"near\" and \"far\" (46.0 s longer, of 24.5 h; no time varies, so one run is exact)",
    );
    let race = raced(&study(&fixed), Indifference::LeadTime(46.0));
    assert_eq!((race.choice(), race.as_good()), (Some(0), vec![]));
}

/// One time of work, a little longer in one candidate, at another step there: the two have no luck in common.
fn two_times(seed: u64, longer_by_s: f64) -> String {
    format!(
        "
title: Two times
stations:
  bench:
    does:
      glue: {{people: 0, per lot: {{normal: {{mean: 60 min, sd: 10 min}}}}}}
      wipe: {{people: 0, per lot: 1 s}}
projects: {{box: {{route: [glue, wipe]}}}}
orders: [{{project: box}}]
layouts: {{one: {{distances: 0}}}}
candidates:
  other:
    layout: one
    change:
      projects: {{box: {{route: [wipe, glue]}}}}
      stations: {{bench: {{does: {{glue: {{per lot: {{normal: {{mean: {} s, sd: 10 min}}}}}}}}}}}}
run: {{seed: {seed}}}
",
        3600.0 + longer_by_s
    )
}

/// Candidates play in batches, and one may be out before a batch ends.
#[test]
fn the_sentence_and_the_table_count_the_same_runs() {
    let played = |seed: u64| {
        let study = study(&two_times(seed, 700.0));
        let race = raced(&study, Indifference::LeadTime(60.0));
        let most = race.played.into_iter().max().expect("two");
        (race.left == [0] && !most.is_multiple_of(STAGE)).then_some((seed, most))
    };
    let (seed, most) = (1..50).find_map(played).expect("some race ends in a batch");
    let (text, data) = compared(&two_times(seed, 700.0), &["--select", "1 min"]);
    assert_says(&text, &format!("after {most} runs: \"one\"."));
    for row in data["selection"]["candidates"].as_array().expect("two") {
        assert_eq!(row["replications"], most);
        let name = row["name"].as_str().expect("a name");
        assert_says(&text, &format!(" {name} {most} "));
    }
}

/// Differences of 14 min either way from run to run. Where the true difference is the one that matters, hardly ever is
/// none found: two-sided intervals of 95 % lie below it in 2.5 %, and looking at the race first may double that. Where
/// there is no difference, it is nearly always found: intervals of half its length reach it in 5 %.
#[test]
fn no_difference_is_found_where_there_is_none() {
    const RACES: u64 = 600;
    let found = |longer_by_s: f64| {
        let alike = |seed: &u64| {
            let study = study(&two_times(*seed, longer_by_s));
            let race = raced(&study, Indifference::LeadTime(300.0));
            !race.as_good().is_empty()
        };
        (0..RACES).into_par_iter().filter(alike).count() as f64 / RACES as f64
    };
    let sd = |share: f64| (share * (1.0 - share) / RACES as f64).sqrt();
    let (none, as_matters) = (found(0.0), found(300.0));
    println!("found where there is none: {none}, where it is 5 min: {as_matters}");
    assert!(none > 0.9 - 4.0 * sd(0.9), "{none}");
    assert!(as_matters < 0.05 + 4.0 * sd(0.05), "{as_matters}");
}

/// In every draw the near layout is sooner, by 46 s times the factor of the walking speed, of some 25 h.
#[test]
fn a_best_that_is_hardly_better_is_said_to_be_so() {
    let study = study(&two_layouts());
    let found = doubt(&study, 0.2, &|_| {}).unwrap_or_else(|failure| panic!("{failure:?}"));
    let [near, far] = found.lead_time[..] else {
        panic!("two candidates");
    };
    assert_eq!([near.best, far.best], [DRAWS, 0]);
    assert_eq!([near.near, far.near], [DRAWS, DRAWS]);
    let longer = far.mean().unwrap() - near.mean().unwrap();
    assert!((46.0 / 1.2..46.0 * 1.2).contains(&longer), "{longer}");
    // Walking, 14 m against 60 m, matters.
    assert_eq!([found.walking[0].near, found.walking[1].near], [DRAWS, 0]);
    let (text, data) = compared(&two_layouts(), &["--doubt", "20%"]);
    assert_says(
        &text,
        "In lead time that hardly matters: \"far\" is within 1 % of the best in 100 draws, by 4",
    );
    assert!(!text.contains("In walking"), "{text}");
    // The table crowns nobody either: both are the best, or as good, in every draw.
    assert_says(&text, &format!(" far 0 of {DRAWS} {DRAWS} of {DRAWS}"));
    assert_says(
        &text,
        &format!(" near {DRAWS} of {DRAWS} {DRAWS} of {DRAWS}"),
    );
    assert_eq!(
        data["doubt"]["candidates"][1]["lead_time_within_1_percent"],
        DRAWS
    );
    // Against oil it does matter: the two of a kind are as good as each other, the others far behind.
    let (text, _) = compared(&trays(), &["--doubt", "20%"]);
    assert_says(
        &text,
        "In lead time that hardly matters: \"far, oiled\" is within 1 % of the best in 100 draws",
    );
}

/// A garage of evenings: one layout is sooner in most draws, and in some by a whole evening, but by some minutes of more
/// than a week on average.
#[test]
fn a_best_that_is_hardly_better_on_average_is_said_to_be_so() {
    let garage = include_str!("../../scenarios/garage.yaml");
    let study = study(garage);
    let found = doubt(&study, 0.2, &|_| {}).unwrap_or_else(|failure| panic!("{failure:?}"));
    let [grew, order] = found.lead_time[..] else {
        panic!("two candidates");
    };
    assert!(order.best > grew.best && grew.near < 90, "{grew:?}");
    let later = grew.mean().unwrap() - order.mean().unwrap();
    assert!(later.abs() < 0.01 * order.mean().unwrap(), "{later}");
    let (text, _) = compared(garage, &["--doubt", "20%"]);
    assert_says(
        &text,
        &format!(
            "In lead time that hardly matters on average: \"as it grew\" is within 1 % of the best in {} draws, by",
            grew.near
        ),
    );
}

/// The shorter way leads to a bench that stands in the saw.
#[test]
fn a_selected_layout_is_told_to_have_faults() {
    let drawn = |far: &str| {
        format!(
            "title: Drawn
stations:
  saw: {{size: [1 m, 1 m], stand: [0, -1 m], does: {{cut: {{per lot: 1 min}}}}}}
  bench: {{size: [1 m, 1 m], stand: [0, -1 m], does: {{sand: {{per lot: 1 min}}}}}}
projects: {{box: {{material at: saw, route: [cut, sand]}}}}
orders: [{{project: box}}]
room: {{size: [12 m, 6 m]}}
layouts:
  near: {{at: {{saw: [3 m, 3 m], bench: [3.9 m, 3 m]}}}}
  far: {{at: {{saw: [3 m, 3 m], bench: {far}}}}}
"
        )
    };
    let selected = |far: &str| compared(&drawn(far), &["--select", "1 m"]).0;
    let said = selected("[9 m, 3 m]");
    assert_says(
        &said,
        "\"near\" has 1 fault on the floor, which the selection does not look at; \"far\" has none.",
    );
    let both = selected("{at: [9 m, 0.2 m], turn: 180}");
    assert_says(&both, "no layout that is drawn is without.");
    let apart = drawn("[9 m, 3 m]").replace("3.9 m", "4.5 m");
    let sound = compared(&apart, &["--select", "1 m"]).0;
    assert!(!sound.contains("fault on the floor"), "{sound}");
}
