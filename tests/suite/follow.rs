//! `run --explain`: what is decided at each instant, against the trace of the same run and a small shop by hand.

use std::collections::BTreeMap;
use std::fs;

use shopstride::experiment::{decisions, trace};
use shopstride::metrics::{DecisionInstant, What};
use shopstride::units::Moment;

use crate::support::command::{done, folder, refused, text};
use crate::support::{study, yaml_files};

/// Project, order, item, batch and step: one task, of which its take-off is another one.
type Task = (usize, u64, usize, u32, u32, bool);

/// Every task that is chosen is told once, at its instant and in its order, with since when it was ready.
#[test]
fn what_is_told_is_what_was_chosen() {
    for file in yaml_files("scenarios") {
        let study = study(&fs::read_to_string(&file).expect("readable"));
        for candidate in 0..study.candidates.len() {
            let mut told: Vec<(Moment, Task)> = Vec::new();
            let mut since: BTreeMap<Task, Moment> = BTreeMap::new();
            let mut last = None;
            let tell = |instant: &DecisionInstant| {
                assert!(last < Some(instant.now), "each instant is told once");
                last = Some(instant.now);
                for lot in &instant.taken {
                    assert!(lot.ready_since <= instant.now && instant.now <= lot.until);
                    told.push((instant.now, task(&lot.job)));
                    since.insert(task(&lot.job), lot.ready_since);
                }
            };
            decisions(&study, candidate, 0, tell).expect("it comes to its end");
            let mut chosen = Vec::new();
            let is_always_open = study.candidates[candidate].shop.calendar.is_always_open();
            trace(&study, candidate, 0, |line| {
                let Some(job) = &line.job else { return };
                match line.what {
                    What::Chosen => chosen.push((line.start, task(job))),
                    // While a shop is shut nothing counts as waiting.
                    What::Unqueued { waited, .. } if is_always_open => {
                        assert_eq!(since[&task(job)] + waited, line.start);
                    }
                    _ => {}
                }
            })
            .expect("it comes to its end");
            assert!(!told.is_empty());
            assert_eq!(told, chosen, "{}", file.display());
        }
    }
}

fn task(job: &shopstride::engine::Job) -> Task {
    let (project, item) = (job.project.index(), job.item.index());
    (project, job.order, item, job.batch, job.step, job.takes_off)
}

/// Two tops are glued with one set of clamps, and one is cut meanwhile: by hand, in minutes.
const GLUE: &str = "title: glue
stations:
  rack: {}
  saw: {does: {cut: {per lot: 10 min}}}
  bench: {count: 2, does: {glue: {per lot: 5 min, gear: {clamps: 4}, cure: {time: 30 min, ties up: [clamps]}}}}
gear: {clamps: {count: 6}}
handling: {walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0}
crew: {maker: {}}
projects:
  top: {pieces: 1, material at: rack, route: [cut, glue]}
orders: [{project: top, count: 2}]
layouts: {shop: {distances: {rack: {saw: 60 m, bench: 60 m}, saw: {bench: 60 m}}}}
";

#[test]
fn a_small_shop_is_told_as_it_is_reckoned_by_hand() {
    let folder = folder();
    fs::write(folder.path().join("glue.yaml"), GLUE).expect("a file");
    let told = |arguments: &[&str]| {
        let output = done(arguments, folder.path());
        text(&output.stdout)
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
    };
    let told = told(&["run", "glue.yaml", "--explain", "--quiet"]);
    let lines = [
        // A minute to the saw, ten minutes there; nobody is left for the other one, and the saw is taken.
        "0:00:00 maker takes top 1 from rack to saw: cut until 0:11:00, ready since 0:00:00; top 2 waits for saw",
        // What has been ready longest is top 2, a minute back and a minute to the saw; top 1 lies there.
        "0:11:00 maker takes top 2 from rack to saw: cut until 0:23:00, ready since 0:00:00; top 1 waits for somebody for glue",
        "0:23:00 maker takes top 1 from saw to bench: glue until 0:29:00, ready since 0:11:00; top 2 waits for clamps for glue",
        // 6 clamps are not enough for two: 29 + 30.
        "0:59:00 top 1 is done; maker takes top 2 from saw to bench: glue until 1:06:00, ready since 0:23:00",
        "1:36:00 top 2 is done",
    ];
    let at = lines.map(|line| {
        told.find(line)
            .unwrap_or_else(|| panic!("{line} is missing:\n{told}"))
    });
    assert!(at.is_sorted(), "{told}");
    assert_eq!(told.matches(", ready since ").count(), 4, "{told}");
    assert!(told.contains("Everybody takes the lot that has been ready longest."));
}

#[test]
fn it_is_told_of_the_run_that_is_asked_for_and_in_place_of_the_tables() {
    let folder = folder();
    let told = |number: &str| {
        let arguments = [
            "run",
            "--explain",
            "--quiet",
            "--replications",
            "3",
            "--replication",
            number,
        ];
        text(&done(&arguments, folder.path()).stdout)
    };
    let (first, second) = (told("1"), told("2"));
    assert!(first.contains("Run 1. Everybody takes") && second.contains("Run 2. Everybody takes"));
    assert_ne!(first, second);
    assert_eq!(first, told("1"));
    // The garage keeps hours: it opens on Tuesday, and takes its time to set up.
    assert!(
        first.contains("\nTue 1 Dec 19:05:00 maker takes "),
        "{first}"
    );
    let both = ["run", "--explain", "--details"];
    refused(&both, folder.path(), "cannot be used with");
    let both = ["run", "--explain", "--json", "-"];
    refused(&both, folder.path(), "--explain is told on standard output");
}
