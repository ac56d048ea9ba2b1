//! Classical job shops, dispatched without delay: machines that need nobody, no distances.
//!
//! With nothing to carry and nobody needed, what is left of a shop is its queue rule, and the
//! completion time of every job is known; see `data/jobshop/README.md` for sources.

use crate::second_reading::result::Outcome;
use serde_json::Value;
use std::fmt::Write;
use std::fs;
use std::path::PathBuf;

/// The names of the rules in the reference and in a scenario.
const RULES: [(&str, &str); 4] = [
    ("FIFO", "fifo"),
    ("SPT", "spt"),
    ("LPT", "lpt"),
    ("MWKR", "mwkr"),
];

fn data(name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/jobshop")
        .join(name);
    fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// Turns an instance into a scenario: one station and one operation a machine, one project and
/// one order a job, a minute a unit of time.
fn scenario(title: &str, instance: &str, queue_rule: &str) -> String {
    let mut numbers = instance
        .split_whitespace()
        .map(|word| word.parse::<u32>().expect("whole numbers"));
    let mut next = || numbers.next().expect("the instance is complete");
    let (jobs, machines) = (next(), next());
    let mut yaml = format!("title: {title}\nstations:\n");
    for machine in 0..machines {
        writeln!(
            yaml,
            "  machine {machine}: {{does: {{work {machine}: {{people: 0}}}}}}"
        )
        .unwrap();
    }
    yaml += "handling: {pick up: 0, put down: 0}\nprojects:\n";
    for job in 0..jobs {
        writeln!(yaml, "  job {job}:\n    pieces: 1\n    route:").unwrap();
        for _ in 0..machines {
            let (machine, duration) = (next(), next());
            writeln!(
                yaml,
                "      - {{op: work {machine}, per lot: {duration} min}}"
            )
            .unwrap();
        }
    }
    yaml += "orders:\n";
    for job in 0..jobs {
        writeln!(yaml, "  - {{project: job {job}}}").unwrap();
    }
    write!(
        yaml,
        "rules: {{queue: {queue_rule}}}\nlayouts: {{one spot: {{distances: 0}}}}\n"
    )
    .unwrap();
    yaml + "run: {replications: 1, seed: 1}\n"
}

#[test]
fn the_second_reading_completes_every_job_when_the_reference_does() {
    completes_every_job_when_the_reference_does(crate::second_reading::play);
}

#[test]
fn the_engine_completes_every_job_when_the_reference_does() {
    completes_every_job_when_the_reference_does(crate::engine::play);
}

fn completes_every_job_when_the_reference_does(play: fn(&str, &str) -> Outcome) {
    let reference: Value =
        serde_json::from_str(&data("reference.json")).expect("the reference is JSON");
    let instances = reference["instances"]
        .as_array()
        .expect("a list of instances");
    assert_eq!(instances.len(), 5);
    for instance in instances {
        let name = instance["name"].as_str().expect("a name");
        let text = data(instance["file"].as_str().expect("a file"));
        for (rule, queue_rule) in RULES {
            let outcome = play(&scenario(name, &text, queue_rule), "one spot");
            let minutes = |us: i64| us / 60_000_000;
            let done: Vec<Option<i64>> = outcome
                .orders
                .iter()
                .map(|o| o.done_us.map(minutes))
                .collect();
            let expected = &instance["dispatch"][rule];
            let completion: Vec<Option<i64>> = expected["completion"]
                .as_array()
                .expect("completion times")
                .iter()
                .map(Value::as_i64)
                .collect();
            assert_eq!(done, completion, "{name} by {rule}");
            assert_eq!(
                Some(minutes(outcome.makespan_us)),
                expected["makespan"].as_i64(),
                "{name} by {rule}"
            );
            assert_eq!(outcome.walking_nm(), 0, "{name} by {rule}");
        }
    }
}
