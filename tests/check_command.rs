//! `shopstride check` from the command line.

use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use shopstride::floor::check::{LIMITS, RULES};

fn check(arguments: &[&str], scenario: Option<&str>) -> Output {
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

fn words(bytes: &[u8]) -> String {
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
        let output = check(&["-"], Some(&long_board(cutter)));
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
            "the cutter may stand anywhere in a band of 18 in",
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
    let output = check(&["-"], Some(&narrow));
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
            assert!(
                finding["says"]
                    .as_str()
                    .is_some_and(|says| !says.is_empty())
            );
            assert!(
                finding["source"]
                    .as_str()
                    .is_some_and(|source| !source.is_empty())
            );
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

#[test]
fn the_readme_lists_every_rule_and_every_limit() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let readme = std::fs::read_to_string(path).expect("readable");
    for rule in RULES {
        let row = format!("| {} | {} | {} |", rule.name, rule.about, rule.source);
        assert!(readme.contains(&row), "{row}");
    }
    for limit in LIMITS {
        assert!(
            readme.contains(&format!("| `{}` |", limit.key)),
            "{}",
            limit.key
        );
        assert!(readme.contains(limit.about), "{}", limit.about);
    }
}

/// What cannot be played can be checked: a station outside the room, and one that nobody gets to.
#[test]
fn what_cannot_be_played_can_be_checked() {
    let outside = long_board(25.0);
    let output = check(&["-"], Some(&outside));
    let said = words(&output.stdout);
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(said.contains("saw stands"), "{said}");
    let closed = long_board(11.0).replace(
        "room: {size: [12 ft, 20 ft]}",
        "room: {size: [12 ft, 20 ft], blocked: [{name: partition, at: [6 ft, 5 ft], size: [11 ft, 4 in]}]}",
    );
    let output = check(&["-"], Some(&closed));
    let said = words(&output.stdout);
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(
        said.contains("nobody gets from rack to saw: no way is 19-5/8 in wide"),
        "the body is 50 cm wide, the gaps are half a foot: {said}"
    );
}
