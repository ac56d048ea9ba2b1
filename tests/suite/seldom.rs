//! What happens seldom and weighs much: how many replications are played by default, and whether the intervals then have
//! the truth in them. The full count is `.ci/evidence coverage`.

use crate::support::series::{LAWS, covers, looked_at};
use crate::support::study;
use rayon::prelude::*;
use shopstride::experiment::{Findings, LOOKS, Replications, run};
use shopstride::statistics::IntervalMethod;

const SEEDS: u64 = 200;

/// Of 200 intervals at 95 %, chance alone makes the share that covers vary by 1.5 % (one standard deviation).
#[test]
fn intervals_of_skewed_figures_cover_their_mean() {
    for law in &LAWS {
        let covering = (1..=SEEDS)
            .into_par_iter()
            .filter(|&seed| covers(&looked_at(law, seed).0, law.mean))
            .count();
        let share = covering as f64 / SEEDS as f64;
        println!("{}: {:.1} % cover", law.name, 100.0 * share);
        assert!(share >= 0.91, "{}: only {share} cover", law.name);
    }
}

fn played(yaml: &str, seed: u64) -> Findings {
    let mut study = study(yaml);
    study.settings.seed = seed;
    run(&study, 0, &|_| {}).expect("it does not get stuck")
}

/// One lot, two candidates: what takes 10 min in the base takes `other` in the other one.
fn two(base: &str, other: &str, run: &str) -> String {
    format!(
        "title: Two
stations: {{bench: {{does: {{build: {{people: 0, per lot: {base}}}}}}}}}
handling: {{pick up: 0, put down: 0}}
projects: {{box: {{pieces: 1, route: [build]}}}}
orders: [{{project: box}}]
layouts: {{one spot: {{distances: 0}}}}
candidates:
  other:
    layout: one spot
    change: {{stations: {{bench: {{does: {{build: {{per lot: {other}}}}}}}}}}}
run: {run}
"
    )
}

/// Exponential times have the skewness 2, and 2000 > 25 · 2². A Weibull time of the shape 0.1 has the skewness 69 000
/// (its k-th moment is Γ(1 + 10 k): Johnson and Kotz, Continuous Univariate Distributions 1, chapter 20), which takes far
/// more than 10 000 replications.
#[test]
fn it_plays_as_often_as_cochrans_rule_asks() {
    let mild = played(
        &two("{exponential: 10 min}", "{exponential: 9 min}", "{seed: 4}"),
        4,
    );
    assert_eq!((mild.replications, mild.suffices), (LOOKS[0], Some(true)));
    assert_eq!(mild.intervals, IntervalMethod::Hall);
    let wild = "{weibull: {shape: 0.1, scale: 1 s}}";
    let other = "{weibull: {shape: 0.1, scale: 2 s}}";
    let wild = played(&two(wild, other, "{seed: 4}"), 4);
    assert_eq!((wild.replications, wild.suffices), (LOOKS[3], Some(false)));
    // One number for all candidates.
    for found in &wild.candidates {
        assert_eq!(found.lead_time.expect("it is done").n, u64::from(LOOKS[3]));
    }
    // Nothing varies: one is enough, and nothing is said of chance.
    let same = played(&two("10 min", "9 min", "{seed: 4}"), 4);
    assert_eq!((same.replications, same.suffices), (1, None));
}

/// A number that is given is played, with Student's interval, as ever.
#[test]
fn a_number_that_is_given_is_kept() {
    let yaml = two(
        "{exponential: 10 min}",
        "{exponential: 9 min}",
        "{replications: 300}",
    );
    assert_eq!(study(&yaml).settings.replications, Replications::Fixed(300));
    let found = played(&yaml, 1);
    assert_eq!((found.replications, found.suffices), (300, None));
    let paired = found.comparisons[0]
        .lead_time
        .expect("it is done")
        .difference;
    let half_width = paired.half_width.expect("many replications");
    assert_eq!(
        paired.interval,
        Some((paired.mean - half_width, paired.mean + half_width))
    );
    // By default it leans to the side of the tail, and the half-width stays Student's.
    let skewed = played(
        &two("{exponential: 10 min}", "{exponential: 9 min}", "{seed: 1}"),
        1,
    );
    let lead_time = skewed.candidates[0].lead_time.expect("it is done");
    let half_width = lead_time.half_width.expect("many replications");
    let (low, high) = lead_time.interval.expect("many replications");
    assert!(high - lead_time.mean > half_width && lead_time.mean - low < half_width);
}
