//! What is told of currents, and what is refused.

use std::path::Path;

use super::files::{Machine, power_in, power_of, timed};
use crate::support::command::{self, done, folder, refused, text};

const GARAGE: &str = "tests/data/services/one_car_garage.yaml";

fn here() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// A text without the breaks of its lines.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn answer(arguments: &[&str]) -> String {
    command::answer(arguments, here())
}

fn written(scenario: &str) -> (tempfile::TempDir, String) {
    let folder = folder();
    let path = folder.path().join("shop.yaml");
    std::fs::write(&path, scenario).expect("writable");
    let path = path.to_string_lossy().into_owned();
    (folder, path)
}

/// The classic of the notes on electrics (E2): a saw of 15 A and a collector of 14 A on one circuit of 20 A.
fn classic(rest: &str) -> String {
    let saw = Machine {
        name: "saw".to_owned(),
        says: "motor: {volts: 120 V, amps: 15 A}, circuit: A, ports: [{duct: main}]".to_owned(),
        on: vec![[60.0, 120.0], [180.0, 360.0]],
    };
    let collector = Machine {
        name: "collector".to_owned(),
        says: "motor: {volts: 120 V, amps: 14 A}, circuit: A".to_owned(),
        on: Vec::new(),
    };
    let dust =
        "dust: {collectors: {collector: {run on: 10 s}}, mains: {main: {from: collector}}}\n";
    timed(&[saw, collector], &format!("{dust}{rest}"))
}

#[test]
fn what_is_over_a_rating_is_told_with_where_to_plug_it_in() {
    let (_folder, path) = written(&classic(
        "power: {circuits: {A: {breaker: 20 A}, B: {breaker: 20 A}}}\n",
    ));
    let said = answer(&[&path]);
    assert!(
        said.contains("Circuit A (20 A) is over its rating 2 times in one run, 4 min in all: saw and collector together draw 29 A, 9 A too much."),
        "{said}"
    );
    assert!(
        said.contains(
            "Plug the collector into circuit B: then circuit A carries 15 A and B 14 A at most."
        ),
        "{said}"
    );
    assert!(said.contains("ask a licensed electrician"), "{said}");
}

#[test]
fn where_no_other_circuit_has_room_that_is_said() {
    let (_folder, path) = written(&classic(
        "power: {circuits: {A: {breaker: 20 A}, B: {breaker: 10 A}, C: {breaker: 30 A, volts: 240 V}}}\n",
    ));
    let said = answer(&[&path]);
    assert!(
        said.contains("No other circuit of this voltage has room for one of these"),
        "{said}"
    );
}

#[test]
fn where_all_is_within_its_rating_nothing_is_said() {
    let (_folder, path) = written(&classic("power: {circuits: {A: {breaker: 30 A}}}\n"));
    let said = answer(&[&path]);
    assert!(!said.contains("Power"), "{said}");
    let details = answer(&["--details", &path]);
    assert!(
        details.contains("A (30 A)") && details.contains("licensed electrician"),
        "{details}"
    );
}

/// Of 29 A, 29 × 2 × 12.9 × 100 / 6530 = 11.46 V of 120 V are lost on the run: 9.5 %, and more than all of it on a run of
/// 2000 ft.
#[test]
fn what_is_lost_on_a_long_run_is_told_at_once() {
    let lost = |length: &str| {
        let power = format!(
            "power: {{circuits: {{A: {{breaker: 30 A, wire: 12 AWG, length: {length}}}}}}}\n"
        );
        let (_folder, path) = written(&classic(&power));
        answer(&[&path])
    };
    let long = lost("100 ft");
    assert!(
        long.contains(
            "loses 9.5 % of its voltage in the wires and cords of circuit A: 5 % at most is advised"
        ),
        "{long}"
    );
    assert!(lost("2000 ft").contains("cannot run:"));
    assert!(!lost("20 ft").contains("voltage"));
}

/// Of 29 A, 29 × 2 × 12.9 × 30 / 6530 = 3.44 V are lost on the run. A compressor has no moments of its own: 41 A if it
/// starts then. A machine without a circuit is in no account.
#[test]
fn what_starts_by_itself_and_what_is_plugged_in_nowhere() {
    let power = "power: {circuits: {A: {breaker: 20 A, wire: 12 AWG, length: 30 ft}}}\n";
    let more = "stations:\n  compressor: {motor: {amps: 12 A}, circuit: A, automatic: true}\n  lathe: {kind: lathe}\n";
    let scenario = classic(power).replacen("stations:\n", more, 1);
    let found = power_of(&scenario, &[]);
    let circuit = &found["circuits"][0];
    assert_eq!(circuit["peak_a"], 29.0);
    assert_eq!(circuit["with_starting"]["peak_a"], 41.0);
    assert_eq!(circuit["starting"][0], "compressor");
    // While as much runs as ever does.
    let drop = circuit["drop"]["run_v"].as_f64().expect("V");
    assert!(
        (drop - 41.0 * 2.0 * 12.9 * 30.0 / 6530.0).abs() < 1e-9,
        "{drop}"
    );
    assert_eq!(found["without_circuit"][0], "lathe");
    let (_folder, path) = written(&scenario);
    let said = answer(&[&path]);
    assert!(
        said.contains("29 A, 9 A too much, and 41 A if the compressor starts"),
        "{said}"
    );
    assert!(
        said.contains("since nothing says on which circuit: lathe."),
        "{said}"
    );
}

