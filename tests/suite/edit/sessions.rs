//! What a page is answered: the same as every other command says of the layout that it shows, and of the file that it
//! saves.

use std::fs;
use std::path::PathBuf;

use serde_json::{Value, json};
use shopstride::editor::{Ask, EditSession, EditedFile, Proposal};
use shopstride::experiment::{LayoutFindings, checked_legs, run};
use shopstride::floor::{FindingLevel, Point, Pose};
use shopstride::scenario::load_to_check;

/// A room of 6 m by 4 m with two machines and a rack, and two layouts, one of which is like the other.
pub const SHOP: &str = "\
title: A small shop   # to be moved about
room: {size: [6 m, 4 m], doors: [{name: door, between: [[2 m, 0], [3 m, 0]]}]}
stations:
  rack: {size: [1.2 m, 0.4 m]}
  saw: {size: [1 m, 0.8 m], does: {cut: {per piece: {triangular: [1 min, 2 min, 4 min]}}}}
  bench: {size: [1.6 m, 0.6 m], does: {sand: {per piece: 3 min}}}
projects:
  box: {pieces: 4, material at: rack, route: [cut, sand]}
orders: [{project: box}]
run: {replications: 40}
layouts:
  now:
    at:
      rack: [0.8 m, 3.6 m]
      saw: [1.5 m, 2 m]       # near the rack
      bench: [4.5 m, 1 m]
  later:
    like: now
    at: {bench: [4.5 m, 2 m]}
";

/// A session on a file of its own.
pub struct Edited {
    pub session: EditSession,
    pub file: PathBuf,
    _folder: tempfile::TempDir,
}

impl Edited {
    pub fn of(text: &str) -> Edited {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let file = folder.path().join("shop.yaml");
        fs::write(&file, text).expect("writable");
        let edited = EditedFile::read_from("shop.yaml", file.clone(), text.as_bytes());
        let session = EditSession::new(edited, text.as_bytes(), None).expect("has a layout");
        Edited {
            session,
            file,
            _folder: folder,
        }
    }

    pub fn ask(&mut self, question: Value) -> Value {
        let ask: Ask = serde_json::from_value(question).expect("a question");
        self.session.answer(ask, &|| true)
    }

    pub fn written(&self) -> String {
        fs::read_to_string(&self.file).expect("readable")
    }
}

/// Where an answer has a station, in metres, and its turn.
fn station(answer: &Value, name: &str) -> (f64, f64, f64) {
    let all = answer["drawn"]["stations"].as_array().expect("stations");
    let found = all
        .iter()
        .find(|station| station["name"] == name)
        .expect("there");
    let number = |value: &Value| value.as_f64().expect("a number");
    (
        number(&found["at"][0]),
        number(&found["at"][1]),
        number(&found["turn"]),
    )
}

fn drop_saw(at: [f64; 2], turn: f64) -> Value {
    json!({"ask": "drop", "station": "saw", "at": at, "turn": turn})
}

#[test]
fn a_station_snaps_to_the_grid_and_to_walls() {
    let mut edited = Edited::of(SHOP);
    // 5 cm are the grid; the saw is 1 m by 0.8 m, and flush with a wall at half of that.
    for (wanted, turn, stands) in [
        ([2.512, 2.03], 0.0, (2.5, 2.05, 0.0)),
        ([0.52, -3.0], 0.0, (0.5, 0.4, 0.0)),
        ([9.0, 9.0], 90.0, (5.6, 3.5, 90.0)),
        ([2.0, 2.0], 450.0, (2.0, 2.0, 90.0)),
    ] {
        let tried = edited.ask(json!({"ask": "try", "station": "saw", "at": wanted, "turn": turn}));
        let (x, y, turn) = station(&tried, "saw");
        let off = (x - stands.0).abs().max((y - stands.1).abs());
        assert!(off < 1e-9 && turn == stands.2, "{wanted:?}: {x} {y} {turn}");
    }
    let state = edited.ask(json!({"ask": "state"}));
    assert_eq!(
        station(&state, "saw"),
        (1.5, 2.0, 0.0),
        "nothing tried is kept"
    );
}

