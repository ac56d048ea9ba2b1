//! The words about what machines take and how they come in, of findings made by hand.

use serde_json::Value;
use shopstride::floor::strips::LyingAcross;
use shopstride::floor::{
    MachineCapacity, MachineVerdict, MachineWay, Obstacle, Point, SheetCapacity, Shortfall,
    StationShift, Tightest,
};
use shopstride::report::check::{Checked, Depth, json, text};
use shopstride::scenario;
use shopstride::shop::StationId;

use super::scenes::{FT, IN};

const SHOP: &str = "title: t
show: imperial
room: {size: [20 ft, 20 ft], doors: [{name: gate, between: [[4 ft, 0], [8 ft, 0]]}]}
stations:
  saw: {size: [3 ft, 3 ft], does: {rip: {per piece: 1 min}}}
  bench: {size: [6 ft, 2 ft]}
  planer: {size: [2 ft, 2 ft]}
projects: {box: {material at: saw, route: [rip]}}
orders: [{project: box}]
layouts: {here: {at: {saw: [10 ft, 10 ft], bench: [5 ft, 18 ft], planer: [16 ft, 16 ft]}}}
";

const SAW: StationId = StationId(0);
const BENCH: StationId = StationId(1);
const PLANER: StationId = StationId(2);

/// What is said, in one line, and the data.
fn said(machines: Vec<MachineWay>, takes: Vec<MachineCapacity>) -> (String, Value) {
    let loaded = scenario::load_to_check("told.yaml", SHOP.as_bytes());
    let study = loaded.map(|loaded| loaded.study).expect("it loads");
    let checked = [Checked {
        candidate: &study.candidates[0],
        findings: Vec::new(),
        ways: Vec::new(),
        untried: 0,
        machines,
        machines_untried: 3,
        takes,
    }];
    let depth = Depth {
        details: false,
        notes: true,
    };
    let styled = text(&study, &checked, depth, 80);
    let plain = anstream::adapter::strip_str(&styled).to_string();
    assert!(
        plain.lines().all(|line| line.chars().count() <= 80),
        "{plain}"
    );
    let words: Vec<&str> = plain.split_whitespace().collect();
    (
        words.join(" "),
        json(&study, &checked)["layouts"][0].clone(),
    )
}

#[test]
fn how_a_machine_comes_in() {
    let told = |verdict: MachineVerdict, door: Option<usize>| {
        let passes = matches!(
            verdict,
            MachineVerdict::Passes | MachineVerdict::WhileAside(_)
        );
        let way = MachineWay {
            station: SAW,
            size: (3.0 * FT, 3.0 * FT),
            door,
            verdict,
            tightest: passes.then_some(Tightest {
                at: Point::new(1.0, 2.0),
                between: Some([Obstacle::Station(BENCH), Obstacle::Wall]),
                spare: 5.25 * IN,
            }),
        };
        let (said, data) = said(vec![way], Vec::new());
        assert!(
            said.contains("no way was looked for of 3 machines: `--ways` looks for all"),
            "{said}"
        );
        assert_eq!(data["machine_ways_untried"], 3);
        (said, data["machine_ways"][0].clone())
    };
    let (words, data) = told(MachineVerdict::Passes, Some(0));
    let expected = "way saw (36 in x 36 in) comes in by gate; where it is tightest, between bench and the wall, 5-1/4 in is left on each side";
    assert!(words.contains(expected), "{words}");
    assert!(!words.contains("? way"));
    assert_eq!(data["passes"], true);
    assert_eq!(data["passes_with_aside"].as_array().map(Vec::len), Some(0));
    let (words, data) = told(MachineVerdict::WhileAside(vec![BENCH, PLANER]), Some(0));
    assert!(
        words.contains(
            "? way saw (36 in x 36 in) comes in by gate while bench and planer stand aside"
        ),
        "{words}"
    );
    assert!(
        words.contains("help: bring it in before bench and planer"),
        "{words}"
    );
    assert_eq!(data["passes"], false);
    assert_eq!(data["passes_with_aside"][1], "planer");
    let widest = Some(20.0 * IN);
    let (words, data) = told(MachineVerdict::DoesNotPass { widest }, Some(0));
    assert!(words.contains("does not come in by gate as it stands, even with all others aside; as long, it would up to a width of 20 in"), "{words}");
    assert_eq!(data["passes_with_aside"], Value::Null);
    assert_eq!(data["widest_m"].as_f64(), widest);
    let (words, data) = told(MachineVerdict::NoWayIn { missing: 2.0 * IN }, None);
    assert!(
        words.contains("it is 2 in too large for the doors, corners and stairs of the best way"),
        "{words}"
    );
    assert_eq!(data["missing_m"].as_f64(), Some(2.0 * IN));
    let (words, data) = told(
        MachineVerdict::NotShown {
            resolution: 0.25 * IN,
        },
        Some(0),
    );
    assert!(words.contains("whether it comes in by gate could not be shown, though the floor was searched to 1/4 in"), "{words}");
    assert_eq!(data["passes"], Value::Null);
}

