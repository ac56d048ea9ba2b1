//! A module uses only what stands before it in the chain, and some things happen in one place only.

use std::fs;
use std::path::{Path, PathBuf};

/// Modules in reading order; ones that do not exist yet have their place.
const CHAIN: [&str; 14] = [
    "units",
    "random",
    "statistics",
    "shop",
    "floor",
    "engine",
    "metrics",
    "experiment",
    "utility",
    "improve",
    "scenario",
    "report",
    "cli",
    "main",
];

fn files(path: &Path, found: &mut Vec<PathBuf>) {
    if path.is_dir() {
        let mut entries: Vec<PathBuf> = fs::read_dir(path)
            .expect("readable")
            .map(|entry| entry.expect("readable").path())
            .collect();
        entries.sort();
        entries.iter().for_each(|entry| files(entry, found));
    } else if path.extension().is_some_and(|extension| extension == "rs") {
        found.push(path.to_owned());
    }
}

/// Files of a module, with their code lines: no comments, nothing behind the unit tests' mark.
fn code_of(module: &str) -> Vec<(PathBuf, String)> {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    files(&source.join(module), &mut found);
    files(&source.join(format!("{module}.rs")), &mut found);
    found.retain(|path| path.exists());
    found
        .into_iter()
        .map(|path| {
            let text = fs::read_to_string(&path).expect("readable");
            let text = text.split("#[cfg(test)]").next().unwrap_or_default();
            let code: Vec<&str> = text
                .lines()
                .filter(|line| !line.trim_start().starts_with("//"))
                .collect();
            (path, code.join("\n"))
        })
        .collect()
}

#[test]
fn a_module_uses_only_what_stands_before_it() {
    let mut read = 0;
    for (index, module) in CHAIN.iter().enumerate() {
        for (path, code) in code_of(module) {
            read += 1;
            for later in &CHAIN[index + 1..] {
                let used = code.contains(&format!("crate::{later}::"))
                    || code.contains(&format!("crate::{later};"));
                assert!(
                    !used,
                    "{} uses {later}, which stands after {module}",
                    path.display()
                );
            }
        }
    }
    assert!(read > 60, "only {read} files were read");
}

#[test]
fn what_happens_in_one_place_only() {
    // (Words, modules that must not hold them, files within those modules that may.)
    let simulation = &CHAIN[..10];
    let rules: [(&[&str], &[&str], &[&str]); 4] = [
        (&["println!", "eprintln!", "print!("], &CHAIN[..12], &[]),
        (&["HashMap", "HashSet"], &CHAIN, &[]),
        (
            &[
                "std::fs",
                "std::io",
                "serde_json",
                "serde_yaml",
                "Instant::now",
                "SystemTime",
            ],
            simulation,
            &[],
        ),
        (
            &[".draw(", ".uniform()"],
            &["engine", "metrics", "experiment"],
            // What is not known of a shop is drawn before anything is played.
            &["draws.rs", "sensitivity.rs"],
        ),
    ];
    for (words, modules, allowed) in rules {
        for module in modules {
            for (path, code) in code_of(module) {
                let name = path
                    .file_name()
                    .expect("a file")
                    .to_string_lossy()
                    .into_owned();
                if allowed.contains(&name.as_str()) {
                    continue;
                }
                for word in words {
                    assert!(!code.contains(word), "{} holds {word}", path.display());
                }
            }
        }
    }
}
