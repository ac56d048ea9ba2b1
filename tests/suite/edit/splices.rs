//! A station that stands elsewhere changes what says where it stands, and not a byte beside that.

use std::fs;
use std::path::Path;

use shopstride::experiment::{Candidate, Study, Units};
use shopstride::floor::{Point, Pose};
use shopstride::scenario::{MovedStation, load_to_check, move_stations};

fn pose(x: f64, y: f64, turn: f64) -> Pose {
    Pose {
        at: Point::new(x, y),
        turn,
    }
}

/// The text with `saw` of the layout `now` elsewhere.
fn with_saw(text: &str, from: Pose, to: Pose) -> Option<String> {
    let moved = MovedStation {
        station: "saw".to_owned(),
        from,
        to,
    };
    move_stations(text, "now", &[moved], Units::Metric)
}

/// Every way to write a place, before and after.
#[test]
fn only_what_says_where_it_stands_is_written_anew() {
    let (was, turned) = (pose(1.0, 2.0, 0.0), pose(1.0, 2.0, 90.0));
    let aside = |pose: Pose| Pose {
        at: Point::new(1.5, pose.at.y),
        ..pose
    };
    let cases = [
        (
            "layouts:\n  now:\n    at:\n      saw: [1 m, 2 m]   # here\n      bench: [3 m, 1 m]\n",
            (was, aside(was)),
            "layouts:\n  now:\n    at:\n      saw: [1.5 m, 2 m]   # here\n      bench: [3 m, 1 m]\n",
        ),
        (
            "layouts:\n  now:\n    at:\n      saw: [ 100 cm, '2 m' ] # here\n",
            (was, turned),
            "layouts:\n  now:\n    at:\n      saw: {at: [ 100 cm, '2 m' ], turn: 90} # here\n",
        ),
        (
            "layouts:\n  now:\n    at:\n      saw: [100 cm, '2 m'] # here\n",
            (was, aside(turned)),
            "layouts:\n  now:\n    at:\n      saw: {at: [1.5 m, '2 m'], turn: 90} # here\n",
        ),
        (
            "layouts: {now: {at: {saw: {at: [1 m, 2 m], turn: 90}}}}\n",
            (turned, aside(was)),
            "layouts: {now: {at: {saw: {at: [1.5 m, 2 m], turn: 0}}}}\n",
        ),
        (
            "layouts: {now: {at: {saw: {at: [1 m, 2 m]}, bench: [0, 0]}}}\n",
            (was, turned),
            "layouts: {now: {at: {saw: {at: [1 m, 2 m], turn: 90}, bench: [0, 0]}}}\n",
        ),
        (
            "layouts:\n  now:\n    at:\n      saw:  # the old one\n        at: [1 m, 2 m]  # its middle\n      bench: [3 m, 1 m]\n",
            (was, aside(turned)),
            "layouts:\n  now:\n    at:\n      saw:  # the old one\n        at: [1.5 m, 2 m]  # its middle\n        turn: 90\n      bench: [3 m, 1 m]\n",
        ),
        (
            "layouts:\n  now:\n    at:\n      saw:\n        turn: 90\n        at:\n          - 1 m\n          - 2 m  # from the door\n",
            (turned, aside(was)),
            "layouts:\n  now:\n    at:\n      saw:\n        turn: 0\n        at:\n          - 1.5 m\n          - 2 m  # from the door\n",
        ),
        (
            "layouts:\r\n  now:\r\n    at:\r\n      saw:\r\n        at: [1 m, 2 m]\r\n      bench: [3 m, 1 m]\r\n",
            (was, turned),
            "layouts:\r\n  now:\r\n    at:\r\n      saw:\r\n        at: [1 m, 2 m]\r\n        turn: 90\r\n      bench: [3 m, 1 m]\r\n",
        ),
        // Placed by the layout that it is like.
        (
            "layouts:\n  old:\n    at:\n      saw: [1 m, 2 m]\n  now:\n    like: old\n    at:\n      bench: [1 m, 0]   # moved\n\n# the end\n",
            (was, aside(was)),
            "layouts:\n  old:\n    at:\n      saw: [1 m, 2 m]\n  now:\n    like: old\n    at:\n      bench: [1 m, 0]   # moved\n      saw: {at: [1.5 m, 2 m], turn: 0}\n\n# the end\n",
        ),
        (
            "layouts:\n  now:\n    like: old   # so far\n  old:\n    at: {saw: [1 m, 2 m]}\n",
            (was, aside(was)),
            "layouts:\n  now:\n    like: old   # so far\n    at:\n      saw: {at: [1.5 m, 2 m], turn: 0}\n  old:\n    at: {saw: [1 m, 2 m]}\n",
        ),
        (
            "layouts: {old: {at: {saw: [1 m, 2 m]}}, now: {like: old}}\n",
            (was, aside(was)),
            "layouts: {old: {at: {saw: [1 m, 2 m]}}, now: {like: old, at: {saw: {at: [1.5 m, 2 m], turn: 0}}}}\n",
        ),
        // What is written once for two stations stays for the other one.
        (
            "layouts:\n  now:\n    at:\n      bench: &there [1 m, 2 m]\n      saw: *there   # too\n",
            (was, aside(was)),
            "layouts:\n  now:\n    at:\n      bench: &there [1 m, 2 m]\n      saw: {at: [1.5 m, 2 m], turn: 0}   # too\n",
        ),
    ];
    for (text, (from, to), expected) in cases {
        assert_eq!(
            with_saw(text, from, to).as_deref(),
            Some(expected),
            "{text}"
        );
    }
}

