//! Layouts in which nobody can stand or walk as they are drawn: they are drawn and checked, and the others go on; and
//! in how many words `check` says it.

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::sync::mpsc;
use std::time::Duration;

use serde_json::Value;
use shopstride::experiment::LayoutFindings;
use shopstride::report::check::{Checked, Depth, Told, text, told};
use shopstride::scenario;

use crate::check_command::{check, words};

/// In the second layout the rack stands behind the bench and the saw is turned to the wall, so that nobody can stand
/// at either of them and nothing can be played.
const CROWDED: &str = "
title: A crowded room
room: {size: [3.6 m, 4.2 m], doors: [{name: door, between: [[0.3 m, 0], [1.2 m, 0]]}]}
stations:
  rack: {size: [1.2 m, 0.6 m]}
  saw: {size: [0.9 m, 0.9 m], feed toward: +y, does: {rip: {per piece: 1 min}}}
  bench: {size: [1.5 m, 0.6 m], does: {plane: {per piece: 1 min}}}
projects: {board: {pieces: 1, rough: [0.6 m, 15 cm, 25 mm], material at: rack, route: [rip, plane]}}
orders: [{project: board}]
layouts:
  roomy: {at: {rack: [0.9 m, 3.8 m], saw: [2.4 m, 2.1 m], bench: [0.9 m, 1.2 m]}}
  crowded: {at: {rack: [0.9 m, 3.8 m], saw: [2.4 m, 0.45 m], bench: [0.9 m, 3.1 m]}}
";

/// What a plan says of itself for those who do not see it.
fn described(folder: &Path, stem: &str) -> String {
    let file = folder.join(format!("{stem}.json"));
    let text = std::fs::read_to_string(&file).expect("the plan is there");
    let scene: Value = serde_json::from_str(&text).expect("it is JSON");
    scene["description"].as_str().expect("a text").to_owned()
}

/// Faults before warnings, and of each the one that lacks most first; a fault that has no length comes before all.
fn by_cost(findings: &[Value]) -> Vec<&Value> {
    let rank = |finding: &Value| match (finding["level"].as_str(), finding["missing_m"].as_f64()) {
        (Some("fault"), None) => Some((0, 0.0)),
        (Some("fault"), Some(missing)) => Some((1, -missing)),
        (Some("warning"), Some(missing)) => Some((2, -missing)),
        (Some("warning"), None) => Some((3, 0.0)),
        _ => None,
    };
    let mut ranked: Vec<_> = findings
        .iter()
        .filter_map(|finding| Some((rank(finding)?, finding)))
        .collect();
    ranked.sort_by(|(one, _), (other, _)| one.partial_cmp(other).expect("numbers"));
    ranked.into_iter().map(|(_, finding)| finding).collect()
}

#[test]
fn plans_are_drawn_of_layouts_in_which_nobody_can_stand() {
    let folder = tempfile::tempdir().expect("a folder");
    let charts = folder.path().join("plans");
    let charts = charts.to_str().expect("a name");
    let arguments = ["-", "--charts", charts, "--chart-format", "svg,json"];
    let output = check(&arguments, Some(CROWDED));
    assert_eq!(output.status.code(), Some(1), "{output:?}");
    let names: Vec<_> = std::fs::read_dir(charts)
        .expect("a folder")
        .map(|entry| entry.expect("there").file_name())
        .collect();
    assert_eq!(
        names.len(),
        5,
        "two plans in two formats and the list: {names:?}"
    );
    let data = check(&["-", "--json", "-"], Some(CROWDED));
    let data: Value = serde_json::from_slice(&data.stdout).expect("it is JSON");
    for (layout, stem) in [(0, "plan-1-roomy"), (1, "plan-2-crowded")] {
        let findings = data["layouts"][layout]["findings"]
            .as_array()
            .expect("a list");
        let expected: Vec<String> = by_cost(findings)
            .into_iter()
            .zip(1..)
            .map(|(finding, number)| {
                let level = finding["level"].as_str().expect("a text");
                let level = format!("{}{}", level[..1].to_uppercase(), &level[1..]);
                format!(
                    "{level} {number}: {}.",
                    finding["says"].as_str().expect("a text")
                )
            })
            .collect();
        let described = described(Path::new(charts), stem);
        let all = format!(" 3 stations. {}", expected.join(" "));
        assert!(
            described.ends_with(&all),
            "{stem}: {described}\nis not {all}"
        );
    }
    let crowded = &data["layouts"][1]["findings"];
    let nobody_stands = crowded
        .as_array()
        .expect("a list")
        .iter()
        .filter(|finding| finding["rule"] == "standing" && finding["level"] == "fault");
    assert_eq!(nobody_stands.count(), 2, "rack and saw: {crowded}");
}

