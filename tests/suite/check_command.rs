//! `shopstride check` from the command line.

use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use shopstride::floor::LIMITS;
use shopstride::floor::check::RULES;

use crate::support::command::shopstride;

pub fn check(arguments: &[&str], scenario: Option<&str>) -> Output {
    use std::io::Write;
    let mut child = Command::new(env!("CARGO_BIN_EXE_shopstride"))
        .arg("check")
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    let mut input = child.stdin.take().expect("a pipe");
    input
        .write_all(scenario.unwrap_or_default().as_bytes())
        .expect("it reads");
    drop(input);
    child.wait_with_output().expect("it ends")
}

/// The exit code of a run of a scenario.
fn run(scenario: &str) -> Option<i32> {
    let file = tempfile::NamedTempFile::new().expect("a place for a file");
    std::fs::write(file.path(), scenario).expect("it is written");
    let output = Command::new(env!("CARGO_BIN_EXE_shopstride"))
        .args(["run", "--replications", "1"])
        .arg(file.path())
        .output()
        .expect("the program runs");
    output.status.code()
}

pub fn words(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes);
    text.split_whitespace().collect::<Vec<&str>>().join(" ")
}

/// An 8-ft board at a machine in the middle of a 20-ft room: 18.5 ft of straight run, of which 2.5 ft are for the
/// operator, so that the cutter may stand anywhere in a band of 1.5 ft (8 ft + 2.5 ft before it and 8 ft behind it are
/// common practice for through-feed machines; the rest is arithmetic). From 10.5 ft to 12 ft it fits.
fn long_board(cutter_ft: f64) -> String {
    format!(
        "
title: A long board
show: imperial
room: {{size: [12 ft, 20 ft]}}
stations:
  rack: {{}}
  saw: {{size: [3 ft, 3 ft], feed toward: +y, does: {{rip: {{per piece: 1 min}}}}}}
projects: {{board: {{pieces: 1, rough: [8 ft, 6 in, 1 in], material at: rack, route: [rip]}}}}
orders: [{{project: board}}]
layouts:
  placed: {{at: {{rack: [2 ft, 2 ft], saw: [6 ft, {cutter_ft} ft]}}}}
"
    )
}

#[test]
fn a_long_board_has_a_band_for_the_cutter() {
    for (cutter, fits) in [(10.4, false), (10.5, true), (12.0, true), (12.1, false)] {
        let output = check(&["-", "--details", "--notes"], Some(&long_board(cutter)));
        let said = words(&output.stdout);
        assert_eq!(
            output.status.code(),
            Some(if fits { 0 } else { 1 }),
            "{cutter}: {said}"
        );
        for part in [
            "8 ft long, needs 18 ft 6 in of straight run",
            "30 in of it for the operator to stand",
            "there is 20 ft",
            "so that the machine may shift by 18 in",
        ] {
            assert!(said.contains(part), "{cutter}: {part} is not in: {said}");
        }
        assert_eq!(
            said.contains("no fault found by these rules; not an inspection"),
            fits
        );
        assert!(said.contains("local codes"), "{said}");
    }
}

#[test]
fn limits_of_the_file_decide() {
    let narrow = long_board(10.4).replace("stations:", "check: {operator: 24 in}\nstations:");
    let output = check(&["-", "--details", "--notes"], Some(&narrow));
    let said = words(&output.stdout);
    assert_eq!(output.status.code(), Some(0), "{said}");
    assert!(said.contains("needs 18 ft of straight run"), "{said}");
    let wrong = long_board(11.0).replace("stations:", "check: {isle: 24 in}\nstations:");
    let output = check(&["-"], Some(&wrong));
    assert_eq!(output.status.code(), Some(2));
    assert!(words(&output.stderr).contains("did you mean `aisle`?"));
}

/// The built-in scenario has faults in one layout and none in the other.
#[test]
fn the_built_in_scenario_has_faults_in_one_layout_only() {
    let output = check(&["--json", "-"], None);
    assert_eq!(output.status.code(), Some(1));
    let data: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let layouts = data["layouts"].as_array().expect("a list");
    let faults: Vec<u64> = (layouts.iter())
        .map(|layout| layout["faults"].as_u64().expect("a number"))
        .collect();
    assert!(faults[0] > 0 && faults[1] == 0, "{faults:?}");
    let first = &layouts[0]["findings"][0];
    assert_eq!(first["rule"], "panel");
    assert_eq!(first["subject"], "lumber rack");
    let missing = first["missing_m"].as_f64().expect("metres");
    assert!(
        (missing - 0.3048).abs() < 1e-9,
        "12 in, by the sizes in the file: {missing}"
    );
    for layout in layouts {
        for finding in layout["findings"].as_array().expect("a list") {
            for text in ["says", "short", "source"] {
                let text = finding[text].as_str();
                assert!(text.is_some_and(|text| !text.is_empty()), "{finding}");
            }
        }
    }
    let other = check(&["--layout", "working order"], None);
    assert_eq!(other.status.code(), Some(0));
}

