//! Drawn durations against their laws, and keys against the independence that the design needs.

mod independence;
mod kinds;
mod laws;

use laws::laws;
use serde_json::Value;
use shopstride::random::{Distribution, KINDS, Key};

/// How many standard errors a moment may be off. By chance one of 30 000 normal deviates is.
const STANDARD_ERRORS: f64 = 4.0;

/// The Kolmogorov-Smirnov statistic times √n that is exceeded in one of 1000 true cases: the limit
/// law 2 Σ (-1)^(k-1) exp(-2 k² x²) is 0.001 at 1.949 (the usual table; checked below).
const KOLMOGOROV_999: f64 = 1.9495;

fn keys(family: &str, count: u64) -> impl Iterator<Item = Key> {
    let family = Key::from_seed(1).with_name(family);
    (0..count).map(move |n| family.with(n))
}

#[test]
fn every_kind_is_tested() {
    for kind in KINDS {
        let tested = kind.name == "observed" || laws().iter().any(|law| law.kind == kind.name);
        assert!(tested, "{} has no law here", kind.name);
    }
}

/// Mean and variance of 200 000 draws. The standard error of the variance is
/// √((fourth central moment - variance²) / n), with the moments of the sample.
#[test]
fn moments_are_those_of_the_law() {
    let n = 200_000;
    for law in laws() {
        let draws: Vec<f64> = keys("moments", n)
            .map(|key| law.distribution.draw(key))
            .collect();
        let count = n as f64;
        let mean = draws.iter().sum::<f64>() / count;
        let central = |power| draws.iter().map(|x| (x - mean).powi(power)).sum::<f64>() / count;
        let (variance, fourth) = (central(2), central(4));
        let what = format!("{} {:?}", law.kind, law.distribution);

        let deviate = (mean - law.mean) / (law.variance / count).sqrt();
        assert!(
            deviate.abs() < STANDARD_ERRORS,
            "{what}: mean off by {deviate} standard errors"
        );
        let deviate = (variance - law.variance) / ((fourth - variance * variance) / count).sqrt();
        assert!(
            deviate.abs() < STANDARD_ERRORS,
            "{what}: variance off by {deviate} standard errors"
        );

        assert!(
            (law.distribution.true_mean() / law.mean - 1.0).abs() < 1e-12,
            "{what}"
        );
    }
}

/// Kolmogorov-Smirnov with 20 000 draws of each law.
#[test]
fn draws_follow_their_distribution_function() {
    let n = 20_000;
    for law in laws() {
        let mut draws: Vec<f64> = keys("shape", n)
            .map(|key| law.distribution.draw(key))
            .collect();
        draws.sort_by(f64::total_cmp);
        let farthest = draws
            .iter()
            .enumerate()
            .map(|(rank, &x)| {
                let expected = (law.probability)(x);
                let (below, upto) = (rank as f64 / n as f64, (rank + 1) as f64 / n as f64);
                (expected - below).max(upto - expected)
            })
            .fold(0.0, f64::max);
        let statistic = farthest * (n as f64).sqrt();
        assert!(
            statistic < KOLMOGOROV_999,
            "{} {:?}: {statistic}",
            law.kind,
            law.distribution
        );
    }
}

/// Where the function can be inverted, the draw is the inverse: same luck, whatever the law.
#[test]
fn draws_keep_the_luck_of_their_key() {
    for law in laws().iter().filter(|law| law.inverse) {
        for key in keys("inverse", 1000) {
            let probability = (law.probability)(law.distribution.draw(key));
            let error = (probability - key.uniform()).abs();
            assert!(
                error < 1e-13,
                "{} {:?}: {error:e}",
                law.kind,
                law.distribution
            );
        }
    }
}

