//! What somebody reads first: the lines of an answer, the starter, and the program without a command.

use std::collections::HashMap;
use std::path::Path;
use std::sync::{Arc, LazyLock, Mutex, OnceLock};

use rayon::prelude::*;
use serde_json::Value;
use shopstride::scenario::STARTER;

use crate::support::command::shopstride;

/// What has been said, by the words of a command and a blank between them, and by its scenario.
type Answered = HashMap<(String, String), Arc<OnceLock<String>>>;

/// What a command says of a scenario. Whoever asks again hears what was said first: the same input gets the same bytes,
/// which `cli` holds.
pub fn said(arguments: &[&str], scenario: &str) -> String {
    static ANSWERED: LazyLock<Mutex<Answered>> = LazyLock::new(Default::default);
    let asked = (arguments.join(" "), scenario.to_owned());
    let answer = {
        let mut answered = ANSWERED.lock().expect("nobody fails meanwhile");
        Arc::clone(answered.entry(asked).or_default())
    };
    answer.get_or_init(|| say(arguments, scenario)).clone()
}

fn say(arguments: &[&str], scenario: &str) -> String {
    let folder = tempfile::tempdir().expect("a temporary folder");
    std::fs::write(folder.path().join("shop.yaml"), scenario).expect("written");
    let arguments: Vec<&str> = arguments.iter().copied().chain(["shop.yaml"]).collect();
    let output = shopstride(&arguments, folder.path());
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.code() != Some(2), "{errors}");
    String::from_utf8(output.stdout).expect("UTF-8")
}

/// The text behind a heading, in one line.
pub fn line(answer: &str, heading: &str) -> Option<String> {
    let mut lines = answer.lines();
    let first = lines.find(|line| line.starts_with(heading))?;
    let more = lines.take_while(|line| line.starts_with("   "));
    let text: Vec<&str> = std::iter::once(&first[heading.len()..])
        .chain(more)
        .flat_map(str::split_whitespace)
        .collect();
    Some(text.join(" "))
}

fn scenario(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    std::fs::read_to_string(path.join(name)).expect("a scenario")
}

/// A garage that is always open, and does not change with what the built-in one teaches.
fn garage() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/bench/garage.yaml");
    std::fs::read_to_string(path).expect("a scenario")
}

const COMPARE: [&str; 3] = ["compare", "--no-charts", "--quiet"];

/// The starter with one more layout: short ways, but the bench stands 23 cm into the wall.
fn with_bench_in_the_wall() -> String {
    let more = "  in the wall:\n    at:\n      lumber rack:\n        at: [30 cm, 2.5 m]\n        turn: 90\n      chop saw: [1.6 m, 5.7 m]\n      saw: [2.4 m, 2.5 m]\n      bench: [4 m, 5.85 m]\n";
    let at = STARTER
        .find("\n# The seed")
        .expect("the starter has a seed");
    let (layouts, run) = STARTER.split_at(at);
    format!("{layouts}{more}{run}")
}

#[test]
fn the_first_line_says_whether_it_is_worth_it_and_hears_of_faults() {
    let garage = garage();
    let worth = |arguments: &[&str], scenario: &str| {
        let all: Vec<&str> = COMPARE.iter().chain(arguments).copied().collect();
        line(&said(&all, scenario), "Worth it?").expect("it comes first")
    };
    let moves = worth(&[], &garage);
    assert!(
        moves.starts_with("Move for the 2 faults of \"as it grew\", not for the time: "),
        "{moves}"
    );
    // Shorter ways do not make up for a fault: the layout without one is chosen, and if there is none, it is said.
    let faulty = with_bench_in_the_wall();
    let chosen = worth(&[], &faulty);
    assert!(chosen.contains("\"rack by the saw\" saves"), "{chosen}");
    assert!(
        chosen.contains("\"in the wall\" saves more walking ("),
        "{chosen}"
    );
    assert!(chosen.contains("), but has 1 fault."), "{chosen}");
    let only = faulty.replace("  rack by the saw:", "  as it was:").replace(
        "      lumber rack:\n        at: [30 cm, 2.5 m]\n        turn: 90\n      chop saw: [1.6 m, 5.7 m]\n      saw: [2.4 m, 2.5 m]\n      bench:\n        at: [4.6 m, 4 m]\n        turn: 270\n",
        "      lumber rack: [1.3 m, 5.7 m]\n      chop saw: [4 m, 5.7 m]\n      saw: [3.2 m, 2.5 m]\n      bench:\n        at: [40 cm, 3 m]\n        turn: 90\n",
    );
    let only = worth(&[], &only);
    assert_eq!(only.matches("has none").count(), 1, "{only}");
    assert!(!only.contains("But \"as it is\""), "{only}");
    assert!(
        only.starts_with(
            "Not before the fault of \"in the wall\" is mended (\"as it is\" has none): \"in the wall\" saves"
        ),
        "{only}"
    );
    let none = worth(&["--base", "working order"], &garage);
    assert_eq!(
        none,
        "No: \"working order\" walks least, and takes nearly as long from start to finish."
    );
}

