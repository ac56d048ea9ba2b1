//! What the command answers, writes and refuses.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::LazyLock;

use serde_json::Value;

use crate::support::command::{done, folder, refused, text};

const GARAGE: &str = include_str!("../../data/bench/garage.yaml");

const INCH: f64 = 0.0254;
const EIGHT_FEET: f64 = 96.0 * INCH;

fn with_garage() -> tempfile::TempDir {
    let folder = folder();
    fs::write(folder.path().join("garage.yaml"), GARAGE).expect("written");
    folder
}

/// One round of the search from the better layout of the garage.
fn one_round<'a>(more: &[&'a str]) -> Vec<&'a str> {
    let one_round = [
        "improve",
        "garage.yaml",
        "--layout",
        "working order",
        "--rounds",
        "1",
    ];
    [&one_round[..], more].concat()
}

fn parsed(bytes: &[u8]) -> Value {
    serde_json::from_str(&text(bytes)).expect("JSON")
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is no number"))
}

fn list(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

/// What one round from "working order" comes to: the first is played to its end, however long it takes.
struct Improved {
    folder: tempfile::TempDir,
    output: std::process::Output,
    json: Vec<u8>,
}

impl Improved {
    /// With what is written to a file beside the scenario, or over it.
    fn written_to(file: &str, threads: &str) -> Improved {
        let folder = with_garage();
        let asked = [
            "improve",
            "garage.yaml",
            "--layout",
            "working order",
            "--rounds",
            "1",
            "--quiet",
            "--json",
            "found.json",
            "--write",
            file,
            "--threads",
            threads,
        ];
        let output = done(&asked, folder.path());
        let json = fs::read(folder.path().join("found.json")).expect("written");
        Improved {
            folder,
            output,
            json,
        }
    }
}

/// Searched with one thread, and written beside the scenario.
static IMPROVED: LazyLock<Improved> = LazyLock::new(|| Improved::written_to("better.yaml", "1"));

fn from_working_order() -> (&'static Path, Value) {
    (IMPROVED.folder.path(), parsed(&IMPROVED.json))
}

#[test]
fn more_moves_are_never_worse_and_none_brings_a_fault() {
    let (_, found) = from_working_order();
    let now = &found["now"];
    let mut least = number(&now["walking"]["mean_m"]);
    let mut moved = 0;
    let curve = list(&found["curve"]);
    assert!(curve.len() > 2, "{curve:?}");
    for row in curve {
        let walked = number(&row["walking"]["mean_m"]);
        assert!(walked < least, "{walked} after {least}");
        let saves = number(&now["walking"]["mean_m"]) - walked;
        assert!((saves - number(&row["saves"]["walking_m"])).abs() < 1e-6);
        assert_eq!(row["faults"], 0);
        assert!(number(&row["moved"]) as usize > moved);
        moved = number(&row["moved"]) as usize;
        assert_eq!(list(&row["stations"]).len(), moved);
        least = walked;
    }
}

/// Told are those machines, and no others, of which `check` says that boards of 8 ft no longer pass, and shorter ones than now.
fn tells_what_takes_less(proposal: &Value, now: &Value, proposed: &Value) {
    let boards = |layout: &Value| -> BTreeMap<String, f64> {
        let machines = list(&layout["takes"]).iter();
        let board = |machine: &Value| machine["board_m"].as_f64().unwrap_or(f64::INFINITY);
        machines
            .map(|machine| (machine["station"].to_string(), board(machine)))
            .collect()
    };
    let (now, proposed) = (boards(now), boards(proposed));
    let shorter = |(station, is): (&String, &f64)| {
        let is_shorter = is + INCH / 2.0 < now[station].min(EIGHT_FEET);
        is_shorter.then(|| station.clone())
    };
    let expected: Vec<String> = proposed.iter().filter_map(shorter).collect();
    let told = list(&proposal["takes_less"]).iter();
    let mut told: Vec<String> = told
        .filter(|less| !less["board_m"].is_null())
        .map(|less| less["station"].to_string())
        .collect();
    told.sort();
    assert_eq!(told, expected, "{proposal}");
}

/// What is written loads, has no fault by `check`, and saves by `compare` with another seed what was said.
#[test]
fn proposals_hold_when_they_are_checked_and_compared() {
    let (folder, found) = from_working_order();
    let proposals = list(&found["proposals"]);
    assert!(proposals.len() > 1, "{proposals:?}");
    let compared = [
        "compare",
        "better.yaml",
        "--base",
        "working order",
        "--seed",
        "4711",
        "--replications",
        "60",
        "--no-charts",
        "--json",
        "-",
    ];
    let compared = parsed(&done(&compared, folder).stdout);
    let now = [
        "check",
        "better.yaml",
        "--layout",
        "working order",
        "--json",
        "-",
    ];
    let now = parsed(&done(&now, folder).stdout);
    let now = list(&now["layouts"])[0].clone();
    for proposal in proposals {
        let name = proposal["name"].as_str().expect("a name");
        let check = ["check", "better.yaml", "--layout", name, "--json", "-"];
        let checked = parsed(&done(&check, folder).stdout);
        let layout = &list(&checked["layouts"])[0];
        assert_eq!(layout["faults"], 0, "{name}");
        assert_eq!(layout["warnings"], proposal["warnings"], "{name}");
        tells_what_takes_less(proposal, &now, layout);
        // No walking is worth standing where a saw may throw a piece.
        let new = list(&proposal["findings_new"]).iter();
        assert!(
            new.filter(|finding| finding["rule"] == "kickback").count() == 0,
            "{proposal}"
        );
        let mut all = list(&compared["comparisons"]).iter();
        let against = all.find(|one| one["other"] == proposal["name"]);
        let walking = &against.expect("it is compared")["walking"];
        let (low, high) = (number(&walking["low_m"]), number(&walking["high_m"]));
        assert!(high < 0.0, "{name}: {walking}");
        let saves = &proposal["saves"];
        let claimed = (
            number(&saves["walking_low_m"]),
            number(&saves["walking_high_m"]),
        );
        // The garage walks nearly the same in every run, so that both intervals are short.
        let slack = 0.01 * number(&saves["walking_m"]);
        assert!(
            -high <= claimed.1 + slack && -low >= claimed.0 - slack,
            "{name}: {walking} for {saves}"
        );
    }
}

#[test]
fn what_is_written_keeps_everything_that_was_there() {
    let (folder, found) = from_working_order();
    let written = fs::read_to_string(folder.join("better.yaml")).expect("written");
    let at = written.find("\nrun:\n").expect("it is there");
    let added: String = list(&found["proposals"])
        .iter()
        .map(|proposal| proposal["yaml"].as_str().expect("a text"))
        .collect();
    let before = at + 1 - "\n".len() - added.len();
    assert_eq!(&written[before..before + added.len()], added);
    assert_eq!(
        format!("{}{}", &written[..before], &written[before + added.len()..]),
        GARAGE
    );
    let untouched = fs::read_to_string(folder.join("garage.yaml")).expect("there");
    assert_eq!(untouched, GARAGE);
}

#[test]
fn moves_are_told_in_an_order_with_their_places() {
    let (_, found) = from_working_order();
    for proposal in list(&found["proposals"]) {
        let steps = list(&proposal["steps"]);
        let mut stations: Vec<&str> = Vec::new();
        for step in steps {
            // No step is worse to work in than the layout that is there now, which has no fault.
            assert_eq!(step["faults"], 0, "{step}");
            for station in list(&step["stations"]) {
                stations.push(station["name"].as_str().expect("a name"));
                let walls = list(&station["nearest_corner_from_walls"]);
                assert_eq!(walls.len(), 2);
                assert!(walls.iter().all(|wall| number(&wall["distance_m"]) >= 0.0));
            }
        }
        stations.sort_unstable();
        let mut moved: Vec<&str> = list(&proposal["stations"])
            .iter()
            .map(|name| name.as_str().expect("a name"))
            .collect();
        moved.sort_unstable();
        assert_eq!(stations, moved);
    }
}

/// Whoever names the scenario itself has it written over, and by any number of threads the same is found.
#[test]
fn the_figures_do_not_depend_on_the_number_of_threads_nor_on_where_they_are_written() {
    let other = Improved::written_to("garage.yaml", "2");
    assert!(other.json == IMPROVED.json, "{}", text(&other.json));
    let [beside, over] = [(&*IMPROVED, "better.yaml"), (&other, "garage.yaml")]
        .map(|(of, file)| fs::read_to_string(of.folder.path().join(file)).expect("written"));
    assert_eq!(beside, over);
    assert!(over.contains("like: working order") && over.len() > GARAGE.len());
}

/// The layout that has come about has two faults by `check`; what is proposed has none, and says which it mends.
#[test]
fn what_has_faults_is_mended() {
    let folder = with_garage();
    let asked = ["improve", "garage.yaml", "--rounds", "1", "--json", "-"];
    let found = parsed(&done(&asked, folder.path()).stdout);
    assert_eq!(found["layout"], "as it grew");
    assert_eq!(found["now"]["faults"], 2);
    let proposals = list(&found["proposals"]);
    assert!(!proposals.is_empty());
    for proposal in proposals {
        assert_eq!(proposal["faults"], 0);
        let gone = list(&proposal["findings_gone"]).iter();
        assert_eq!(
            gone.filter(|finding| finding["level"] == "fault").count(),
            2
        );
    }
}

#[test]
fn the_answer_begins_with_what_moves_bring() {
    let said = text(&IMPROVED.output.stdout);
    assert!(
        said.lines().all(|line| line.chars().count() <= 100),
        "{said}"
    );
    let words: Vec<&str> = said.split_whitespace().collect();
    let words = words.join(" ");
    assert!(
        words.starts_with("Saves Moving 1 station saves "),
        "{words}"
    );
    for part in [
        "walked in \"working order\".",
        "against the left wall",
        "no placement brings more",
        "the same seed and `--rounds 1` find the same again",
        "At walls now, and at walls in every proposal: ",
        "from the left wall",
        "To paste below `layouts:`",
        "like: working order",
        "unplug them",
    ] {
        assert!(words.contains(part), "{part} in {words}");
    }
    let errors = text(&IMPROVED.output.stderr);
    assert!(errors.is_empty(), "{errors}");
}

/// What hangs stays, with what stands below it.
#[test]
fn what_hangs_is_not_moved() {
    let hung = GARAGE
        .replace(
            "  finishing shelf:\n    size: [6 ft, 18 in]\n",
            "  cabinet: {size: [4 ft, 12 in], bottom: 54 in, height: 80 in}\n  finishing shelf:\n    size: [6 ft, 18 in]\n",
        )
        .replace(
            "    size: [6 ft, 30 in]\n",
            "    size: [6 ft, 30 in]\n    height: 34 in\n",
        )
        .replace(
            "      workbench:\n        at: [22 ft 9 in, 8 ft]\n        turn: 270\n",
            "      workbench:\n        at: [22 ft 9 in, 8 ft]\n        turn: 270\n      cabinet: {at: [23 ft 6 in, 8 ft], turn: 270}\n",
        );
    assert!(hung.contains("cabinet: {at:"));
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), hung).expect("written");
    let asked = [
        "improve",
        "shop.yaml",
        "--layout",
        "working order",
        "--rounds",
        "1",
        "--json",
        "-",
    ];
    let found = parsed(&done(&asked, folder.path()).stdout);
    let kept: Vec<&str> = list(&found["not_moved"])
        .iter()
        .map(|name| name.as_str().expect("a name"))
        .collect();
    assert_eq!(kept, ["workbench", "cabinet"]);
    let rows = list(&found["curve"])
        .iter()
        .chain(list(&found["proposals"]));
    for row in rows {
        let stations = list(&row["stations"]);
        assert!(
            stations
                .iter()
                .all(|name| *name != "workbench" && *name != "cabinet")
        );
    }
}

