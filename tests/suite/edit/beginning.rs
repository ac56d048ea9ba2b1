//! A shop that is begun in a page: nothing is written before somebody says so, and never over anything.

use std::fs;

use serde_json::{Value, json};
use shopstride::editor::{Ask, Beginning, EditedFile, Sitting};

use super::sessions::SHOP;

struct Begun {
    sitting: Sitting,
    folder: tempfile::TempDir,
}

impl Begun {
    fn new() -> Begun {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let file = folder.path().join("mine.yaml");
        let search = |wish: &shopstride::editor::BeginWish| match &wish.room[..] {
            "" => Err("Say how large it is.".to_owned()),
            _ => Ok((SHOP.to_owned(), vec!["A guess.".to_owned()])),
        };
        let beginning = Beginning {
            file: EditedFile::new("mine.yaml", Some(file)),
            search: Box::new(search),
        };
        Begun {
            sitting: Sitting::Beginning(beginning),
            folder,
        }
    }

    fn ask(&mut self, question: Value) -> Value {
        let ask: Ask = serde_json::from_value(question).expect("a question");
        self.sitting.answer(ask, &|| true, &|session| session)
    }

    fn begin(&mut self, room: &str) -> Value {
        let wish = json!({"room": room, "doors": "", "stations": "", "longest": "", "project": "", "table": ""});
        self.ask(json!({"ask": "begin", "wish": wish}))
    }

    fn written(&self) -> Option<String> {
        fs::read_to_string(self.folder.path().join("mine.yaml")).ok()
    }
}

#[test]
fn the_file_is_written_when_it_is_begun_and_not_before() {
    let mut begun = Begun::new();
    let asked = begun.ask(json!({"ask": "state"}));
    assert!(asked["begin"]["kinds"].as_array().expect("kinds").len() > 20);
    for early in [
        json!({"ask": "save", "name": null}),
        json!({"ask": "undo"}),
        json!({"ask": "drop", "station": "saw", "at": [1.0, 1.0], "turn": 0.0}),
    ] {
        assert!(begun.ask(early)["refused"].is_string());
    }
    assert_eq!(begun.begin("")["refused"], "Say how large it is.");
    assert_eq!(begun.written(), None);
    let first = begun.begin("6 m x 4 m");
    assert!(first["drawn"].is_object(), "{first}");
    assert!(first["saved"].as_str().expect("said").contains("A guess."));
    assert_eq!(begun.written().as_deref(), Some(SHOP));
    assert!(begun.begin("6 m x 4 m")["refused"].is_string());
    let moved = begun.ask(json!({"ask": "drop", "station": "saw", "at": [1.75, 2.0], "turn": 0}));
    assert_eq!(moved["can_undo"], true);
}

#[test]
fn a_file_that_has_come_meanwhile_is_not_written_over() {
    let mut begun = Begun::new();
    let file = begun.folder.path().join("mine.yaml");
    fs::write(&file, "theirs").expect("writable");
    let refused = begun.begin("6 m x 4 m");
    assert!(
        refused["refused"]
            .as_str()
            .expect("refused")
            .contains("cannot be written"),
        "{refused}"
    );
    assert_eq!(begun.written().as_deref(), Some("theirs"));
}
