//! A module uses only what stands before it in the chain, and some things happen in one place only.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use petgraph::algo::tarjan_scc;
use petgraph::graph::{DiGraph, NodeIndex};

/// Modules in reading order; ones that do not exist yet have their place.
const CHAIN: [&str; 17] = [
    "units",
    "random",
    "statistics",
    "shop",
    "floor",
    "services",
    "engine",
    "metrics",
    "experiment",
    "utility",
    "improve",
    "scenario",
    "lesson",
    "report",
    "editor",
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
    let simulation = &CHAIN[..11];
    let rules: [(&[&str], &[&str], &[&str]); 5] = [
        (&["println!", "eprintln!", "print!("], &CHAIN[..15], &[]),
        (&["HashMap", "HashSet"], &CHAIN, &[]),
        // By how much floors may be off: one table, and what is held against it in tests.
        (
            &["1e-", "EPSILON"],
            &["floor"],
            &["tolerance.rs", "explicit.rs"],
        ),
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
            &["draws.rs", "sensitivity.rs", "doubted_places.rs"],
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

/// A file of the crate as a module, such as `["floor", "check", "exits"]`.
struct Module {
    path: Vec<String>,
    code: String,
}

fn modules() -> Vec<Module> {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    CHAIN
        .iter()
        .flat_map(|module| code_of(module))
        .map(|(file, code)| {
            let inside = file.strip_prefix(&source).expect("a file of the crate");
            let names = inside.with_extension("");
            let names = names.iter().map(|name| name.to_string_lossy().into_owned());
            let path = names.filter(|name| name != "mod").collect();
            Module { path, code }
        })
        .collect()
}

/// The first names of what follows a path: `a` of `a::b`, and `a` and `c` of `{a::b, c as d, self}`.
fn first_names(rest: &str) -> Vec<String> {
    let word = |text: &str| -> String {
        let letters = text.trim_start().chars();
        letters
            .take_while(|c| c.is_alphanumeric() || *c == '_')
            .collect()
    };
    let Some(group) = rest.strip_prefix('{') else {
        return vec![word(rest)];
    };
    let mut names = Vec::new();
    let (mut depth, mut start) = (0, 0);
    for (at, letter) in group.char_indices() {
        match letter {
            '{' => depth += 1,
            '}' if depth > 0 => depth -= 1,
            ',' | '}' if depth == 0 => {
                names.push(word(&group[start..at]));
                start = at + 1;
                if letter == '}' {
                    break;
                }
            }
            _ => {}
        }
    }
    names.retain(|name| !name.is_empty());
    names
}

/// What a module names by paths that begin with `crate` or `super`, as paths from the top.
fn named_paths(module: &Module) -> Vec<Vec<String>> {
    let mut found = Vec::new();
    for (at, _) in module.code.match_indices("crate::") {
        let mut path = Vec::new();
        let mut rest = &module.code[at + "crate::".len()..];
        while let Some((name, behind)) = rest.split_once("::")
            && name.chars().all(|c| c.is_alphanumeric() || c == '_')
        {
            path.push(name.to_owned());
            rest = behind;
        }
        found.extend(first_names(rest).into_iter().map(|last| {
            let mut path = path.clone();
            path.push(last);
            path
        }));
    }
    for (at, _) in module.code.match_indices("super::") {
        if module.code[..at].ends_with("super::") {
            continue;
        }
        let mut path = module.path.clone();
        let mut rest = &module.code[at..];
        while let Some(behind) = rest.strip_prefix("super::") {
            path.pop();
            rest = behind;
        }
        found.extend(first_names(rest).into_iter().map(|last| {
            let mut path = path.clone();
            path.push(last);
            path
        }));
    }
    found
}

/// Names that a module shows under its own path though they stand in a file of its folder, with that file.
fn shown(module: &Module) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for line in module.code.split(';') {
        let line = line.trim();
        let Some((visibility, names)) = line.split_once("use ") else {
            continue;
        };
        if !visibility.trim_end().starts_with("pub") || names.starts_with("crate") {
            continue;
        }
        let names = names
            .trim_start_matches("self::")
            .trim_start_matches("super::");
        if let Some((file, rest)) = names.split_once("::") {
            found.extend(
                first_names(rest)
                    .into_iter()
                    .map(|name| (name, file.to_owned())),
            );
        }
    }
    found
}

#[test]
fn no_files_of_a_folder_use_each_other_in_a_circle() {
    let modules = modules();
    let folders: BTreeSet<Vec<String>> = (modules.iter())
        .filter(|module| module.path.len() > 1)
        .map(|module| module.path[..module.path.len() - 1].to_vec())
        .collect();
    let mut circles = Vec::new();
    for folder in &folders {
        let top = modules.iter().find(|module| module.path == *folder);
        let shown = top.map(shown).unwrap_or_default();
        let mut nodes: Vec<&str> = Vec::new();
        for module in modules
            .iter()
            .filter(|module| module.path.starts_with(folder))
        {
            if let Some(name) = module.path.get(folder.len())
                && !nodes.contains(&&name[..])
            {
                nodes.push(name);
            }
        }
        let node = |name: &str| nodes.iter().position(|node| *node == name);
        let mut graph = DiGraph::<(), ()>::new();
        let indices: Vec<NodeIndex> = nodes.iter().map(|_| graph.add_node(())).collect();
        for module in modules
            .iter()
            .filter(|module| module.path.starts_with(folder))
        {
            // What the folder's own file says stands above its files, as the folder itself does.
            let Some(from) = module.path.get(folder.len()).and_then(|name| node(name)) else {
                continue;
            };
            for path in named_paths(module)
                .iter()
                .filter(|path| path.starts_with(folder))
            {
                let Some(name) = path.get(folder.len()) else {
                    continue;
                };
                let file = shown.iter().find(|(shown, _)| shown == name);
                let to = node(name).or_else(|| node(&file?.1));
                if let Some(to) = to.filter(|&to| to != from) {
                    graph.update_edge(indices[from], indices[to], ());
                }
            }
        }
        for group in tarjan_scc(&graph).iter().filter(|group| group.len() > 1) {
            let mut names: Vec<&str> = group.iter().map(|node| nodes[node.index()]).collect();
            names.sort_unstable();
            circles.push(format!("{}: {}", folder.join("/"), names.join(", ")));
        }
    }
    assert!(
        folders.len() > 10,
        "only {} folders were read",
        folders.len()
    );
    assert_eq!(circles, Vec::<String>::new(), "files that use each other");
}

/// The name of a type that a line declares. An associated type is none: it stands within its trait or `impl`.
fn declared(line: &str) -> Option<&str> {
    let rest = line.trim_start();
    let rest = match rest.strip_prefix("pub") {
        Some(behind) if behind.starts_with('(') => behind.split_once(") ")?.1,
        Some(behind) => behind.strip_prefix(' ')?,
        None => rest,
    };
    let (keyword, name) = rest.split_once(' ')?;
    let is_type = ["struct", "enum", "trait", "union"].contains(&keyword)
        || (keyword == "type" && !line.starts_with(' '));
    let end = name.find(|c: char| !c.is_alphanumeric() && c != '_');
    let name = &name[..end.unwrap_or(name.len())];
    (is_type && name.starts_with(char::is_uppercase)).then_some(name)
}

#[test]
fn one_name_stands_for_one_type() {
    let mut declarations: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for module in modules() {
        for name in module.code.lines().filter_map(declared) {
            let places = declarations.entry(name.to_owned()).or_default();
            places.push(module.path.join("/"));
        }
    }
    assert!(
        declarations.len() > 200,
        "only {} types were read",
        declarations.len()
    );
    declarations.retain(|_, places| places.len() > 1);
    assert_eq!(declarations, BTreeMap::new(), "names with several meanings");
}

/// A file with more lines is to be divided by topic.
const MOST_LINES: usize = 450;

/// A table may be as long as what it lists.
const TABLES: [&str; 1] = ["src/scenario/keys.rs"];

#[test]
fn no_file_is_long_but_tables() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut all = Vec::new();
    for folder in ["src", "tests", "benches"] {
        files(&root.join(folder), &mut all);
    }
    assert!(all.len() > 300, "{} files", all.len());
    let long: Vec<String> = (all.iter())
        .map(|path| path.strip_prefix(root).expect("within").to_string_lossy())
        .filter(|path| !TABLES.contains(&path.replace('\\', "/").as_str()))
        .filter_map(|path| {
            let text = fs::read_to_string(root.join(&*path)).expect("readable");
            let lines = text.lines().count();
            (lines > MOST_LINES).then(|| format!("{path}: {lines}"))
        })
        .collect();
    assert_eq!(long, Vec::<String>::new());
}