fn short(is_sheet: bool, missing: [f64; 2], by: Option<(StationId, f64, f64)>) -> Shortfall {
    let end = |missing: f64, of: Obstacle| (missing > 0.0).then_some(of);
    Shortfall {
        is_sheet,
        length: 8.0 * FT,
        width: if is_sheet { 4.0 * FT } else { FT },
        missing: missing.map(|inches| inches * IN),
        ends: [
            end(missing[0], Obstacle::Wall),
            end(missing[1], Obstacle::Station(BENCH)),
        ],
        beside: None,
        lying: LyingAcross::InTheMiddle,
        lower: [None; 2],
        shift: by.map(|(station, x, y)| StationShift {
            station,
            by: Point::new(x * IN, y * IN),
        }),
    }
}

#[test]
fn what_a_machine_takes_and_lacks() {
    let told = |board: Option<f64>, lacks: f64, sheet: SheetCapacity, short: Vec<Shortfall>| {
        let capacity = MachineCapacity {
            station: SAW,
            board: board.map(|feet| feet * FT),
            walked: None,
            lacks: lacks * IN,
            sheet,
            short,
        };
        let (words, data) = said(Vec::new(), vec![capacity]);
        let start = words.find("takes").expect("it is told");
        let end = words.find("Not looked at").expect("the caution");
        (
            words[start..end].trim().to_owned(),
            data["takes"][0].clone(),
        )
    };
    let none = SheetCapacity::NoSheetWork;
    let (words, data) = told(None, 0.0, none, Vec::new());
    assert_eq!(words, "takes saw: boards of any length");
    assert_eq!(
        (&data["board_m"], &data["sheets"]),
        (&Value::Null, &Value::Bool(false))
    );
    let to = SheetCapacity::UpTo(6.0 * FT + 2.0 * IN, 4.0 * FT);
    let move_it = Some((SAW, 0.0, 22.0));
    let behind = |is_sheet: bool| short(is_sheet, [0.0, 22.0], move_it);
    let (words, data) = told(
        Some(6.0 + 2.0 / 12.0),
        0.0,
        to,
        vec![behind(false), behind(true)],
    );
    assert_eq!(
        words,
        "takes saw: boards to 6 ft 2 in, sheets to 6 ft 2 in x 4 ft; 8 ft is 22 in short behind it (bench) help: move saw \
         22 in toward the upper wall (+y)"
    );
    assert_eq!(data["short"][1]["move"]["station"], "saw");
    assert_eq!(data["short"][0]["ends_behind"], "bench");
    let both = short(false, [6.0, 3.5], None);
    let (words, _) = told(Some(5.0), 0.0, none, vec![both]);
    assert_eq!(
        words,
        "takes saw: boards to 5 ft; 8 ft is 6 in short before it (the wall) and 3-1/2 in short behind it (bench)"
    );
    // A board and a sheet that lack different things, and another move for each, or for the board alone.
    let board = short(false, [6.0, 0.0], Some((BENCH, -3.0, 0.0)));
    let sheet = short(true, [9.0, 0.0], Some((SAW, 4.0, -5.0)));
    let (words, _) = told(Some(7.5), 0.0, to, vec![board.clone(), sheet]);
    assert!(
        words.ends_with(
            "8 ft is 6 in short before it (the wall); a sheet of 8 ft x 4 ft is 9 in short before it (the wall) help: move \
             bench 3 in toward the left wall (-x), or for a sheet move saw 4 in toward the right wall (+x) and 5 in toward \
             the lower wall (-y)"
        ),
        "{words}"
    );
    let (words, _) = told(
        Some(7.5),
        0.0,
        to,
        vec![board, short(true, [9.0, 0.0], None)],
    );
    assert!(
        words.ends_with("help: move bench 3 in toward the left wall (-x) for 8 ft"),
        "{words}"
    );
    let mut beside = short(true, [0.0, 30.0], None);
    beside.beside = Some(40.0 * IN);
    let (words, _) = told(Some(9.0), 0.0, SheetCapacity::TooLittleRoom, vec![beside]);
    assert!(
        words.contains(
            "no sheets; a sheet of 8 ft x 4 ft is too wide between what stands beside the cutter (bench): 3 ft 4 in is free"
        ),
        "{words}"
    );
    let (words, data) = told(Some(0.0), 6.0, none, Vec::new());
    assert_eq!(
        words,
        "takes saw: nothing; the machine with room to stand lacks 6 in"
    );
    assert_eq!(data["lacks_m"].as_f64(), Some(6.0 * IN));
}

