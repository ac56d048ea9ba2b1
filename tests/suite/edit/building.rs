//! Stations, rooms, times and projects that are changed in a page, and what becomes of the file.

use std::fs;

use serde_json::{Value, json};
use shopstride::scenario::load_to_check;

use super::sessions::{Edited, SHOP};

fn build(wish: Value) -> Value {
    json!({"ask": "build", "wish": wish})
}

/// What is asked, done and saved.
fn built(edited: &mut Edited, wish: Value) -> String {
    let answer = edited.ask(build(wish.clone()));
    assert!(answer["drawn"].is_object(), "{wish}: {answer}");
    let saved = edited.ask(json!({"ask": "save", "name": null}));
    assert!(saved["saved"].is_string(), "{wish}: {saved}");
    edited.written()
}

fn refused(edited: &mut Edited, wish: Value) -> String {
    let answer = edited.ask(build(wish.clone()));
    let why = answer["refused"].as_str();
    why.unwrap_or_else(|| panic!("{wish} is not refused: {answer}"))
        .to_owned()
}

fn faults(answer: &Value) -> u64 {
    answer["drawn"]["verdict"]["faults"]
        .as_u64()
        .expect("a count")
}

fn names(answer: &Value) -> Vec<&str> {
    let stations = answer["drawn"]["stations"].as_array().expect("stations");
    stations
        .iter()
        .filter_map(|station| station["name"].as_str())
        .collect()
}

/// Lines of one text that another one has not, which has all others in the same order.
fn added_lines<'t>(before: &str, after: &'t str) -> Vec<&'t str> {
    let mut old = before.lines().peekable();
    let added = after
        .lines()
        .filter(|line| old.next_if(|old| old == line).is_none());
    let added: Vec<&str> = added.collect();
    assert_eq!(old.next(), None, "a line is gone from {after}");
    added
}

#[test]
fn a_station_of_a_kind_finds_a_place_without_a_further_fault() {
    let mut edited = Edited::of(SHOP);
    let before = edited.ask(json!({"ask": "state"}));
    let with = edited.ask(build(
        json!({"build": "stations", "said": "drill press, 2 stools: side table"}),
    ));
    assert!(with["refused"].is_string(), "{with}");
    let with = edited.ask(build(json!({"build": "stations", "said": "drill press"})));
    assert_eq!(names(&with), ["rack", "saw", "bench", "drill press"]);
    assert!(
        faults(&with) <= faults(&before),
        "{}",
        with["drawn"]["findings"]
    );
    assert_eq!(
        edited.written(),
        SHOP,
        "nothing is written before it is saved"
    );
    let without = edited.ask(json!({"ask": "undo"}));
    assert_eq!(without["drawn"], before["drawn"]);
    assert_eq!(without["is_built"], false);
    edited.ask(json!({"ask": "redo"}));
    edited.ask(json!({"ask": "save", "name": null}));
    let written = edited.written();
    let added = added_lines(SHOP, &written);
    assert_eq!(added.len(), 2, "{added:?}");
    assert_eq!(added[0], "  drill press: {kind: drill press}");
    assert!(
        added[1].starts_with("      drill press: {at: ["),
        "{}",
        added[1]
    );
    assert!(load_to_check("shop.yaml", written.as_bytes()).is_ok());
    // And it goes as it has come.
    assert_eq!(
        built(
            &mut edited,
            json!({"build": "remove_station", "station": "drill press"})
        ),
        SHOP
    );
}

#[test]
fn a_station_that_is_needed_does_not_go() {
    let mut edited = Edited::of(SHOP);
    let why = refused(
        &mut edited,
        json!({"build": "remove_station", "station": "bench"}),
    );
    assert!(why.contains("sand") && why.contains("shop.yaml:"), "{why}");
    let state = edited.ask(json!({"ask": "state"}));
    assert_eq!(names(&state), ["rack", "saw", "bench"]);
    assert_eq!(state["can_undo"], false);
}

