//! What is said of kinds and of typical values.

use std::path::Path;

use serde_json::Value;
use shopstride::experiment::TypicalValues;
use shopstride::report::typical;
use shopstride::scenario;
use shopstride::scenario::kinds::kinds;
use shopstride::shop::StationId;

use crate::support::command::{done, folder, refused, text};

const SCENARIO: &str = "\
title: Measured in part
stations:
  rack: {kind: lumber rack}
  saw: {kind: contractor saw, size: [60 in, 38 in]}
  planer: {kind: bench-top planer, does: {plane: {setup: 20 s, per piece: 90 s}}}
  bench: {kind: workbench}
  stove: {size: [2 ft, 2 ft]}
projects:
  board: {pieces: 3, finished: [24 in, 3 in, 3/4 in], route: [rip, plane, sand]}
orders: [{project: board}]
layouts:
  a: {at: {rack: [6 ft, 11 ft], saw: [7 ft, 6 ft], planer: [13 ft, 6 ft], bench: [16 ft, 11 ft], stove: [1 ft, 1 ft]}}
  b: {like: a, at: {planer: [14 ft, 6 ft]}}
run: {replications: 20}
";

fn here() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// With UPDATE_EXPECTED=1 in the environment the file is written instead; then read it.
#[test]
fn the_table_of_kinds_is_as_it_was() {
    let said = |arguments: &[&str]| text(&done(arguments, here()).stdout);
    let found = [
        said(&["kinds"]),
        said(&["kinds", "--metric"]),
        said(&["kinds", "cabinet", "saw"]),
        said(&["kinds", "bench-top planer", "--metric"]),
        said(&["kinds", "assembly table"]),
        said(&["kinds", "finishing bench"]),
        said(&["kinds", "wall cabinet"]),
    ]
    .join("\n");
    let path = here().join("tests/golden/kinds.txt");
    if std::env::var_os("UPDATE_EXPECTED").is_some() {
        std::fs::write(&path, &found).expect("it can be written");
    }
    let expected = std::fs::read_to_string(&path).expect("it is there");
    assert!(found == expected, "found:\n{found}");
}

#[test]
fn every_kind_fits_a_terminal_and_is_said_in_data() {
    let said = text(&done(&["kinds", "--json", "-"], here()).stdout);
    let document: Value = serde_json::from_str(&said).expect("JSON");
    let listed = document["kinds"].as_array().expect("a list");
    assert_eq!(listed.len(), kinds().count());
    for (kind, row) in kinds().zip(listed) {
        assert_eq!(row["name"], kind.name);
        let figures = row["figures"].as_array().expect("a list");
        let along_x = figures[0]["usual_m"].as_f64().expect("a number");
        assert!(
            (along_x - kind.size[0].usual * 0.0254).abs() < 1e-12,
            "{}",
            kind.name
        );
        let names = row["does"]
            .as_array()
            .expect("a list")
            .iter()
            .map(|does| &does["name"]);
        assert!(names.eq(kind.does.iter().map(|does| does.name)));
        for units in [&[][..], &["--metric"]] {
            let arguments = [&["kinds", kind.name], units].concat();
            let page = text(&done(&arguments, here()).stdout);
            let longest = page.lines().map(|line| line.chars().count()).max();
            assert!(longest.is_some_and(|columns| columns <= 80), "{page}");
            assert!(
                page.contains(kind.about) || page.contains(&kind.about[..20]),
                "{page}"
            );
            assert!(page.contains("none of them a maker's"), "{page}");
        }
    }
    refused(
        &["kinds", "tabel", "saw"],
        here(),
        "there is no kind of station called `tabel saw`",
    );
}

#[test]
fn what_is_typical_is_counted() {
    let study = scenario::load("x.yaml", SCENARIO.as_bytes())
        .expect("valid")
        .study;
    let typical = TypicalValues::of(&study.candidates);
    assert_eq!(typical.sizes, ["rack", "planer", "bench"]);
    let times: Vec<(&str, &str)> = (typical.times.iter())
        .map(|(operation, station)| (operation.as_str(), station.as_str()))
        .collect();
    assert_eq!(times, [("rip", "saw"), ("sand", "bench")]);
    assert_eq!(
        typical::sentence(&typical).as_deref(),
        Some(
            "3 stations with typical sizes and 2 operations with typical times: measure yours. `shopstride kinds` says \
             where they come from."
        )
    );
    let one = TypicalValues {
        sizes: vec!["rack".to_owned()],
        times: Vec::new(),
    };
    assert_eq!(
        typical::sentence(&one).as_deref(),
        Some(
            "1 station with a typical size: measure yours. `shopstride kinds` says where they come from."
        )
    );
    assert_eq!(typical::sentence(&TypicalValues::default()), None);
    assert_eq!(typical::json(&TypicalValues::default()), None);
}

