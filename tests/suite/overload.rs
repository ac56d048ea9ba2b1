//! Orders that come faster than they are built: found where it is so, and not in busy shops that keep up.

use rayon::prelude::*;
use serde_json::Value;
use shopstride::experiment::{CandidateFindings, Goal, relieve, run};
use shopstride::report::data;

use crate::first_minute::{line, said};
use crate::support::{data as file, study, yaml_files};

const FILE: &str = "scenarios/faster-than-built.yaml";

/// A shop of one station, to which orders come every minute and which takes so much of a minute for each, on average.
fn shop(
    [arrivals, work]: [&str; 2],
    (load, hours): (f64, f64),
    (replications, seed): (u32, u64),
) -> String {
    let seconds = 60.0 * load;
    let work = work.replace("MEAN", &format!("{seconds} s"));
    format!(
        "title: One station
stations: {{table: {{does: {{sand: {{per lot: {work}}}}}}}}}
projects: {{tray: {{pieces: 1, route: [sand]}}}}
handling: {{pick up: 0 s, put down: 0 s}}
orders: [{{project: tray, every: {arrivals}}}]
layouts: {{one: {{distances: 0}}}}
run: {{until: {hours} h, replications: {replications}, seed: {seed}}}
"
    )
}

const EXPONENTIAL: [&str; 2] = ["{exponential: 1 min}", "{exponential: MEAN}"];

fn found(yaml: &str) -> CandidateFindings {
    let findings = run(&study(yaml), 0, &|_| ()).expect("it does not get stuck");
    findings.candidates.into_iter().next().expect("one")
}

/// Of so many seeds, for how many something is said of a shop.
fn counted(
    is_said: fn(&CandidateFindings) -> bool,
    (times, of): ([&str; 2], (f64, f64)),
    (replications, seeds): (u32, u64),
) -> usize {
    let seeds: Vec<u64> = (1..=seeds).collect();
    let said = seeds
        .par_iter()
        .filter(|&&seed| is_said(&found(&shop(times, of, (replications, seed)))));
    said.count()
}

/// That orders come faster than they are built.
fn alarms(times: [&str; 2], of: (f64, f64), runs: (u32, u64)) -> usize {
    counted(|found| found.overload.is_some(), (times, of), runs)
}

/// Starting empty, a stable queue fills for a long time: at 90 % the mean is reached after hundreds of services only. At
/// a load of 1 the queue grows for ever, with the root of the time.
#[test]
fn a_busy_shop_that_keeps_up_is_never_called_overloaded() {
    for load in [0.8, 0.9, 0.95] {
        for hours in [1.0, 4.0, 16.0] {
            let says =
                |found: &CandidateFindings| found.overload.is_some() || found.at_capacity.is_some();
            let said = counted(says, (EXPONENTIAL, (load, hours)), (20, 20));
            assert_eq!(said, 0, "{load} {hours}");
        }
    }
}

/// Few runs do not show it where the load is little above what can be done; by default there are thousands.
#[test]
fn an_overloaded_shop_is_called_so() {
    for (load, hours) in [(1.9, 4.0), (1.5, 4.0), (1.25, 16.0)] {
        let called = alarms(EXPONENTIAL, (load, hours), (200, 20));
        assert_eq!(called, 20, "{load} {hours}");
    }
}

/// The full count, as a table: `cargo test --test suite overload::count -- --ignored --nocapture`.
#[test]
#[ignore = "takes a minute; prints how often each shop is called overloaded"]
fn count() {
    const SEEDS: u64 = 200;
    println!(
        "load, and of {SEEDS} seeds with 20 replications: called overloaded in 1 h, 4 h, 16 h, 64 h (1 order a minute)"
    );
    for load in [0.8, 0.9, 0.95, 1.0, 1.05, 1.1, 1.25, 1.5, 1.9, 4.0] {
        let counts =
            [1.0, 4.0, 16.0, 64.0].map(|hours| alarms(EXPONENTIAL, (load, hours), (20, SEEDS)));
        println!("{load} {counts:?}");
        for count in counts.into_iter().filter(|_| load < 1.0) {
            assert_eq!(count, 0, "{load}");
        }
    }
}

#[test]
fn the_built_in_scenarios_keep_up() {
    for path in yaml_files("scenarios") {
        let mut study = study(&std::fs::read_to_string(&path).expect("readable"));
        study.settings.replications = shopstride::experiment::Replications::Fixed(20);
        for found in run(&study, 0, &|_| ()).expect("not stuck").candidates {
            let piles_up = found.overload.is_some() || found.at_capacity.is_some();
            assert!(!piles_up, "{}", path.display());
        }
    }
}

/// While the first orders are on their way, work in process grows as steadily: each takes 24 h of drying and nobody
/// waits, and the run lasts 30 h.
#[test]
fn what_is_on_its_way_is_no_overload() {
    for (hours, replications) in [(30, 1), (26, 1), (48, 1), (30, 20)] {
        let yaml = format!(
            "title: Drying
stations: {{table: {{does: {{coat: {{per lot: {{uniform: [1 min, 2 min]}}, cure: {{time: 24 h, ties up: []}}}}}}}}}}
projects: {{tray: {{pieces: 1, route: [coat]}}}}
handling: {{pick up: 0 s, put down: 0 s}}
orders: [{{project: tray, every: 30 min}}]
layouts: {{one: {{distances: 0}}}}
run: {{until: {hours} h, replications: {replications}, seed: 1}}
"
        );
        let found = found(&yaml);
        assert!(
            found.lead_time.is_some() && found.overload.is_none(),
            "{hours}"
        );
        let [first, middle, last] = found.in_process_by_third.expect("there is a horizon");
        assert!(first < middle && middle < last, "{first} {middle} {last}");
    }
}