#[test]
fn the_room_its_doors_and_what_stands_in_the_way_are_drawn_moved_and_taken_away() {
    let mut edited = Edited::of(SHOP);
    let door = "doors: [{name: door, between: [[2 m, 0], [3 m, 0]]}]";
    // 5 cm are the grid.
    let written = built(
        &mut edited,
        json!({"build": "draw", "name": "post", "corners": [[3.02, 3.0], [2.81, 3.19]]}),
    );
    let post = "blocked: [{name: post, at: [2.9 m, 3.1 m], size: [0.2 m, 0.2 m]}]";
    let with_post = SHOP.replace(door, &format!("{door}, {post}"));
    assert_eq!(written, with_post);
    let moved = built(
        &mut edited,
        json!({"build": "move_thing", "name": "post", "low": [3.01, 2.99]}),
    );
    assert_eq!(
        moved,
        with_post.replace("at: [2.9 m, 3.1 m]", "at: [3.1 m, 3.1 m]")
    );
    let put = built(
        &mut edited,
        json!({"build": "put_thing", "name": "post", "at": ["2.9 m", "3.1 m"], "size": ["20 cm", "0.2 m"]}),
    );
    assert_eq!(
        put,
        with_post.replace("size: [0.2 m, 0.2 m]", "size: [20 cm, 0.2 m]")
    );
    let gone = built(
        &mut edited,
        json!({"build": "remove_thing", "name": "post"}),
    );
    assert_eq!(gone, SHOP.replace(door, &format!("{door}, blocked: []")));
    // A door on the wall that is nearest, and the room wider with it.
    let drawn = built(
        &mut edited,
        json!({"build": "draw", "name": "side door", "corners": [[5.8, 1.02], [5.9, 1.98]]}),
    );
    assert!(
        drawn.contains("{name: side door, between: [[6 m, 1 m], [6 m, 2 m]]}"),
        "{drawn}"
    );
    let wide = built(
        &mut edited,
        json!({"build": "room", "size": ["7 m", "4 m"]}),
    );
    assert!(wide.contains("size: [7 m, 4 m], doors:"), "{wide}");
    assert!(
        wide.contains("{name: side door, between: [[7 m, 1 m], [7 m, 2 m]]}"),
        "{wide}"
    );
    let put = built(
        &mut edited,
        json!({"build": "put_door", "name": "side door", "ends": [["7 m", "2 m"], ["7 m", "3 m"]]}),
    );
    assert!(
        put.contains("{name: side door, between: [[7 m, 2 m], [7 m, 3 m]]}"),
        "{put}"
    );
    let why = refused(
        &mut edited,
        json!({"build": "put_door", "name": "side door", "ends": [["5 m", "2 m"], ["5 m", "3 m"]]}),
    );
    assert!(why.contains("shop.yaml:2:"), "{why}");
    let gone = built(
        &mut edited,
        json!({"build": "remove_door", "name": "side door"}),
    );
    assert_eq!(
        gone,
        SHOP.replace(door, &format!("{door}, blocked: []"))
            .replace("6 m, 4 m", "7 m, 4 m")
    );
    let new = built(
        &mut edited,
        json!({"build": "put_new", "name": "wall", "lengths": ["3 m", "3 m", "1 m", "10 cm"]}),
    );
    assert!(
        new.contains("blocked: [{name: wall, at: [3.5 m, 3.05 m], size: [1 m, 0.1 m]}]"),
        "{new}"
    );
    // All of it can be taken back, to the last byte.
    while edited.ask(json!({"ask": "undo"}))["can_undo"] == true {}
    edited.ask(json!({"ask": "save", "name": null}));
    assert_eq!(edited.written(), SHOP);
}

#[test]
fn times_are_written_with_their_units_and_taken_away_again() {
    let mut edited = Edited::of(SHOP);
    let time = |key: &str, written: &str| json!({"build": "time", "station": "saw", "operation": "cut", "key": key, "written": written});
    let before = edited.ask(json!({"ask": "figures"}));
    let row = &before["shop"]["times"][0];
    assert_eq!(
        (&row["station"], &row["operation"]),
        (&json!("saw"), &json!("cut"))
    );
    assert_eq!(
        row["cells"][1]["written"],
        "{triangular: [1 min, 2 min, 4 min]}"
    );
    assert_eq!(
        built(&mut edited, time("setup", "90 s")),
        SHOP.replace("4 min]}}}", "4 min]}, setup: 90 s}}")
    );
    assert_eq!(built(&mut edited, time("setup", "")), SHOP);
    let fixed = built(&mut edited, time("per piece", "10 min"));
    assert_eq!(
        fixed,
        SHOP.replace("{triangular: [1 min, 2 min, 4 min]}", "10 min")
    );
    let after = edited.ask(json!({"ask": "figures"}));
    let lead_time = |answer: &Value| {
        answer["drawn"]["figures"]["lead_time"]["value"]
            .as_f64()
            .expect("a time")
    };
    // Four pieces by 10 min instead of by 7/3 min in the mean.
    assert!(
        lead_time(&after) > lead_time(&before) + 4.0 * 7.0 * 60.0,
        "{after}"
    );
    assert!(refused(&mut edited, time("per piece", "10")).contains("unit"));
}

