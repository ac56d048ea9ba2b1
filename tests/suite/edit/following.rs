//! A file that somebody else changes while it is edited.

use std::fs;

use serde_json::json;
use shopstride::editor::{Ask, EditSession, EditedFile};

use super::sessions::{Edited, SHOP};

#[test]
fn a_file_that_was_changed_is_followed_and_what_was_moved_stays_moved() {
    let mut edited = Edited::of(SHOP);
    let drop = json!({"ask": "drop", "station": "saw", "at": [1.75, 2.0], "turn": 0});
    let before = edited.ask(drop);
    let revision = before["revision"].clone();
    let look = json!({"ask": "look", "revision": revision});
    assert_eq!(edited.ask(look.clone())["is_new"], false);
    let theirs = SHOP.replace("bench: [4.5 m, 1 m]", "bench: [4 m, 1 m]  # a bit nearer");
    fs::write(&edited.file, &theirs).expect("writable");
    assert_eq!(edited.ask(look)["is_new"], true);
    let state = edited.ask(json!({"ask": "state"}));
    let at = |name: &str| {
        let stations = state["drawn"]["stations"].as_array().expect("stations");
        let found = stations.iter().find(|station| station["name"] == name);
        found.expect("there")["at"].clone()
    };
    assert_eq!(
        (at("bench"), at("saw")),
        (json!([4.0, 1.0]), json!([1.75, 2.0]))
    );
    edited.ask(json!({"ask": "save", "name": null}));
    assert_eq!(
        edited.written(),
        theirs.replace("saw: [1.5 m, 2 m] ", "saw: [1.75 m, 2 m] ")
    );
}

#[test]
fn nothing_is_written_over_what_somebody_else_wrote_unless_asked() {
    let mut edited = Edited::of(SHOP);
    edited.ask(json!({"ask": "drop", "station": "saw", "at": [1.75, 2.0], "turn": 0}));
    let theirs = format!("{SHOP}# signed: somebody else\n");
    fs::write(&edited.file, &theirs).expect("writable");
    let asked = edited.ask(json!({"ask": "save", "name": null}));
    assert!(asked["conflict"].is_string(), "{asked}");
    assert_eq!(edited.written(), theirs);
    let saved = edited.ask(json!({"ask": "save", "name": null, "anyway": true}));
    assert!(saved["saved"].is_string(), "{saved}");
    let both = theirs.replace("saw: [1.5 m, 2 m] ", "saw: [1.75 m, 2 m] ");
    assert_eq!(edited.written(), both, "nothing of either is lost");
}

#[test]
fn errors_are_told_with_their_lines_and_the_last_good_state_stays() {
    let mut edited = Edited::of(SHOP);
    let good = edited.ask(json!({"ask": "state"}));
    let wrong = SHOP.replace("material at: rack", "material at: rak");
    fs::write(&edited.file, &wrong).expect("writable");
    let told = edited.ask(json!({"ask": "look", "revision": good["revision"]}));
    let problems = told["problems"].as_str().expect("problems");
    for part in ["shop.yaml:8:", "rak", "did you mean `rack`?"] {
        assert!(problems.contains(part), "{part}: {problems}");
    }
    let shown = edited.ask(json!({"ask": "state"}));
    assert_eq!(shown["drawn"], good["drawn"]);
    // Not even who insists writes over what cannot be read.
    edited.ask(json!({"ask": "drop", "station": "saw", "at": [1.75, 2.0], "turn": 0}));
    let refused = edited.ask(json!({"ask": "save", "name": null, "anyway": true}));
    assert!(
        refused["refused"]
            .as_str()
            .expect("refused")
            .contains("rak"),
        "{refused}"
    );
    assert_eq!(edited.written(), wrong);
    fs::write(&edited.file, SHOP.replace("1 min, 2 min", "1 min, 3 min")).expect("writable");
    let told = edited.ask(json!({"ask": "look", "revision": shown["revision"]}));
    assert_eq!(
        (&told["problems"], &told["is_new"]),
        (&json!(null), &json!(true))
    );
}

