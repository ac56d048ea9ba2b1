//! Layouts that are like another one: what they come to when everything is written out.

use shopstride::experiment::Study;
use shopstride::floor::Manner;
use shopstride::scenario;
use shopstride::shop::PlaceId;

use crate::support::study;

const SHOP: &str = "\
title: Alike
room: {size: [8 m, 6 m]}
stations:
  rack: {size: [2 m, 50 cm]}
  saw: {size: [1 m, 1 m], does: {rip: {per piece: 1 min}}}
  bench: {size: [2 m, 70 cm], does: {assemble: {per lot: 10 min}}}
  stove: {size: [1 m, 1 m]}
projects: {box: {material at: rack, route: [rip, assemble]}}
orders: [{project: box}]
layouts:
";

fn of(layouts: &str) -> Study {
    study(&format!("{SHOP}{layouts}"))
}

/// Where everything stands and how far it is, without the names of the layouts.
fn floors(study: &Study) -> Vec<String> {
    let candidates = study.candidates.iter().map(|candidate| {
        let places = (0..candidate.walks.places() as u32).map(PlaceId);
        let pairs = places
            .clone()
            .flat_map(|from| places.clone().map(move |to| (from, to)));
        let walks: Vec<f64> = pairs
            .map(|(from, to)| candidate.walks.distance(Manner::Empty, from, to).metres())
            .collect();
        let plan = candidate
            .plan
            .as_ref()
            .map(|plan| (&plan.placements, plan.going));
        format!("{plan:?} {walks:?}")
    });
    candidates.collect()
}

const FIRST: &str = "  a:\n    at: {rack: [2 m, 5 m], saw: {at: [4 m, 3 m], turn: 90}, bench: [6 m, 2 m], stove: [1 m, 1 m]}\n";

#[test]
fn a_layout_like_another_is_the_one_written_out() {
    let alike = of(&format!(
        "{FIRST}  b: {{like: a, at: {{bench: [6 m, 4 m]}}}}\n  c: {{like: b, walk: straight, at: {{saw: {{turn: 0}}, stove: nowhere}}}}\n"
    ));
    let written = of(&format!(
        "{FIRST}\
         \x20 b:\n    at: {{rack: [2 m, 5 m], saw: {{at: [4 m, 3 m], turn: 90}}, bench: [6 m, 4 m], stove: [1 m, 1 m]}}\n\
         \x20 c:\n    walk: straight\n    at: {{rack: [2 m, 5 m], saw: [4 m, 3 m], bench: [6 m, 4 m]}}\n"
    ));
    let floors = [floors(&alike), floors(&written)];
    assert_eq!(floors[0], floors[1]);
    assert_eq!(floors[0].len(), 3);
    assert_ne!(floors[0][0], floors[0][1]);
    assert_ne!(floors[0][1], floors[0][2]);
}

#[test]
fn a_layout_may_be_like_one_that_stands_further_down() {
    let alike = of(&format!(
        "  b: {{like: a, at: {{saw: [4 m, 3 m]}}}}\n{FIRST}"
    ));
    let names: Vec<&str> = alike.candidates.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names, ["b", "a"]);
    assert_ne!(floors(&alike)[0], floors(&alike)[1]);
}

#[test]
fn measured_distances_are_taken_over_pair_by_pair() {
    let alike = of(
        "  a: {distances: {rack: {saw: 3 m, bench: 4 m}, saw: {bench: 5 m}}}\n  b: {like: a, distances: {rack: {bench: 7 m}}}\n",
    );
    let written = of("  b: {distances: {rack: {saw: 3 m, bench: 7 m}, saw: {bench: 5 m}}}\n");
    assert_eq!(floors(&alike)[1], floors(&written)[0]);
}

/// What a candidate changes in a layout is changed in those that are like it, too.
#[test]
fn a_candidate_changes_what_stands_behind_its_layout() {
    let alike = of(&format!(
        "{FIRST}  b: {{like: a, at: {{bench: [6 m, 4 m]}}}}\n\
         candidates:\n  c: {{layout: b, change: {{layouts: {{a: {{at: {{saw: [5 m, 3 m]}}}}}}}}}}\n"
    ));
    let written = of(&format!(
        "{FIRST}  b: {{like: a, at: {{bench: [6 m, 4 m], saw: [5 m, 3 m]}}}}\n"
    ));
    assert_eq!(floors(&alike)[2], floors(&written)[1]);
}

/// The chain is followed at most so far that a file cannot take for ever.
#[test]
fn a_long_chain_is_refused_where_it_becomes_too_long() {
    let mut layouts = FIRST.to_owned();
    let mut before = "a".to_owned();
    for number in 0..52 {
        layouts.push_str(&format!("  l{number}: {{like: {before}}}\n"));
        before = format!("l{number}");
    }
    let loads = |layouts: &str| scenario::load("x.yaml", format!("{SHOP}{layouts}").as_bytes());
    let problems = loads(&layouts).expect_err("too long");
    let said = problems.render(false);
    assert_eq!(
        problems
            .iter()
            .filter(|p| p.severity == scenario::Severity::Error)
            .count(),
        2,
        "{said}"
    );
    assert!(
        said.contains("more than 50 layouts stand behind `l50`"),
        "{said}"
    );
    let shorter = layouts.lines().take(2 + 50).map(|line| format!("{line}\n"));
    assert!(loads(&shorter.collect::<String>()).is_ok());
}
