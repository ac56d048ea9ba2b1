//! The program as somebody calls it.

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// The program with these arguments in this folder.
pub fn shopstride(arguments: &[&str], folder: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_shopstride"))
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::null())
        .output()
        .expect("the program runs")
}

pub fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a temporary folder")
}

pub fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// Whatever is in a folder, hidden or not.
pub fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("readable");
    let name = |entry: std::io::Result<fs::DirEntry>| entry.expect("readable").file_name();
    let mut names: Vec<String> = entries
        .map(|entry| name(entry).to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

/// Ends with 2, says these words, and leaves the folder as it was.
pub fn refused(arguments: &[&str], folder: &Path, said: &str) {
    let before = names(folder);
    let output = shopstride(arguments, folder);
    let errors = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{arguments:?}: {errors}");
    assert!(errors.contains(said), "{arguments:?} says:\n{errors}");
    assert!(output.stdout.is_empty(), "{arguments:?}");
    assert_eq!(names(folder), before, "{arguments:?}");
}

pub fn done(arguments: &[&str], folder: &Path) -> Output {
    let output = shopstride(arguments, folder);
    assert!(output.status.success(), "{}", text(&output.stderr));
    output
}

/// What `run` answers, in 80 columns, with its lines joined.
pub fn answer(arguments: &[&str], folder: &Path) -> String {
    let output = done(&[&["run", "--quiet"], arguments].concat(), folder);
    let said = text(&output.stdout);
    assert!(
        said.lines().all(|line| line.chars().count() <= 80),
        "{said}"
    );
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The same of a scenario that is written here.
pub fn answer_of(scenario: &str, more: &[&str]) -> String {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), scenario).expect("writable");
    answer(&[&["shop.yaml"], more].concat(), folder.path())
}

/// A scenario that is written here is refused with these words.
pub fn refused_of(scenario: &str, what: &str) {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), scenario).expect("writable");
    refused(&["run", "shop.yaml"], folder.path(), what);
}
