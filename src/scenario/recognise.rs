//! Whether a file is somebody's scenario, so that nothing is written over it.

use std::path::Path;

use super::tree;
use super::{MOST_BYTES, utf16};

/// Keys that a scenario has at its top, however much else in it is wrong. No answer of the program has `stations`
/// there, nor two of the others.
const TELLING: [&str; 4] = ["stations", "projects", "orders", "layouts"];

/// What the names of scenarios end in.
const ENDINGS: [&str; 2] = ["yaml", "yml"];

/// Whether a file of this name with this in it is a scenario, or one with mistakes that somebody will want to mend.
pub fn reads_as_scenario(name: &Path, text: &[u8]) -> bool {
    if text.iter().all(u8::is_ascii_whitespace) {
        return false;
    }
    let ending = name.extension().and_then(|ending| ending.to_str());
    let is_called_one = ending.is_some_and(|ending| {
        let is_same = |known: &&str| ending.eq_ignore_ascii_case(known);
        ENDINGS.iter().any(is_same)
    });
    if text.len() > MOST_BYTES {
        return is_called_one;
    }
    let text = utf16(text).unwrap_or_else(|| String::from_utf8_lossy(text).into_owned());
    // JSON is YAML, and so what an answer is called does not make it a scenario.
    match is_called_one && !text.trim_start().starts_with(['{', '[']) {
        true => true,
        false => has_telling_keys(&text),
    }
}

fn has_telling_keys(text: &str) -> bool {
    let tree = tree::parse(text);
    let is_key = |key: &&str| match &tree {
        Ok(tree) => tree.get(key).is_some(),
        Err(_) => text.lines().any(|line| begins_with_key(line, key)),
    };
    let found: Vec<&str> = TELLING.into_iter().filter(|key| is_key(key)).collect();
    found.contains(&"stations") || found.len() > 1
}

/// Whether a line of a file that is no YAML as it stands gives this key at the top.
fn begins_with_key(line: &str, key: &str) -> bool {
    let rest = line.strip_prefix(key);
    rest.is_some_and(|rest| rest.trim_start().starts_with(':'))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn is_scenario(name: &str, text: &str) -> bool {
        reads_as_scenario(Path::new(name), text.as_bytes())
    }

    #[test]
    fn scenarios_are_told_from_answers_and_whatever_else_there_is() {
        let whole = include_str!("../../scenarios/minimal.yaml");
        let scenarios = [
            ("out.json", whole),
            ("out", "{\"title\": \"x\", \"stations\": {\"saw\": {}}}"),
            // With mistakes in it.
            ("out", "stations: {saw: {}\nprojects: {}\n"),
            ("out", "statoins: {}\nprojects: {}\norders: []\n"),
            ("out", "projects:\n\tbox: {}\norders : []\n"),
            ("mine.yaml", "statoins: {}\n"),
            ("MINE.YML", "- not finished"),
        ];
        for (name, text) in scenarios {
            assert!(is_scenario(name, text), "{name}: {text}");
        }
        let little: Vec<u8> = whole.encode_utf16().flat_map(u16::to_le_bytes).collect();
        assert!(reads_as_scenario(Path::new("out"), &little));
        let others = [
            ("out.json", ""),
            ("mine.yaml", " \n"),
            ("out.json", "old"),
            ("out.json", "{\"scenario\": \"x\", \"layouts\": []}"),
            ("answer.yaml", "{\"scenario\": \"x\", \"layouts\": []}"),
            (
                "out.json",
                "{\"candidates\": [{\"stations\": [], \"projects\": []}]}",
            ),
            (
                "trace",
                "{\"at_s\": 0, \"station\": \"saw\"}\n{\"at_s\": 1}\n",
            ),
            ("notes.txt", "orders:\n- glue\n- screws\n"),
            (
                "page.html",
                "<!DOCTYPE html>\n<title>stations: two</title>\n",
            ),
        ];
        for (name, text) in others {
            assert!(!is_scenario(name, text), "{name}: {text}");
        }
    }
}