#[test]
fn the_options_of_charts_are_for_those_who_ask_for_charts() {
    let output = check(&["--chart-scale", "2"], None);
    assert_eq!(output.status.code(), Some(2));
    let folder = tempfile::tempdir().expect("a folder");
    let foreign = folder.path().join("plan-1-roomy.svg");
    std::fs::write(&foreign, "mine").expect("written");
    let charts = folder.path().to_str().expect("a name");
    let output = check(&["-", "--charts", charts], Some(CROWDED));
    assert_eq!(output.status.code(), Some(2));
    assert!(words(&output.stderr).contains("this program did not draw it"));
    assert_eq!(std::fs::read(&foreign).expect("there"), b"mine");
    assert_eq!(std::fs::read_dir(charts).expect("a folder").count(), 1);
}

fn shopstride(arguments: &[&str], folder: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_shopstride"))
        .args(arguments)
        .current_dir(folder)
        .output()
        .expect("the program runs")
}

/// A folder with a scenario.
fn folder(scenario: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("x.yaml"), scenario).expect("written");
    folder
}

const REASON: &str = "where one stands at saw is outside the room";

#[test]
fn other_layouts_go_on_where_one_cannot_be_played() {
    let folder = folder(CROWDED);
    let few = ["x.yaml", "--replications", "2"];
    for command in [&["compare", "--no-charts"][..], &["run"], &["bottleneck"]] {
        let arguments = [command, &few].concat();
        let output = shopstride(&arguments, folder.path());
        assert_eq!(output.status.code(), Some(0), "{output:?}");
        let said = words(&output.stdout);
        let expected = "Left out \"crowded\" (too little room to stand at saw, 55.5 cm missing): see `shopstride check`.";
        assert!(said.contains(expected), "{command:?}: {said}");
        // The answer says it already.
        assert_eq!(words(&output.stderr), "", "{command:?}");
        let output = shopstride(&[&arguments[..], &["--json", "-"]].concat(), folder.path());
        let data: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let left_out = data["left_out"].as_array().expect("a list");
        assert_eq!(left_out.len(), 1, "{left_out:?}");
        assert_eq!(left_out[0]["name"], "crowded");
        assert_eq!(left_out[0]["because"], REASON);
        let named = data["candidates"].as_array();
        let is_named = |candidate: &Value| candidate["name"] == "crowded";
        assert!(!named.is_some_and(|all| all.iter().any(is_named)), "{data}");
    }
    let asked = [&["run", "--layout", "crowded"][..], &few].concat();
    let output = shopstride(&asked, folder.path());
    assert_eq!(output.status.code(), Some(2));
    let said = words(&output.stderr);
    assert!(
        said.contains("nobody can stand or walk everywhere"),
        "{said}"
    );
}

/// What is left out changes nothing of the others.
#[test]
fn figures_are_those_of_a_file_without_what_is_left_out() {
    let without: String = CROWDED
        .lines()
        .filter(|line| !line.starts_with("  crowded"))
        .map(|line| format!("{line}\n"))
        .collect();
    let data = |scenario: &str| {
        let folder = folder(scenario);
        let arguments = ["run", "x.yaml", "--replications", "3", "--json", "-"];
        let output = shopstride(&arguments, folder.path());
        let mut data: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        data.as_object_mut().expect("a mapping").remove("left_out");
        data
    };
    assert_eq!(data(CROWDED), data(&without));
}

#[test]
fn a_file_in_which_no_layout_remains_is_refused() {
    let only: String = CROWDED
        .lines()
        .filter(|line| !line.starts_with("  roomy"))
        .map(|line| format!("{line}\n"))
        .collect();
    let folder = folder(&only);
    let output = shopstride(&["compare", "x.yaml", "--no-charts"], folder.path());
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
    let said = words(&output.stderr);
    let expected = "error: in the layout `crowded` nobody can stand at `rack`";
    assert!(said.contains(expected), "{said}");
}

