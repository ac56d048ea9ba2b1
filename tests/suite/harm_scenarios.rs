//! That no answer is written over a scenario, whatever it is called.

#![cfg(unix)]

use std::fs;

use crate::harm::write_shop;
use crate::support::command::{done, folder, refused, shopstride, text};

/// What is meant by `check --json mine.yaml` is the scenario, but what it names is the file to write.
#[test]
fn no_answer_is_written_over_a_scenario() {
    let folder = folder();
    let at = |name: &str| folder.path().join(name);
    write_shop(folder.path(), "mine.yaml", ["alder", "birch"]);
    write_shop(folder.path(), "yours.txt", ["alder", "birch"]);
    fs::write(at("unfinished.yml"), "title: Boxes\nstatoins: {saw: {}\n").expect("written");
    std::os::unix::fs::symlink("mine.yaml", at("link")).expect("linked");
    fs::hard_link(at("mine.yaml"), at("same.json")).expect("linked");
    let targets = [
        "mine.yaml",
        "yours.txt",
        "unfinished.yml",
        "link",
        "same.json",
    ];
    let before = targets.map(|name| fs::read(at(name)).expect("there"));
    let options: [&[&str]; 9] = [
        &["check", "--json"],
        &["compare", "--no-charts", "--json"],
        &["run", "--json"],
        &["run", "--trace"],
        &["bottleneck", "--json"],
        &["sheet", "--out"],
        &["page", "--out"],
        &["run", "--csv"],
        &["check", "--charts"],
    ];
    for arguments in options {
        for target in targets {
            let alone = [arguments, &[target]].concat();
            refused(&alone, folder.path(), "is a scenario");
            // The scenario may come from a pipe, and the file that is named be another one.
            refused(
                &[&alone[..], &["-"]].concat(),
                folder.path(),
                "is a scenario",
            );
        }
    }
    let kinds = ["kinds", "--json", "mine.yaml"];
    refused(
        &kinds,
        folder.path(),
        "that is a scenario, which would be overwritten",
    );
    assert_eq!(
        targets.map(|name| fs::read(at(name)).expect("there")),
        before
    );
    for (arguments, instead) in [
        (
            ["check", "--json", "mine.yaml"],
            "`shopstride check mine.yaml --json mine.json`",
        ),
        (
            ["run", "--csv", "mine.yaml"],
            "`shopstride run mine.yaml --csv tables`",
        ),
        (
            ["sheet", "--out", "mine.yaml"],
            "`shopstride sheet mine.yaml --out mine.html`",
        ),
    ] {
        let errors = text(&shopstride(&arguments, folder.path()).stderr);
        let words: Vec<&str> = errors.split_whitespace().collect();
        assert!(words.join(" ").contains(instead), "{errors}");
    }
    // An answer is written over an answer, whatever it is called.
    for _ in 0..2 {
        done(
            &["run", "mine.yaml", "-q", "--json", "answer.yaml"],
            folder.path(),
        );
    }
}
