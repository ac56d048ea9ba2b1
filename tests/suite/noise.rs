//! Noise from a scenario, through the command line.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::power::files::{Machine, candidate_of, timed};
use crate::support::command::{answer_of, folder, refused, refused_of};

const CASES: &str = include_str!("../data/services/cases.json");

fn case(id: &str) -> Value {
    let cases: Vec<Value> = serde_json::from_str(CASES).expect("JSON");
    let found = cases.into_iter().find(|case| case["id"] == id);
    found.expect("a case")
}

fn near(what: &str, found: &Value, expected: f64) {
    let found = found
        .as_f64()
        .unwrap_or_else(|| panic!("{what} is {found}"));
    let allowed = 1e-6 * expected.abs().max(1.0);
    assert!(
        (found - expected).abs() <= allowed,
        "{what} is {found}, not {expected}"
    );
}

fn machine(name: &str, noise: &str, on: &[[f64; 2]]) -> Machine {
    Machine {
        name: name.to_owned(),
        says: format!("noise: {{{noise}}}"),
        on: on.to_vec(),
    }
}

/// A case's sources as machines that cut from their first minute to their last, in a shop in which nobody knows how far
/// anything is: everybody hears all of it.
fn of_case(case: &Value) -> String {
    let sources = case["inputs"]["sources"].as_object().expect("sources");
    let machines: Vec<Machine> = (sources.iter())
        .map(|(name, source)| {
            let minutes: Vec<[f64; 2]> =
                serde_json::from_value(source["on"].clone()).expect("times");
            let seconds: Vec<[f64; 2]> = minutes.iter().map(|on| on.map(|at| 60.0 * at)).collect();
            machine(name, &format!("cutting: {} dB", source["level"]), &seconds)
        })
        .collect();
    let scenario = timed(&machines, "");
    match case["inputs"].get("protection") {
        Some(off) => scenario.replacen(
            "crew: {maker: {",
            &format!("crew: {{maker: {{protection: {off} dB, "),
            1,
        ),
        None => scenario,
    }
}

/// The doses of an independent solver, each from a file.
#[test]
fn worked_cases_of_doses_come_out_of_their_file() {
    for id in [
        "noise_evening",
        "noise_partial_overlap",
        "noise_protected_under_80",
    ] {
        let (case, expected) = (case(id), case(id)["expected"].clone());
        let found = candidate_of(&of_case(&case), &[]);
        let people = found["noise"]["people"].as_array().expect("people");
        assert!(!people.is_empty(), "{id}");
        for person in people {
            let worn = match person["protected"].is_null() {
                true => &person["unprotected"],
                false => &person["protected"],
            };
            let dose = expected["dose_pct"].as_f64().expect("a dose") / 100.0;
            near(id, &worn["dose_share"], dose);
            near(id, &worn["worst_day_dose_share"], dose);
            match expected["TWA"].as_f64() {
                Some(level) => near(id, &worn["eight_hour_level_db"], level),
                None => assert!(worn["eight_hour_level_db"].is_null(), "{id}"),
            }
            near(
                id,
                &person["loudest_db"],
                expected["peak_dBA"].as_f64().expect("a peak"),
            );
            let minutes = expected["minutes_above_85"].as_f64().expect("minutes");
            near(id, &person["above_85_db_a_day_s"], 60.0 * minutes);
        }
    }
}

/// Three hours on one evening and one on the next at 97 dB(A), of which half an hour a day is allowed (NIOSH): six times and
/// twice as much, four times in the mean. The wall is that of the case: 98 dB(A) in the shop are 57.3 in the house.
#[test]
fn days_of_the_calendar_and_the_house_in_quiet_time() {
    let case = case("noise_wall");
    let rest = "sessions: {when: [{days: [mon, tue], open: \"19:00\", close: \"22:00\"}], quiet: {from: \"21:30\", to: \"8:00\"}}\n\
                noise: {house wall: {area: 140 ft2, reduction: 44 dB, door: {area: 20 ft2, reduction: 30 dB}, absorbs: 300 ft2}}\n";
    let of = |level: f64| {
        let saw = machine(
            "saw",
            &format!("cutting: {level} dB"),
            &[[0.0, 4.0 * 3600.0]],
        );
        candidate_of(&timed(&[saw], rest), &[])["noise"].clone()
    };
    let found = of(97.0);
    let person = &found["people"][0];
    assert_eq!(person["days"], 2);
    near(
        "worst day",
        &person["unprotected"]["worst_day_dose_share"],
        6.0,
    );
    near("mean day", &person["unprotected"]["dose_share"], 4.0);
    let found = of(98.0);
    let house = &found["house"];
    near(
        "wall",
        &house["reduction_db"],
        case["expected"]["TL"].as_f64().expect("dB"),
    );
    near(
        "house",
        &house["loudest_db"],
        case["expected"]["L2"].as_f64().expect("dB"),
    );
    near(
        "quiet",
        &house["quiet"]["loudest_db"],
        case["expected"]["L2"].as_f64().expect("dB"),
    );
    near("quiet time", &house["quiet"]["time_s"], 1800.0);
    assert_eq!(house["quiet"]["loudest_of"][0], "saw");
}

