//! What is said about scenarios with mistakes: the text beside each file, letter by letter.

use std::fs;
use std::path::Path;

use shopstride::scenario;

use crate::support::yaml_files;

const FOLDER: &str = "tests/scenario_errors";

fn said(path: &Path) -> String {
    let name = path.file_name().expect("a file").to_string_lossy();
    let text = fs::read(path).expect("readable");
    match scenario::load(&name, &text) {
        Ok(loaded) => format!("loads\n\n{}", loaded.warnings.render(false)),
        Err(problems) => problems.render(false),
    }
}

/// With UPDATE_EXPECTED=1 in the environment the texts are written instead; then read each of them.
#[test]
fn every_mistake_is_told_with_its_place_and_its_remedy() {
    let files = yaml_files(FOLDER);
    assert!(files.len() >= 30, "{} files", files.len());
    let update = std::env::var_os("UPDATE_EXPECTED").is_some();
    let mut different = Vec::new();
    for path in files {
        let expected = path.with_extension("txt");
        let found = said(&path);
        if update {
            fs::write(&expected, &found).expect("writable");
        }
        let wanted = fs::read_to_string(&expected).unwrap_or_default();
        if found != wanted {
            different.push(format!(
                "{}: found\n{found}\nexpected\n{wanted}",
                path.display()
            ));
        }
    }
    assert!(different.is_empty(), "{}", different.join("\n"));
}

#[test]
fn colours_change_nothing_but_the_look() {
    for path in yaml_files(FOLDER) {
        let text = fs::read(&path).expect("readable");
        if let Err(problems) = scenario::load("x.yaml", &text) {
            let coloured = problems.render(true);
            assert_ne!(coloured, problems.render(false));
            let plain = anstream::adapter::strip_str(&coloured).to_string();
            assert_eq!(plain, problems.render(false));
        }
    }
}
