//! What is replayed in a page: it adds up to the figures, and people are where the trace has them.

use std::fs;

use serde_json::Value;
use shopstride::engine::{Doing, Occupied};
use shopstride::experiment::{Candidate, Study};
use shopstride::floor::{Manner, Path as Walk, Piece, Point};
use shopstride::metrics::{TraceLine, What};
use shopstride::shop::PlaceId;

use super::{GARAGE, data, list, page, said, scenario};
use crate::support;

fn whole(value: &Value) -> i64 {
    value.as_i64().expect("a whole number")
}

/// The nanometres that count as walked in a replay.
fn walked(replay: &Value) -> i64 {
    let people = list(replay, "people").iter();
    let phases = people.flat_map(|person| list(person, "phases"));
    phases.map(|phase| whole(&phase[7])).sum()
}

/// Walks and orders of each replay add up to the figures of the same run, which another recorder has heard, and to what
/// `compare` says of one run.
#[test]
fn a_replay_adds_up_to_the_figures_of_its_run() {
    for file in support::yaml_files("scenarios") {
        let file = file.to_string_lossy().into_owned();
        let first = said(&[
            "page",
            &file,
            "--quiet",
            "--out",
            "-",
            "--replications",
            "1",
        ]);
        let compared = said(&[
            "compare",
            &file,
            "--quiet",
            "--no-charts",
            "--replications",
            "1",
            "--json",
            "-",
        ]);
        let compared: Value = serde_json::from_str(&compared).expect("it is JSON");
        let data = data(&first);
        let replays = list(&data, "replays");
        assert!(!replays.is_empty());
        for replay in replays {
            let figures = &replay["figures"];
            assert_eq!(figures["walking_m"], walked(replay) as f64 / 1e9, "{file}");
            let counted = list(replay, "orders")
                .iter()
                .filter(|order| order["counts"] == true);
            let times: Vec<i64> = counted
                .map(|order| whole(&order["done"]) - whole(&order["released"]))
                .collect();
            let mean = times.iter().sum::<i64>() as f64 / 1e6 / times.len() as f64;
            assert_eq!(figures["lead_time_s"], mean, "{file}");
            let mut candidates = list(&compared, "candidates").iter();
            let same = candidates.find(|found| found["name"] == replay["candidate"]);
            let same = same.expect("it is compared");
            assert_eq!(figures["walking_m"], same["walking"]["mean_m"], "{file}");
            assert_eq!(
                figures["lead_time_s"], same["lead_time"]["mean_s"],
                "{file}"
            );
        }
    }
}

/// The way that somebody takes, found again on the floor without the ways that the study keeps.
fn way(candidate: &Candidate, from: PlaceId, to: PlaceId) -> Walk {
    let plan = candidate.plan.as_ref().expect("it is drawn");
    let ground = plan.ground(plan.body_width / 2.0);
    plan.path(&ground, from, to).expect("there is a way")
}

/// Where one is on a way after so many metres, piece by piece.
fn along(way: &Walk, metres: f64) -> Point {
    let mut left = metres;
    for piece in &way.pieces {
        let length = Piece::length(piece);
        if left <= length {
            return piece.at(left / length);
        }
        left -= length;
    }
    way.to
}

/// The same as the page reads its corners.
fn along_corners(corners: &[Value], nanometres: f64) -> Point {
    let number = |value: &Value| value.as_f64().expect("a number");
    let at = |corner: &Value| Point::new(number(&corner[0]), number(&corner[1]));
    for pair in corners.windows(2) {
        let (before, after) = (number(&pair[0][2]), number(&pair[1][2]));
        if nanometres <= after && after > before {
            let share = (nanometres - before) / (after - before);
            return at(&pair[0]) + (at(&pair[1]) - at(&pair[0])) * share;
        }
    }
    at(&corners[corners.len() - 1])
}

struct Walked<'l> {
    line: &'l TraceLine,
    person: usize,
    places: (PlaceId, PlaceId),
    nanometres: i64,
}

