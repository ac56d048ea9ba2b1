//! The relief experiment against exact theory, against what it must not change, and against small cases by hand.

use crate::support::{data, study};
use serde_json::Value;
use shopstride::engine::{Prepared, Run, simulate};
use shopstride::experiment::{
    Changes, Goal, Relief, ReliefKind, Reliefs, Study, Trial, relieve, replications,
};
use shopstride::metrics::Bottlenecks;
use std::fmt::Write;

use shopstride::report::relief::{change, resource, why_not};

pub fn relief(study: &Study) -> Reliefs {
    let changes = Changes::of(&study.candidates[0]);
    relieve(study, 0, changes, &|_| {}).unwrap_or_else(|failure| panic!("{failure:?}"))
}

/// Only the changes of this name.
pub fn relief_of(study: &Study, wanted: &str) -> Reliefs {
    let mut changes = Changes::of(&study.candidates[0]);
    changes.tried.retain(|tried| change(tried.edit) == wanted);
    relieve(study, 0, changes, &|_| {}).unwrap_or_else(|failure| panic!("{failure:?}"))
}

/// Whether a trial is this change of this resource.
pub fn is(trial: &Trial, of: &str, wanted: &str) -> bool {
    resource(trial) == of && change(trial.edit) == wanted
}

pub fn named<'a>(reliefs: &'a Reliefs, of: &str, wanted: &str) -> &'a Relief {
    let all = &reliefs.list;
    all.iter()
        .find(|relief| is(&relief.trial, of, wanted))
        .unwrap_or_else(|| panic!("{of}: {wanted} was not tried"))
}

#[track_caller]
pub fn assert_untried(reliefs: &Reliefs, of: &str, wanted: &str, why: &str) {
    let found = (reliefs.untried.iter()).find(|untried| is(&untried.trial, of, wanted));
    assert_eq!(found.map(|untried| why_not(untried.why)), Some(why));
}

pub fn lead_time(relief: &Relief) -> f64 {
    relief.lead_time.expect("orders are done").difference.mean
}

/// Exact mean value analysis of a closed network with one exponential server at each station (Reiser and Lavenberg,
/// J. ACM 27 (1980) 313-322): the throughput of so many jobs.
fn throughput(means: &[f64], jobs: u64) -> f64 {
    let mut queues = vec![0.0; means.len()];
    let mut found = 0.0;
    for n in 1..=jobs {
        let stays: Vec<f64> = means
            .iter()
            .zip(&queues)
            .map(|(s, q)| s * (1.0 + q))
            .collect();
        found = n as f64 / stays.iter().sum::<f64>();
        queues = stays.iter().map(|stay| found * stay).collect();
    }
    found
}

pub fn network(means: &[f64], jobs: u64) -> Study {
    let mut yaml = "title: Round\nhandling: {pick up: 0, put down: 0}\nstations:\n".to_owned();
    let mut route = Vec::new();
    for (k, mean) in means.iter().enumerate() {
        writeln!(
            yaml,
            "  s{k}: {{does: {{o{k}: {{people: 0, per lot: {{exponential: {mean} min}}}}}}}}"
        )
        .unwrap();
        route.push(format!("o{k}"));
    }
    writeln!(
        yaml,
        "projects: {{job: {{pieces: 1, route: [{}]}}}}
orders: [{{project: job, in progress: {jobs}}}]
layouts: {{one spot: {{distances: 0}}}}
run: {{replications: 30, until: 6000 min, warm up: 300 min, seed: {jobs}}}",
        route.join(", ")
    )
    .unwrap();
    study(&yaml)
}

/// Cutting each station's times by a tenth brings what the exact derivative says, and ranks stations as it does.
fn check_network(name: &str, means: &[f64], jobs: u64) {
    let reliefs = relief_of(&network(means, jobs), "times −10 %");
    assert_eq!(
        reliefs.goal,
        Goal::Throughput,
        "orders are kept in progress"
    );
    assert_eq!(reliefs.list.len(), means.len());
    let base = throughput(means, jobs);
    let exact = |station: usize| {
        let mut shorter = means.to_vec();
        shorter[station] *= 0.9;
        60.0 * (throughput(&shorter, jobs) - base)
    };
    let station = |relief: &Relief| {
        resource(&relief.trial)[1..]
            .parse::<usize>()
            .expect("s0, s1 …")
    };
    for relief in &reliefs.list {
        let difference = relief.throughput.difference;
        let truth = exact(station(relief));
        // The half-width is t(29) = 2.045 standard errors; four of them may lie between.
        let standard_error = difference.half_width.expect("many replications") / 2.045;
        let off = (difference.mean - truth) / standard_error;
        println!(
            "{name} {jobs} {}: {:.4} for {truth:.4}, {off:+.2} se",
            resource(&relief.trial),
            difference.mean
        );
        assert!(off.abs() <= 4.0, "{name}: {off} standard errors");
    }
    // Stations that bring the same may come in any order.
    let ranked: Vec<f64> = reliefs
        .list
        .iter()
        .map(|relief| exact(station(relief)))
        .collect();
    let falls = ranked.windows(2).all(|two| two[0] >= two[1] - 1e-12);
    assert!(falls, "{name} with {jobs} jobs ranks as {ranked:?}");
}