/// With fixed times: an order every 10 min of what takes 20 min. By the end of each third of 10 h 20, 40 and 60 orders
/// have come and 10, 20 and 30 are done, so that 5, 15 and 25 are open on average.
#[test]
fn work_in_process_is_told_by_thirds() {
    let yaml = file(FILE).replace("{exponential: 19 min}", "20 min");
    let found = found(&yaml);
    let thirds = found.in_process_by_third.expect("there is a horizon");
    for (third, expected) in thirds.into_iter().zip([5.0, 15.0, 25.0]) {
        // An order counts from its release on, and orders come and go at the ends of the thirds.
        assert!((third - expected).abs() <= 1.0, "{third} {expected}");
    }
    let mean = thirds.iter().sum::<f64>() / 3.0;
    assert!((mean - found.work_in_process.mean).abs() < 1e-9, "{mean}");
    let busy: Vec<&str> = found
        .overload
        .iter()
        .flatten()
        .map(|r| &r.name[..])
        .collect();
    assert!(busy.contains(&"table"), "{busy:?}");
}

/// Blades come as fast as they can be sharpened, 3 an hour on average: there is no long run, and by the time t there are
/// 2 √(3 t/h / π) of them on average (reflected Brownian motion; Asmussen, Applied Probability and Queues, 2nd ed. 2003,
/// chapter X.8). Over the thirds of the 1000 h behind the first 100 h that is 31.3, 47.7 and 59.6. How many there are
/// varies by 0.76 of the mean from run to run, which 200 runs leave within a twentieth; four of these are allowed.
#[test]
fn orders_that_come_just_as_fast_as_they_are_built_are_called_so() {
    let queue = include_str!("../../scenarios/queue.yaml");
    let just = queue.replace("exponential: 15 min", "exponential: 20 min");
    let found = found(&just);
    assert!(found.overload.is_none());
    let busy: Vec<&str> = (found.at_capacity.iter().flatten())
        .map(|resource| &resource.name[..])
        .collect();
    assert_eq!(busy, ["sharpening bench", "maker"]);
    let thirds = found.in_process_by_third.expect("there is a horizon");
    for (third, expected) in thirds.into_iter().zip([31.3, 47.7, 59.6]) {
        assert!(
            (third / expected - 1.0).abs() < 4.0 / 20.0,
            "{third} {expected}"
        );
    }
    let text = said(&["run", "--quiet", "--layout", "as they come"], &just);
    let first = line(&text, "At capacity").expect("it is told");
    assert!(text.starts_with("At capacity"), "{text}");
    assert!(
        first.starts_with(
            "In \"as they come\" orders come about as fast as they can be built, so that the queue does not settle: "
        ) && first.contains("Sharpening bench (98 %) and you (98 %) are in use all the time."),
        "{first}"
    );
    // At three quarters of that it settles.
    let text = said(&["run", "--quiet", "--layout", "as they come"], queue);
    assert!(line(&text, "At capacity").is_none(), "{text}");
}

/// The verb goes by the name, whatever stands in brackets behind it.
#[test]
fn what_is_in_use_all_the_time_is_or_are() {
    for (name, verb) in [("table", "is"), ("tables", "are")] {
        let yaml = file(FILE)
            .replace("  table:", &format!("  {name}:"))
            .replace("handling:", "crew: {ann: {}, ben: {}}\nhandling:");
        let text = said(&["run", "--quiet"], &yaml);
        let first = line(&text, "Overload").expect("an answer");
        assert!(
            first.contains(&format!("%) {verb} in use all the time")),
            "{first}"
        );
    }
}

#[test]
fn the_answer_says_so_first_and_gives_no_lead_time() {
    let said = |arguments: &[&str]| said(arguments, &file(FILE));
    for command in ["run", "compare", "bottleneck"] {
        let mut arguments = vec![command, "--quiet"];
        if command == "compare" {
            arguments.push("--no-charts");
        }
        for details in [false, true] {
            let arguments: Vec<&str> = (arguments.iter().copied())
                .chain(details.then_some("--details"))
                .collect();
            let text = said(&arguments);
            assert!(text.starts_with("Overload "), "{command}\n{text}");
            let first = line(&text, "Overload").expect("an answer");
            let start = "In \"basement\" orders come faster than they are built: ";
            assert!(first.starts_with(start), "{first}");
            assert!(first.contains("in use all the time"), "{first}");
            assert!(line(&text, "Takes").is_none(), "{text}");
            assert!(!text.contains("mean lead time of a tray is"), "{text}");
        }
    }
    assert!(said(&["run", "--quiet", "--details"]).contains("growing"));
    assert!(said(&["compare", "--no-charts", "--quiet"]).contains("growing"));
    let study = study(&file(FILE));
    let json: Value = data::json(&run(&study, 0, &|_| ()).expect("not stuck"));
    let found = &json["candidates"][0];
    assert_eq!(found["overloaded"], true);
    assert_eq!(
        found["work_in_process_by_third"].as_array().map(Vec::len),
        Some(3)
    );
    let saturated = found["saturated"].as_array().expect("a list");
    assert!(
        saturated
            .iter()
            .all(|one| one["utilisation"].as_f64() >= Some(0.98))
    );
    assert!(saturated.iter().any(|one| one["name"] == "table"));
    // What helps is then judged by what is finished.
    let changes = shopstride::experiment::Changes::of(&study.candidates[0]);
    let reliefs = relieve(&study, 0, changes, &|_| ()).expect("not stuck");
    assert_eq!(reliefs.goal, Goal::Throughput);
}
