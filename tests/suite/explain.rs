//! What is said of every key: an example that loads for each, in few columns.

use std::collections::BTreeSet;
use std::path::Path;

use shopstride::floor::LIMITS;
use shopstride::random::KINDS;
use shopstride::report::explain::{page, words};
use shopstride::scenario::{self, EXAMPLES, explain_all, explain_key, schema};
use shopstride::shop::{CHOICES, CURES, QUEUE_RULES, SWITCHES};

use crate::support::command::{done, refused, text};

fn here() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn said(arguments: &[&str]) -> String {
    text(&done(arguments, here()).stdout)
}

#[test]
fn every_example_loads_and_nothing_in_it_looks_wrong() {
    for (name, example) in EXAMPLES {
        match scenario::load(name, example.as_bytes()) {
            Ok(loaded) => assert!(loaded.warnings.is_empty(), "{}", loaded.warnings),
            Err(problems) => panic!("{problems}"),
        }
    }
}

/// The lines around a key are YAML in which it stands, and every key has some.
#[test]
fn every_key_has_lines_of_an_example() {
    let keys = explain_all();
    assert!(keys.len() > 110, "{} keys", keys.len());
    for key in &keys {
        let example = key.example.as_deref();
        let example =
            example.unwrap_or_else(|| panic!("no example has `{}` of {}", key.name, key.of));
        let written: serde_json::Value =
            serde_yaml::from_str(example).unwrap_or_else(|error| panic!("{error}: {example}"));
        assert!(has_key(&written, key.name), "{example}");
        assert!(written.is_object() && !key.value.is_empty(), "{example}");
    }
}

/// A scenario with the lines that are shown of a word of rules or of times.
#[test]
fn every_word_of_a_rule_has_lines_that_load() {
    let rest = "title: x\nstations: {saw: {does: {rip: {}}}}\nprojects: {box: {route: [rip]}}\n\
                orders: [{project: box, due: 1 d}]\nlayouts: {a: {distances: 0}}\n";
    let mut shown = 0;
    for word in words() {
        let page = page(word, &[]).expect("it is a word");
        // A rule of the checks is nothing that a file says, and neither is a heading.
        let Some((_, lines)) = page.split_once("\n\n    ") else {
            continue;
        };
        let example = lines.replace("\n    ", "\n");
        let example = example.trim_start();
        shown += 1;
        let text = format!("{rest}{example}");
        if let Err(problems) = scenario::load(word, text.as_bytes()) {
            panic!("{problems}");
        }
    }
    assert_eq!(
        shown,
        QUEUE_RULES.len() + SWITCHES.len() + CHOICES.len() + CURES.len() + KINDS.len()
    );
}

fn has_key(value: &serde_json::Value, name: &str) -> bool {
    match value {
        serde_json::Value::Object(entries) => {
            entries.contains_key(name) || entries.values().any(|inner| has_key(inner, name))
        }
        serde_json::Value::Array(items) => items.iter().any(|inner| has_key(inner, name)),
        _ => false,
    }
}

/// What is explained is what the schema offers, from the same tables.
#[test]
fn every_key_of_the_schema_is_explained() {
    fn offered(schema: &serde_json::Value, names: &mut BTreeSet<String>) {
        if let Some(keys) = schema.get("properties").and_then(|keys| keys.as_object()) {
            names.extend(keys.keys().cloned());
        }
        match schema {
            serde_json::Value::Object(fields) => {
                fields.values().for_each(|inner| offered(inner, names))
            }
            serde_json::Value::Array(items) => items.iter().for_each(|inner| offered(inner, names)),
            _ => {}
        }
    }
    let mut schema = schema();
    // Times that vary are words of their own.
    schema.as_object_mut().expect("an object").remove("$defs");
    let mut names = BTreeSet::new();
    offered(&schema, &mut names);
    let explained: BTreeSet<String> = explain_all()
        .iter()
        .map(|key| key.name.to_owned())
        .collect();
    assert_eq!(explained, names);
}