/// A file that nobody declares is never compiled, and its tests pass by never running.
#[test]
fn every_file_is_declared_where_its_folder_begins() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut read = 0;
    for (folder, first) in [("src", "lib.rs"), ("tests/suite", "main.rs")] {
        let start = root.join(folder);
        let mut found = Vec::new();
        files(&start, &mut found);
        for path in found {
            let name = path.file_stem().expect("a name").to_string_lossy();
            let parent = path.parent().expect("a folder");
            let (parent, name) = match &*name {
                "lib" | "main" => continue,
                "mod" => (
                    parent.parent().expect("a folder"),
                    parent.file_name().expect("a name").to_string_lossy(),
                ),
                _ => (parent, name),
            };
            let declares: Vec<PathBuf> = if parent == start {
                vec![start.join(first)]
            } else {
                vec![parent.join("mod.rs"), parent.with_extension("rs")]
            };
            let declared = declares
                .iter()
                .filter_map(|file| fs::read_to_string(file).ok())
                .any(|text| {
                    text.lines().any(|line| {
                        let line = line.trim_start_matches("pub(crate) ");
                        line.trim_start_matches("pub ") == format!("mod {name};")
                    })
                });
            assert!(declared, "{} is declared nowhere", path.display());
            read += 1;
        }
    }
    assert!(read > 300, "only {read} files were read");
}