#[test]
fn what_is_answered_is_what_the_commands_say_of_the_saved_file() {
    let mut edited = Edited::of(SHOP);
    edited.ask(drop_saw([3.0, 2.0], 90.0));
    let shown = edited.ask(json!({"ask": "figures"}));
    let saved = edited.ask(json!({"ask": "save", "name": null}));
    assert!(saved["saved"].is_string(), "{saved}");
    let study = load_to_check("shop.yaml", edited.written().as_bytes())
        .expect("valid")
        .study;
    let found = run(&study, 0, &|_| ()).expect("comes to its end");
    let figures = &shown["drawn"]["figures"];
    assert_eq!(figures["runs"], found.replications);
    assert_eq!(
        figures["walking"]["value"],
        found.candidates[0].walking.mean
    );
    let lead_time = found.candidates[0].lead_time.expect("it is done").mean;
    assert_eq!(figures["lead_time"]["value"], lead_time);
    let before = load_to_check("shop.yaml", SHOP.as_bytes())
        .expect("valid")
        .study;
    let before = run(&before, 0, &|_| ()).expect("comes to its end");
    let difference = found.candidates[0].walking.mean - before.candidates[0].walking.mean;
    let told = figures["walking"]["difference"].as_f64().expect("compared");
    assert!((told - difference).abs() < 1e-9, "{told} for {difference}");
    let legs = checked_legs(&study).expect("comes to its end");
    let checked = LayoutFindings::checked(&study.candidates[0], &legs[0]).expect("drawn");
    let count = |level| {
        checked
            .findings
            .iter()
            .filter(|finding| finding.level == level)
            .count()
    };
    assert_eq!(
        shown["drawn"]["verdict"]["faults"],
        count(FindingLevel::Fault)
    );
    assert_eq!(
        shown["drawn"]["verdict"]["warnings"],
        count(FindingLevel::Warning)
    );
}

#[test]
fn a_station_put_into_another_one_is_a_fault_that_says_so() {
    let mut edited = Edited::of(SHOP);
    let before = edited.ask(json!({"ask": "state"}));
    let after = edited.ask(drop_saw([4.5, 1.0], 0.0));
    let faults = |answer: &Value| {
        answer["drawn"]["verdict"]["faults"]
            .as_u64()
            .expect("a count")
    };
    assert!(
        faults(&after) > faults(&before),
        "{}",
        after["drawn"]["verdict"]
    );
    let said = after["drawn"]["findings"].to_string();
    assert!(said.contains("saw") && said.contains("bench"), "{said}");
}

#[test]
fn every_step_can_be_taken_back_and_done_again() {
    let mut edited = Edited::of(SHOP);
    let mut seen = vec![edited.ask(json!({"ask": "state"}))];
    for (nth, turn) in [0.0, 90.0, 90.0, 180.0].into_iter().enumerate() {
        seen.push(edited.ask(drop_saw([2.0 + 0.1 * nth as f64, 2.0], turn)));
    }
    for expected in seen.iter().rev().skip(1) {
        let undone = edited.ask(json!({"ask": "undo"}));
        assert_eq!(undone["drawn"], expected["drawn"]);
    }
    let at_end = edited.ask(json!({"ask": "undo"}));
    assert_eq!(at_end["can_undo"], false);
    assert_eq!(at_end["layouts"][0]["unsaved"], 0);
    for expected in &seen[1..] {
        let redone = edited.ask(json!({"ask": "redo"}));
        assert_eq!(redone["drawn"], expected["drawn"]);
    }
    assert_eq!(
        edited.written(),
        SHOP,
        "nothing is written unless it is saved"
    );
}