#[test]
fn a_scaled_distribution_has_the_same_luck() {
    let observed = Distribution::observed(&[3.0, 1.0, 8.0]).unwrap();
    let fixed = Distribution::fixed(3.0).unwrap();
    for distribution in laws()
        .into_iter()
        .map(|law| law.distribution)
        .chain([observed, fixed])
    {
        let scaled = distribution.scaled(0.3);
        assert!((scaled.mean() - 0.3 * distribution.mean()).abs() <= 1e-12 * distribution.mean());
        assert!((scaled.true_mean() / distribution.true_mean() - 0.3).abs() < 1e-12);
        assert_eq!(scaled.is_fixed(), distribution.is_fixed());
        for key in keys("scaled", 200) {
            let (draw, expected) = (scaled.draw(key), 0.3 * distribution.draw(key));
            assert!(
                (draw - expected).abs() <= 1e-12 * expected,
                "{distribution:?}"
            );
        }
        let none = distribution.scaled(0.0);
        assert!(none.is_fixed() && none.draw(Key::from_seed(1)) == 0.0);
    }
}

/// Five values, one of them twice; chi-square with 4 degrees between the 2.5 % and 97.5 %
/// quantiles.
#[test]
fn observed_values_come_equally_often() {
    let values = [170.0, 182.0, 240.0, 175.0, 201.0];
    let distribution = Distribution::observed(&values).unwrap();
    assert!((distribution.mean() - 193.6).abs() < 1e-12);
    let mut counts = [0.0; 5];
    for key in keys("observed", 20_000) {
        let draw = distribution.draw(key);
        counts[values.iter().position(|&value| value == draw).unwrap()] += 1.0;
    }
    assert_even(&counts, "4");

    let turned = Distribution::observed(&[201.0, 175.0, 240.0, 182.0, 170.0]).unwrap();
    assert_eq!(turned, distribution);
}

fn reference() -> Value {
    serde_json::from_str(include_str!("../data/stats/reference.json")).unwrap()
}

/// Pearson's statistic of equally likely cells lies between the table's outer 2.5 % quantiles:
/// too even is as suspicious as too uneven.
#[track_caller]
fn assert_even(counts: &[f64], degrees: &str) {
    let table = &reference()["chi_square_quantile"][degrees];
    let expected = counts.iter().sum::<f64>() / counts.len() as f64;
    let statistic: f64 = counts
        .iter()
        .map(|count| (count - expected).powi(2) / expected)
        .sum();
    let (low, high) = (
        table["0.025"].as_f64().unwrap(),
        table["0.975"].as_f64().unwrap(),
    );
    assert!(
        low < statistic && statistic < high,
        "{statistic} is not in {low} to {high}"
    );
}

/// The sums of 1000 draws in whole microseconds, as they were when this was written. They stand for
/// no theory, but a change in them, such as by a new release of a library, changes every result
/// that anybody has noted down with its seed.
#[test]
fn the_same_seed_still_gives_the_same_draws() {
    let found: Vec<(&str, i64)> = laws()
        .iter()
        .map(|law| {
            let draws = keys("noted", 1000).map(|key| law.distribution.draw(key));
            (
                law.kind,
                draws.map(|seconds| (seconds * 1e6).round() as i64).sum(),
            )
        })
        .collect();
    assert_eq!(found, NOTED);
}

const NOTED: [(&str, i64); 22] = [
    ("uniform", 3_494_763_343),
    ("exponential", 177_670_078_332),
    ("triangular", 3_658_614_977),
    ("pert", 3_385_367_493),
    ("triangular", 3_325_905_621),
    ("pert", 2_694_755_062),
    ("triangular", 4_657_942_715),
    ("pert", 5_358_948_606),
    ("normal", 179_717_734_586),
    ("normal", 230_300_491_974),
    ("normal", 47_495_302_654),
    ("lognormal", 179_182_415_621),
    ("lognormal", 2_970_833_476),
    ("erlang", 190_496_263_320),
    ("erlang", 185_497_313_070),
    ("erlang", 4_057_975_499),
    ("gamma", 183_495_190_133),
    ("gamma", 186_638_501_437),
    ("gamma", 2_026_633_773),
    ("weibull", 161_214_900_352),
    ("weibull", 2_225_083_354),
    ("weibull", 54_185_117_520),
];