/// The smallest of a kind is as typical as the usual one.
#[test]
fn the_smallest_size_of_a_kind_is_counted_as_typical() {
    let text = "title: A saw\nstations: {saw: {kind: cabinet saw, size: smallest}}\n\
                projects: {box: {route: [rip]}}\n\
                operations: {rip: {per piece: 20 s}}\norders: [{project: box}]\n\
                layouts: {only: {at: {saw: [2 m, 2 m]}}}\n";
    let study = scenario::load("saw.yaml", text.as_bytes())
        .expect("it loads")
        .study;
    let typical = TypicalValues::of(&study.candidates);
    assert_eq!(typical.sizes, ["saw"]);
    let plan = study.candidates[0].plan.as_ref().expect("it is drawn");
    let placement = plan.placements[StationId(0)]
        .as_ref()
        .expect("it is placed");
    let kind = kinds()
        .find(|kind| kind.name == "cabinet saw")
        .expect("it is a kind");
    let least = [0, 1].map(|side| kind.size[side].least * 0.0254);
    assert_eq!([placement.size.0, placement.size.1], least);
    assert!(kind.size.iter().any(|figure| figure.least < figure.usual));
}

#[test]
fn every_answer_says_how_many_values_are_typical() {
    let folder = folder();
    std::fs::write(folder.path().join("x.yaml"), SCENARIO).expect("written");
    let data = |command: &str, more: &[&str]| -> Value {
        let arguments = [&[command, "x.yaml", "--json", "-"], more].concat();
        let said = text(&done(&arguments, folder.path()).stdout);
        serde_json::from_str(&said).expect("JSON")
    };
    let words = |arguments: &[&str]| {
        let said = text(&done(arguments, folder.path()).stdout);
        said.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let both = "3 stations with typical sizes and 2 operations with typical times: measure yours.";
    let no_charts = &["--no-charts"][..];
    for (command, more) in [
        ("run", &[][..]),
        ("compare", no_charts),
        ("bottleneck", &[]),
    ] {
        let said = words(&[&[command, "x.yaml"], more].concat());
        assert!(
            said.contains(&format!("Typical {both}")),
            "{command}: {said}"
        );
        let document = data(command, more);
        assert_eq!(document["typical"]["sizes"][1], "planer", "{command}");
        assert_eq!(
            document["typical"]["times"][1]["operation"], "sand",
            "{command}"
        );
    }
    let said = words(&["check", "x.yaml"]);
    assert!(
        said.contains("3 stations with typical sizes: measure yours."),
        "{said}"
    );
    assert_eq!(data("check", &[])["typical"]["sizes"][0], "rack");
    let said = words(&["compare", "x.yaml", "--no-charts", "--doubt", "20%"]);
    let doubted =
        "Of these times those of 2 operations are not yours but typical for the kind of station";
    assert!(said.contains(doubted), "{said}");
    let said = words(&["times", "x.yaml"]);
    assert!(
        said.contains("setup 2.00 min on average, typical"),
        "{said}"
    );
    assert!(
        said.contains("setup 20.0 s per piece 90.0 s × 3 = 4.50 min 1 carry"),
        "{said}"
    );
}

#[test]
fn where_everything_is_measured_nothing_is_said() {
    let said = text(&done(&["compare", "--no-charts", "--json", "-"], here()).stdout);
    let document: Value = serde_json::from_str(&said).expect("JSON");
    assert_eq!(document.get("typical"), None);
}

/// What the garage of kinds has to show: sixteen stations, three layouts and two projects in at most 80 lines, and no
/// candidate with a fault.
#[test]
fn a_whole_garage_fits_in_eighty_lines() {
    let path = here().join("scenarios/kinds-garage.yaml");
    let text = std::fs::read_to_string(path).expect("readable");
    assert!(text.lines().count() <= 80, "{} lines", text.lines().count());
    let loaded = scenario::load("kinds-garage.yaml", text.as_bytes()).expect("valid");
    assert!(loaded.warnings.is_empty(), "{}", loaded.warnings);
    let study = loaded.study;
    let shop = &study.candidates[0].shop;
    assert_eq!(
        (
            shop.stations.len(),
            study.candidates.len(),
            shop.projects.len()
        ),
        (16, 3, 2)
    );
    done(&["check", "scenarios/kinds-garage.yaml"], here());
}