#[test]
fn saving_changes_one_line_and_names_what_changes_with_it() {
    let mut edited = Edited::of(SHOP);
    edited.ask(drop_saw([1.75, 2.0], 0.0));
    let saved = edited.ask(json!({"ask": "save", "name": null}));
    let expected = SHOP.replace("saw: [1.5 m, 2 m] ", "saw: [1.75 m, 2 m] ");
    assert_eq!(edited.written(), expected);
    let said = saved["saved"].as_str().expect("saved");
    assert!(said.contains("\"later\""), "`later` is like `now`: {said}");
    assert_eq!(saved["layouts"][0]["unsaved"], 0);
    // And back: undo leads to where it stood, whatever has been saved meanwhile.
    let undone = edited.ask(json!({"ask": "undo"}));
    assert_eq!(station(&undone, "saw"), (1.5, 2.0, 0.0));
    assert_eq!(undone["layouts"][0]["unsaved"], 1);
    edited.ask(json!({"ask": "save", "name": null}));
    assert_eq!(edited.written(), SHOP);
}

#[test]
fn a_new_layout_is_added_and_the_old_one_stays() {
    let mut edited = Edited::of(SHOP);
    edited.ask(drop_saw([3.0, 2.0], 90.0));
    for (name, why) in [
        ("", "a name"),
        ("later", "of this name"),
        ("a\nb", "a name"),
    ] {
        let refused = edited.ask(json!({"ask": "save", "name": name}));
        assert!(
            refused["refused"].as_str().expect("refused").contains(why),
            "{refused}"
        );
    }
    assert_eq!(edited.written(), SHOP);
    let saved = edited.ask(json!({"ask": "save", "name": "try: it"}));
    assert_eq!(saved["layout"], "try: it");
    let written = edited.written();
    assert!(written.starts_with(SHOP), "{written}");
    let expected = "  \"try: it\":\n    # 1 station of \"now\" moved\n    like: now\n    at:\n      saw: {at: [3 m, 2 m], turn: 90}\n";
    assert_eq!(&written[SHOP.len()..], expected);
    assert_eq!(station(&saved, "saw"), (3.0, 2.0, 90.0));
    let old = edited.ask(json!({"ask": "layout", "name": "now"}));
    assert_eq!(station(&old, "saw"), (1.5, 2.0, 0.0));
}

/// An alias ties the place of the bench to that of the saw, so that moving one would move the other unseen.
#[test]
fn what_would_move_something_else_as_well_is_not_saved() {
    let tied = SHOP
        .replace("saw: [1.5 m, 2 m] ", "saw: &there [1.5 m, 2 m] ")
        .replace("bench: [4.5 m, 1 m]", "bench: *there");
    let mut edited = Edited::of(&tied);
    edited.ask(drop_saw([1.75, 2.0], 0.0));
    let refused = edited.ask(json!({"ask": "save", "name": null}));
    let why = refused["refused"].as_str().expect("refused");
    assert!(why.contains("nothing was written"), "{why}");
    assert_eq!(edited.written(), tied);
}

#[test]
fn what_is_taken_back_is_shown() {
    let mut edited = Edited::of(SHOP);
    edited.ask(drop_saw([1.75, 2.0], 0.0));
    let other = edited.ask(json!({"ask": "layout", "name": "later"}));
    assert_eq!(other["layout"], "later");
    let back = edited.ask(json!({"ask": "undo"}));
    assert_eq!(back["layout"], "now");
    assert_eq!(station(&back, "saw"), (1.5, 2.0, 0.0));
}

#[test]
fn a_place_is_read_as_people_write_it() {
    let mut edited = Edited::of(SHOP);
    let place = |x: &str, y: &str, turn: &str| json!({"ask": "place", "station": "saw", "at": [x, y], "turn": turn});
    let placed = edited.ask(place("8 ft", "210 cm", "45°"));
    let (x, y, turn) = station(&placed, "saw");
    // As it is written: in whole millimetres.
    assert!((x - 2.438).abs() < 1e-9 && (y - 2.1).abs() < 1e-9 && turn == 45.0);
    for (x, y, turn) in [
        ("far", "2 m", "0"),
        ("2 m", "2", "0"),
        ("2 m", "2 m", "north"),
    ] {
        let refused = edited.ask(place(x, y, turn));
        assert!(refused["refused"].is_string(), "{refused}");
    }
    let state = edited.ask(json!({"ask": "state"}));
    assert_eq!(state["drawn"]["stations"], placed["drawn"]["stations"]);
}