/// Two people, each at a machine: one hears its own saw at 96 dB(A), and the planer from 6 ft away, at twice the distance at
/// which it has 98, by 6.02 dB less; 30 ft away it would be 8 dB less.
fn two_apart(apart: f64) -> String {
    format!(
        "title: two\nshow: imperial\nstations:\n\
         \x20 saw: {{noise: {{cutting: 96 dB}}, stand: [0, -1 ft], does: {{saw: {{}}}}}}\n\
         \x20 planer: {{noise: {{cutting: 98 dB}}, stand: [0, -1 ft], does: {{plane: {{}}}}}}\n\
         projects:\n  a: {{route: [{{op: saw, per lot: 10 min}}]}}\n  b: {{route: [{{op: plane, per lot: 10 min}}]}}\n\
         orders: [{{project: a}}, {{project: b}}]\n\
         crew: {{ann: {{can: [saw]}}, bob: {{can: [plane], starts at: planer}}}}\n\
         handling: {{pick up: 0 s, put down: 0 s}}\n\
         layouts: {{here: {{walk: straight, at: {{saw: [0, 0], planer: [{apart} ft, 0]}}}}}}\n"
    )
}

#[test]
fn others_hear_a_machine_from_where_they_are() {
    let dose = |level: f64| 10.0 / (480.0 / f64::powf(2.0, (level - 85.0) / 3.0));
    let sum =
        |one: f64, other: f64| 10.0 * (10f64.powf(one / 10.0) + 10f64.powf(other / 10.0)).log10();
    let away = (36.0_f64 - 1.0).sqrt();
    for (apart, fall) in [(away, 20.0 * 2f64.log10()), (30.0, 8.0)] {
        let found = candidate_of(&two_apart(apart), &[]);
        assert_eq!(found["noise"]["distances_known"], true);
        let person = |nth: usize| &found["noise"]["people"][nth]["unprotected"]["dose_share"];
        near("ann", person(0), dose(sum(96.0, 98.0 - fall)));
        near("bob", person(1), dose(sum(98.0, 96.0 - fall)));
    }
}

/// Of 4 min a piece is fed for 2: 10 ft at 5 ft a minute. Cutting gives 97 dB(A), and the rest 88.
#[test]
fn a_machine_cuts_for_as_long_as_its_feed_speed_says() {
    let scenario = "title: feed\nstations:\n  saw: {noise: {idle: 88 dB, cutting: 97 dB}, does: {saw: {feed speed: 5 ft/min, per piece: 2 min}}}\n\
                    projects: {a: {pieces: 3, rough: [10 ft, 4 in, 1 in], route: [saw]}}\norders: [{project: a}]\n\
                    handling: {pick up: 0 s, put down: 0 s}\nlayouts: {here: {distances: 0}}\n";
    let found = candidate_of(scenario, &[]);
    let saw = &found["noise"]["machines"][0];
    near("on", &saw["on_s"], 720.0);
    near("cuts", &saw["cutting_s"], 360.0);
    // 97 dB(A) may last 30 min a day, 88 dB(A) 4 h (NIOSH).
    let person = &found["noise"]["people"][0];
    near(
        "dose",
        &person["unprotected"]["dose_share"],
        6.0 / 30.0 + 6.0 / 240.0,
    );
}

