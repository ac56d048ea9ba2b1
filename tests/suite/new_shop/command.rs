//! The command as somebody calls it: from a room and tables to pictures and an answer, and what it refuses.

use std::fs;

use serde_json::Value;

use super::SIXTEEN;
use crate::support::command::{done, folder, refused, text};

const BOOKCASE: &str = "Part;Qty;L;W;T;Material\nside;2;1524;279,4;19;birch plywood\n\nshelf;5;762;280;19;plywood\n\
                        back;1;1524;787;6;hardboard\ntop rail;2;800;60;20;oak\n";

/// As README has it: from the tape measure to pictures and an answer.
#[test]
fn a_new_shop_is_checked_and_compared_as_it_was_written() {
    let folder = folder();
    let at = folder.path();
    fs::write(at.join("bookcase.csv"), BOOKCASE).expect("written");
    fs::write(
        at.join("watch.csv"),
        "operation,station,seconds\nrip,table saw,41\nrip,table saw,52.5\n",
    )
    .expect("written");
    let new = done(
        &[
            "new",
            "mine.yaml",
            "--room",
            "7 m x 6 m",
            "--door",
            "2.4 m in the front wall",
            "--with",
            SIXTEEN,
            "--cut-list",
            "bookcase.csv",
            "--times",
            "watch.csv",
        ],
        at,
    );
    assert!(text(&new.stdout).starts_with("Wrote mine.yaml: 16 stations in two layouts."));
    let written = fs::read_to_string(at.join("mine.yaml")).expect("it is there");
    let (described, _) = written.split_once("# One more").expect("it is shown");
    assert!(described.lines().count() <= 80, "{written}");
    assert!(
        written.contains("rip: {per piece: {observed: [41 s, 52.5 s]}}"),
        "{written}"
    );
    for line in [
        "birch plywood: {pieces: 1, stock: [2440 mm, 1220 mm, 19 mm], route: [rip sheet, rip sheet]}",
        "side: {pieces: 2, cut from: birch plywood, finished: [1524 mm, 279.4 mm, 19 mm], route: [crosscut sheet, {op: dado, on: table saw}]}",
    ] {
        assert!(written.contains(line), "{line} in {written}");
    }
    done(
        &[
            "check",
            "mine.yaml",
            "--charts",
            "pictures",
            "--chart-format",
            "svg",
        ],
        at,
    );
    let drawn = fs::read_dir(at.join("pictures")).expect("there");
    let drawn = drawn.filter(|file| {
        let name = file.as_ref().expect("readable").file_name();
        name.to_string_lossy().starts_with("plan")
    });
    assert_eq!(drawn.count(), 2);
    let compared = done(
        &[
            "compare",
            "mine.yaml",
            "--no-charts",
            "--replications",
            "50",
        ],
        at,
    );
    let said = text(&compared.stdout);
    assert!(said.starts_with("Worth it?"), "{said}");
    let figures = done(
        &[
            "compare",
            "mine.yaml",
            "--no-charts",
            "--quiet",
            "--replications",
            "50",
            "--json",
            "-",
        ],
        at,
    );
    let document: Value = serde_json::from_slice(&figures.stdout).expect("JSON");
    let candidates = document["candidates"].as_array().expect("candidates");
    assert_eq!(candidates.len(), 2);
    for candidate in candidates {
        assert_eq!(candidate["projects"][0]["name"], "bookcase");
        for mean in [
            &candidate["walking"]["mean_m"],
            &candidate["lead_time"]["mean_s"],
        ] {
            assert!(mean.as_f64().is_some_and(|mean| mean > 0.0), "{candidate}");
        }
    }
}

/// README's own list: in inches for a room in feet, whatever the file is written in, and refused for a room in metres.
#[test]
fn bare_lengths_of_a_cut_list_are_in_the_units_of_the_room() {
    let folder = folder();
    let at = folder.path();
    let list = "part,quantity,length,width,thickness,material\nside,2,60,11,3/4,birch plywood\n";
    fs::write(at.join("parts.csv"), list).expect("written");
    let rest = [
        "--with",
        "table saw, workbench",
        "--cut-list",
        "parts.csv",
        "--metric",
    ];
    let new = |first: [&'static str; 4]| [&first[..], &rest].concat();
    done(&new(["new", "feet.yaml", "--room", "20 ft x 17 ft"]), at);
    let written = fs::read_to_string(at.join("feet.yaml")).expect("it is there");
    assert!(
        written.contains("finished: [1524 mm, 279.4 mm, 19 mm]"),
        "{written}"
    );
    let in_metres = new(["new", "metres.yaml", "--room", "6 m x 5 m"]);
    refused(&in_metres, at, "`length (in)`");
    assert!(!at.join("metres.yaml").exists());
}

#[test]
fn nothing_is_written_where_something_is_wrong() {
    let folder = folder();
    let at = folder.path();
    let new = |options: &[&str], said: &str| {
        let mut all = vec!["new", "mine.yaml"];
        all.extend(options);
        refused(&all, at, said);
    };
    new(&["--room", "20 by 17"], "says no unit");
    new(&["--room", "20 ft"], "is no size of a room");
    new(
        &["--room", "20 ft x 17 ft", "--with", "tabel saw, workbench"],
        "did you mean `table saw`?",
    );
    new(
        &["--room", "20 ft x 17 ft", "--door", "3 ft"],
        "does not say in which wall",
    );
    new(
        &["--room", "20 ft x 17 ft", "--project", "boat"],
        "there are side table, bookcase, tool chest",
    );
    new(
        &["--room", "20 ft x 17 ft", "--cut-list", "none.csv"],
        "none.csv cannot be read",
    );
    new(&["--with", "table saw"], "--room");
    // All at once.
    let several = [
        "--room",
        "20 ft x 17 ft",
        "--with",
        "tabel saw",
        "--door",
        "25 ft in the front wall",
        "--longest",
        "no",
    ];
    for said in [
        "is 25 ft wide, and its wall 20 ft",
        "did you mean `table saw`?",
    ] {
        new(&several, said);
    }
    fs::write(
        at.join("parts.csv"),
        "part,qty,length,width,thickness\nside,2,long,11,3/4\n",
    )
    .expect("written");
    new(
        &["--room", "20 ft x 17 ft", "--cut-list", "parts.csv"],
        "parts.csv:2:8",
    );
    fs::write(at.join("mine.yaml"), "mine").expect("written");
    new(&["--room", "20 ft x 17 ft"], "is there already");
    assert_eq!(fs::read(at.join("mine.yaml")).expect("there"), b"mine");
}