#[test]
fn what_is_not_there_is_refused() {
    let mut edited = Edited::of(SHOP);
    for question in [
        json!({"ask": "drop", "station": "lathe", "at": [1, 1], "turn": 0}),
        json!({"ask": "try", "station": "saw", "at": [1e300, 1], "turn": 0}),
        json!({"ask": "layout", "name": "../../etc/passwd"}),
    ] {
        let answer = edited.ask(question.clone());
        assert!(answer["refused"].is_string(), "{question}: {answer}");
    }
    for nonsense in [
        json!({"ask": "read", "file": "/etc/passwd"}),
        json!({"ask": "save", "name": null, "file": "/tmp/other.yaml"}),
        json!({"ask": "try", "station": "saw"}),
        json!([1, 2]),
    ] {
        assert!(
            serde_json::from_value::<Ask>(nonsense.clone()).is_err(),
            "{nonsense}"
        );
    }
}

#[test]
fn better_places_are_looked_for_from_what_is_shown_and_taken_in_one_step() {
    let mut edited = Edited::of(SHOP);
    let none = edited.ask(json!({"ask": "improve"}));
    assert!(none["refused"].is_string(), "{none}");
    let pose = |x: f64, y: f64| Pose {
        at: Point::new(x, y),
        turn: 90.0,
    };
    let found = Proposal {
        about: "two moved".to_owned(),
        at: vec![
            ("saw".to_owned(), pose(2.5, 2.0)),
            ("bench".to_owned(), pose(5.0, 2.0)),
        ],
    };
    edited.session = edited.session.searching(Box::new(move |text, layout| {
        assert_eq!(layout, "now");
        // What has been moved is where the search begins; without that, nobody waits for it.
        Ok(text
            .contains("saw: [1.75 m, 2 m] ")
            .then(|| vec![found.clone()]))
    }));
    assert_eq!(
        edited.ask(json!({"ask": "improve"})),
        json!({"stale": true})
    );
    let moved = edited.ask(drop_saw([1.75, 2.0], 0.0));
    let offered = edited.ask(json!({"ask": "improve"}));
    let proposal = json!({"about": "two moved", "stations": ["saw", "bench"]});
    assert_eq!(offered["proposals"], json!([proposal]));
    assert_eq!(offered["drawn"], moved["drawn"]);
    let taken = edited.ask(json!({"ask": "take", "proposal": 0}));
    assert_eq!(station(&taken, "saw"), (2.5, 2.0, 90.0));
    assert_eq!(station(&taken, "bench"), (5.0, 2.0, 90.0));
    let undone = edited.ask(json!({"ask": "undo"}));
    assert_eq!(undone["drawn"], moved["drawn"]);
    let missing = edited.ask(json!({"ask": "take", "proposal": 1}));
    assert!(missing["refused"].is_string(), "{missing}");
}

#[test]
fn runs_that_nobody_waits_for_are_not_told() {
    let mut edited = Edited::of(SHOP);
    let ask: Ask = serde_json::from_value(json!({"ask": "figures"})).expect("a question");
    let answer = edited.session.answer(ask, &|| false);
    assert_eq!(answer, json!({"stale": true}));
}

#[test]
fn names_stay_text_in_the_plan() {
    let name = "<script>alert(1)</script> & 'x'";
    let text = SHOP.replace("saw", &format!("\"{name}\""));
    let mut edited = Edited::of(&text);
    let state = edited.ask(json!({"ask": "state"}));
    let svg = state["drawn"]["plan"]["svg"].as_str().expect("a picture");
    assert!(!svg.contains("<script"), "{svg}");
    let page = edited.session.page().expect("a page");
    assert!(!page.html.contains(name));
    assert!(
        page.policy.contains("default-src 'none'")
            && page.policy.contains("frame-ancestors 'none'")
    );
}