#[test]
fn closed_networks_are_ranked_as_mean_value_analysis_says() {
    let all: Value = serde_json::from_str(&data("queueing/reference.json")).expect("it is JSON");
    for id in ["cyclic-3", "cyclic-2-balanced"] {
        let record = all["records"]
            .as_array()
            .expect("a list")
            .iter()
            .find(|r| r["id"] == id);
        let record = record.expect("the record is there");
        let means: Vec<f64> = (record["parameters"]["mean_service"]
            .as_array()
            .expect("means"))
        .iter()
        .map(|mean| mean.as_f64().expect("a number"))
        .collect();
        for values in record["values"].as_array().expect("a list") {
            let jobs = values["N"].as_u64().expect("a number");
            // The analysis above is the one of the references.
            let printed = values["throughput"].as_f64().expect("a number");
            assert!((throughput(&means, jobs) - printed).abs() < 1e-12);
            check_network(id, &means, jobs);
        }
    }
    check_network("four", &[2.2, 1.0, 3.1, 1.6], 4);
}

/// Three stations in a line of which the second is slow: whoever is asked names it.
#[test]
fn on_a_line_with_one_slow_station_all_indicators_agree() {
    let yaml = "title: Line
stations:
  first: {does: {a: {people: 0, per lot: {triangular: [3 min, 4 min, 5 min]}}}}
  slow: {does: {b: {people: 0, per lot: {triangular: [5 min, 6 min, 9 min]}}}}
  third: {does: {c: {people: 0, per lot: {triangular: [3 min, 4 min, 5 min]}}}}
handling: {pick up: 0, put down: 0}
projects: {job: {pieces: 1, route: [a, b, c]}}
orders: [{project: job, every: {exponential: 8 min}, count: 300}]
layouts: {one spot: {distances: 0}}
run: {replications: 20}
";
    let study = study(yaml);
    let reliefs = relief(&study);
    let found = &reliefs.findings.candidates[0];
    let largest = |of: &dyn Fn(usize) -> f64| {
        (0..3)
            .max_by(|&a, &b| of(a).total_cmp(&of(b)))
            .expect("three")
    };
    assert_eq!(largest(&|s| found.stations[s].utilisation), 1);
    assert_eq!(largest(&|s| found.stations[s].queue.mean), 1);
    assert_eq!(
        found.bottleneck.as_ref().expect("one is busiest").name,
        "slow"
    );
    let candidate = &study.candidates[0];
    let mut bottlenecks = Bottlenecks::new(&candidate.shop, study.settings.warm_up);
    let run = Run {
        seed: 1,
        replication: 0,
        until: None,
    };
    let prepared = Prepared::new(&candidate.shop, &candidate.walks);
    simulate(&prepared, &run, &mut bottlenecks).expect("it does not get stuck");
    let active = bottlenecks.found();
    assert_eq!(
        largest(&|s| active.stations[s].average().expect("it works")),
        1
    );
    assert_eq!(largest(&|s| active.stations[s].sole.seconds()), 1);
    assert_eq!(active.people[0].1.active.seconds(), 0.0);
    assert_eq!(reliefs.goal, Goal::LeadTime);
    for wanted in ["times −10 %", "times −50 %", "one more"] {
        let of_change: Vec<&Trial> = (reliefs.list.iter().map(|relief| &relief.trial))
            .filter(|trial| change(trial.edit) == wanted)
            .filter(|trial| trial.edit.kind() == ReliefKind::Station)
            .collect();
        assert_eq!((of_change.len(), resource(of_change[0])), (3, "slow"));
    }
    assert_eq!(resource(&reliefs.list[0].trial), "slow");
    assert_untried(
        &reliefs,
        "maker",
        "one more",
        "nobody is needed for anything",
    );
    assert_untried(
        &reliefs,
        "rules",
        "choose next nearest",
        "nobody is needed for anything",
    );
}

