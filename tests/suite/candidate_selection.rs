//! The race between candidates: whom it selects, how soon, and that neither batches nor threads matter.

use std::process::Command;

use serde_json::Value;
use shopstride::experiment::{Indifference, NoRace, Race, STAGE, Study, run, select};
use shopstride::scenario;
use shopstride::statistics::KimNelson;

fn load(text: &str) -> Study {
    match scenario::load("race.yaml", text.as_bytes()) {
        Ok(loaded) => loaded.study,
        Err(problems) => panic!("{}", problems.render(false)),
    }
}

/// One person walks twice between two stations; distances are 10 m and a bit more in each further layout. Sanding
/// takes a time that varies, a little less at the bench of the last layouts.
fn shop(faster_by: f64) -> String {
    format!(
        "
title: A race
stations:
  saw: {{does: {{cut: {{per piece: {{uniform: [1 min, 3 min]}}}}}}}}
  bench: {{does: {{sand: {{per piece: {{uniform: [4 min, 12 min]}}}}}}}}
projects: {{box: {{pieces: 1, route: [cut, sand]}}}}
orders: [{{project: box, count: 3}}]
layouts: {{near: {{distances: {{saw: {{bench: 5 m}}}}}}, far: {{distances: {{saw: {{bench: 6 m}}}}}}}}
candidates:
  quick:
    layout: near
    change: {{stations: {{bench: {{does: {{sand: {{per piece: {{uniform: [{}s, {}s]}}}}}}}}}}}}
",
        240.0 - faster_by,
        720.0 - faster_by
    )
}

fn raced(study: &Study, indifference: Indifference) -> Race {
    select(study, indifference, &|_| {}).unwrap_or_else(|none| panic!("{none:?}"))
}

/// The same procedure, fed one replication after the other with the figures of runs of one candidate each.
#[test]
fn the_race_is_the_procedure_on_the_figures_of_single_replications() {
    let study = load(&shop(15.0));
    let seconds = 20.0;
    let race = raced(&study, Indifference::LeadTime(seconds));
    let mut procedure = KimNelson::new(3, study.settings.confidence, seconds, u64::from(STAGE));
    let prepared: Vec<_> = (study.candidates.iter())
        .map(|c| shopstride::engine::Prepared::new(&c.shop, &c.walks))
        .collect();
    let mut played = [0; 3];
    let mut replication = 0;
    while procedure.choice().is_none() {
        let left = procedure.left().to_vec();
        let values: Vec<f64> = (left.iter())
            .map(|&index| {
                played[index] += 1;
                let candidate = &study.candidates[index];
                let places = candidate.walks.places();
                let mut totals = shopstride::metrics::Totals::of_whole_run(&candidate.shop, places);
                let run = shopstride::engine::Run {
                    seed: study.settings.seed,
                    replication,
                    until: None,
                };
                shopstride::engine::simulate(&prepared[index], &run, &mut totals)
                    .unwrap_or_else(|stuck| panic!("{stuck:?}"));
                let record = totals.into_record();
                record.mean_lead_time().expect("all orders are done")
            })
            .collect();
        procedure.add(&values);
        replication += 1;
    }
    assert_eq!(race.left, procedure.left());
    assert_eq!(race.played, played);
    assert_eq!(
        race.choice(),
        Some(2),
        "15 s less work for each of three boxes"
    );
}

#[test]
fn the_one_selected_is_the_best_of_a_long_comparison() {
    let study = load(&shop(60.0));
    let findings = run(&study, 0, &|_| {}).expect("it ends");
    let times: Vec<f64> = (findings.candidates.iter())
        .map(|found| found.lead_time.as_ref().expect("orders are done").mean)
        .collect();
    let best = (0..3).min_by(|&a, &b| times[a].total_cmp(&times[b]));
    let race = raced(&study, Indifference::LeadTime(30.0));
    assert_eq!(race.choice(), best);
    assert!(race.played.iter().all(|&played| played >= STAGE));
    // Walking does not vary: the far layout is out after the first stage, and two are the same.
    let walking = raced(&study, Indifference::Walking(0.5));
    assert!(
        walking.choice() == Some(0) || walking.choice() == Some(2),
        "{walking:?}"
    );
    assert_eq!(walking.played, [STAGE; 3]);
}

#[test]
fn a_smaller_difference_takes_no_fewer_replications() {
    // Another bench, as fast on average but far less even: luck decides between the two for long.
    let study = load(&shop(5.0).replace("{uniform: [235s, 715s]}", "{uniform: [0 s, 950 s]}"));
    let most = |seconds: f64| {
        let race = raced(&study, Indifference::LeadTime(seconds));
        race.played.into_iter().max().expect("three candidates")
    };
    let (coarse, fine) = (most(60.0), most(2.0));
    assert!(coarse <= fine && fine > STAGE, "{coarse} and {fine}");
}

#[test]
fn where_nothing_varies_one_replication_says_it() {
    let text = shop(60.0)
        .replace("{uniform: [1 min, 3 min]}", "2 min")
        .replace("{uniform: [4 min, 12 min]}", "8 min")
        .replace("{uniform: [180s, 660s]}", "420 s");
    let race = raced(&load(&text), Indifference::Walking(1.0));
    assert_eq!(race.played, [1; 3]);
    assert_eq!(race.level, None);
    assert_eq!(race.left, [0, 2], "both walk as far");
    let race = raced(&load(&text), Indifference::LeadTime(1.0));
    assert_eq!(race.choice(), Some(2));
}

#[test]
fn without_an_order_done_there_is_no_lead_time_to_select_by() {
    let text = shop(0.0) + "run: {until: 1 min}\n";
    let none = select(&load(&text), Indifference::LeadTime(1.0), &|_| {});
    assert_eq!(
        none,
        Err(NoRace::NothingDone {
            candidate: 0,
            replication: 0
        })
    );
}

#[test]
fn the_command_selects_with_the_same_bytes_on_any_number_of_threads() {
    let selected = |threads: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_shopstride"))
            .args([
                "compare",
                "--no-charts",
                "--quiet",
                "--json",
                "-",
                "--select",
                "20 s",
            ])
            .args(["--threads", threads, "scenarios/what-if.yaml"])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .output()
            .expect("the program runs");
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        output.stdout
    };
    let one = selected("1");
    assert_eq!(one, selected("3"));
    let data: Value = serde_json::from_slice(&one).expect("JSON");
    assert_eq!(data["selection"]["selected"], "helper and second sander");
    assert_eq!(data["selection"]["by"], "lead_time_s");
    assert_eq!(data["selection"]["indifference"], 20.0);
}

#[test]
fn what_is_no_difference_is_refused() {
    for wrong in ["0 m", "-5 m", "5", "5 kg", "much", "0 s", "nan m"] {
        let output = Command::new(env!("CARGO_BIN_EXE_shopstride"))
            .args(["compare", "--no-charts", &format!("--select={wrong}")])
            .output()
            .expect("the program runs");
        let errors = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{wrong}");
        assert!(
            errors.contains("\"20 m\"") && errors.contains("\"5 min\""),
            "{errors}"
        );
    }
}