#[test]
fn a_planer_says_how_long_a_board_is_for_somebody_to_walk_behind_it() {
    let told = |board: Option<f64>, walked: Option<f64>| {
        let capacity = MachineCapacity {
            station: SAW,
            board: board.map(|feet| feet * FT),
            walked: Some(walked.map(|feet| feet * FT)),
            lacks: 0.0,
            sheet: SheetCapacity::NoSheetWork,
            short: Vec::new(),
        };
        let (words, data) = said(Vec::new(), vec![capacity]);
        (words, data["takes"][0]["board_walked_m"].as_f64())
    };
    for (board, walked, says) in [
        (
            Some(8.25),
            Some(7.25),
            "saw: boards to 8 ft 3 in, and to 7 ft 3 in with room to walk behind",
        ),
        (
            Some(8.25),
            Some(8.25),
            "saw: boards to 8 ft 3 in with room to walk behind",
        ),
        (
            Some(8.25),
            Some(0.0),
            "saw: boards to 8 ft 3 in with no room to walk behind",
        ),
        (
            None,
            None,
            "saw: boards of any length with room to walk behind",
        ),
    ] {
        let (words, data) = told(board, walked);
        assert!(words.contains(says), "{words}");
        assert_eq!(data, walked.map(|feet| feet * FT));
    }
}

#[test]
fn a_sheet_beside_the_blade_and_a_table_that_is_hardly_too_low_are_told_of() {
    let told = |sheet: SheetCapacity, short: Shortfall| {
        let capacity = MachineCapacity {
            station: SAW,
            board: Some(9.0 * FT),
            walked: None,
            lacks: 0.0,
            sheet,
            short: vec![short],
        };
        said(Vec::new(), vec![capacity])
    };
    let mut beside = short(true, [0.0, 30.0], None);
    beside.beside = Some(26.0 * IN);
    beside.lying = LyingAcross::Left;
    let halves = SheetCapacity::Halves(8.0 * FT, 2.0 * FT);
    let (words, data) = told(halves, beside);
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains(
            "boards to 9 ft, sheets ripped in half first, to 8 ft x 24 in; a sheet of 8 ft x 4 ft wants its whole width \
             on one side of the blade, and something stands there (bench): 26 in is free"
        ),
        "{words}"
    );
    assert_eq!(data["takes"][0]["sheets_in_halves"], true);
    for (lower, says) in [
        (0.5, "behind it (bench, 1/2 in too low to carry it)"),
        (-0.25, "behind it (bench, 1/4 in too high to carry it)"),
        (3.0, "behind it (bench)"),
    ] {
        let mut short = short(false, [0.0, 22.0], None);
        short.lower[1] = Some(lower * IN);
        let (words, _) = told(SheetCapacity::NoSheetWork, short);
        let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains(says), "{words}");
    }
}