/// A collector is on with its saw and 60 s after it; a compressor at times that nobody knows.
#[test]
fn a_collector_is_heard_with_its_machine_and_what_starts_by_itself_is_told() {
    let mut saw = machine("saw", "cutting: 70 dB", &[[0.0, 300.0]]);
    saw.says.push_str(", ports: [{duct: main}]");
    let collector = machine("collector", "idle: 91 dB", &[]);
    let compressor = Machine {
        says: "kind: compressor, automatic: true".to_owned(),
        ..machine("compressor", "", &[])
    };
    let dust =
        "dust: {collectors: {collector: {run on: 60 s}}, mains: {main: {from: collector}}}\n";
    let scenario = timed(&[saw, collector, compressor], dust)
        .replace("does: {use compressor: {}}", "does: {}");
    let found = candidate_of(&scenario, &[]);
    let of = |name: &str| {
        let machines = found["noise"]["machines"].as_array().expect("machines");
        let found = machines.iter().find(|machine| machine["station"] == name);
        found.unwrap_or_else(|| panic!("no {name}")).clone()
    };
    // The run is over when the saw is done, but nobody shuts the collector down for that.
    near("collector", &of("collector")["on_s"], 360.0);
    assert_eq!(found["noise"]["starting_by_themselves"][0], "compressor");
}

#[test]
fn what_somebody_gets_is_told_first_and_protection_is_always_asked_for() {
    let scenario = of_case(&case("noise_evening"));
    let said = answer_of(&scenario, &[]);
    assert!(
        said.contains("98 dB(A) at most. Without protection that is 102 % of the dose that NIOSH allows in a day, as much as 85 dB(A) for 8 h."),
        "{said}"
    );
    assert!(said.contains("Wear hearing protection"), "{said}");
    let said = answer_of(&of_case(&case("noise_protected_under_80")), &["--details"]);
    assert!(
        said.contains("; behind 20 dB of protection it is nothing that counts"),
        "{said}"
    );
    assert!(said.contains("half as long for every 3 dB more"), "{said}");
    let plain = scenario.replace("noise: {cutting", "table: 3 ft, motor: {amps");
    let plain = ["96 dB", "84 dB", "80 dB", "98 dB"]
        .iter()
        .fold(plain, |file, level| file.replace(level, "5 A"));
    let said = answer_of(&plain, &[]);
    assert!(!said.contains("Noise"), "{said}");
}

/// A layout with a better wall, in the one-car garage of the definitions; the rest is that of the file.
#[test]
fn a_layout_has_a_wall_of_its_own() {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let file = here.join("tests/data/services/one_car_garage.yaml");
    let file = fs::read_to_string(file).expect("readable");
    let bare = candidate_of(&file, &["--replications", "5"]);
    let better = file.replace(
        "  along the walls:\n",
        "  along the walls:\n    noise: {house wall: {door: {reduction: 29 dB}}}\n",
    );
    let better = candidate_of(&better, &["--replications", "5"]);
    let level = |found: &Value| found["noise"]["house"]["loudest_db"].as_f64().expect("dB");
    // 96 ft² of 34 dB with 20 ft² of 19 or 29 dB.
    let through = |door: f64| 96.0 * 10f64.powf(-3.4) + 20.0 * 10f64.powf(-door / 10.0);
    let expected = 10.0 * (through(19.0) / through(29.0)).log10();
    assert!((level(&bare) - level(&better) - expected).abs() < 1e-9);
}

#[test]
fn what_makes_no_sense_is_refused() {
    let scenario = two_apart(6.0);
    for (was, is, what) in [
        ("cutting: 96 dB", "", "nothing says how loud it is"),
        ("cutting: 96 dB", "cutting: 96", "a sound level is needed"),
        (
            "cutting: 96 dB",
            "cutting: 96 dB, louder: 2 dB",
            "`louder` is not a key",
        ),
        (
            "orders:",
            "noise: {}\norders:",
            "`noise` with nothing in it",
        ),
        (
            "orders:",
            "noise: {house wall: {area: 10 m2}}\norders:",
            "needs `reduction`, `absorbs`",
        ),
        (
            "orders:",
            "noise: {house wall: {area: 0, reduction: 30 dB, absorbs: 10 m2}}\norders:",
            "`area` cannot be 0",
        ),
    ] {
        assert!(scenario.contains(was), "{was}");
        refused_of(&scenario.replace(was, is), what);
    }
    let silent = scenario
        .replace("noise: {cutting: 96 dB}, ", "")
        .replace("noise: {cutting: 98 dB}, ", "")
        + "noise: {house wall: {area: 9 m2, reduction: 30 dB, absorbs: 10 m2}}\n";
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), silent).expect("writable");
    refused(
        &["run", "shop.yaml"],
        folder.path(),
        "nothing says how loud any machine is",
    );
}
