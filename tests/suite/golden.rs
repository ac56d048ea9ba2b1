//! What the program says of each scenario that comes with it, letter by letter, and what each of them teaches.

use std::path::{Path, PathBuf};
use std::process::Command;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn scenarios() -> Vec<PathBuf> {
    let entries = std::fs::read_dir(root().join("scenarios")).expect("the folder is there");
    let mut found: Vec<PathBuf> = entries
        .map(|entry| entry.expect("readable").path())
        .collect();
    found.retain(|path| {
        path.extension()
            .is_some_and(|extension| extension == "yaml")
    });
    found.sort();
    found
}

fn said(arguments: &[&str], scenario: &Path) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_shopstride"))
        .args(arguments)
        .arg(scenario)
        .output()
        .expect("the program runs");
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(
        output.status.success() && errors.is_empty(),
        "{}: {errors}",
        scenario.display()
    );
    String::from_utf8(output.stdout).expect("it writes UTF-8")
}

/// The scenarios whose answers are held letter by letter; of the others the figures are. The sentences and tables
/// themselves are held by `sentences`.
const WHOLE: [&str; 2] = ["garage", "minimal"];

/// The figures of a comparison, without the long lists that follow from them.
fn figures(scenario: &Path) -> String {
    let text = said(
        &["compare", "--no-charts", "--quiet", "--json", "-"],
        scenario,
    );
    let mut document: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    for candidate in document["candidates"].as_array_mut().expect("candidates") {
        let figures = candidate.as_object_mut().expect("figures");
        figures.remove("legs");
        for person in figures["crew"].as_array_mut().expect("people") {
            person
                .as_object_mut()
                .expect("figures")
                .remove("at_stations");
        }
    }
    format!("{document:#}\n")
}

/// With UPDATE_EXPECTED=1 in the environment the files are written instead; then read each of them.
#[test]
fn every_scenario_gets_the_answer_that_it_got_before() {
    let scenarios = scenarios();
    assert_eq!(scenarios.len(), 11);
    let update = std::env::var_os("UPDATE_EXPECTED").is_some();
    let mut different = Vec::new();
    for scenario in scenarios {
        let name = scenario
            .file_stem()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        let (answer, ending) = if WHOLE.contains(&&*name) {
            let answers = [
                said(&["compare", "--no-charts"], &scenario),
                said(&["run"], &scenario),
                said(&["times"], &scenario),
            ];
            (answers.join("\n"), "txt")
        } else {
            (figures(&scenario), "json")
        };
        let expected = root().join("tests/golden").join(format!("{name}.{ending}"));
        if update {
            std::fs::write(&expected, &answer).expect("it can be written");
        } else if std::fs::read_to_string(&expected).expect("it is there") != answer {
            different.push(format!("{name}:\n{answer}"));
        }
    }
    assert!(different.is_empty(), "{}", different.join("\n\n"));
}

#[test]
fn every_scenario_says_first_what_it_teaches() {
    for scenario in scenarios() {
        let text = std::fs::read_to_string(&scenario).expect("readable");
        let comment: Vec<&str> = text.lines().skip_while(|line| line.is_empty()).collect();
        let says = comment
            .first()
            .is_some_and(|line| line.starts_with("# What this teaches"));
        assert!(says, "{}", scenario.display());
    }
}

/// The answer that the README shows is the one that the program gives.
#[test]
fn the_readme_shows_the_answer_of_the_built_in_scenario() {
    let readme = std::fs::read_to_string(root().join("README.md")).expect("readable");
    let words = |text: &str| {
        text.split_whitespace()
            .map(str::to_owned)
            .collect::<Vec<String>>()
            .join(" ")
    };
    let answer = said(
        &["compare", "--no-charts"],
        &root().join("scenarios/garage.yaml"),
    );
    assert!(
        words(&readme).contains(&words(&answer)),
        "the README should show:\n{answer}"
    );
}