/// What somebody wants to stay does, however much it would save.
#[test]
fn what_is_fixed_never_moves() {
    let folder = with_garage();
    let asked = one_round(&[
        "--json",
        "-",
        "--fixed",
        "table saw",
        "--fixed",
        "miter saw",
    ]);
    let found = parsed(&done(&asked, folder.path()).stdout);
    assert_eq!(
        found["fixed"],
        serde_json::json!(["table saw", "miter saw"])
    );
    let rows = list(&found["curve"])
        .iter()
        .chain(list(&found["proposals"]));
    let mut moved: Vec<&Value> = Vec::new();
    for row in rows {
        moved.extend(list(&row["stations"]));
    }
    assert!(!moved.is_empty());
    assert!(
        moved
            .iter()
            .all(|name| **name != "table saw" && **name != "miter saw"),
        "{moved:?}"
    );
}

fn refuses(folder: &Path, more: &[&str], said: &str) {
    refused(&[&["improve", "garage.yaml"], more].concat(), folder, said);
}

#[test]
fn what_cannot_be_searched_is_refused() {
    let folder = with_garage();
    let at = folder.path();
    refuses(
        at,
        &["--layout", "working ordre"],
        "did you mean `working order`?",
    );
    refuses(
        at,
        &["--write", "x.yaml", "--json", "x.yaml"],
        "both name the same file",
    );
    refuses(
        at,
        &["--write", "no/such/folder.yaml"],
        "there is no folder",
    );
    refuses(
        at,
        &["--trips", "a.csv", "--distances", "b.csv"],
        "cannot be used with",
    );
    refuses(at, &["--rounds", "0"], "0");
    refuses(at, &["--fixed", "table sow"], "did you mean `table saw`?");
    refuses(at, &["--write", "-"], "name a file");
    let measured = "title: a\nstations: {saw: {does: {cut: {per piece: 1 min}}}, bench: {}}\nprojects: {box: {parts: {side: {pieces: 1, material at: bench, route: [cut]}}}}\norders: [{project: box}]\nlayouts: {now: {distances: {saw: {bench: 3 m}}}}\n";
    fs::write(at.join("measured.yaml"), measured).expect("written");
    refused(&["improve", "measured.yaml"], at, "says only how far it is");
}
