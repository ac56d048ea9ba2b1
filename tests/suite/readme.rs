//! The documents for users: what they tell somebody to type works as it is written, in the order in which it stands there.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::support::command::{folder, shopstride, text};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// What stands between fences of a language.
fn fenced<'d>(document: &'d str, language: &str) -> Vec<&'d str> {
    let fence = format!("```{language}\n");
    let blocks = document.split(&fence[..]).skip(1);
    blocks
        .filter_map(|block| block.split("\n```").next())
        .collect()
}

/// Every command of the program, in fences and in lines of text, in the order of the document.
fn commands(document: &str) -> Vec<String> {
    let mut found: Vec<(usize, String)> = Vec::new();
    for block in fenced(document, "sh") {
        let begins = block.as_ptr() as usize - document.as_ptr() as usize;
        for line in block.replace("\\\n", " ").lines() {
            if line.starts_with("shopstride ") {
                found.push((begins, line.to_owned()));
            }
        }
    }
    for (begins, _) in document.match_indices("`shopstride ") {
        let rest = &document[begins + 1..];
        if let Some(end) = rest.find('`') {
            // A line may end within the command.
            found.push((begins, rest[..end].replace('\n', " ")));
        }
    }
    // The sort is stable: lines of one block stay in their order.
    found.sort_by_key(|(begins, _)| *begins);
    found.into_iter().map(|(_, command)| command).collect()
}

/// Words as a shell parts them: blanks between quotes belong to a word.
fn parted(command: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut is_quoted = false;
    for letter in command.chars() {
        match letter {
            '"' => is_quoted = !is_quoted,
            ' ' if !is_quoted => words.push(String::new()),
            letter => words.last_mut().expect("one at least").push(letter),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// Words in capitals stand for something else.
fn is_a_pattern(command: &str) -> bool {
    let words = command.split(|letter: char| !letter.is_alphabetic());
    let mut words = words.filter(|word| word.len() > 2);
    words.any(|word| word.chars().all(char::is_uppercase))
}

fn run_all(document: &str, at: &Path) -> usize {
    let mut run = 0;
    for command in commands(document) {
        if is_a_pattern(&command) {
            continue;
        }
        let words = parted(&command);
        let words: Vec<&str> = words.iter().skip(1).map(|word| &word[..]).collect();
        let output = shopstride(&words, at);
        // The built-in garage has a layout with faults, which `check` says with 1.
        let is_check = words[0] == "check";
        let code = output.status.code();
        assert!(
            code == Some(0) || (is_check && code == Some(1)),
            "{command}: {}",
            text(&output.stderr)
        );
        run += 1;
    }
    run
}

#[test]
fn every_command_works_as_it_is_written() {
    let readme = fs::read_to_string(root().join("README.md")).expect("readable");
    let scenarios = fs::read_to_string(root().join("scenarios/README.md")).expect("readable");
    let folder = folder();
    let at = folder.path();
    fs::create_dir(at.join("scenarios")).expect("made");
    for scenario in fs::read_dir(root().join("scenarios")).expect("readable") {
        let scenario = scenario.expect("readable");
        if scenario.path().is_file() {
            let to = at.join("scenarios").join(scenario.file_name());
            fs::copy(scenario.path(), to).expect("copied");
        }
    }
    let list = fenced(&readme, "csv");
    assert_eq!(list.len(), 1);
    fs::write(at.join("bookcase.csv"), list[0]).expect("written");
    let run = run_all(&readme, at);
    assert!(run >= 12, "{run} commands");
    assert!(at.join("pictures").is_dir() && at.join("sheet.html").is_file());
    assert!(run_all(&scenarios, at) >= 4);
}

/// What the README tells of gluing last is what the program finds.
#[test]
fn the_evenings_that_gluing_last_saves_are_those_of_the_golden_answer() {
    let readme = fs::read_to_string(root().join("README.md")).expect("readable");
    let golden = fs::read(root().join("tests/golden/evenings.json")).expect("readable");
    let golden: Value = serde_json::from_slice(&golden).expect("JSON");
    let walked = |nth: usize| golden["candidates"][nth]["walking"]["mean_m"].as_f64();
    let [back, saw, last] = [0, 1, 2].map(|nth| walked(nth).expect("a figure"));
    let done = |nth: usize| {
        let done = &golden["candidates"][nth]["done_at"];
        (done["p50_session"].as_u64(), done["p50_date"].as_str())
    };
    assert_eq!(golden["candidates"][2]["name"], "glued last in a session");
    assert_eq!((back, last), (490.0, 490.0));
    assert_eq!([done(0), done(1)], [(Some(5), Some("2026-12-15")); 2]);
    assert_eq!(done(2), (Some(4), Some("2026-12-10")));
    let told = format!(
        "the shorter way saves {} of {back} m and no evening (done on the 5th, Tue 15 Dec, either way); gluing last saves no \
         metre, costs nothing, and is done on the 4th, Thu 10 Dec.",
        back - saw
    );
    assert!(readme.contains(&told), "{told}");
}

/// Whoever begins reads it in a few minutes.
#[test]
fn the_readme_is_short() {
    let readme = fs::read_to_string(root().join("README.md")).expect("readable");
    let lines = readme.lines().count();
    assert!(lines < 450, "{lines} lines");
}

/// Every page that a document points to is there.
#[test]
fn every_link_leads_somewhere() {
    for document in ["README.md", "scenarios/README.md", "DEVELOPERS.md"] {
        let document = root().join(document);
        let written = fs::read_to_string(&document).expect("readable");
        let beside = document.parent().expect("a folder");
        for link in written.split("](").skip(1) {
            let target = link.split([')', '#']).next().unwrap_or_default();
            let is_elsewhere = target.is_empty() || target.contains("://");
            assert!(
                is_elsewhere || beside.join(target).exists(),
                "{}: {target}",
                document.display()
            );
        }
    }
}
