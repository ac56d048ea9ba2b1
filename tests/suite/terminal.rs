//! What a terminal shows, and what a file gets of it: widths, bold and colour.

use std::path::Path;
use std::process::{Command, Output, Stdio};

use shopstride::report::display_width;

use crate::support::command::text;
use crate::support::yaml_files;

/// The program with these arguments and variables, its output going to a pipe.
fn piped(arguments: &[&str], variables: &[(&str, &str)]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_shopstride"));
    for variable in ["NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE"] {
        command.env_remove(variable);
    }
    let command = command
        .args(arguments)
        .envs(variables.iter().copied())
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios"))
        .stdin(Stdio::null());
    command.output().expect("the program runs")
}

const FEW: [&str; 3] = ["--quiet", "--replications", "20"];

/// Every command that tells something of a scenario.
const TOLD: [&[&str]; 9] = [
    &["compare", "--no-charts"],
    &["compare", "--no-charts", "--details"],
    &["compare", "--no-charts", "--doubt", "20%"],
    &["run"],
    &["run", "--details"],
    &["bottleneck"],
    &["bottleneck", "--details"],
    &["check", "--quiet"],
    &["times"],
];

fn arguments<'a>(told: &[&'a str], scenario: &'a str) -> Vec<&'a str> {
    let more: &[&str] = match told[0] {
        "check" | "times" => &[],
        _ => &FEW,
    };
    let scenario = [scenario];
    told.iter().chain(&scenario).chain(more).copied().collect()
}

#[test]
fn what_is_piped_has_80_columns() {
    for scenario in yaml_files("scenarios") {
        let scenario = scenario.to_string_lossy();
        // Each command, of the larger scenarios; of the others what is told first.
        let all = ["garage", "class", "kinds-garage"]
            .iter()
            .any(|name| scenario.contains(name));
        for told in TOLD.iter().take(if all { TOLD.len() } else { 1 }) {
            let arguments = arguments(told, &scenario);
            let output = piped(&arguments, &[]);
            let (said, errors) = (text(&output.stdout), text(&output.stderr));
            let has_no_places = errors.contains("not where things stand");
            assert!(!said.is_empty() || has_no_places, "{arguments:?}: {errors}");
            for line in said.lines() {
                assert!(display_width(line) <= 80, "{arguments:?}:\n{line}");
            }
        }
    }
}

/// What is wrong with a file is told in 80 columns too, under the line to which it belongs; what stands in a file may be
/// longer.
#[test]
fn problems_of_a_file_have_80_columns() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("shop.yaml");
    std::fs::write(
        &file,
        "title: A shop without anything\nstatoins: {saw: {}}\n",
    )
    .expect("written");
    let file = file.to_string_lossy();
    let errors = text(&piped(&["check", &file], &[]).stderr);
    let hint = errors
        .lines()
        .skip_while(|line| !line.contains("= help: `stations`"));
    let hint: Vec<&str> = hint.take_while(|line| !line.is_empty()).collect();
    assert!(hint.len() > 2, "{errors}");
    for line in errors.lines().filter(|line| !line.contains("-->")) {
        assert!(display_width(line) <= 80, "{line}\n{errors}");
    }
    let indent = "  = help: ".len();
    for line in &hint[1..] {
        assert_eq!(line.len() - line.trim_start().len(), indent, "{errors}");
    }
}

/// Words in the tables of a run are whole as long as they have room, whatever stands in the other columns.
#[test]
fn no_word_of_a_heading_is_broken() {
    for scenario in ["class.yaml", "garage.yaml", "what-if.yaml"] {
        let said = text(&piped(&arguments(&["run", "--details"], scenario), &[]).stdout);
        for word in ["station", "running", "reserved", "bottleneck", "stretch"] {
            let is_whole = said.split_whitespace().any(|said| said == word);
            assert!(is_whole, "{scenario}: {word}\n{said}");
        }
    }
}

const ESCAPE: char = '\u{1b}';

/// A text without the sequences that make it bold or coloured (ECMA-48, SGR).
fn plain(text: &str) -> String {
    let mut parts = text.split(ESCAPE);
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |plain, part| {
        let (style, rest) = part.split_once('m').expect("only styles are used");
        assert!(style.starts_with('['), "{style}");
        assert!(
            style[1..].chars().all(|c| c.is_ascii_digit() || c == ';'),
            "{style}"
        );
        plain + rest
    })
}

const BOLD: &str = "\u{1b}[1m";
const BOLD_RED: &str = "\u{1b}[1m\u{1b}[31m";

#[test]
fn bold_and_colour_say_nothing_that_the_words_do_not() {
    let forced = [("CLICOLOR_FORCE", "1")];
    for told in TOLD {
        let arguments = arguments(told, "garage.yaml");
        let without = text(&piped(&arguments, &[]).stdout);
        let with = text(&piped(&arguments, &forced).stdout);
        assert!(!without.contains(ESCAPE), "{arguments:?}");
        assert_eq!(plain(&with), without, "{arguments:?}");
        let refused = piped(&arguments, &[("NO_COLOR", "1"), ("CLICOLOR", "1")]);
        assert_eq!(text(&refused.stdout), without, "{arguments:?}");
    }
}

#[test]
fn headings_are_bold_and_faults_have_the_one_colour() {
    let forced = [("CLICOLOR_FORCE", "1")];
    let shown = |arguments: &[&str]| text(&piped(arguments, &forced).stdout);
    let compare = shown(&arguments(&["compare", "--no-charts"], "garage.yaml"));
    for expected in [
        format!("{BOLD}Worth it?\u{1b}[0m"),
        format!("{BOLD_RED}Does it fit?\u{1b}[0m"),
        format!("{BOLD_RED}In the way\u{1b}[0m"),
        format!("{BOLD}Busiest\u{1b}[0m"),
    ] {
        assert!(compare.contains(&expected), "{expected:?}\n{compare:?}");
    }
    // Warnings are no faults.
    let warned = shown(&arguments(&["run"], "class.yaml"));
    assert!(
        warned.contains(&format!("{BOLD}In the way\u{1b}[0m")),
        "{warned:?}"
    );
    assert!(!warned.contains("\u{1b}[31m"), "{warned:?}");
    let check = shown(&["check", "garage.yaml", "--quiet"]);
    let faults = check.matches(&format!("{BOLD_RED}fault\u{1b}[0m")).count();
    assert_eq!(faults, 3, "{check:?}");
    assert!(
        check.contains(&format!("{BOLD}as it grew: 3 faults")),
        "{check:?}"
    );
}

#[test]
fn data_have_neither_and_errors_have_both_only_on_a_terminal() {
    let forced = [("CLICOLOR_FORCE", "1")];
    let json = ["compare", "garage.yaml", "--no-charts", "--json", "-"];
    let json: Vec<&str> = json.iter().chain(&FEW).copied().collect();
    assert!(!text(&piped(&json, &forced).stdout).contains(ESCAPE));
    let wrong = ["run", "garage.yaml", "--layout", "nowhere"];
    let error = text(&piped(&wrong, &[]).stderr);
    assert!(error.starts_with("error: "), "{error}");
    let shown = text(&piped(&wrong, &forced).stderr);
    assert!(
        shown.starts_with(&format!("{BOLD_RED}error\u{1b}[0m: ")),
        "{shown:?}"
    );
    assert_eq!(plain(&shown), error);
}
