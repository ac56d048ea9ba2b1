//! Names that would be obeyed: whoever opens somebody else's scenario must see what stands in it, and nothing else.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};

use super::support::command::{folder, names, shopstride, text};

/// A name that writes to the clipboard (OSC 52), clears the screen with a control of eight bits, and turns the reading
/// direction; UAX #9 calls the last ones overrides and isolates.
const HARM: &str = "\u{1b}]52;c;aGFybQ==\u{7}\u{9b}2J\u{202e}\u{2066}\u{7f}\u{2028}\rend";

fn named(what: &str) -> String {
    format!("{what}{HARM}")
}

/// A scenario in which everything that has a name has such a one. JSON is YAML.
fn scenario(folder: &Path, file: &str) {
    let name = |what: &str| named(what);
    let scenario = json!({
        "title": name("title"),
        "room": {"size": ["6 m", "6 m"], "doors": [{"name": name("door"), "between": [["1 m", 0], ["2 m", 0]]}],
                 "blocked": [{"name": name("post"), "at": ["5 m", "5 m"], "size": ["10 cm", "10 cm"]}]},
        "stations": {
            name("rack"): {"size": ["1 m", "50 cm"]},
            name("saw"): {"size": ["1 m", "1 m"], "does": {name("rip"): {"setup": "1 min", "per piece": {"exponential": "1 min"}}}},
            name("bench"): {"size": ["1 m", "1 m"], "does": {name("glue"): {"per lot": "3 min", "gear": {name("clamps"): 2}}}},
        },
        "gear": {name("clamps"): {"count": 2, "stored at": name("rack")}},
        "crew": {name("maker"): {}, name("helper"): {}},
        "projects": {name("box"): {
            "parts": {name("side"): {"pieces": 4, "material at": name("rack"), "route": [name("rip")]}},
            "assemblies": {name("frame"): {"made of": [name("side")], "route": [name("glue")], "deliver to": name("door")}},
        }},
        "orders": [{"project": name("box"), "count": 2}],
        "layouts": {
            name("near"): {"at": {name("rack"): ["1 m", "3 m"], name("saw"): ["3 m", "3 m"], name("bench"): ["5 m", "3 m"]}},
            // A rack in the wall, so that a check has something to say of it.
            name("far"): {"at": {name("rack"): ["1 m", "5.9 m"], name("saw"): ["3 m", "3 m"], name("bench"): ["5 m", "3 m"]}},
        },
    });
    let text = scenario.to_string();
    let text = shopstride::scenario::printable_json(&text);
    fs::write(folder.join(file), &*text).expect("written");
}

/// Whether a terminal would do something at this character instead of showing it.
fn is_obeyed(letter: char) -> bool {
    letter.is_control() && letter != '\n'
        || ('\u{202a}'..='\u{202e}').contains(&letter)
        || ('\u{2066}'..='\u{2069}').contains(&letter)
        || ['\u{2028}', '\u{2029}'].contains(&letter)
}

fn assert_harmless(what: &str, said: &str) {
    let found: Vec<char> = said.chars().filter(|letter| is_obeyed(*letter)).collect();
    assert!(found.is_empty(), "{what}: {found:?} in\n{said:?}");
}

#[test]
fn no_answer_obeys_a_name() {
    let folder = folder();
    scenario(folder.path(), "harm.yaml");
    let commands: [&[&str]; 7] = [
        &["compare", "harm.yaml", "--doubt", "20%"],
        &["compare", "harm.yaml", "--select", "5 min", "--no-charts"],
        &["run", "harm.yaml"],
        &["bottleneck", "harm.yaml", "--charts", "relief"],
        &["check", "harm.yaml"],
        &["times", "harm.yaml"],
        &["run", "harm.yaml", "--layout", "no such"],
    ];
    for arguments in commands {
        let plays = !["check", "times"].contains(&arguments[0]);
        let few: &[&str] = if plays { &["--replications", "3"] } else { &[] };
        let output = shopstride(&[arguments, few].concat(), folder.path());
        let (said, noted) = (text(&output.stdout), text(&output.stderr));
        assert_harmless(&arguments.join(" "), &said);
        assert_harmless(&arguments.join(" "), &noted);
        // It is shown all the same.
        assert!(
            format!("{said}{noted}").contains("\\u{1b}]52;c;"),
            "{arguments:?}:\n{said}{noted}"
        );
    }
    for drawn in ["shopstride-charts", "relief"] {
        let drawn = folder.path().join(drawn);
        let pictures = names(&drawn);
        let pictures: Vec<&String> = pictures.iter().filter(|n| n.ends_with(".svg")).collect();
        assert!(pictures.len() >= 3, "{pictures:?}");
        for picture in pictures {
            let svg = fs::read_to_string(drawn.join(picture)).expect("text");
            assert_harmless(picture, &svg);
        }
    }
}