/// A layout that somebody else renames has no place for what has been moved in it, which is not dropped for that.
#[test]
fn moves_stay_where_their_layout_is_gone_from_the_file() {
    let mut edited = Edited::of(SHOP);
    let drop = json!({"ask": "drop", "station": "saw", "at": [1.75, 2.0], "turn": 0});
    let before = edited.ask(drop);
    let look = |revision: &serde_json::Value| json!({"ask": "look", "revision": revision});
    let renamed = SHOP
        .replace("  now:", "  before:")
        .replace("like: now", "like: before");
    fs::write(&edited.file, &renamed).expect("writable");
    let told = edited.ask(look(&before["revision"]));
    let problems = told["problems"].as_str().expect("problems");
    assert!(
        problems.contains("no layout \"now\" any more"),
        "{problems}"
    );
    let state = edited.ask(json!({"ask": "state"}));
    assert_eq!(state["drawn"], before["drawn"]);
    // Nothing is new while nobody does anything.
    assert_eq!(edited.ask(look(&state["revision"]))["is_new"], false);
    let refused = edited.ask(json!({"ask": "save", "name": null, "anyway": true}));
    assert!(refused["refused"].is_string(), "{refused}");
    assert_eq!(edited.written(), renamed);
    // With the move taken back the file is followed.
    edited.ask(json!({"ask": "undo"}));
    edited.ask(look(&state["revision"]));
    let state = edited.ask(json!({"ask": "state"}));
    assert_eq!(
        (&state["layout"], &state["problems"]),
        (&json!("before"), &json!(null))
    );
}

#[test]
fn a_file_that_is_gone_is_not_written_anew_unless_asked() {
    let mut edited = Edited::of(SHOP);
    edited.ask(json!({"ask": "drop", "station": "saw", "at": [1.75, 2.0], "turn": 0}));
    fs::remove_file(&edited.file).expect("it was there");
    let asked = edited.ask(json!({"ask": "save", "name": null}));
    assert!(asked["conflict"].is_string(), "{asked}");
    assert!(!edited.file.exists());
    let saved = edited.ask(json!({"ask": "save", "name": null, "anyway": true}));
    assert!(saved["saved"].is_string(), "{saved}");
    assert!(edited.file.exists());
}

#[test]
fn what_is_no_file_is_saved_only_in_a_new_one() {
    let save =
        || serde_json::from_value::<Ask>(json!({"ask": "save", "name": null})).expect("a question");
    let drop = || {
        let drop = json!({"ask": "drop", "station": "saw", "at": [1.75, 2.0], "turn": 0});
        serde_json::from_value::<Ask>(drop).expect("a question")
    };
    let nowhere = EditedFile::new("built in", None);
    let mut session = EditSession::new(nowhere, SHOP.as_bytes(), None).expect("has a layout");
    session.answer(drop(), &|| true);
    let refused = session.answer(save(), &|| true);
    assert!(
        refused["refused"]
            .as_str()
            .expect("refused")
            .contains("--out"),
        "{refused}"
    );
    let folder = tempfile::tempdir().expect("a temporary folder");
    let out = folder.path().join("new.yaml");
    let somewhere = EditedFile::new("new.yaml", Some(out.clone()));
    let mut session = EditSession::new(somewhere, SHOP.as_bytes(), None).expect("has a layout");
    session.answer(drop(), &|| true);
    assert!(!out.exists());
    let saved = session.answer(save(), &|| true);
    assert!(saved["saved"].is_string(), "{saved}");
    let written = fs::read_to_string(&out).expect("written");
    assert_eq!(
        written,
        SHOP.replace("saw: [1.5 m, 2 m] ", "saw: [1.75 m, 2 m] ")
    );
}
