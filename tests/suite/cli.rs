//! The command line: what it writes, where, and how it ends.

use std::io::Write;
use std::process::{Command, Stdio};

use serde_json::Value;

use crate::support::command::{folder, names, shopstride, text};

/// The keys that programs may rely on, by where they stand.
const KEYS: [(&str, &[&str]); 10] = [
    (
        "",
        &[
            "scenario",
            "seed",
            "replications",
            "confidence",
            "candidates",
            "comparisons",
        ],
    ),
    (
        "/candidates/0",
        &[
            "name",
            "walking",
            "lead_time",
            "makespan",
            "hands_on_s",
            "orders_done",
            "throughput_per_h",
            "work_in_process",
            "projects",
            "stations",
            "crew",
            "legs",
            "bottleneck",
        ],
    ),
    (
        "/candidates/0/walking",
        &[
            "mean_m",
            "half_width_m",
            "empty_m",
            "carrying_m",
            "pushing_m",
            "per_order_m",
        ],
    ),
    (
        "/candidates/0/lead_time",
        &["mean_s", "half_width_s", "p50_s", "p90_s"],
    ),
    (
        "/candidates/0/projects/0",
        &[
            "name",
            "orders_done",
            "lead_time_s",
            "walking_per_order_m",
            "hands_on_per_order_s",
        ],
    ),
    (
        "/candidates/0/stations/0",
        &[
            "name",
            "utilisation",
            "running_s",
            "setup_s",
            "curing_s",
            "reserved_s",
            "serviced_s",
            "blocked_s",
            "idle_s",
            "queue_mean",
            "queue_max",
            "wait_mean_s",
            "lots",
        ],
    ),
    (
        "/candidates/0/crew/0",
        &[
            "name",
            "walking_s",
            "handling_s",
            "working_s",
            "waiting_s",
            "walked_m",
        ],
    ),
    ("/candidates/0/legs/0", &["from", "to", "trips", "metres"]),
    ("/candidates/0/bottleneck", &["name", "kind"]),
    (
        "/comparisons/0/walking",
        &[
            "difference_m",
            "low_m",
            "high_m",
            "percent",
            "percent_low",
            "percent_high",
        ],
    ),
];

#[test]
fn the_json_has_every_key_and_its_times_add_up() {
    let folder = folder();
    let output = shopstride(
        &[
            "compare",
            "--no-charts",
            "--json",
            "-",
            "--replications",
            "20",
        ],
        folder.path(),
    );
    assert!(output.status.success());
    let json: Value =
        serde_json::from_slice(&output.stdout).expect("standard output is JSON alone");
    for (place, keys) in KEYS {
        let found = json
            .pointer(place)
            .unwrap_or_else(|| panic!("nothing at {place}"));
        for key in keys {
            assert!(found.get(key).is_some(), "{place} has no {key}");
        }
    }
    for candidate in json["candidates"].as_array().expect("a list") {
        let seconds = |of: &Value, key: &str| {
            of[key]
                .as_f64()
                .unwrap_or_else(|| panic!("{key} is a number"))
        };
        // In shop time, of which the makespan of a shop that keeps hours is a small part.
        let open = seconds(candidate, "measured_s");
        for station in candidate["stations"].as_array().expect("a list") {
            let states = [
                "running_s",
                "setup_s",
                "curing_s",
                "reserved_s",
                "serviced_s",
                "blocked_s",
                "left_standing_s",
                "idle_s",
            ];
            let sum: f64 = states.iter().map(|key| seconds(station, key)).sum();
            assert!(
                (sum - open * seconds(station, "count")).abs() < 1e-6 * open,
                "{station}"
            );
        }
        for person in candidate["crew"].as_array().expect("a list") {
            let states = ["walking_s", "handling_s", "working_s", "waiting_s"];
            let sum: f64 = states.iter().map(|key| seconds(person, key)).sum();
            assert!((sum - open).abs() < 1e-6 * open, "{person}");
        }
        let walking = &candidate["walking"];
        let kinds: f64 = ["empty_m", "carrying_m", "pushing_m"]
            .iter()
            .map(|key| seconds(walking, key))
            .sum();
        assert!((kinds - seconds(walking, "mean_m")).abs() < 1e-6);
    }
    assert_eq!(
        names(folder.path()),
        Vec::<String>::new(),
        "nothing else was written"
    );
}

#[test]
fn any_number_of_threads_gives_the_same_bytes() {
    let folder = folder();
    let of = |threads: &str| {
        shopstride(
            &[
                "compare",
                "--json",
                "-",
                "--charts",
                threads,
                "--threads",
                threads,
                "-q",
            ],
            folder.path(),
        )
        .stdout
    };
    let one = of("1");
    assert!(one.len() > 1000);
    for threads in ["2", "5"] {
        assert!(of(threads) == one, "{threads} threads");
        for name in names(&folder.path().join("1")) {
            let read =
                |of: &str| std::fs::read(folder.path().join(of).join(&name)).expect("it was drawn");
            assert!(read("1") == read(threads), "{name} with {threads} threads");
        }
    }
}

#[test]
fn compare_draws_charts_and_run_only_when_asked() {
    let folder = folder();
    let output = shopstride(&["compare", "--replications", "3"], folder.path());
    assert!(output.status.success());
    assert!(
        text(&output.stderr).contains(" files in shopstride-charts; look at summary.svg first"),
        "the user is told where, and where to begin"
    );
    let charts = names(&folder.path().join("shopstride-charts"));
    for stem in [
        "summary",
        "walking",
        "stations",
        "people",
        "timeline-1-as-it-grew",
        "timeline-2-working-order",
        "lead-time",
        "legs",
    ] {
        assert!(
            charts.contains(&format!("{stem}.svg")),
            "{stem}: {charts:?}"
        );
    }
    let output = shopstride(&["run", "--replications", "3", "--quiet"], folder.path());
    assert!(output.status.success() && output.stderr.is_empty());
    assert_eq!(names(folder.path()), ["shopstride-charts"]);
}

