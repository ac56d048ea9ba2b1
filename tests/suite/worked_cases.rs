//! Small shops in which nothing varies, with every total known beforehand.
//!
//! `data/worked` holds 17 of them, `data/bench` a longer one; their READMEs say where the figures
//! come from.

use crate::second_reading::result::Outcome;
use serde_json::Value;
use std::fs;
use std::path::PathBuf;

/// Times come from phases rounded to whole microseconds one by one, so their sums may differ from
/// exact ones by some microseconds.
const TIME_TOLERANCE_S: f64 = 1e-4;
/// Distances are whole nanometres, and those of the cases are whole centimetres.
const LENGTH_TOLERANCE_M: f64 = 1e-6;

fn data(path: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(path);
    fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// The totals of a run that the expectations name, under their names there.
///
/// Whoever plays the cases hands over this, so that all are held against the same figures.
struct Totals {
    metres: Vec<(&'static str, f64)>,
    makespan_s: f64,
    lead_times_s: Vec<f64>,
    /// Name, seconds running, setting up and curing, number of lots.
    stations: Vec<(String, [f64; 3], u64)>,
    /// Name and metres walked.
    crew: Vec<(String, f64)>,
}

fn totals(outcome: &Outcome) -> Totals {
    let m = |nm: i64| nm as f64 / 1e9;
    let s = |us: i64| us as f64 / 1e6;
    Totals {
        metres: vec![
            ("walking_m", m(outcome.walking_nm())),
            ("empty_m", m(outcome.empty_nm)),
            ("carrying_m", m(outcome.carrying_nm)),
            ("pushing_m", m(outcome.pushing_nm)),
        ],
        makespan_s: s(outcome.makespan_us),
        lead_times_s: outcome.lead_times_s(),
        stations: outcome
            .stations
            .iter()
            .map(|x| {
                (
                    x.name.clone(),
                    [x.running_us, x.setup_us, x.curing_us].map(s),
                    x.lots,
                )
            })
            .collect(),
        crew: outcome
            .crew
            .iter()
            .map(|x| (x.name.clone(), m(x.walked_nm)))
            .collect(),
    }
}

/// What differs between the totals and the expectation of a case, one line each.
fn differences(case: &str, expected: &Value, totals: &Totals) -> Vec<String> {
    let mut found = Vec::new();
    let mut check = |what: String, want: f64, got: f64, tolerance: f64| {
        if (want - got).abs() > tolerance {
            found.push(format!("{case}: {what} is {got}, expected {want}"));
        }
    };
    let number = |v: &Value| {
        v.as_f64()
            .unwrap_or_else(|| panic!("{case}: {v} is not a number"))
    };
    for (key, got) in &totals.metres {
        check(
            key.to_string(),
            number(&expected[*key]),
            *got,
            LENGTH_TOLERANCE_M,
        );
    }
    check(
        "makespan".into(),
        number(&expected["makespan_s"]),
        totals.makespan_s,
        TIME_TOLERANCE_S,
    );
    let leads = expected["lead_times_s"]
        .as_array()
        .expect("a list of lead times");
    check(
        "number of orders".into(),
        leads.len() as f64,
        totals.lead_times_s.len() as f64,
        0.0,
    );
    for (k, (want, got)) in leads.iter().zip(&totals.lead_times_s).enumerate() {
        check(
            format!("lead time of order {k}"),
            number(want),
            *got,
            TIME_TOLERANCE_S,
        );
    }
    // Stations that never worked are left out of the expectations.
    for (name, times, lots) in &totals.stations {
        let want = &expected["stations"][name];
        for (key, got) in ["running", "setup", "curing"].iter().zip(times) {
            check(
                format!("{name} {key}"),
                want.get(key).map_or(0.0, number),
                *got,
                TIME_TOLERANCE_S,
            );
        }
        check(
            format!("{name} lots"),
            want.get("lots").map_or(0.0, number),
            *lots as f64,
            0.0,
        );
    }
    for (name, got) in &totals.crew {
        check(
            format!("{name} walked"),
            number(&expected["walked_m"][name]),
            *got,
            LENGTH_TOLERANCE_M,
        );
    }
    found
}

/// A way to play a layout of a scenario once.
type Player = fn(&str, &str) -> Outcome;

const PLAYERS: [(&str, Player); 2] = [
    ("engine", crate::engine::play),
    ("second reading", crate::second_reading::play),
];

#[test]
fn every_total_of_the_worked_cases_comes_out() {
    let expected: Value =
        serde_json::from_str(&data("worked/expected.json")).expect("expectations are JSON");
    let expected = expected.as_object().expect("a mapping of cases");
    assert_eq!(expected.len(), 17);
    let mut found = Vec::new();
    for (player, play) in PLAYERS {
        for (case, want) in expected {
            let outcome = play(&data(&format!("worked/{case}")), "x");
            let name = format!("{player}, {case}");
            found.extend(differences(&name, want, &totals(&outcome)));
        }
    }
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

/// Figures on which two independent programs agreed to 1e-9; see `data/bench/README.md`. They
/// reckon without rounding, which moves the last digits of the times.
#[test]
fn the_fixed_flow_shop_gives_its_figures() {
    for (player, play) in PLAYERS {
        let outcome = play(&data("bench/flow-fixed.yaml"), "as placed");
        let leads = outcome.lead_times_s();
        assert_eq!(leads.len(), 1000, "{player}");
        let mean = leads.iter().sum::<f64>() / leads.len() as f64;
        assert!(
            (mean - 3222.4311).abs() < 1e-4,
            "{player}: lead time {mean}"
        );
        let empty = outcome.empty_nm as f64 / 1e9;
        assert!((empty - 28614.400).abs() < 1e-3, "{player}: empty {empty}");
        let carrying = outcome.carrying_nm as f64 / 1e9;
        assert!(
            (carrying - 42962.322).abs() < 1e-3,
            "{player}: carrying {carrying}"
        );
        let makespan = outcome.makespan_us as f64 / 1e6;
        assert!(
            (makespan - 2_398_586.47).abs() < 1e-2,
            "{player}: makespan {makespan}"
        );
    }
}