#[test]
fn no_problem_obeys_what_it_quotes() {
    let folder = folder();
    let problems = [
        ("unknown key", format!("title: x\n\"{}\": 1\n", "st\\e]52;c;aGk=\\a\\x9B\\u202Eations")),
        ("raw in a comment", "title: x # \u{9b}2J \u{202e}\u{2028}\nstatoins: {}\n".to_owned()),
        ("a name that is not there", "title: x\nstations: {saw: {does: {rip: {per lot: 1 s}}}}\nprojects: {box: {route: [\"r\\e[2J\\x9Bip\"]}}\norders: [{project: box}]\nlayouts: {a: {distances: 0}}\n".to_owned()),
        ("a duplicate", "\"a\\e[2J\\x9B\": 1\n\"a\\e[2J\\x9B\": 1\n".to_owned()),
    ];
    for (what, scenario) in problems {
        fs::write(folder.path().join("wrong.yaml"), scenario).expect("written");
        let output = shopstride(&["check", "wrong.yaml"], folder.path());
        assert_eq!(output.status.code(), Some(2), "{what}");
        assert_harmless(what, &text(&output.stderr));
        assert!(
            text(&output.stderr).contains("wrong.yaml:"),
            "{what}: {}",
            text(&output.stderr)
        );
    }
    // The name of the file is as foreign as what is in it.
    let name = "shop\u{1b}[2J\u{202e}.yaml";
    fs::write(folder.path().join(name), "title: x\nstatoins: {}\n").expect("written");
    for arguments in [["check", name], ["check", "no\u{1b}[2Jsuch.yaml"]] {
        let output = shopstride(&arguments, folder.path());
        assert_eq!(output.status.code(), Some(2));
        assert_harmless("a file's name", &text(&output.stderr));
    }
}

#[test]
fn a_name_in_json_stays_itself() {
    let folder = folder();
    scenario(folder.path(), "harm.yaml");
    let arguments = ["run", "harm.yaml", "--replications", "2"];
    let of = |more: [&str; 2]| {
        let output = shopstride(&[&arguments[..], &more].concat(), folder.path());
        assert!(output.status.success(), "{}", text(&output.stderr));
        assert_harmless(more[0], &text(&output.stdout));
        text(&output.stdout)
    };
    let found: Value = serde_json::from_str(&of(["--json", "-"])).expect("JSON");
    assert_eq!(found["scenario"], named("title"));
    assert_eq!(found["candidates"][0]["name"], named("near"));
    assert_eq!(found["candidates"][0]["stations"][1]["name"], named("saw"));
    assert_eq!(found["candidates"][0]["crew"][0]["name"], named("maker"));
    let traced = of(["--trace", "-"]);
    let lines = traced.lines().map(|line| {
        let line: Value = serde_json::from_str(line).expect("JSON");
        line["station"] == named("saw")
    });
    assert!(lines.filter(|is_of_saw| *is_of_saw).count() > 3);
}

#[test]
fn a_name_in_a_table_is_no_formula() {
    let folder = folder();
    let formulas = ["=1+1", "+1", "-1 saw", "@sum", "\t=1", "＝1"];
    let stations: Vec<String> = formulas
        .iter()
        .map(|name| format!("{}: {{does: {{rip: {{per lot: 1 s}}}}}}", json!(name)))
        .collect();
    let scenario = format!(
        "title: x\nstations: {{{}}}\nprojects: {{box: {{route: [rip]}}}}\norders: [{{project: box}}]\nlayouts: {{a: {{distances: 0}}}}\n",
        stations.join(", ")
    );
    fs::write(folder.path().join("shop.yaml"), scenario).expect("written");
    let arguments = ["run", "shop.yaml", "-q", "--csv", "tables"];
    let output = shopstride(&arguments, folder.path());
    assert!(output.status.success(), "{}", text(&output.stderr));
    let table = folder.path().join("tables/stations.csv");
    let mut table = csv::Reader::from_path(table).expect("a table");
    let rows: Vec<csv::StringRecord> = table.records().map(|row| row.expect("a row")).collect();
    let named: Vec<&str> = rows.iter().map(|row| &row[1]).collect();
    assert_eq!(named, ["'=1+1", "'+1", "'-1 saw", "'@sum", "\\t=1", "'＝1"]);
    // Figures stay numbers, also those below zero.
    for row in &rows {
        for figure in row.iter().skip(2).filter(|figure| !figure.is_empty()) {
            assert!(figure.parse::<f64>().is_ok(), "{figure}");
        }
    }
}
