//! Whether intervals cover what they say, and selection names the best as often as it says: many seeds of systems
//! whose means are known. It plays millions of orders, so it is left to a release build:
//!
//!     cargo test --release --test coverage

#![cfg(not(debug_assertions))]

#[path = "suite/support/mod.rs"]
mod support;

use rayon::prelude::*;
use serde_json::Value;
use shopstride::experiment::{Findings, run};
use shopstride::random::{Distribution, Key};
use shopstride::statistics::{Estimate, KimNelson, Selection};
use support::{data, study};

const SEEDS: u64 = 400;

/// Of 400 intervals at 95 %, chance alone makes the share that covers vary by 1.1 % (one standard deviation).
fn assert_covers(what: &str, truth: f64, estimate: impl Fn(u64) -> Estimate + Sync) {
    let covering = (1..=SEEDS)
        .into_par_iter()
        .filter(|&seed| {
            let estimate = estimate(seed);
            assert_eq!(estimate.level, 0.95);
            (estimate.mean - truth).abs() <= estimate.half_width.expect("many replications")
        })
        .count();
    let share = covering as f64 / SEEDS as f64;
    println!(
        "{what}: {:.2} % of {SEEDS} intervals cover {truth}",
        100.0 * share
    );
    assert!(
        (0.93..=0.97).contains(&share),
        "{what}: {share} of the intervals cover {truth}"
    );
}

fn played(yaml: &str, seed: u64) -> Findings {
    let mut study = study(yaml);
    study.settings.seed = seed;
    run(&study, 0, &|_| {}).expect("it does not get stuck")
}

/// The first 25 customers of an empty queue: the mean wait is exact (see `data/queueing/README.md`), and so is the
/// mean time in the system, which is longer by the mean service.
#[test]
fn the_lead_time_of_the_first_customers_of_a_queue() {
    let all: Value = serde_json::from_str(&data("queueing/reference.json")).expect("it is JSON");
    let record = (all["records"].as_array().expect("a list").iter())
        .find(|record| record["id"] == "mm1-first-n-rho90")
        .expect("the record is there");
    for n in [25, 100] {
        let means = &record["values"]["mean_of_average_wait_of_first_n"];
        let wait = means[n.to_string()].as_f64().expect("a number");
        let yaml = format!(
            "title: Queue
stations: {{server: {{does: {{serve: {{people: 0, per lot: {{exponential: 54 s}}}}}}}}}}
handling: {{pick up: 0, put down: 0}}
projects: {{customer: {{pieces: 1, route: [serve]}}}}
orders: [{{project: customer, every: {{exponential: 60 s}}, count: {n}}}]
layouts: {{one spot: {{distances: 0}}}}
run: {{replications: 200}}
"
        );
        let truth = 60.0 * wait + 54.0;
        assert_covers(&format!("lead time of the first {n}"), truth, |seed| {
            played(&yaml, seed).candidates[0]
                .lead_time
                .expect("orders are done")
        });
    }
}

/// One lot through two operations without any wait: the mean lead times are 5 and 4 min, in any shop.
#[test]
fn the_paired_difference_of_two_candidates() {
    let yaml = "title: Two
stations:
  first: {does: {a: {people: 0, per lot: {exponential: 3 min}}}}
  second: {does: {b: {people: 0, per lot: {lognormal: {mean: 2 min, sd: 1 min}}}}}
handling: {pick up: 0, put down: 0}
projects: {box: {pieces: 1, route: [a, b]}}
orders: [{project: box}]
layouts: {one spot: {distances: 0}}
candidates:
  faster:
    layout: one spot
    change: {stations: {first: {does: {a: {per lot: {exponential: 2 min}}}}}}
run: {replications: 100}
";
    assert_covers("paired difference", -60.0, |seed| {
        played(yaml, seed).comparisons[0]
            .lead_time
            .expect("orders are done")
            .difference
    });
}

const RACES: u64 = 4_000;
const CANDIDATES: usize = 5;
const SD: f64 = 4.0;

/// Normal observations of one candidate, independent of the others': that is the hardest case, since common luck only
/// makes differences vary less.
fn observation(race: u64, candidate: usize, replication: u64, mean: f64) -> f64 {
    let normal = Distribution::normal(1_000.0, SD).expect("it is a distribution");
    let key = Key::from_seed(race)
        .with(candidate as u64)
        .with(replication);
    normal.draw(key) - 1_000.0 + mean
}

fn share(what: &str, passes: impl Fn(u64) -> bool + Sync) -> f64 {
    let passed = (0..RACES)
        .into_par_iter()
        .filter(|&race| passes(race))
        .count();
    let share = passed as f64 / RACES as f64;
    println!("{what}: {:.2} % of {RACES}", 100.0 * share);
    share
}

/// All others are worse by just the indifference: the case in which the guarantee is tightest. One standard deviation
/// of the share is 0.35 %.
#[test]
fn the_sequential_procedure_picks_the_best_at_its_stated_rate() {
    for level in [0.90, 0.95] {
        let picked = share(&format!("picked at {level}"), |race| {
            let mut procedure = KimNelson::new(CANDIDATES, level, 1.0, 10);
            while procedure.choice().is_none() {
                let replication = procedure.played();
                let values: Vec<f64> = (procedure.left().iter())
                    .map(|&c| observation(race, c, replication, if c == 2 { 0.0 } else { 1.0 }))
                    .collect();
                procedure.add(&values);
            }
            procedure.choice() == Some(2)
        });
        assert!(picked >= level, "picked in {picked} at {level}");
    }
}

#[test]
fn screening_keeps_the_best_at_its_stated_rate_and_names_it_when_it_is_clear() {
    let select = |race, others: f64| {
        let series: Vec<Vec<f64>> = (0..CANDIDATES)
            .map(|c| {
                let mean = if c == 2 { 0.0 } else { others };
                (0..30).map(|r| observation(race, c, r, mean)).collect()
            })
            .collect();
        let series: Vec<&[f64]> = series.iter().map(Vec::as_slice).collect();
        Selection::screen(&series, 0.95).expect("there are values")
    };
    // All alike: no configuration makes it harder to keep the one that counts as the best.
    let kept = share("kept among equals", |race| {
        select(race, 0.0).in_question.contains(&2)
    });
    assert!(kept >= 0.95, "kept in {kept}");
    let named = share("named among equals", |race| {
        select(race, 0.0).best().is_some()
    });
    assert!(named <= 0.05, "somebody was named in {named}");
    let wrong = share("another one named", |race| {
        select(race, 1.0).best().is_some_and(|best| best != 2)
    });
    assert!(wrong <= 0.05, "another one was named in {wrong}");
    let clear = share("named when far ahead", |race| {
        select(race, 6.0).best() == Some(2)
    });
    assert!(clear >= 0.99, "named in {clear}");
}