const RUN: [&str; 2] = ["run", "--quiet"];
const BOTTLENECK: [&str; 2] = ["bottleneck", "--quiet"];

/// What three commands say of a scenario.
struct Answers {
    name: &'static str,
    compare: String,
    run: String,
    bottleneck: String,
}

static ANSWERS: LazyLock<Vec<Answers>> = LazyLock::new(|| {
    let names = [
        "garage",
        "basement",
        "class",
        "carved-chest",
        "what-if",
        "minimal",
    ];
    let answers = names.par_iter().map(|name| {
        let scenario = scenario(&format!("{name}.yaml"));
        Answers {
            name,
            compare: said(&COMPARE, &scenario),
            run: said(&RUN, &scenario),
            bottleneck: said(&BOTTLENECK, &scenario),
        }
    });
    answers.collect()
});

/// The answer begins with what decides, and is no wider than a terminal.
#[test]
fn answers_begin_with_what_decides_and_fit_eighty_columns() {
    for of in ANSWERS.iter() {
        for (answer, first) in [
            (&of.compare, &["Worth it?"][..]),
            (&of.run, &["Walking"]),
            // What is at hand comes before quicker work that would bring more.
            (&of.bottleneck, &["Helps most", "At hand"]),
        ] {
            let begins = first.iter().any(|first| answer.starts_with(first));
            assert!(begins, "{}: {answer}", of.name);
            let widest = answer.lines().map(|line| line.chars().count()).max();
            assert!(widest <= Some(80), "{}: {answer}", of.name);
        }
    }
}

/// The garage with people who take a hundred seconds for a metre, so that short ways are worth something.
fn walked_slowly() -> String {
    let garage = garage();
    let slow = garage.replace("  walking speed: 1.2 m/s", "  walking speed: 0.01 m/s");
    let slow = slow.replace("  loaded speed: 1.0 m/s", "  loaded speed: 0.01 m/s");
    assert!(slow.matches(" speed: 0.01 m/s").count() == 2);
    slow
}

/// A move that saves next to no time and mends nothing is not advised: 30 ft are a few seconds of hours.
#[test]
fn no_move_is_advised_that_wins_nothing() {
    let garage = said(&COMPARE, &garage());
    assert_eq!(
        line(&garage, "First move").expect("it has faults"),
        "None: no station that is moved alone to where it stands in \"working order\" mends a fault without making \
         another. `shopstride check` says which small moves would."
    );
    // Neither has a fault, and moving is hardly worth it.
    for (name, verdict) in [
        ("class", "Not before you get the bench out of "),
        ("kinds-garage", "Hardly"),
    ] {
        let answer = said(&COMPARE, &scenario(&format!("{name}.yaml")));
        let worth = line(&answer, "Worth it?").expect("an answer");
        assert!(worth.starts_with(verdict), "{name}: {worth}");
        assert_eq!(line(&answer, "First move"), None, "{name}: {answer}");
    }
}

/// The move that is named first is made alone, and played: it saves what was promised.
#[test]
fn the_first_move_saves_what_is_said() {
    let garage = walked_slowly();
    let first = line(&said(&COMPARE, &garage), "First move").expect("a move");
    let station = first
        .strip_prefix("Move the ")
        .and_then(|rest| rest.split_once(" to where it stands in \"working order\": "));
    let (station, brings) = station.expect("it says which");
    assert_eq!(station, "router table");
    let feet: f64 = brings
        .split_whitespace()
        .find_map(|word| word.parse().ok())
        .expect("a figure");
    let alone = garage.replace(
        "        at: [22 ft 9 in, 7 ft]\n        turn: 270\n",
        "        at: [17 ft 6 in, 10 ft 6 in]\n",
    );
    assert_ne!(alone, garage);
    let walking = |scenario: &str| {
        let arguments = ["run", "--quiet", "--json", "-"];
        let data: Value = serde_json::from_str(&said(&arguments, scenario)).expect("JSON");
        data["candidates"][0]["walking"]["mean_m"]
            .as_f64()
            .expect("metres")
    };
    let saved = (walking(&garage) - walking(&alone)) / 0.3048;
    // It is said in two digits, and by the trips of the layout as it is.
    assert!(
        (saved - feet).abs() < 0.15 * feet,
        "{saved} ft, said {feet} ft"
    );
}

