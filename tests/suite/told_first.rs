//! What an answer leads with and in which words: who works where a saw may throw a piece, on which layout help was tried,
//! what is in use together, one way to write a time, and what a plan has no place for.

use std::path::Path;

use crate::check_command::{check, words};
use crate::first_minute::{line, said};

const COMPARE: [&str; 3] = ["compare", "--no-charts", "--quiet"];
const QUICK: [&str; 3] = ["run", "--quiet", "--layout"];
const QUEUE: &str = include_str!("../../scenarios/queue.yaml");

fn scenario(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    std::fs::read_to_string(path.join(name)).expect("a scenario")
}

fn said_of(arguments: &[&str], more: &[&str], yaml: &str) -> String {
    let all: Vec<&str> = arguments.iter().chain(more).copied().collect();
    said(&all, yaml)
}

/// In "machines together" students sand at a bench that stands behind the saw's operator; along the walls nobody does.
#[test]
fn who_works_where_a_piece_may_be_thrown_is_heard_of_first() {
    let class = scenario("class.yaml");
    let away = "Not before you get the bench out of where the table saw may throw a piece (in \"along the walls\" \
                nobody works there): \"machines together\" saves ";
    let first = line(&said(&COMPARE, &class), "Worth it?").expect("an answer");
    assert!(first.starts_with(away), "{first}");
    // From there the other layouts get it out.
    let base = ["--base", "machines together"];
    let first = line(&said_of(&COMPARE, &base, &class), "Worth it?").expect("an answer");
    let out = "Yes, to get the bench out of where the table saw may throw a piece and for the time: with \"second drill \
               press, along the walls\" ";
    assert!(first.starts_with(out), "{first}");
    // Where nothing is better than the base, that is still the first thing to do.
    let (before, _) = class.split_once("\ncandidates:").expect("more of them");
    let two = format!("{before}\nrun: {{seed: 1}}\n");
    let first = line(&said_of(&COMPARE, &base, &two), "Worth it?").expect("an answer");
    let start = "First get the bench out of where the table saw may throw a piece. No: ";
    assert!(first.starts_with(start), "{first}");
    // A saw that nothing says of that it throws pieces back throws none.
    let safe = class.replace("kickback: true", "kickback: false");
    let first = line(&said(&COMPARE, &safe), "Worth it?").expect("an answer");
    assert!(
        first.starts_with("Hardly, by the time it saves: "),
        "{first}"
    );
}

/// What helps on one layout need not help on another, and saves another time.
#[test]
fn help_says_on_which_layout_it_was_tried() {
    let class = scenario("class.yaml");
    let help = line(&said(&COMPARE, &class), "Would help").expect("something helps");
    assert!(
        help.starts_with("Tried in \"machines together\": one more drill press saves "),
        "{help}"
    );
    let alone = line(&said_of(&QUICK, &["along the walls"], &class), "Would help");
    let alone = alone.expect("something helps");
    assert!(alone.starts_with("One more drill press saves "), "{alone}");
    let tried = |more: &[&str]| {
        let text = said_of(&["bottleneck", "--quiet"], more, &class);
        line(&text, "Tried in")
    };
    let others = ", one of several: `--layout` takes another.";
    assert_eq!(tried(&[]), Some(format!("\"along the walls\"{others}")));
    let together = tried(&["--layout", "machines together"]);
    assert_eq!(together, Some(format!("\"machines together\"{others}")));
    let (queue, _) = QUEUE.split_once("\ncandidates:").expect("more of them");
    let one = said(
        &["bottleneck", "--quiet"],
        &format!("{queue}\nrun: {{replications: 20, until: 100 h}}\n"),
    );
    assert!(
        line(&one, "Helps most").is_some() && line(&one, "Tried in").is_none(),
        "{one}"
    );
}

/// Of two benches and two people who do nothing else each is in use exactly when the other is. A third person is not.
#[test]
fn what_is_in_use_together_is_waited_for_together() {
    let takes = |yaml: &str| {
        let text = said_of(&QUICK, &["two benches, two people"], yaml);
        line(&text, "Takes").expect("orders are done")
    };
    let tied = takes(QUEUE);
    assert!(
        tied.ends_with(" waiting for a station and a person, in use together."),
        "{tied}"
    );
    let three = takes(&QUEUE.replace("helper: {}", "helper: {}\n        third: {}"));
    assert!(three.ends_with(" waiting for a station in use."), "{three}");
}

#[test]
fn a_time_is_written_in_one_way_in_an_answer() {
    for layout in ["as they come", "each 15 minutes", "two benches, two people"] {
        let text = said_of(&QUICK, &[layout], QUEUE);
        let takes = line(&text, "Takes").expect("orders are done");
        let time = takes.split(" from start").next().expect("a time");
        let flow = line(&text, "Flow").expect("orders are done");
        assert!(
            flow.ends_with(&format!(", after {time} each.")),
            "{takes}\n{flow}"
        );
    }
}

#[test]
fn a_rule_is_told_in_words_with_its_key_behind() {
    let text = said(&["bottleneck", "--quiet"], &scenario("evenings.yaml"));
    let free = line(&text, "For free").expect("a rule helps");
    assert!(
        free.starts_with(
            "Doing what cures last in a session (`cures: last in a session`): it saves "
        ),
        "{free}"
    );
}

/// Sheets of plywood are lifted anywhere: the number of that stands nowhere on the plan, and the list says so.
#[test]
fn what_has_no_place_on_the_plan_is_listed_as_such() {
    let output = check(
        &["scenarios/kinds-garage.yaml", "--layout", "as it grew"],
        None,
    );
    let text = words(&output.stdout);
    let marked = text.matches("(not marked on the plan)").count();
    assert_eq!(marked, 1, "{text}");
    assert!(
        text.contains("is heavy to lift (not marked on the plan)"),
        "{text}"
    );
}
