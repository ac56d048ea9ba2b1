//! Series of numbers whose mean is known, and that hardly show it in a few.

use shopstride::experiment::LOOKS;
use shopstride::random::{Distribution, Key};
use shopstride::statistics::{Estimate, IntervalMethod, Summary, suffices};

/// A law of differences between two candidates, by what a replication draws.
pub struct Law {
    pub name: &'static str,
    pub mean: f64,
    pub draw: fn(Key) -> f64,
}

fn lognormal(key: Key, sigma: f64) -> f64 {
    // Mean 1 of the duration itself; its sd follows from the sd of its logarithm (Johnson and Kotz, Continuous
    // Univariate Distributions 1, chapter 14).
    let sd = libm::expm1(sigma * sigma).sqrt();
    let law = Distribution::log_normal(1.0, sd).expect("it is a distribution");
    law.draw(key)
}

/// Nearly always the same; in 3 of 1000 a choice falls otherwise.
fn seldom(key: Key) -> f64 {
    let flips = key.with(1).uniform() < 0.003;
    -98.0 + if flips { 300.0 } else { 0.0 }
}

/// The laws whose means the default number of replications has to find.
pub const LAWS: [Law; 5] = [
    Law {
        name: "exponential",
        mean: 1.0,
        draw: |key| -libm::log(key.uniform()),
    },
    Law {
        name: "log-normal, sd of the logarithm 1",
        mean: 1.0,
        draw: |key| lognormal(key, 1.0),
    },
    Law {
        name: "log-normal, sd of the logarithm 1.5",
        mean: 1.0,
        draw: |key| lognormal(key, 1.5),
    },
    Law {
        name: "3 of 1000 differ by 300",
        mean: -98.0 + 0.9,
        draw: seldom,
    },
    Law {
        name: "3 of 1000 differ by about 300, the others by 98 with sd 1",
        mean: -98.0 + 0.9,
        draw: |key| {
            let normal = Distribution::normal(100.0, 1.0).expect("it is a distribution");
            seldom(key) + normal.draw(key.with(2)) - 100.0
        },
    },
];

/// The estimate after as many numbers as the program would take of this series, and whether they suffice.
pub fn looked_at(law: &Law, seed: u64) -> (Estimate, bool) {
    let series = Key::from_seed(seed).with_name(law.name);
    let mut summary = Summary::new();
    for look in LOOKS {
        while summary.count() < u64::from(look) {
            summary.add((law.draw)(series.with(summary.count())));
        }
        if suffices(&summary) {
            break;
        }
    }
    let estimate = Estimate::by(&summary, 0.95, IntervalMethod::Hall).expect("there are numbers");
    (estimate, suffices(&summary))
}

/// Whether the interval has the truth in it.
pub fn covers(estimate: &Estimate, truth: f64) -> bool {
    let (low, high) = estimate.interval.expect("many numbers");
    (low..=high).contains(&truth)
}