/// A heater of 4 kW at 240 V draws 16.7 A on both legs, is taken to be on, and counts for 25 % more: 20.8 A.
#[test]
fn the_one_car_garage_of_the_definitions() {
    let found = power_in(here(), GARAGE, &["--replications", "20"]);
    let circuit = |nth: usize| &found["circuits"][nth];
    let amps = |value: &serde_json::Value| (value.as_f64().expect("A") * 10.0).round() / 10.0;
    assert_eq!(amps(&circuit(2)["peak_a"]), 16.7);
    assert_eq!(amps(&circuit(2)["with_continuous_a"]), 20.8);
    assert!(circuit(2)["rating_a"].is_null() && circuit(2)["over_rating"].is_null());
    // The collector's 14 A with 1 hp / (120 V × 0.72) of the jointer; the saw and the planer are never on together.
    assert_eq!(amps(&circuit(0)["peak_a"]), 22.6);
    assert_eq!(amps(&circuit(1)["peak_a"]), 15.0);
    // Of the table: 20 A for 1.5 hp with 25 % more, and 16 A for 1 hp.
    assert_eq!(amps(&circuit(0)["planning_a"]), 41.0);
    let leg_a = amps(&found["panel"]["peak_a"]["a"]);
    assert_eq!(leg_a, 39.3, "collector, jointer and heater");
    assert_eq!(found["plug_elsewhere"]["station"], "jointer");
    assert_eq!(found["plug_elsewhere"]["holds_with_starting"], false);
    let said = answer(&[GARAGE, "--replications", "20"]);
    assert!(
        said.contains("dust collector and jointer together draw 22.6 A, 2.6 A too much"),
        "{said}"
    );
    let details = answer(&[GARAGE, "--replications", "20", "--details"]);
    assert!(
        details.contains("Currents from the power of motors"),
        "{details}"
    );
}

/// Somebody who calls a collector automatic means that it starts with the saw: 29 A all the same.
#[test]
fn a_collector_that_is_automatic_is_on_with_its_machines() {
    let file = classic("power: {circuits: {A: {breaker: 20 A}, B: {breaker: 20 A}}}\n");
    let file = file.replace(
        "amps: 14 A}, circuit: A",
        "amps: 14 A}, circuit: A, automatic: true",
    );
    let found = power_of(&file, &[]);
    assert_eq!(found["circuits"][0]["peak_a"], 29.0, "{found}");
}

/// 14 AWG is usually protected by 15 A at most (NEC 240.4(D), from memory): a larger breaker is told, and nothing is plugged
/// in there beside a planer of 15 A, though 30 A would not trip it.
#[test]
fn nothing_is_put_on_a_wire_that_is_too_thin_for_its_breaker() {
    let power = |wire: &str| {
        format!(
            "power: {{circuits: {{A: {{breaker: 20 A}}, B: {{breaker: 50 A, length: 10 m, wire: {wire}}}}}}}\n"
        )
    };
    let planer = "stations:\n  planer: {motor: {volts: 120 V, amps: 15 A}, circuit: B, does: {use planer: {}}}\n";
    let work = "projects:\n  planed: {route: [{op: use planer, per lot: 60 s}]}\n";
    let order = "orders:\n  - {project: planed, first: 60 s, every: 0, count: 1}\n";
    let file = |wire: &str| {
        let file = classic(&power(wire)).replacen("stations:\n", planer, 1);
        let file = file.replacen("projects:\n", work, 1);
        let file = file.replacen("orders:\n", order, 1);
        file.replace("{maker: {count: 2}}", "{maker: {count: 3}}")
    };
    let (folder, path) = written(&file("14 AWG"));
    let output = done(&["run", &path], folder.path());
    let warned = flat(&text(&output.stderr));
    assert!(
        warned.contains("the breaker of `B` is larger than its wire is usually protected by"),
        "{warned}"
    );
    let said = flat(&text(&output.stdout));
    assert!(
        said.contains("No other circuit of this voltage has room"),
        "{said}"
    );
    let (_folder, path) = written(&file("6 AWG"));
    let said = answer(&[&path]);
    assert!(said.contains("into circuit B"), "{said}");
}