#[test]
fn layouts_that_say_only_how_far_it_is_cannot_be_checked() {
    let output = check(&["scenarios/minimal.yaml"], None);
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
    assert!(words(&output.stderr).contains("place the stations with `at`"));
}

/// What a rule asks and where it comes from, and what a figure is, by how much, and why: `explain` says it of all of them.
#[test]
fn every_rule_and_every_limit_is_explained() {
    let explained = |name: &str| {
        let output = shopstride(&["explain", name], Path::new(env!("CARGO_MANIFEST_DIR")));
        words(&output.stdout).to_lowercase()
    };
    for rule in RULES {
        let said = explained(rule.id.name());
        for part in [rule.about, rule.source] {
            assert!(said.contains(&part.to_lowercase()), "{part} in {said}");
        }
    }
    for limit in LIMITS {
        let said = explained(limit.key);
        for part in [limit.about, limit.source] {
            assert!(said.contains(&part.to_lowercase()), "{part} in {said}");
        }
    }
    for (key, default) in [
        ("aisle", "default 36 in; "),
        ("outfeed walk", "default 0; "),
        ("sander cut", "default 1/64 in; "),
        ("planer cut", "default 1/8 in; "),
        ("two people lift", "default 30.7 kg; "),
    ] {
        assert!(explained(key).contains(default), "{key}");
    }
}

/// What cannot be played can be checked: a station outside the room, and one that nobody gets to.
#[test]
fn what_cannot_be_played_can_be_checked() {
    let outside = long_board(25.0);
    let output = check(&["-", "--details"], Some(&outside));
    let said = words(&output.stdout);
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(said.contains("saw stands"), "{said}");
    let closed = long_board(11.0).replace(
        "room: {size: [12 ft, 20 ft]}",
        "room: {size: [12 ft, 20 ft], blocked: [{name: partition, at: [6 ft, 5 ft], size: [11 ft, 4 in]}]}",
    );
    let output = check(&["-", "--details"], Some(&closed));
    let said = words(&output.stdout);
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(
        said.contains("nobody gets from rack to saw: the widest way is 6 in wide"),
        "the body is 50 cm wide, the gaps are half a foot: {said}"
    );
}

/// A room of 8 m by 6 m with a door, a saw, a rack and a pocket in the corner; what is given comes on top.
fn shop(door_m: f64, rack: &str, blocked: &str, more: &str) -> String {
    let end = 2.0 + door_m;
    format!(
        "
title: Who gets where
room:
  size: [8 m, 6 m]
  doors: [{{name: D, between: [[0, 2 m], [0, {end} m]]}}]
  blocked: [{blocked}]
stations:
  saw: {{size: [1 m, 80 cm], does: {{rip: {{per piece: 1 s}}}}}}
  rack: {{stand: [0, 0]}}
{more}
orders: [{{project: board}}]
layouts:
  placed: {{at: {{saw: [5 m, 4 m], rack: {rack}}}}}
"
    )
}

/// Whatever cannot be played because of the floor is a fault, and what can be played has none of these rules.
#[test]
fn what_a_run_refuses_because_of_the_floor_is_a_fault() {
    const BOARD: &str = "projects: {board: {pieces: 1, material at: rack, route: [rip]}}";
    const TO_DOOR: &str =
        "projects: {board: {pieces: 1, material at: rack, route: [rip], deliver to: D}}";
    const FETCH: &str = "projects: {board: {pieces: 1, route: [{op: rip, fetch from: rack}]}}";
    const GEAR: &str =
        "gear: {jig: {count: 1, stored at: rack}}\nprojects: {board: {pieces: 1, route: [rip]}}";
    const FROM_DOOR: &str =
        "crew: {maker: {starts at: D}}\nprojects: {board: {pieces: 1, route: [rip]}}";
    const CART: &str = "handling: {carts: {count: 1, stored at: rack, pieces: 4, speed: 1 m/s, at least: 1}}\nprojects: {board: {pieces: 1, route: [rip]}}";
    const UNORDERED: &str = "projects: {board: {pieces: 1, route: [rip]}, box: {pieces: 1, material at: rack, route: [rip]}}";
    // Around (7, 1) m, with no gap as wide as a person.
    const POCKET: &str = "{name: screen, outline: [[6 m, 0], [6.2 m, 0], [6.2 m, 1.8 m], [7.7 m, 1.8 m], [7.7 m, 2 m], [6 m, 2 m]]}";
    const AT_DOOR: &str = "{name: crate, at: [20 cm, 2.5 m], size: [40 cm, 1.2 m]}";
    let clear = "[2 m, 1 m]";
    let pocket = "[7 m, 1 m]";
    let in_the_saw = "[5 m, 4 m]";
    let by_the_wall = "[3 m, 10 cm]";
    let cases = [
        (shop(1.0, clear, "", TO_DOOR), false),
        (shop(1.0, clear, POCKET, BOARD), false),
        (shop(0.4, clear, "", BOARD), false),
        (shop(0.4, clear, "", TO_DOOR), true),
        (shop(0.499, clear, "", FROM_DOOR), true),
        (shop(0.5, clear, "", FROM_DOOR), false),
        (shop(1.0, clear, AT_DOOR, TO_DOOR), true),
        (shop(1.0, pocket, POCKET, BOARD), true),
        (shop(1.0, pocket, POCKET, FETCH), true),
        (shop(1.0, pocket, POCKET, GEAR), true),
        (shop(1.0, pocket, POCKET, CART), true),
        (shop(1.0, pocket, POCKET, UNORDERED), true),
        (shop(1.0, in_the_saw, "", BOARD), true),
        (shop(1.0, by_the_wall, "", BOARD), true),
        (shop(1.0, "[9 m, 1 m]", "", BOARD), true),
    ];
    for (scenario, refused) in cases {
        let code = run(&scenario);
        assert_eq!(code, Some(if refused { 2 } else { 0 }), "{scenario}");
        let output = check(&["--json", "-", "-"], Some(&scenario));
        let data: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let findings = data["layouts"][0]["findings"].as_array().expect("a list");
        let told = findings.iter().any(|finding| {
            let rule = &finding["rule"];
            finding["level"] == "fault" && (rule == "standing" || rule == "reachable")
        });
        assert_eq!(told, refused, "{scenario}\n{findings:#?}");
        assert!(!refused || output.status.code() == Some(1));
    }
}