/// All walks of a trace that lead somewhere.
fn walks(lines: &[TraceLine]) -> Vec<Walked<'_>> {
    let walks = lines.iter().filter_map(|line| match line.what {
        What::Phase {
            of: Occupied::Person(person),
            doing:
                Doing::Walk {
                    from,
                    to,
                    distance,
                    manner,
                },
        } if distance.nanometres() > 0 => {
            assert_ne!(manner, Manner::Pushing, "nobody has a cart here");
            Some(Walked {
                line,
                person: person.index(),
                places: (from, to),
                nanometres: distance.nanometres(),
            })
        }
        _ => None,
    });
    walks.collect()
}

/// The chord of an arc that is followed in steps of 0.2 rad lies at most 1 - cos(0.1) of its radius off it: 1.3 mm for a
/// body of half a metre.
const OFF_M: f64 = 0.0015;

/// Every walk of the trace is in the page with its exact length along its way, and at ten moments of each run somebody
/// is where the shortest way around what stands there has them after that time.
#[test]
fn people_walk_the_ways_of_the_trace() {
    for name in [
        GARAGE,
        "scenarios/kinds-garage.yaml",
        "scenarios/class.yaml",
    ] {
        let file = scenario(name);
        let yaml = fs::read_to_string(&file).expect("readable");
        let study: Study = support::study(&yaml);
        let page = page(&file, &[]);
        let data = data(&page);
        let mut looked_at = 0;
        for replay in list(&data, "replays") {
            let mut candidates = study.candidates.iter();
            let index =
                candidates.position(|one| one.name == replay["candidate"].as_str().unwrap_or(""));
            let index = index.expect("it is one of the file");
            let candidate = &study.candidates[index];
            let lines = support::trace(&study, index, 0);
            let walks = walks(&lines);
            let every = (walks.len() / 10).max(1);
            for (nth, walk) in walks.iter().enumerate() {
                let phases = list(&list(replay, "people")[walk.person], "phases");
                let start = walk.line.start.micros();
                let phase = phases
                    .iter()
                    .find(|phase| whole(&phase[0]) == start && !phase[6].is_null());
                let phase = phase.unwrap_or_else(|| panic!("{name}: no walk at {start}"));
                assert_eq!(whole(&phase[7]), walk.nanometres, "{name}");
                let way_there = &list(replay, "ways")[whole(&phase[6]) as usize];
                let corners = list(way_there, "points");
                assert_eq!(
                    whole(&corners[corners.len() - 1][2]),
                    walk.nanometres,
                    "{name}"
                );
                if nth % every > 0 {
                    continue;
                }
                let path = way(candidate, walk.places.0, walk.places.1);
                let share = (nth as f64 + 1.0) / (walks.len() as f64 + 1.0);
                let expected = along(&path, path.length * share);
                let found = along_corners(corners, walk.nanometres as f64 * share);
                assert!(
                    expected.distance(found) < OFF_M,
                    "{name}: {expected:?} {found:?}"
                );
                looked_at += 1;
            }
        }
        assert!(looked_at >= 20, "{name}: only {looked_at}");
    }
}

/// What is decided is told in the same sentences, at the same moments, as by the command that follows one run.
#[test]
fn decisions_are_told_as_the_command_tells_them() {
    for (name, number) in [
        ("garage", "1"),
        ("garage", "3"),
        ("class", "2"),
        ("minimal", "1"),
    ] {
        let file = scenario(&format!("scenarios/{name}.yaml"));
        let runs = [
            &file,
            "--quiet",
            "--replications",
            "3",
            "--replication",
            number,
        ];
        let data = data(&said(&[&["page", "--out", "-"][..], &runs].concat()));
        for replay in list(&data, "replays") {
            let layout = replay["candidate"].as_str().expect("a name");
            let told = said(&[&["run", "--explain", "--layout", layout][..], &runs].concat());
            let (_, told) = told.split_once("and the batch.").expect("the rules");
            let decisions = list(replay, "decisions").iter();
            let (moments, sentences): (Vec<i64>, Vec<&str>) = decisions
                .map(|decision| (whole(&decision[0]), decision[1].as_str().expect("words")))
                .unzip();
            assert!(moments.len() > 2 && moments.is_sorted(), "{name}, {layout}");
            assert_eq!(in_one_line(&sentences.join(" ")), in_one_line(told));
        }
    }
}

fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