/// A layout says what is other there, and the rest stays.
#[test]
fn a_layout_has_wires_of_its_own() {
    let file = classic("power: {circuits: {A: {breaker: 20 A, length: 10 m, wire: 4 mm2}}}\n");
    let file = file.replace(
        "{here: {distances: 0}}",
        "{here: {distances: 0}, rewired: {distances: 0, power: {circuits: {A: {breaker: 30 A}}}}}",
    );
    let (folder, path) = written(&file);
    let output = done(
        &["compare", &path, "--quiet", "--no-charts", "--json", "-"],
        folder.path(),
    );
    let data: serde_json::Value = serde_json::from_str(&text(&output.stdout)).expect("JSON");
    let circuit = |nth: usize| data["candidates"][nth]["power"]["circuits"][0].clone();
    assert_eq!(
        (
            circuit(0)["rating_a"].as_f64(),
            circuit(1)["rating_a"].as_f64()
        ),
        (Some(20.0), Some(30.0))
    );
    assert!(circuit(1)["over_rating"].is_null() && !circuit(0)["over_rating"].is_null());
    assert_eq!(circuit(0)["drop"], circuit(1)["drop"]);
    // 4 mm2 are 4 × 1973.5 circular mils, and 10 m 32.808 ft.
    let drop = circuit(0)["drop"]["run_v"].as_f64().expect("V");
    let expected = 2.0 * 12.9 * 29.0 * (10.0 / 0.3048) / (4.0 * 1973.525);
    assert!((drop - expected).abs() < 1e-4, "{drop} {expected}");
}

#[test]
fn what_makes_no_sense_is_refused() {
    for (power, what) in [
        (
            "power: {circuits: {A: {volts: 120 V}}}\n",
            "nothing says how the circuit is protected",
        ),
        (
            "power: {circuits: {A: {breaker: 20 A, volts: 240 V}}}\n",
            "it takes 120 V, but circuit `A` has 240 V",
        ),
        (
            "power: {circuits: {B: {breaker: 20 A}}}\n",
            "there is no circuit called `A`",
        ),
        ("", "there is no circuit"),
    ] {
        let (folder, path) = written(&classic(power));
        refused(&["run", &path], folder.path(), what);
    }
}

/// A horsepower of a motor is 746 W: at 120 V and 0.72 that is 8.634 A, as `scenarios/README.md` says.
#[test]
fn a_horsepower_is_what_the_words_say() {
    let file = classic("power: {circuits: {A: {breaker: 20 A}}}\n").replace(
        "motor: {volts: 120 V, amps: 15 A}",
        "motor: {volts: 120 V, power: 1 hp}",
    );
    let found = power_of(&file, &[]);
    let loads = found["loads"].as_array().expect("loads");
    let saw = loads
        .iter()
        .find(|load| load["station"] == "saw")
        .expect("a saw");
    let amps = saw["amps_a"].as_f64().expect("A");
    assert!((amps - 746.0 / (120.0 * 0.72)).abs() < 1e-12, "{amps}");
}

/// The run ends with its last machine; the collector runs on for its 10 s all the same, but not beyond a horizon.
#[test]
fn a_collector_runs_on_after_the_last_machine_of_a_run() {
    let on = |rest: &str| {
        let power = format!("power: {{circuits: {{A: {{breaker: 20 A}}}}}}\n{rest}");
        let found = power_of(&classic(&power), &[]);
        let loads = found["loads"].as_array().expect("loads").clone();
        let of = loads.iter().find(|load| load["station"] == "collector");
        of.expect("a collector")["on_s"].as_f64().expect("s")
    };
    assert_eq!(on(""), 60.0 + 10.0 + 180.0 + 10.0);
    assert_eq!(on("run: {until: 365 s}\n"), 60.0 + 10.0 + 180.0 + 5.0);
}

#[test]
fn an_outlet_outside_of_the_room_is_told() {
    let folder = folder();
    let file = std::fs::read_to_string(here().join(GARAGE)).expect("readable");
    let warned = |file: &str| {
        std::fs::write(folder.path().join("shop.yaml"), file).expect("writable");
        let arguments = ["run", "shop.yaml", "--replications", "2"];
        text(&done(&arguments, folder.path()).stderr)
    };
    assert!(!warned(&file).contains("not in the room"));
    let outside = file.replace("{at: [0, 19 ft]}", "{at: [0, 29 ft]}");
    assert!(warned(&outside).contains("this outlet is not in the room"));
}