/// A time as an answer says it, in seconds: "6½ h".
fn seconds(said: &str) -> f64 {
    let (number, unit) = said.split_once(' ').expect("a number and a unit");
    let per_unit = [("s", 1.0), ("min", 60.0), ("h", 3_600.0), ("d", 86_400.0)];
    let (_, per_unit) = (per_unit.into_iter().find(|(sign, _)| *sign == unit)).expect("a unit");
    let parts = [('¼', 0.25), ('½', 0.5), ('¾', 0.75)];
    let part = parts.into_iter().find(|(sign, _)| number.ends_with(*sign));
    let whole = number.trim_end_matches(['¼', '½', '¾']);
    let whole: f64 = if whole.is_empty() {
        0.0
    } else {
        whole.parse().expect("a number")
    };
    (whole + part.map_or(0.0, |(_, part)| part)) * per_unit
}

/// How much time is saved by a change, as it is said behind the words for it.
fn saved(says: &str, what: &str) -> f64 {
    let (_, behind) = says.split_once(what).expect("it is told of");
    let (_, saves) = behind.split_once("save").expect("it saves time");
    let saves = saves.trim_start_matches('s').trim_start();
    let (time, _) = saves.split_once(" of ").expect("of a whole");
    seconds(time.trim_start_matches("about "))
}

/// The quick look and the whole experiment point at the same change, and say the same of it: but for chance, which may
/// move what few runs tell by 5 %, and for steps that are 2.5 times as coarse at the most, of which rounding goes by half.
#[test]
fn the_quick_look_finds_what_the_experiment_finds() {
    const APART: f64 = 0.05 + 2.5 * 0.05 / 2.0;
    let garage = garage();
    let of_garage = [said(&RUN, &garage), said(&BOTTLENECK, &garage)];
    // Nothing helps in the smallest scenario, and the garage that teaches is not this one.
    let others = (ANSWERS.iter()).filter(|of| !["garage", "minimal"].contains(&of.name));
    let others = others.map(|of| (of.name, &of.run, &of.bottleneck));
    for (name, run, whole) in others.chain([("garage", &of_garage[0], &of_garage[1])]) {
        let quick = line(run, "Would help").expect("something");
        let told = |heading: &str| {
            let says = line(whole, heading)?;
            let (what, _) = says.split_once(": it ")?;
            let [few, all] = [&quick, &says].map(|says| saved(says, what));
            let apart = (few - all).abs();
            assert!(apart <= APART * all, "{name}: {quick}\n{says}");
            Some(what.to_owned())
        };
        let most = told("Helps most").expect("what helps, and what it brings");
        // What is at hand comes first, and then what helps most, if that is something else.
        let first = told("At hand").unwrap_or(most.clone());
        assert!(quick.starts_with(&first), "{name}: {quick}\n{whole}");
        assert!(quick.contains(&most), "{name}: {quick}\n{whole}");
    }
}

#[test]
fn without_a_command_it_says_what_to_try() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let output = shopstride(&[], folder.path());
    assert!(output.status.success());
    let said = String::from_utf8(output.stdout).expect("UTF-8");
    assert!(said.lines().count() <= 9 && said.lines().all(|line| line.chars().count() <= 90));
    let tried: Vec<Vec<&str>> = (said.lines())
        .filter_map(|line| line.strip_prefix("  shopstride "))
        .map(|line| line.split("   ").next().unwrap_or_default())
        .map(|command| command.split_whitespace().collect())
        .collect();
    assert_eq!(tried.len(), 3);
    // In this order, since the file is written before it is checked.
    for command in tried {
        let output = shopstride(&command, folder.path());
        let errors = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{command:?}: {errors}");
    }
}

/// Every command stands in one of the groups, once.
#[test]
fn help_has_every_command_in_one_group() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let help = |of: &[&str]| {
        let output = shopstride(of, folder.path());
        String::from_utf8(output.stdout).expect("UTF-8")
    };
    let all = help(&["--help"]);
    let completions = help(&["completions", "bash"]);
    let known = (completions.lines())
        .filter_map(|line| line.trim().strip_prefix("shopstride,"))
        .filter_map(|line| line.strip_suffix(')'));
    let known: Vec<&str> = known.collect();
    assert!(known.len() >= 9, "{known:?}");
    for command in known {
        let start = format!("  {command} ");
        let times = all.lines().filter(|line| line.starts_with(&start)).count();
        assert_eq!(times, 1, "{command}: {all}");
    }
}

/// There is something to check, the second layout is the better one, and both can be drawn.
#[test]
fn the_starter_has_a_room_and_a_layout_that_mends_what_is_found() {
    let check = said(&["check", "--quiet"], STARTER);
    assert!(check.contains("as it is: 0 faults, 1 warning"), "{check}");
    assert!(
        check.contains("rack by the saw: 0 faults, 0 warnings"),
        "{check}"
    );
    let worth = line(&said(&COMPARE, STARTER), "Worth it?").expect("a line");
    assert!(worth.contains("\"rack by the saw\" saves"), "{worth}");
}