#[test]
fn run_writes_tables_and_a_trace() {
    let folder = folder();
    let arguments = [
        "run",
        "--replications",
        "3",
        "--csv",
        "tables",
        "--trace",
        "trace.jsonl",
        "--replication",
        "2",
    ];
    assert!(shopstride(&arguments, folder.path()).status.success());
    let tables = names(&folder.path().join("tables"));
    assert_eq!(
        tables,
        [
            "candidates.csv",
            "crew.csv",
            "legs.csv",
            "projects.csv",
            "stations.csv"
        ]
    );
    let trace = std::fs::read_to_string(folder.path().join("trace.jsonl")).expect("it was written");
    let lines: Vec<Value> = trace
        .lines()
        .map(|line| serde_json::from_str(line).expect("a line is JSON"))
        .collect();
    let starts: Vec<f64> = lines
        .iter()
        .map(|line| line["start_s"].as_f64().expect("a number"))
        .collect();
    assert!(starts.is_sorted() && lines.len() > 100);
    let queues = |what: &str| -> Vec<String> {
        let rows = lines.iter().filter(|line| line["what"] == what);
        let lot = |line: &Value| {
            let told = ["station", "order", "item", "batch"].map(|key| line[key].to_string());
            assert!(told.iter().all(|value| value != "null"), "{line}");
            told.join(" ")
        };
        let mut lots: Vec<String> = rows.map(lot).collect();
        lots.sort();
        lots
    };
    // Nothing is left waiting, so each lot that joins a queue leaves it.
    assert!(!queues("lot joins queue").is_empty());
    assert_eq!(queues("lot joins queue"), queues("lot leaves queue"));
    assert_eq!(
        lines.last().map(|line| line["what"].clone()),
        Some("end".into())
    );
}

#[test]
fn a_scenario_comes_from_standard_input_too() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_shopstride"))
        .args(["compare", "--no-charts", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program runs");
    let scenario = include_bytes!("../../scenarios/minimal.yaml");
    child
        .stdin
        .take()
        .expect("a pipe")
        .write_all(scenario)
        .expect("it reads");
    let output = child.wait_with_output().expect("it ends");
    assert!(output.status.success());
    assert!(
        text(&output.stdout)
            .starts_with("Worth it?     Yes: \"near\" saves 35 m of walking per box")
    );
}

#[test]
fn what_new_writes_can_be_compared_and_is_never_overwritten() {
    let folder = folder();
    let new = shopstride(&["new", "mine.yaml"], folder.path());
    assert!(new.status.success() && text(&new.stdout).contains("mine.yaml"));
    let before = std::fs::read(folder.path().join("mine.yaml")).expect("it was written");
    let compared = shopstride(&["compare", "mine.yaml", "--no-charts"], folder.path());
    assert!(
        compared.status.success() && compared.stderr.is_empty(),
        "{}",
        text(&compared.stderr)
    );
    let again = shopstride(&["new", "mine.yaml"], folder.path());
    assert_eq!(again.status.code(), Some(2));
    assert!(text(&again.stderr).contains("is there already"));
    assert_eq!(
        std::fs::read(folder.path().join("mine.yaml")).expect("still there"),
        before
    );
}

#[test]
fn few_replications_are_said_to_be_few() {
    let folder = folder();
    let said = |replications: &str| {
        let arguments = ["run", "--replications", replications];
        let said = text(&shopstride(&arguments, folder.path()).stdout);
        said.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let one = said("1");
    assert!(one.contains("One run says nothing about chance") && !one.contains("Intervals"));
    let rough = |count: &str| said(count).contains("runs they are rough.");
    assert!(rough("2") && rough("9") && !rough("10"));
}

/// Beside a terminal of 140 columns nobody wants lines of 185.
#[test]
fn the_table_of_changes_is_narrow_and_its_data_are_whole() {
    let folder = folder();
    let garage = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/bench/garage.yaml");
    let few = ["bottleneck", "--replications", "3", garage];
    let output = shopstride(&[&few[..], &["--json", "all.json"]].concat(), folder.path());
    let said = text(&output.stdout);
    let header = said.lines().find(|line| line.trim().starts_with("what "));
    let header: Vec<&str> = header.expect("a table").split_whitespace().collect();
    assert_eq!(header, ["what", "change", "start", "to", "walking"]);
    let detailed = shopstride(&[&few[..], &["--details"]].concat(), folder.path());
    let detailed = text(&detailed.stdout);
    let header = detailed
        .lines()
        .find(|line| line.trim().starts_with("what "));
    let header: Vec<&str> = header.expect("a table").split_whitespace().collect();
    assert_eq!(header, ["what", "change", "lead", "time", "walking"]);
    let said = said.replace("--details", "");
    assert!(!said.contains(" -") && !said.contains("± 0.000") && !said.contains("−0.000 "));
    let all = std::fs::read(folder.path().join("all.json")).expect("it was written");
    let all: Value = serde_json::from_slice(&all).expect("it is JSON");
    for key in ["lead_time", "throughput_per_h", "walking", "hands_on"] {
        assert!(all["relief"][0][key].is_object(), "{key}");
    }
}

#[test]
fn without_a_terminal_there_is_no_colour() {
    let folder = folder();
    std::fs::write(
        folder.path().join("broken.yaml"),
        "title: Broken\nstatoins: {}\n",
    )
    .expect("written");
    let output = shopstride(&["compare", "broken.yaml"], folder.path());
    assert!(!text(&output.stderr).contains('\u{1b}'));
}