#[test]
fn nothing_foreign_comes_into_the_file() {
    let mut edited = Edited::of(SHOP);
    let time = |written: &str| json!({"build": "time", "station": "saw", "operation": "cut", "key": "setup", "written": written});
    let long = "x".repeat(81);
    let far = json!([[0.0, 0.0], [1e300, 1.0]]);
    for wish in [
        time("1 min}}, room: {size: [1 m, 1 m]"),
        time("1 min\nrun: {seed: 5}"),
        time("*here"),
        time("!!binary aGk="),
        time(&"1".repeat(300)),
        json!({"build": "time", "station": "saw", "operation": "cut", "key": "gear", "written": "1"}),
        json!({"build": "draw", "name": long, "corners": [[0.0, 0.0], [1.0, 1.0]]}),
        json!({"build": "draw", "name": "a\nb", "corners": [[0.0, 0.0], [1.0, 1.0]]}),
        json!({"build": "draw", "name": "post", "corners": far}),
        json!({"build": "put_new", "name": "post", "lengths": ["0", "0", "1e12 m", "1 m"]}),
        json!({"build": "put_thing", "name": "none", "at": ["0", "0"], "size": ["1 m", "1 m"]}),
        json!({"build": "room", "size": ["6 m], doors: [", "4 m"]}),
        json!({"build": "room", "size": ["0", "4 m"]}),
        json!({"build": "room", "size": ["1e9 m", "4 m"]}),
        json!({"build": "stations", "said": "saw: {does: {}}"}),
        json!({"build": "stations", "said": "1000000 workbenches"}),
        json!({"build": "remove_station", "station": "none"}),
        json!({"build": "cut_list", "name": "a", "table": "=1+1"}),
        json!({"build": "cut_list", "name": "a", "table": "part,length\nleg,long\n"}),
    ] {
        refused(&mut edited, wish);
    }
    // A name is a name, whatever is in it.
    let name = "\"}], x: [ <b> \u{202e}# *";
    let written = built(
        &mut edited,
        json!({"build": "draw", "name": name, "corners": [[3.0, 3.0], [3.2, 3.2]]}),
    );
    let study = load_to_check("shop.yaml", written.as_bytes())
        .expect("valid")
        .study;
    let room = study.candidates[0]
        .plan
        .as_ref()
        .and_then(|plan| plan.room.as_ref());
    assert_eq!(room.expect("a room").blocked[0].name, name);
}

#[test]
fn parts_come_from_a_cut_list() {
    let mut edited = Edited::of(SHOP);
    let table = "part,quantity,length,width,thickness\nseat,1,400 mm,300 mm,20 mm\nleg,4,450 mm,40 mm,40 mm\n";
    let answer = edited.ask(build(
        json!({"build": "cut_list", "name": "stool", "table": table}),
    ));
    assert!(answer["drawn"].is_object(), "{answer}");
    assert!(
        answer["said"].as_str().expect("said").contains("To buy"),
        "{answer}"
    );
    edited.ask(json!({"ask": "save", "name": null}));
    let written = edited.written();
    assert!(
        written.contains("orders: [{project: box}, {project: stool}]"),
        "{written}"
    );
    let study = load_to_check("shop.yaml", written.as_bytes())
        .expect("valid")
        .study;
    let projects = study.candidates[0].shop.projects.iter();
    let projects: Vec<&str> = projects.map(|project| &project.name[..]).collect();
    assert_eq!(projects, ["box", "stool"]);
    let wrong = refused(
        &mut edited,
        json!({"build": "cut_list", "name": "a", "table": "part,quantity,length,width,thickness\nleg,4,long,40 mm,40 mm\n"}),
    );
    assert!(wrong.contains(":2:") && wrong.contains("long"), "{wrong}");
}