#[test]
fn what_cannot_be_changed_by_itself_is_left_alone() {
    let (was, to) = (pose(1.0, 2.0, 0.0), pose(1.5, 2.5, 90.0));
    for text in [
        "layouts:\n  other: {at: {saw: [1 m, 2 m]}}\n",
        "layouts:\n  now:\n    at: {bench: &there [1 m, 2 m], saw: {at: *there}}\n",
        "layouts:\n  now:\n    at:\n      saw:\n        - 1 m\n        - 2 m\n",
        "layouts:\n  now:\n    at: {saw: nowhere}\n",
        "layouts: 3\n",
        "no: {yaml",
    ] {
        assert_eq!(with_saw(text, was, to), None, "{text}");
    }
}

fn load(text: &str) -> Study {
    let loaded = load_to_check("shop.yaml", text.as_bytes());
    loaded
        .unwrap_or_else(|wrong| panic!("{}", wrong.render(false)))
        .study
}

fn poses(candidate: &Candidate) -> Vec<(String, Pose)> {
    let plan = candidate.plan.as_ref().expect("drawn");
    let placed = plan.placements.enumerate();
    let placed = placed.filter_map(|(station, placed)| {
        let placed = placed.as_ref()?;
        let name = candidate.shop.stations[station].name.clone();
        Some((name, pose(placed.at.x, placed.at.y, placed.turn)))
    });
    placed.collect()
}

/// Half a mark of a tape, by which written lengths are rounded: 1/64 in, or 1 mm.
const ROUNDED_M: f64 = 0.0006;

#[test]
fn a_station_of_any_scenario_that_comes_along_takes_one_line() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let mut moved = 0;
    for entry in fs::read_dir(folder).expect("readable") {
        let file = entry.expect("readable").path();
        if file.extension().is_none_or(|ending| ending != "yaml") {
            continue;
        }
        let text = fs::read_to_string(&file).expect("readable");
        let study = load(&text);
        for candidate in &study.candidates {
            let is_layout = candidate.name == candidate.layout;
            if !is_layout
                || !candidate
                    .plan
                    .as_ref()
                    .is_some_and(|plan| plan.places_something())
            {
                continue;
            }
            let all: Vec<MovedStation> = poses(candidate)
                .into_iter()
                .map(|(station, from)| MovedStation {
                    station,
                    from,
                    to: pose(from.at.x + 0.0508, from.at.y, from.turn),
                })
                .collect();
            for one in &all {
                let name = (&file, &candidate.name, &one.station);
                let written = move_stations(
                    &text,
                    &candidate.name,
                    std::slice::from_ref(one),
                    study.units,
                );
                let written = written.unwrap_or_else(|| panic!("{name:?} has no place"));
                assert_eq!(differing_lines(&text, &written), 1, "{name:?}");
                moved += 1;
            }
            let written =
                move_stations(&text, &candidate.name, &all, study.units).expect("has a place");
            let again = load(&written);
            let again = again
                .candidates
                .iter()
                .find(|again| again.name == candidate.name);
            for ((station, found), moved) in poses(again.expect("there")).iter().zip(&all) {
                assert!(
                    found.at.distance(moved.to.at) <= ROUNDED_M,
                    "{station}: {found:?}"
                );
                assert_eq!(found.turn, moved.to.turn, "{station}");
            }
        }
    }
    assert!(moved > 50, "only {moved} stations were moved");
}

/// How many lines differ, of texts that differ in one place at most.
fn differing_lines(before: &str, after: &str) -> usize {
    let (before, after): (Vec<&str>, Vec<&str>) =
        (before.lines().collect(), after.lines().collect());
    let alike =
        |pairs: &mut dyn Iterator<Item = (&&str, &&str)>| pairs.take_while(|(a, b)| a == b).count();
    let first = alike(&mut before.iter().zip(&after));
    let last = alike(&mut before.iter().rev().zip(after.iter().rev()));
    let longer = before.len().max(after.len());
    longer.saturating_sub(first + last)
}
