//! The engine against queueing theory, deterministic lines and another program's benchmark shop.
//!
//! `data/queueing` says where the reference values come from. One unit of time there is a minute here.

mod benchmark_shop;
mod closed_networks;
mod in_line;
mod open_queues;

use crate::support::data;
use serde_json::Value;
use shopstride::metrics::Record;
use std::fmt::Write;

/// A mean over replications may be so many of its standard errors away from the truth.
const STANDARD_ERRORS: f64 = 4.0;
/// A check with a larger standard error, in proportion to the value, would not be worth much.
const MOST_RELATIVE_ERROR: f64 = 0.04;

const MINUTE: f64 = 60e6;

fn reference(id: &str) -> Value {
    let all: Value =
        serde_json::from_str(&data("queueing/reference.json")).expect("the references are JSON");
    let list = all["records"].as_array().expect("a list of records");
    let found = list.iter().find(|record| record["id"] == id);
    found
        .unwrap_or_else(|| panic!("no record is called {id}"))
        .clone()
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is not a number"))
}

/// A ratio of two sums over replications, with the standard error of a ratio estimate (from the spread of
/// numerator less ratio times denominator).
struct Ratio {
    value: f64,
    standard_error: f64,
}

fn ratio(records: &[Record], of: impl Fn(&Record) -> (f64, f64)) -> Ratio {
    let pairs: Vec<(f64, f64)> = records.iter().map(of).collect();
    let n = pairs.len() as f64;
    let (above, below): (f64, f64) = pairs
        .iter()
        .fold((0.0, 0.0), |sum, pair| (sum.0 + pair.0, sum.1 + pair.1));
    let value = above / below;
    let squares: f64 = pairs.iter().map(|(a, b)| (a - value * b).powi(2)).sum();
    Ratio {
        value,
        standard_error: (squares / (n - 1.0) / n).sqrt() / (below / n),
    }
}

fn check(what: &str, truth: f64, found: Ratio) {
    let Ratio {
        value,
        standard_error,
    } = found;
    let off = (value - truth) / standard_error;
    println!("{what}: {value:.5} for {truth:.5}, {off:+.2} standard errors of {standard_error:.5}");
    assert!(
        standard_error > 0.0 && standard_error <= MOST_RELATIVE_ERROR * truth,
        "{what}: a standard error of {standard_error} says little of {truth}"
    );
    assert!(
        off.abs() <= STANDARD_ERRORS,
        "{what} is {value}, {off} standard errors away from {truth}"
    );
}

fn measured_minutes(record: &Record) -> f64 {
    record.measured().micros() as f64 / MINUTE
}

/// Mean minutes in a station's queue.
fn wait(records: &[Record], station: usize) -> Ratio {
    ratio(records, |record| {
        let station = &record.stations[station];
        (
            station.waited.micros() as f64 / MINUTE,
            station.waits as f64,
        )
    })
}

/// Mean number in a station's queue.
fn queue(records: &[Record], station: usize) -> Ratio {
    ratio(records, |record| {
        (
            record.stations[station].queue as f64 / MINUTE,
            measured_minutes(record),
        )
    })
}

/// Mean number of units at work.
fn busy(records: &[Record], station: usize) -> Ratio {
    ratio(records, |record| {
        (
            record.stations[station].busy().micros() as f64 / MINUTE,
            measured_minutes(record),
        )
    })
}

/// Orders done in a minute.
fn throughput(records: &[Record]) -> Ratio {
    ratio(records, |record| {
        (record.orders_done() as f64, measured_minutes(record))
    })
}

fn lead_time(records: &[Record]) -> Ratio {
    ratio(records, |record| {
        let sum: i128 = record
            .projects
            .iter()
            .map(|project| project.lead_time)
            .sum();
        (sum as f64 / MINUTE, record.orders_done() as f64)
    })
}

/// Little's law as an identity: whoever counts the lots in a queue over time and whoever adds up the lots' waits
/// count the same area. It holds to the microsecond if the measured time begins with an empty shop.
fn assert_queues_are_waits(records: &[Record]) {
    for record in records {
        assert!(record.from.micros() == 0, "the shop begins empty");
        for station in &record.stations {
            assert_eq!(station.queue, i128::from(station.waited.micros()));
        }
    }
}

/// The same of the whole shop: it begins and ends empty.
fn assert_orders_are_lead_times(records: &[Record]) {
    for record in records {
        let sum: i128 = record
            .projects
            .iter()
            .map(|project| project.lead_time)
            .sum();
        assert_eq!(record.in_process, sum);
    }
}

/// A shop whose stations work alone, one after the other, where nothing has to be carried: name, count and keys of
/// the operation that has the station's name.
fn alone(stations: &[(&str, u64, String)], orders: &str, run: &str) -> String {
    let mut yaml = "title: Queues\nstations:\n".to_string();
    for (name, count, work) in stations {
        writeln!(
            yaml,
            "  {name}: {{count: {count}, does: {{{name}: {{people: 0, {work}}}}}}}"
        )
        .unwrap();
    }
    let route: Vec<&str> = stations.iter().map(|(name, _, _)| *name).collect();
    // One seed for all would give all of them the same arrivals, stretched: then they would be one check, not many.
    let text = format!("{yaml}{orders}{run}");
    let seed = text.bytes().fold(7, |seed, byte| {
        (seed * 31 + u64::from(byte)) % 1_000_000_007
    });
    writeln!(
        yaml,
        "handling: {{pick up: 0, put down: 0}}
projects:
  job: {{pieces: 1, route: [{}]}}
orders:
  - {{project: job, {orders}}}
layouts:
  together: {{distances: 0}}
run: {{seed: {seed}, {run}}}",
        route.join(", ")
    )
    .unwrap();
    yaml
}

fn exponential(mean: f64) -> String {
    format!("per lot: {{exponential: {mean} min}}")
}

fn service(parameters: &Value) -> String {
    let service = &parameters["service"];
    let minutes = |key: &str| format!("{} min", number(&service[key]));
    match service["distribution"].as_str() {
        None => exponential(1.0 / number(&parameters["service_rate"])),
        Some("deterministic") => format!("per lot: {}", minutes("value")),
        Some("triangular") => format!(
            "per lot: {{triangular: [{}, {}, {}]}}",
            minutes("min"),
            minutes("mode"),
            minutes("max")
        ),
        Some("uniform") => format!(
            "per lot: {{uniform: [{}, {}]}}",
            minutes("min"),
            minutes("max")
        ),
        Some(other) => panic!("no service is called {other}"),
    }
}
