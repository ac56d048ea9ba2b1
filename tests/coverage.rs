//! Whether intervals cover what they say, and selection names the best as often as it says: many seeds of systems
//! whose means are known. It plays millions of orders, so it is left to a release build:
//!
//!     cargo test --release --test coverage
//!
//! What takes longer still is ignored there, and run by `.ci/evidence coverage`, which prints the whole table.

#![cfg(not(debug_assertions))]

#[path = "suite/support/mod.rs"]
mod support;

use rayon::prelude::*;
use serde_json::Value;
use shopstride::experiment::{Findings, LOOKS, Replications, Study, run};
use shopstride::random::{Distribution, Key};
use shopstride::statistics::{Estimate, IntervalMethod, KimNelson, Selection};
use support::series::{LAWS, covers, looked_at};
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
        Selection::screen(&series, 0.95, IntervalMethod::Student).expect("there are values")
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

/// Seeds of the full count: at 95 %, chance alone makes the share that covers vary by 1.0 % (one standard deviation).
const MANY: u64 = 500;

/// The least share of them whose intervals have to cover.
const LEAST: f64 = 0.93;

/// Prints a row of the table: which share of the intervals covers, and how often each number of replications was taken.
fn row(what: &str, covering: &[(bool, u32)]) -> f64 {
    let share = |of: &dyn Fn(&(bool, u32)) -> bool| {
        covering.iter().filter(|&one| of(one)).count() as f64 / covering.len() as f64
    };
    let covered = share(&|(covers, _)| *covers);
    let taken: Vec<String> = (LOOKS.iter())
        .map(|look| format!("{look}: {:.0} %", 100.0 * share(&|(_, n)| n == look)))
        .collect();
    let taken = taken.join(", ");
    println!(
        "{what:60} {:5.1} % cover; replications {taken}",
        100.0 * covered
    );
    covered
}

#[test]
#[ignore = "takes minutes: .ci/evidence coverage"]
fn skewed_series_are_covered_by_default() {
    for law in &LAWS {
        let found: Vec<(bool, u32)> = (1..=MANY)
            .into_par_iter()
            .map(|seed| {
                let (estimate, _) = looked_at(law, seed);
                (covers(&estimate, law.mean), estimate.n as u32)
            })
            .collect();
        assert!(row(law.name, &found) >= LEAST, "{}", law.name);
    }
}

fn by_default(yaml: &str) -> Study {
    let mut study = study(yaml);
    study.settings.replications = Replications::Sufficient;
    study
}

/// The means of many more replications than any interval is made of, by another seed.
fn truth(yaml: &str, replications: u32) -> Findings {
    let mut many = by_default(yaml);
    many.settings.replications = Replications::Fixed(replications);
    many.settings.seed = 1 << 40;
    run(&many, 0, &|_| {}).expect("it does not get stuck")
}

/// How often the intervals of the comparison have the true means.
fn assert_comparison_covers(name: &str, yaml: &str, replications: u32) {
    let figures = |found: &Findings| {
        let (base, compared) = (&found.candidates[0], &found.comparisons[0]);
        let lead_time = compared.lead_time.expect("orders are done");
        [
            ("walking", base.walking),
            ("lead time", base.lead_time.expect("orders are done")),
            ("difference of walking", compared.walking.difference),
            (
                "difference of walking, percent",
                compared.walking.percent.expect("they walk"),
            ),
            ("difference of lead time", lead_time.difference),
            (
                "difference of lead time, percent",
                lead_time.percent.expect("it takes time"),
            ),
        ]
    };
    let truth = figures(&truth(yaml, replications));
    let study = by_default(yaml);
    let found: Vec<Vec<(bool, u32)>> = (1..=MANY)
        .into_par_iter()
        .map(|seed| {
            let mut study = study.clone();
            study.settings.seed = seed;
            let found = run(&study, 0, &|_| {}).expect("it does not get stuck");
            let pairs = figures(&found).into_iter().zip(truth);
            let covers = |((_, estimate), (_, truth)): ((_, Estimate), (_, Estimate))| {
                (covers(&estimate, truth.mean), found.replications)
            };
            pairs.map(covers).collect()
        })
        .collect();
    for (index, (figure, _)) in truth.iter().enumerate() {
        let of: Vec<(bool, u32)> = found.iter().map(|all| all[index]).collect();
        let share = row(&format!("{name}: {figure}"), &of);
        assert!(share >= LEAST, "{name}: {figure}");
    }
}

/// Luck is shared, so most differences are alike; in 3 of 1000 replications a choice falls otherwise, and one differs by
/// minutes.
#[test]
#[ignore = "takes minutes: .ci/evidence coverage"]
fn the_comparison_of_the_garage_is_covered_by_default() {
    assert_comparison_covers("garage", &data("bench/garage.yaml"), 600_000);
}

/// Times that vary much, and differences that hardly do: what a percentage is of is then what is uncertain.
#[test]
#[ignore = "takes minutes: .ci/evidence coverage"]
fn percentages_of_what_varies_much_are_covered_by_default() {
    let yaml = |first: &str, other: &str| {
        format!(
            "title: Two
stations:
  first: {{does: {{a: {{people: 0, per lot: {first}}}}}}}
  second: {{does: {{b: {{per lot: 3 min}}}}}}
handling: {{pick up: 0, put down: 0}}
projects: {{box: {{pieces: 1, route: [a, b]}}}}
orders: [{{project: box}}]
layouts: {{apart: {{distances: {{first: {{second: 10 m}}}}}}}}
candidates:
  other:
    layout: apart
    change: {{stations: {{first: {{does: {{a: {{per lot: {other}}}}}}}, second: {{does: {{b: {{per lot: 1 min}}}}}}}}}}
"
        )
    };
    let exponential = |mean: &str| format!("{{exponential: {mean}}}");
    let lognormal = |mean: &str| format!("{{lognormal: {{mean: {mean}, sd: 13 min}}}}");
    // A number that is given gets Student's t, which knows nothing of skewness. At 200 that does for exponential times. Of
    // log-normal ones, whose skewness is 6, it covered 84 %: the row is shown, and nothing is claimed.
    let both = [
        (Replications::Sufficient, true),
        (Replications::Fixed(200), true),
    ];
    let by_default_only = [
        (Replications::Sufficient, true),
        (Replications::Fixed(200), false),
    ];
    let cases = [
        (
            "the same exponential time",
            yaml(&exponential("10 min"), &exponential("10 min")),
            both,
        ),
        (
            "shorter exponential times",
            yaml(&exponential("10 min"), &exponential("8 min")),
            both,
        ),
        (
            "log-normal times",
            yaml(&lognormal("10 min"), &lognormal("8 min")),
            by_default_only,
        ),
    ];
    for (name, yaml, numbers) in cases {
        let percent = |found: &Findings| {
            let paired = found.comparisons[0].lead_time.expect("orders are done");
            paired.percent.expect("it takes time")
        };
        let truth = percent(&truth(&yaml, 1_000_000));
        for (replications, is_claimed) in numbers {
            let of: Vec<(bool, u32)> = (1..=MANY)
                .into_par_iter()
                .map(|seed| {
                    let mut study = by_default(&yaml);
                    study.settings.seed = seed;
                    study.settings.replications = replications;
                    let found = run(&study, 0, &|_| {}).expect("it does not get stuck");
                    (covers(&percent(&found), truth.mean), found.replications)
                })
                .collect();
            let share = row(&format!("{name}, percent, {replications:?}"), &of);
            assert!(share >= LEAST || !is_claimed, "{name}, {replications:?}");
        }
    }
}