#[test]
fn limits_say_where_they_come_from() {
    for limit in LIMITS {
        let keys = explain_key(limit.key);
        let of_check = keys.iter().find(|key| key.of == "check");
        assert_eq!(
            of_check.and_then(|key| key.source),
            Some(limit.source),
            "{}",
            limit.key
        );
    }
}

/// With UPDATE_EXPECTED=1 in the environment the file is written instead; then read it.
#[test]
fn what_is_said_of_keys_is_as_it_was() {
    let found = [
        said(&["explain"]),
        said(&["explain", "feed", "toward"]),
        said(&["explain", "walking speed"]),
        said(&["explain", "size"]),
        said(&["explain", "fifo"]),
        said(&["explain", "triangular"]),
        said(&["explain", "like"]),
        said(&["explain", "aisle"]),
    ]
    .join("\n");
    let longest = found.lines().map(|line| line.chars().count()).max();
    assert!(longest.is_some_and(|columns| columns <= 80), "{found}");
    let path = here().join("tests/golden/explain.txt");
    if std::env::var_os("UPDATE_EXPECTED").is_some() {
        std::fs::write(&path, &found).expect("it can be written");
    }
    let expected = std::fs::read_to_string(&path).expect("it is there");
    assert!(found == expected, "found:\n{found}");
}

#[test]
fn a_key_that_there_is_not_is_told_with_the_nearest() {
    refused(
        &["explain", "feed", "towards"],
        here(),
        "did you mean `feed toward`?",
    );
    refused(&["explain", "fiffo"], here(), "did you mean `fifo`?");
    refused(
        &["explain", "qqqqqq"],
        here(),
        "`shopstride explain` lists them",
    );
}

/// What an answer says can be asked for.
#[test]
fn words_of_the_answers_are_explained() {
    for word in ["lead time", "hands-on", "lot", "bottleneck", "utilisation"] {
        let page = said(&["explain", word]);
        assert!(
            page.starts_with(&format!("{word}: a word of the answers.")),
            "{page}"
        );
    }
    // A key and a word of the answers: both are said.
    let queue = said(&["explain", "queue"]);
    assert!(
        queue.contains("a key of") && queue.contains("a word of the answers"),
        "{queue}"
    );
}

/// Whatever stands before a line of an answer can be asked for, in capitals or not.
#[test]
fn every_heading_of_an_answer_is_explained() {
    let mut headings = BTreeSet::new();
    for arguments in [
        &["compare", "--no-charts", "--quiet", "--replications", "200"][..],
        &[
            "compare",
            "--no-charts",
            "--quiet",
            "scenarios/evenings.yaml",
        ],
        &[
            "run",
            "--quiet",
            "scenarios/kinds-garage.yaml",
            "--replications",
            "20",
        ],
        &[
            "run",
            "--quiet",
            "scenarios/queue.yaml",
            "--replications",
            "2",
        ],
        &["bottleneck", "--quiet", "scenarios/second-machine.yaml"],
        &["bottleneck", "--quiet", "scenarios/evenings.yaml"],
        &[
            "bottleneck",
            "--quiet",
            "scenarios/shorter-walk-longer-lead.yaml",
        ],
    ] {
        for line in said(arguments).lines() {
            let heading = line.split("  ").next().unwrap_or_default();
            let is_heading = heading.starts_with(|first: char| first.is_ascii_uppercase());
            if is_heading && heading.len() < line.len() && heading.len() <= 12 {
                headings.insert(heading.to_owned());
            }
        }
    }
    assert!(headings.len() >= 14, "{headings:?}");
    for heading in headings {
        for asked in [heading.clone(), heading.to_lowercase().replace('?', "")] {
            let told = said(&["explain", &asked]);
            let first = format!("{heading}: a heading of the answers.");
            assert!(told.contains(&first), "{asked}: {told}");
        }
    }
    refused(
        &["explain", "Worht it?"],
        here(),
        "did you mean `Worth it?`?",
    );
}
