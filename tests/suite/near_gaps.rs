//! Gaps that a person just gets through or just does not, and what hangs on them, in a room whose walks are known.

use std::process::Command;

use serde_json::Value;
use shopstride::experiment::{Study, near_gaps, run};
use shopstride::floor::{NearGap, Obstacle};
use shopstride::shop::StationId;

use crate::doubted_places::{NEARLY, around};
use crate::support::study;

fn gaps_of(study: &Study) -> Vec<NearGap> {
    let findings = run(study, 0, &|_| {}).expect("it runs");
    near_gaps(&study.candidates[0], &findings.candidates[0].legs)
}

/// With the cabinet so far from the shelf, in centimetres.
fn with_gap(centimetres: f64) -> String {
    let middle = 200.0 + centimetres;
    NEARLY.replace(
        "cabinet: [4 m, 2.49995 m]",
        &format!("cabinet: [4 m, {middle} cm]"),
    )
}

fn only(gaps: &[NearGap]) -> NearGap {
    let [gap] = gaps else { panic!("{gaps:?}") };
    *gap
}

#[track_caller]
fn assert_near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-3, "{found}, not {expected}");
}

/// One walk of 4 m would take the place of one around the boards.
#[test]
fn a_gap_that_is_hardly_too_narrow_is_worth_the_way_around() {
    let gap = only(&gaps_of(&study(NEARLY)));
    assert!((gap.width - 0.49995).abs() < 1e-9, "{gap:?}");
    assert!(!gap.is_open(0.5));
    assert_eq!(
        gap.between,
        [Obstacle::Station(StationId(2)), Obstacle::Thing(0)]
    );
    assert_near(gap.metres, around() - 4.0);
    assert_near(gap.share, (around() - 4.0) / around());
    assert_eq!(gap.only_way, None);
}

#[test]
fn a_gap_that_is_hardly_wide_enough_is_worth_the_same() {
    let gap = only(&gaps_of(&study(&with_gap(50.5))));
    assert!(
        gap.is_open(0.5) && (gap.width - 0.505).abs() < 1e-9,
        "{gap:?}"
    );
    // A wider body takes its turns 2.5 mm farther out.
    assert!((gap.metres - (around() - 4.0)).abs() < 0.02, "{gap:?}");
    // A gap of exactly the width of a person is open.
    let exact = only(&gaps_of(&study(&with_gap(50.0))));
    assert!(exact.is_open(0.5), "{exact:?}");
    assert_near(exact.metres, around() - 4.0);
}

#[test]
fn a_gap_that_no_tape_gets_wrong_is_not_told_of() {
    for wide in [47.9, 52.1, 60.0] {
        assert_eq!(gaps_of(&study(&with_gap(wide))), [], "{wide}");
    }
}

/// With the bench on the side of the rack nobody goes through.
#[test]
fn a_gap_that_nobody_needs_is_not_told_of() {
    let near = NEARLY.replace("bench: [6 m, 1.75 m]", "bench: [1 m, 3 m]");
    assert_eq!(gaps_of(&study(&near)), []);
}

#[test]
fn the_only_way_is_told_of_as_such() {
    let closed = with_gap(50.5).replace(
        "    - {name: boards",
        "    - {name: stack, at: [4 m, 7.5 m], size: [50 cm, 1 m]}\n    - {name: boards",
    );
    let gap = only(&gaps_of(&study(&closed)));
    let (from, to) = gap.only_way.expect("there is no other");
    assert_eq!([from.0, to.0], [0, 1]);
}

fn said(command: &str, more: &[&str]) -> String {
    let folder = std::env::temp_dir().join(format!(
        "shopstride-gaps-{}-{:?}",
        std::process::id(),
        std::thread::current().id()
    ));
    std::fs::create_dir_all(&folder).expect("a folder");
    let file = folder.join("nearly.yaml");
    std::fs::write(&file, NEARLY).expect("a file");
    let output = Command::new(env!("CARGO_BIN_EXE_shopstride"))
        .args([command, "--quiet"])
        .arg(&file)
        .args(more)
        .output()
        .expect("the program runs");
    std::fs::remove_dir_all(&folder).expect("it can be removed");
    String::from_utf8(output.stdout).expect("UTF-8")
}

fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_commands_say_what_hangs_on_it() {
    let compared = in_one_line(&said("compare", &["--no-charts"]));
    let words = "In \"parted\", the gap between cabinet and shelf is just too narrow for a person, by 0.1 cm: with it \
                 open, 8.2 m less walking per box.";
    assert!(compared.contains(words), "{compared}");
    let checked = in_one_line(&said("check", &["--details", "--notes"]));
    let words = "the gap between cabinet and shelf is 0.1 cm too narrow for a person: with it open, people walk 8.20 m (67 \
                 %) less";
    assert!(checked.contains(words), "{checked}");
    let data: Value =
        serde_json::from_str(&said("compare", &["--no-charts", "--json", "-"])).expect("JSON");
    let gap = &data["near_gaps"][0];
    assert_eq!(gap["layout"], "parted");
    assert_eq!(gap["between"], serde_json::json!(["cabinet", "shelf"]));
    assert_eq!(gap["open"], false);
    assert_eq!(gap["only_way"], Value::Null);
    assert_near(gap["width_m"].as_f64().expect("a number"), 0.49995);
    assert_near(gap["walking_m"].as_f64().expect("a number"), around() - 4.0);
    assert_eq!(data["near_gaps"].as_array().map(Vec::len), Some(1));
}