/// One person, one lot: 10 min of setup, 20 min of work, 60 min of glue, 30 m of walking at 1 m/s with 2 s each for
/// picking up and putting down: 5434 s. Handling stays when nobody walks.
#[test]
fn what_each_change_brings_by_hand() {
    let yaml = "title: By hand
stations:
  rack: {}
  saw: {does: {cut: {setup: 10 min, per lot: 8 min, per piece: 3 min, teardown: 0}}}
  table: {does: {glue: {gear: {clamps: 3}, cure: 60 min}}}
crew: {maker: {walking speed: 1 m/s}}
handling: {loaded speed: 1 m/s}
gear: {clamps: {count: 3}}
projects: {box: {pieces: 4, material at: rack, route: [cut, glue]}}
orders: [{project: box}]
layouts: {wide: {distances: {rack: {saw: 20 m}, saw: {table: 10 m}}}}
";
    let study = study(&yaml.replace("cure: 60 min", "cure: {time: 60 min}"));
    assert_eq!(replications(&study, 0), 1);
    let reliefs = relief(&study);
    let base = reliefs.findings.candidates[0]
        .lead_time
        .expect("it is done")
        .mean;
    // To the rack nobody walks: the maker starts there.
    assert_eq!(base, 600.0 + 1200.0 + 3600.0 + 30.0 + 8.0);
    let brings = |resource: &str, change: &str| lead_time(named(&reliefs, resource, change));
    assert_eq!(brings("saw", "no setup"), -600.0);
    assert_eq!(brings("saw", "times −10 %"), -180.0);
    assert_eq!(brings("saw", "times −50 %"), -900.0);
    assert_eq!(brings("table", "times −50 %"), -1800.0);
    assert_eq!(brings("distances", "no walking"), -30.0);
    assert_eq!(brings("table", "one more"), 0.0);
    assert_eq!(brings("clamps", "50 % more"), 0.0);
    assert_eq!(
        named(&reliefs, "distances", "no walking")
            .walking
            .difference
            .mean,
        -30.0
    );
    assert_eq!(
        named(&reliefs, "saw", "no setup").hands_on.difference.mean,
        -600.0
    );
    assert!(is(&reliefs.list[0].trial, "table", "times −50 %"));
    assert_eq!(reliefs.in_question, [0]);
    let untried: Vec<(&str, String)> = (reliefs.untried.iter())
        .map(|untried| (resource(&untried.trial), change(untried.trial.edit)))
        .collect();
    let expected = [("saw", "one more"), ("rules", "choose next due date")];
    assert_eq!(untried, expected.map(|(of, what)| (of, what.to_owned())));
}

#[test]
fn counts_go_up_as_their_names_say() {
    for (count, more) in [(1, 2), (2, 3), (3, 5), (8, 12)] {
        let yaml = format!(
            "title: Counts
stations: {{table: {{count: 2, does: {{glue: {{per lot: 1 min, gear: {{clamps: 1}}, cure: {{time: 1 h}}}}}}}}}}
crew: {{student: {{count: 3}}, teacher: {{walking speed: 1 m/s}}}}
gear: {{clamps: {{count: {count}}}}}
projects: {{box: {{pieces: 1, route: [glue]}}}}
orders: [{{project: box, count: 9}}]
layouts: {{one spot: {{distances: 0}}}}
"
        );
        let study = study(&yaml);
        let changes = Changes::of(&study.candidates[0]);
        let shop = |of: &str| {
            let found = (changes.tried.iter())
                .find(|c| resource(c) == of && !change(c.edit).starts_with("times"));
            let trial = found.unwrap_or_else(|| panic!("{of} is tried"));
            trial.edit.applied(&study.candidates[0]).shop
        };
        assert_eq!(
            shop("clamps").gear.iter().next().expect("clamps").count,
            more
        );
        assert_eq!(
            shop("table").stations.iter().next().expect("a table").count,
            3
        );
        let groups = |of: &str| -> Vec<String> {
            shop(of)
                .crew
                .iter()
                .map(|person| person.group.clone())
                .collect()
        };
        assert_eq!(
            groups("student"),
            ["student", "student", "student", "student", "teacher"]
        );
        assert_eq!(
            groups("teacher"),
            ["student", "student", "student", "teacher", "teacher"]
        );
    }
}

fn goal(orders: &str, run: &str) -> Goal {
    let yaml = format!(
        "title: Goals
stations: {{saw: {{does: {{cut: {{people: 0, per lot: {{exponential: 1 min}}}}}}}}}}
handling: {{pick up: 0, put down: 0}}
projects: {{box: {{pieces: 1, route: [cut]}}}}
orders: [{{project: box, {orders}}}]
layouts: {{one spot: {{distances: 0}}}}
run: {{replications: 4, {run}}}
"
    );
    relief_of(&study(&yaml), "times −10 %").goal
}

#[test]
fn lead_time_is_the_goal_unless_throughput_says_more() {
    assert_eq!(goal("count: 50", "until: done"), Goal::LeadTime);
    let horizon = "until: 20 h, warm up: 2 h";
    assert_eq!(goal("every: {exponential: 2 min}", horizon), Goal::LeadTime);
    assert_eq!(goal("in progress: 3", horizon), Goal::Throughput);
    assert_eq!(
        goal("every: {exponential: 30 s}", "until: 20 h"),
        Goal::Throughput,
        "overload"
    );
    assert_eq!(
        goal("count: 50, first: 30 h, every: 1 h", "until: 20 h"),
        Goal::Throughput,
        "none done"
    );
}
