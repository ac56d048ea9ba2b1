//! Work that only tears down or fetches, and walks that the horizon cuts.

use std::fs;

use crate::support::command::{done, folder, refused};

/// What takes time only by its tear-down, or since something is fetched for it, can always be in progress.
#[test]
fn work_that_only_tears_down_or_fetches_takes_time() {
    let folder = folder();
    let scenario = |operation: &str| {
        format!(
            "title: Boxes\nstations: {{rack: {{}}, saw: {{does: {{rip: {operation}}}}}}}\ngear: {{jig: {{count: 1, stored at: rack}}}}\n\
             projects: {{box: {{material at: saw, route: [rip]}}}}\norders: [{{project: box, in progress: 1}}]\n\
             handling: {{walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0}}\n\
             layouts: {{a: {{distances: {{rack: {{saw: 5 m}}}}}}}}\nrun: {{until: 1000 s}}\n"
        )
    };
    // Seconds from one order to the next: there and back takes ten.
    let takes: [(&str, f64); 4] = [
        ("{teardown: 20 s}", 20.0),
        ("{fetch from: rack}", 10.0),
        ("{gear: {jig: 1}}", 10.0),
        ("{teardown: 10 s, fetch from: rack}", 20.0),
    ];
    for (operation, seconds) in takes {
        fs::write(folder.path().join("shop.yaml"), scenario(operation)).expect("written");
        let output = done(&["run", "shop.yaml", "-q", "--json", "-"], folder.path());
        let found: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let orders = found["candidates"][0]["orders_done"].as_f64();
        let orders = orders.expect("a number");
        assert!(
            (orders - 1000.0 / seconds).abs() <= 1.0,
            "{operation}: {orders} orders"
        );
    }
    for operation in ["{}", "{fetch from: saw}", "{teardown: 0}"] {
        fs::write(folder.path().join("shop.yaml"), scenario(operation)).expect("written");
        refused(&["run", "shop.yaml"], folder.path(), "takes no time");
    }
}

/// A walk of 100 s, and one that is cut after 30 s of it: the metres of walking are those of walks that end.
#[test]
fn a_walk_that_the_horizon_cuts_says_so_and_how_far_it_came() {
    let folder = folder();
    let scenario = "title: Boxes\nstations: {rack: {}, saw: {does: {rip: {per lot: 0}}}}\n\
                    projects: {box: {material at: rack, route: [rip]}}\norders: [{project: box, count: 2}]\n\
                    handling: {walking speed: 1 m/s, loaded speed: 1 m/s, pick up: 0, put down: 0}\n\
                    layouts: {a: {distances: {rack: {saw: 100 m}}}}\nrun: {until: 130 s}\n";
    fs::write(folder.path().join("shop.yaml"), scenario).expect("written");
    let arguments = [
        "run",
        "shop.yaml",
        "-q",
        "--trace",
        "trace.jsonl",
        "--json",
        "-",
    ];
    let output = done(&arguments, folder.path());
    let found: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let trace = fs::read_to_string(folder.path().join("trace.jsonl")).expect("written");
    let lines = trace
        .lines()
        .map(|line| serde_json::from_str::<serde_json::Value>(line).expect("JSON"));
    let walks: Vec<serde_json::Value> = lines.filter(|line| line["what"] == "walk").collect();
    let told: Vec<(f64, f64, bool)> = walks
        .iter()
        .filter(|walk| walk["start_s"] != walk["end_s"])
        .map(|walk| {
            let number = |key: &str| walk[key].as_f64().expect("a number");
            (number("end_s"), number("metres"), walk["cut"] == true)
        })
        .collect();
    assert_eq!(told, [(100.0, 100.0, false), (130.0, 30.0, true)]);
    // An end that falls on the horizon is an end.
    assert_eq!(found["candidates"][0]["walking"]["mean_m"], 100.0);
    let scenario = scenario.replace("130 s", "200 s");
    fs::write(folder.path().join("shop.yaml"), scenario).expect("written");
    let output = done(&arguments, folder.path());
    let found: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(found["candidates"][0]["walking"]["mean_m"], 200.0);
    let trace = fs::read_to_string(folder.path().join("trace.jsonl")).expect("written");
    // The next one begins at the horizon at the soonest.
    let lines = trace
        .lines()
        .map(|line| serde_json::from_str::<serde_json::Value>(line).expect("JSON"));
    let is_cut = |line: &serde_json::Value| line["what"] == "walk" && line["cut"] == true;
    let came: Vec<f64> = lines
        .filter(is_cut)
        .map(|line| line["metres"].as_f64().expect("a number"))
        .collect();
    assert!(came.iter().all(|metres| *metres == 0.0), "{came:?}");
}
