//! `shopstride improve`: what it answers, writes and refuses.

use std::fmt::Write;
use std::fs;
use std::path::Path;

use serde_json::Value;

use super::matrices;
use crate::support::command::{done, folder, refused, shopstride, text};

const IMPROVE: [&str; 5] = [
    "improve",
    "--trips",
    "trips.csv",
    "--distances",
    "sites.csv",
];

fn improve(more: &[&'static str]) -> Vec<&'static str> {
    IMPROVE.iter().chain(more).copied().collect()
}

fn write(folder: &Path, trips: &str, sites: &str) {
    fs::write(folder.join("trips.csv"), trips).expect("written");
    fs::write(folder.join("sites.csv"), sites).expect("written");
}

/// A text without the breaks of its lines.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A table with names before numbers.
fn table(prefix: &str, size: usize, values: &[i64]) -> String {
    let mut csv = String::new();
    for column in 0..size {
        write!(csv, ",{prefix}{column}").expect("a text takes it");
    }
    for (row, numbers) in values.chunks(size).enumerate() {
        write!(csv, "\n{prefix}{row}").expect("a text takes it");
        for number in numbers {
            write!(csv, ",{number}").expect("a text takes it");
        }
    }
    csv + "\n"
}

fn json(folder: &Path, more: &[&'static str]) -> Value {
    let arguments = [&improve(&["--json", "-"]), more].concat();
    serde_json::from_str(&text(&done(&arguments, folder).stdout)).expect("JSON")
}

/// The four departments of the handbook.
const TRIPS: &str =
    "from,one,two,three,four\none,0,10,15,20\ntwo,0,0,10,5\nthree,0,0,0,5\nfour,0,0,0,0\n";
const SITES: &str = ",a,b,c,d\na,0,1,2,3\nb,1,0,1,2\nc,2,1,0,1\nd,3,2,1,0\n";

#[test]
fn the_answer_comes_first_and_says_that_it_is_proved() {
    let folder = folder();
    write(folder.path(), TRIPS, SITES);
    let said = text(&done(&improve(&[]), folder.path()).stdout);
    assert!(
        said.lines().all(|line| line.chars().count() <= 80),
        "{said}"
    );
    let words = flat(&said);
    assert!(
        words.starts_with(
            "Total 90, the sum of trips × distance. The order of the two files costs 125: this saves 35 (28 %)."
        ),
        "{said}"
    );
    assert!(
        words.contains("Yes, proved: no assignment has a smaller sum."),
        "{said}"
    );
    // 1 and 4 stand beside each other: 20 trips by 1; 2 and 1 with 3 between them: 10 by 2.
    assert!(words.contains("one and four 20 20 22 %"), "{said}");
    let data = json(folder.path(), &[]);
    assert_eq!(data["cost"].to_string(), "90");
    assert_eq!(
        (&data["as_given"], &data["lower_bound"]),
        (&125.into(), &90.into())
    );
    assert_eq!(data["proven"], true);
    let row = ["a", "b", "c", "d"].map(|place| {
        let all = data["assignment"].as_object().expect("an object");
        let (station, _) = all
            .iter()
            .find(|(_, at)| *at == place)
            .expect("somebody stands there");
        station.as_str()
    });
    let least = ["two", "three", "one", "four"];
    let mut mirrored = least;
    mirrored.reverse();
    assert!(row == least || row == mirrored, "{row:?}");
}

/// One station, or two of which one could go elsewhere; decimals, and a way that is longer back.
#[test]
fn few_stations_and_places_that_are_left_over() {
    let folder = folder();
    write(folder.path(), ",saw\nsaw,3\n", ",a,b\na,2,9\nb,9,0.5\n");
    let one = json(folder.path(), &[]);
    assert_eq!(
        (&one["cost"], &one["assignment"]["saw"]),
        (&1.5.into(), &"b".into())
    );
    write(
        folder.path(),
        ";saw;bench\nsaw;0;3\nbench;1;0\n",
        ";a;b;c\na;0;1,5;4\nb;0,25;0;9\nc;9;9;0\n",
    );
    // 3 x 0.25 + 1 x 1.5, and not 3 x 1.5 + 1 x 0.25.
    let two = json(folder.path(), &[]);
    assert_eq!(
        (&two["cost"], &two["as_given"]),
        (&2.25.into(), &4.75.into())
    );
    assert_eq!(
        (&two["assignment"]["saw"], &two["assignment"]["bench"]),
        (&"b".into(), &"a".into())
    );
    write(folder.path(), ",saw\nsaw,0\n", ",a\na,0\n");
    let none = flat(&text(&done(&improve(&[]), folder.path()).stdout));
    assert!(
        none.contains("The order of the two files costs the same"),
        "{none}"
    );
    // 2^53 + 1 is no double.
    write(
        folder.path(),
        ",s,t\ns,0,9007199254740993\nt,0,0\n",
        ",a,b\na,0,1\nb,1,0\n",
    );
    assert_eq!(
        json(folder.path(), &[])["cost"].to_string(),
        "9007199254740993"
    );
}

/// An instance of the literature by its tables: the same bytes on any number of threads, and again by its rounds.
#[test]
fn rounds_and_seed_give_the_same_bytes() {
    let folder = folder();
    let (size, distances, trips) = matrices("nug15");
    write(
        folder.path(),
        &table("s", size, &trips),
        &table("p", size, &distances),
    );
    let bytes = |threads| {
        let more = ["--rounds", "2", "--seed", "5", "--threads", threads];
        done(
            &[&improve(&more[..])[..], &["--json", "-"]].concat(),
            folder.path(),
        )
        .stdout
    };
    assert_eq!(bytes("1"), bytes("3"));
    let data: Value = serde_json::from_slice(&bytes("2")).expect("JSON");
    assert_eq!(
        (&data["cost"], &data["rounds"], &data["proven"]),
        (&1150.into(), &2.into(), &false.into())
    );
    let said = flat(&text(
        &done(&improve(&["--rounds", "2"]), folder.path()).stdout,
    ));
    assert!(
        said.contains("ended by --rounds after 2 whole rounds"),
        "{said}"
    );
    // A moment is not enough for a round; what was given is made better all the same.
    let hasty = json(folder.path(), &["--seconds", "0.000001"]);
    assert_eq!(hasty["rounds"], 0);
    assert!(
        hasty["cost"].as_i64() < hasty["as_given"].as_i64(),
        "{hasty}"
    );
}

#[test]
fn what_is_wrong_is_refused_and_nothing_written() {
    let folder = folder();
    let at = folder.path();
    write(at, TRIPS, ",a,b\na,0,x\nb,-1,0\n");
    let both = improve(&["--json", "out.json"]);
    refused(&both, at, "sites.csv:2:5");
    refused(&both, at, "sites.csv:3:3");
    write(at, TRIPS, ",a,b\na,0,1\nb,1,0\n");
    refused(&both, at, "there are 4 stations and only 2 places");
    write(at, TRIPS, SITES);
    refused(
        &improve(&["--json", "trips.csv"]),
        at,
        "that is what --trips reads",
    );
    refused(&improve(&["--seconds", "0"]), at, "more than 0");
    refused(
        &["improve", "--trips", "trips.csv"],
        at,
        "--distances <FILE>",
    );
    let missing = ["improve", "--trips", "no.csv", "--distances", "none.csv"];
    refused(&missing, at, "no.csv cannot be read");
    refused(&missing, at, "none.csv cannot be read");
    let help = shopstride(&["improve", "--help"], at);
    assert!(text(&help.stdout).contains("shopstride improve --trips FILE --distances FILE"));
}

/// The example in scenarios/README.md: 21 trips by 4, 23 by 4 and 8 by 8 with the saw in the middle.
#[test]
fn the_example_of_the_readme_puts_the_saw_in_the_middle() {
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/README.md");
    let readme = fs::read_to_string(readme).expect("readable");
    let (_, block) = readme
        .split_once("```text\ntrips,")
        .expect("the two tables");
    let (block, _) = block.split_once("```").expect("its end");
    let lines = format!("trips,{block}");
    let columns = lines.lines().filter_map(|line| line.split_once("  "));
    let (trips, sites): (Vec<&str>, Vec<&str>) =
        columns.map(|(one, other)| (one, other.trim())).unzip();
    let folder = folder();
    write(folder.path(), &trips.join("\n"), &sites.join("\n"));
    let data = json(folder.path(), &[]);
    assert_eq!(data["cost"], 21 * 4 + 23 * 4 + 8 * 8);
    assert_eq!(data["assignment"]["saw"], "middle");
    assert_eq!(data["as_given"], 21 * 4 + 23 * 8 + 8 * 4);
}