#[test]
fn what_was_built_here_is_built_in_a_file_that_others_change() {
    let mut edited = Edited::of(SHOP);
    let before = edited.ask(build(json!({"build": "room", "size": ["7 m", "4 m"]})));
    let look = json!({"ask": "look", "revision": before["revision"]});
    let theirs = SHOP.replace("{replications: 40}", "{replications: 30} # fewer");
    fs::write(&edited.file, &theirs).expect("writable");
    assert_eq!(edited.ask(look)["is_new"], true);
    let state = edited.ask(json!({"ask": "state"}));
    assert_eq!(state["shop"]["room"]["size"], json!(["7 m", "4 m"]));
    // What they have taken away has no place for what was done to it, and neither is lost.
    edited.ask(build(json!({"build": "time", "station": "bench", "operation": "sand", "key": "setup", "written": "1 min"})));
    let other = theirs.replace("  bench: {size: [1.6 m, 0.6 m], does: {sand: {per piece: 3 min}}}\n", "  bench: &b\n    {size: [1.6 m, 0.6 m], does: &d {sand: &s {per piece: 3 min}}}\n  spare: {does: *d}\n")
        .replace("      bench: [4.5 m, 1 m]", "      bench: [4.5 m, 1 m]\n      spare: [4.5 m, 3 m]");
    fs::write(&edited.file, &other).expect("writable");
    let state = edited.ask(json!({"ask": "state"}));
    let told = edited.ask(json!({"ask": "look", "revision": state["revision"]}));
    let problems = told["problems"].as_str().expect("told");
    assert!(problems.contains("changed here, too"), "{problems}");
    assert_eq!(edited.written(), other);
    edited.ask(json!({"ask": "undo"}));
    edited.ask(json!({"ask": "look", "revision": state["revision"]}));
    assert_eq!(edited.ask(json!({"ask": "state"}))["problems"], json!(null));
    edited.ask(json!({"ask": "save", "name": null}));
    assert_eq!(edited.written(), other.replace("6 m, 4 m", "7 m, 4 m"));
}

#[test]
fn what_saving_changes_beside_is_told_before() {
    let mut edited = Edited::of(SHOP);
    let moved = edited.ask(json!({"ask": "drop", "station": "saw", "at": [1.75, 2.0], "turn": 0}));
    assert_eq!(
        (&moved["also"], &moved["hindered"]),
        (&json!(["later"]), &json!(null))
    );
    let bench = edited.ask(json!({"ask": "undo"}));
    assert_eq!(bench["also"], json!([]));
    // A lamp that hangs where a station stands would go with it, which nobody sees.
    let lit = SHOP.replace("saw: [1.5 m, 2 m] ", "saw: &spot [1.5 m, 2 m] ") + LAMP;
    let mut edited = Edited::of(&lit);
    let moved = edited.ask(json!({"ask": "drop", "station": "saw", "at": [1.75, 2.0], "turn": 0}));
    assert!(moved["hindered"].is_string(), "{moved}");
    let refused = edited.ask(json!({"ask": "save", "name": null}));
    assert!(refused["refused"].is_string(), "{refused}");
    assert_eq!(edited.written(), lit);
}

const LAMP: &str = "light: {lamps: [{lumens: 4000 lm, at: [*spot], height: 2.2 m}]}\n";

#[test]
fn windows_know_of_each_other() {
    let mut edited = Edited::of(SHOP);
    let here = |window: u64| json!({"ask": "here", "window": window});
    let others = |answer: Value| answer["others"].as_u64().expect("a count");
    assert_eq!(others(edited.ask(here(1))), 0);
    assert_eq!(others(edited.ask(here(1))), 0);
    assert_eq!(others(edited.ask(here(2))), 1);
    edited.ask(json!({"ask": "gone", "window": 2}));
    assert_eq!(others(edited.ask(here(1))), 0);
    for window in 0..1000 {
        assert!(
            others(edited.ask(here(window))) <= 64,
            "it grows without end"
        );
    }
}

/// Whoever reads a pipe waits until somebody writes into it.
#[cfg(unix)]
#[test]
fn a_pipe_in_place_of_the_file_holds_nobody_up() {
    let mut edited = Edited::of(SHOP);
    let state = edited.ask(json!({"ask": "state"}));
    fs::remove_file(&edited.file).expect("it was there");
    let made = std::process::Command::new("mkfifo")
        .arg(&edited.file)
        .status();
    assert!(made.expect("mkfifo").success());
    let (told, heard) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        // A reader that hangs is let go by whoever writes.
        let is_heard: Result<(), _> = heard.recv_timeout(std::time::Duration::from_secs(20));
        assert!(is_heard.is_ok(), "it hangs");
    });
    let looked = edited.ask(json!({"ask": "look", "revision": state["revision"]}));
    told.send(()).expect("in time");
    assert_eq!(looked["is_new"], false);
}