/// A piece of 4 m by 10 cm that is fed with its width ahead lies across the strip. Along it, less than the saw itself
/// takes is asked for: half of its depth before and behind the cutter, and 30 in for the operator.
#[test]
fn a_piece_fed_along_its_width_lies_across() {
    let text = "
title: Across
room: {size: [10 m, 8 m]}
stations: {saw: {size: [1 m, 90 cm], feed toward: +y, does: {cut off: {feed speed: 3 m/min, along: width}}}}
projects: {rail: {pieces: 1, rough: [4 m, 10 cm, 2 cm], route: [cut off]}}
orders: [{project: rail}]
layouts: {middle: {at: {saw: [5 m, 4 m]}}}
";
    let feed = |text: &str| -> (f64, f64, f64) {
        let output = check(&["-", "--json", "-"], Some(text));
        let data: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let findings = data["layouts"][0]["findings"].as_array().expect("a list");
        let feed = (findings.iter()).find(|finding| finding["rule"] == "feed");
        let feed = feed.unwrap_or_else(|| panic!("{data:#}"));
        let figure = |name: &str| feed["figures"][name].as_f64().expect("a figure");
        (
            figure("piece_length_m"),
            figure("needed_m"),
            figure("strip_width_m"),
        )
    };
    let (length, needed, width) = feed(text);
    assert_eq!(length, 0.1);
    assert!((needed - (0.45 + 0.762 + 0.45)).abs() < 1e-9, "{needed}");
    assert!(width >= 4.0, "{width}");
    let (length, needed, width) = feed(&text.replace(", along: width", ""));
    assert_eq!(length, 4.0);
    assert!((needed - (4.0 + 0.762 + 4.0)).abs() < 1e-9, "{needed}");
    assert!((width - 1.0).abs() < 1e-9, "as wide as the saw: {width}");
}

/// What is written below a sign on the plan is what its sentence says, to the same mark of the tape.
#[test]
fn widths_on_a_plan_are_those_of_the_sentences() {
    fn collect(items: &Value, found: &mut Vec<(String, String)>) {
        for item in items.as_array().into_iter().flatten() {
            let inner = &item["items"];
            if item["group"] == "finding" {
                let title = item["title"].as_str().unwrap_or_default();
                let texts = inner.as_array().into_iter().flatten();
                let texts = texts.filter_map(|item| item["text"].as_str());
                let widths = texts.filter(|text| text.parse::<u32>().is_err());
                found.extend(widths.map(|width| (width.to_owned(), title.to_owned())));
            }
            collect(inner, found);
        }
    }
    let mut compared = 0;
    for scenario in ["kinds-garage", "garage", "class"] {
        let folder = tempfile::tempdir().expect("a folder");
        let charts = folder.path().to_str().expect("plain").to_owned();
        let file = format!("scenarios/{scenario}.yaml");
        check(
            &[&file, "-q", "--charts", &charts, "--chart-format", "json"],
            None,
        );
        for entry in std::fs::read_dir(folder.path()).expect("readable") {
            let path = entry.expect("readable").path();
            if path.extension().is_none_or(|ending| ending != "json") {
                continue;
            }
            let text = std::fs::read_to_string(&path).expect("readable");
            let scene: Value = serde_json::from_str(&text).expect("JSON");
            let mut found = Vec::new();
            collect(&scene["items"], &mut found);
            for (width, sentence) in found {
                assert!(sentence.contains(&width), "{width} in {sentence}");
                compared += 1;
            }
        }
    }
    assert!(compared > 20, "{compared}");
}
