//! Two machines in line and jobs whose times are known: when each is done.

use std::fmt::Write;

use serde_json::Value;
use shopstride::metrics::What;

use super::{
    MINUTE, alone, assert_orders_are_lead_times, assert_queues_are_waits, number, reference,
};
use crate::support::{record, study, trace};

/// When the orders are done, in minutes, in the order in which they were released.
fn completions(yaml: &str) -> Vec<f64> {
    let mut done: Vec<(u64, f64)> = trace(&study(yaml), 0, 0)
        .iter()
        .filter_map(|line| match line.what {
            What::Done { order, .. } => Some((order, line.end.micros() as f64 / MINUTE)),
            _ => None,
        })
        .collect();
    done.sort_by_key(|(order, _)| *order);
    done.into_iter().map(|(_, at)| at).collect()
}

fn numbers(value: &Value) -> Vec<f64> {
    let list = value.as_array().expect("a list of numbers");
    list.iter().map(number).collect()
}

#[test]
fn two_machines_in_line_and_identical_jobs() {
    for id in ["line2-slow-second", "line2-transfer"] {
        let reference = reference(id);
        let parameters = &reference["parameters"];
        let values = &reference["values"];
        let minutes = |key: &str| format!("per lot: {} min", number(&parameters[key]));
        let jobs = parameters["jobs"].as_u64().expect("a number of jobs");
        let mut stations = vec![("first", 1, minutes("machine1"))];
        // A transfer that holds up neither machine is a station with room for all jobs.
        if number(&parameters["transfer_time"]) > 0.0 {
            stations.push(("belt", jobs, minutes("transfer_time")));
        }
        stations.push(("second", 1, minutes("machine2")));
        let yaml = alone(&stations, &format!("count: {jobs}"), "replications: 1");
        assert_eq!(completions(&yaml), numbers(&values["completion"]), "{id}");
        let record = record(&study(&yaml), 0, 1, 0);
        let last = &record.stations[stations.len() - 1];
        let minutes = |micros: i64| micros as f64 / MINUTE;
        let makespan = minutes(record.end.micros());
        assert_eq!(makespan, number(&values["makespan"]), "{id}");
        assert_eq!(minutes(last.waited.micros()), number(&values["total_wait"]));
        let used = |busy: i64| minutes(busy) / makespan;
        let first = &record.stations[0];
        assert!((used(first.busy().micros()) - number(&values["utilisation1"])).abs() < 1e-12);
        assert!((used(last.busy().micros()) - number(&values["utilisation2"])).abs() < 1e-12);
        assert_queues_are_waits(std::slice::from_ref(&record));
        assert_orders_are_lead_times(std::slice::from_ref(&record));
    }
}

/// Two machines and jobs that all differ, each a project of its own, released in this order.
fn two_machines(jobs: &[(usize, f64, f64)]) -> String {
    let mut yaml = "title: Two machines
stations:
  first: {does: {shape: {people: 0}}}
  second: {does: {smooth: {people: 0}}}
handling: {pick up: 0, put down: 0}
layouts: {together: {distances: 0}}
run: {replications: 1}
projects:\n"
        .to_string();
    for (job, a, b) in jobs {
        writeln!(
            yaml,
            "  job {job}: {{pieces: 1, route: [{{op: shape, per lot: {a} min}}, {{op: smooth, per lot: {b} min}}]}}"
        )
        .unwrap();
    }
    yaml += "orders:\n";
    for (job, _, _) in jobs {
        writeln!(yaml, "  - {{project: job {job}}}").unwrap();
    }
    yaml
}

fn jobs(parameters: &Value) -> Vec<(usize, f64, f64)> {
    let list = parameters["jobs"].as_array().expect("a list of jobs");
    let pair = |(k, times): (usize, &Value)| (k, number(&times[0]), number(&times[1]));
    list.iter().enumerate().map(pair).collect()
}

#[test]
fn two_machines_and_jobs_that_differ() {
    let unlimited = reference("line2-buffer-a");
    let found = completions(&two_machines(&jobs(&unlimited["parameters"])));
    let wanted = &unlimited["values"]["unlimited"];
    assert_eq!(found, numbers(&wanted["completion"]));

    let johnson = reference("johnson-5");
    let values = &johnson["values"];
    let as_listed = jobs(&johnson["parameters"]);
    let found = completions(&two_machines(&as_listed));
    assert_eq!(found, numbers(&values["index_order_completion"]));
    let best: Vec<(usize, f64, f64)> = numbers(&values["johnson_order"])
        .into_iter()
        .map(|job| as_listed[job as usize])
        .collect();
    let found = completions(&two_machines(&best));
    assert_eq!(
        found.last().copied(),
        Some(number(&values["optimal_makespan"]))
    );
}