#[test]
fn few_words_come_first_and_notes_when_asked_for() {
    let short = words(&check(&["-"], Some(CROWDED)).stdout);
    for part in [
        "1 fault too little room to feed work at saw, 91.2 cm missing help: move saw",
        "3 fault too little room to stand at rack, 45.5 cm missing help: move rack",
        "2 warning the way between bench and the wall is narrow: 90 cm where 1.22 m is advised",
        "1 note: `--notes` shows it",
        "Figures and sources: `--details`.",
    ] {
        assert!(short.contains(part), "{part} is not in: {short}");
    }
    assert!(!short.contains("[1]"), "{short}");
    let long = words(&check(&["-", "--details"], Some(CROWDED)).stdout);
    assert!(long.contains(&format!("2 fault {REASON} [")), "{long}");
    assert!(
        !long.contains("the longest piece that passes here"),
        "{long}"
    );
    let noted = words(&check(&["-", "--notes"], Some(CROWDED)).stdout);
    assert!(
        noted.contains("the longest piece that passes here"),
        "{noted}"
    );
    assert!(!noted.contains("`--notes` shows"), "{noted}");
}

#[test]
fn what_repeats_is_joined_under_the_first_number() {
    let loaded = scenario::load_to_check("crowded", CROWDED.as_bytes());
    let study = loaded.expect("it loads").study;
    let candidate = &study.candidates[1];
    let found = LayoutFindings::checked(candidate, &[]).expect("it is drawn");
    let mut findings = told(&found.shop, found.plan.room.as_ref(), &found.findings);
    let stands = findings.iter().find(|finding| finding.subject == "rack");
    let less = Told {
        missing: Some(0.1),
        ..stands.expect("nobody stands there").clone()
    };
    findings.push(less);
    let checked = [Checked {
        candidate,
        findings,
        ways: Vec::new(),
        untried: 0,
        machines: Vec::new(),
        machines_untried: 0,
        takes: Vec::new(),
    }];
    let said = |depth: Depth| {
        let styled = text(&study, &checked, depth, 80);
        words(anstream::adapter::strip_str(&styled).to_string().as_bytes())
    };
    let short = said(Depth::default());
    let once = "3 fault too little room to stand at rack, 45.5 cm missing (also 4) help:";
    assert!(short.contains(once), "{short}");
    assert_eq!(short.matches("stand at rack").count(), 1, "{short}");
    let long = said(Depth {
        details: true,
        ..Depth::default()
    });
    for number in [3, 4] {
        let each = format!("{number} fault where one stands at rack is within bench");
        assert!(long.contains(&each), "{each} is not in: {long}");
    }
}

/// Ends the program, whatever becomes of the test.
struct Ended(std::process::Child);

impl Drop for Ended {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

#[test]
fn a_file_that_is_saved_again_is_checked_again() {
    let folder = folder(CROWDED);
    let file = folder.path().join("x.yaml");
    let mut child = Command::new(env!("CARGO_BIN_EXE_shopstride"))
        .args(["check", "x.yaml", "--watch"])
        .current_dir(folder.path())
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    let (said, hears) = mpsc::channel();
    let out = BufReader::new(child.stdout.take().expect("a pipe"));
    let err = BufReader::new(child.stderr.take().expect("a pipe"));
    let child = Ended(child);
    let also = said.clone();
    std::thread::spawn(move || {
        out.lines()
            .map_while(Result::ok)
            .try_for_each(|line| said.send(line))
    });
    std::thread::spawn(move || {
        err.lines()
            .map_while(Result::ok)
            .try_for_each(|line| also.send(line))
    });
    // What goes to one pipe may be heard before what was said earlier in the other.
    let wait_for = |expected: &[&str]| {
        let mut missing = expected.to_vec();
        while !missing.is_empty() {
            let line = hears
                .recv_timeout(Duration::from_secs(60))
                .unwrap_or_else(|_| panic!("{missing:?} is said"));
            assert!(
                !line.contains('\u{1b}'),
                "nothing is cleared in a pipe: {line:?}"
            );
            missing.retain(|part| !line.contains(part));
        }
    };
    wait_for(&["crowded: 3 faults", "Watching x.yaml"]);
    let half = CROWDED.split_at(CROWDED.find("orders").expect("there")).0;
    fs::write(&file, half).expect("written");
    wait_for(&["error: ", "Watching x.yaml"]);
    let mended = CROWDED.replace("saw: [2.4 m, 0.45 m]", "saw: [2.4 m, 2.1 m]");
    fs::write(&file, mended).expect("written");
    wait_for(&["crowded: 1 fault,"]);
    drop(child);
}

#[test]
fn only_a_file_can_be_watched() {
    for arguments in [&["-", "--watch"][..], &["--watch"]] {
        let output = check(arguments, None);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {output:?}");
    }
}
