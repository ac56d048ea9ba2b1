//! The worked cases of currents (`tests/data/services/cases.json`, of an independent solver) as scenario files.

use serde_json::{Value, json};

use super::files::{Machine, power_of, timed};

const CASES: &str = include_str!("../../data/services/cases.json");

/// Motors whose table amps a case names, in hp at 240 V: NEC table 430.248.
const TABLE: [(f64, f64); 2] = [(17.0, 3.0), (12.0, 2.0)];

fn times(load: &Value) -> Vec<[f64; 2]> {
    serde_json::from_value(load["on"].clone()).expect("times")
}

/// Loads of a case as stations. What runs on is a collector of the machine that is on at the same times.
fn machines(case: &Value) -> Vec<Machine> {
    let loads = case["inputs"]["loads"].as_object().expect("loads");
    let served = |load: &Value| {
        let mut others = loads.iter();
        let of =
            others.find(|(_, other)| other.get("run on").is_none() && other["on"] == load["on"]);
        of.map(|(name, _)| name.clone()).expect("what it serves")
    };
    let collector = loads.iter().find(|(_, load)| load.get("run on").is_some());
    let machine = |(name, load): (&String, &Value)| {
        let circuit = load["circuit"].as_str().expect("a circuit");
        let volts = &case["inputs"]["circuits"][circuit]["volts"];
        let amps = load["amps"].as_f64().expect("amps");
        let power = load.get("table").map_or_else(String::new, |table| {
            let row = TABLE.iter().find(|(amps, _)| Some(*amps) == table.as_f64());
            format!("power: {} hp, ", row.expect("a row").1)
        });
        let draws = match load.get("motor") {
            Some(_) => format!("motor: {{{power}volts: {volts} V, amps: {amps} A}}"),
            None => format!(
                "load: {{power: {} W, volts: {volts} V}}",
                amps * volts.as_f64().expect("V")
            ),
        };
        let is_served = collector.is_some_and(|(_, collector)| served(collector) == *name);
        let port = if is_served {
            ", ports: [{duct: main}]"
        } else {
            ""
        };
        Machine {
            name: name.clone(),
            says: format!("{draws}, circuit: {circuit}{port}"),
            on: match load.get("run on") {
                Some(_) => Vec::new(),
                None => times(load),
            },
        }
    };
    loads.iter().map(machine).collect()
}

fn wires(case: &Value) -> String {
    let mut text = "power:\n".to_owned();
    if let Some(panel) = case["inputs"].get("panel") {
        text.push_str(&format!("  panel: {{rating: {panel} A}}\n"));
    }
    text.push_str("  circuits:\n");
    for (name, circuit) in case["inputs"]["circuits"].as_object().expect("circuits") {
        let of = |key: &str, write: &dyn Fn(&Value) -> String| {
            circuit.get(key).map_or_else(String::new, write)
        };
        text.push_str(&format!(
            "    {name}: {{breaker: {} A, volts: {} V{}{}{}}}\n",
            circuit["breaker"],
            circuit["volts"],
            of("leg", &|leg| format!(
                ", leg: {}",
                leg.as_str().expect("a leg")
            )),
            of("awg", &|gauge| format!(", wire: {gauge} AWG")),
            of("length", &|length| format!(", length: {length} ft")),
        ));
    }
    let loads = case["inputs"]["loads"].as_object().expect("loads");
    for (name, load) in loads {
        if let Some(longer) = load.get("run on") {
            text.push_str(&format!(
                "dust: {{collectors: {{{name}: {{run on: {longer} s}}}}, mains: {{main: {{from: {name}}}}}}}\n"
            ));
        }
    }
    text
}

fn close(id: &str, what: &str, found: &Value, expected: &Value, allowed: f64) {
    let (found, expected) = (found.as_f64(), expected.as_f64().expect("a figure"));
    let is_near = found.is_some_and(|found| (found - expected).abs() <= allowed);
    assert!(is_near, "{id}: {what} is {found:?}, not {expected}");
}

#[test]
fn every_worked_case_of_current_comes_out_of_its_file() {
    let cases: Vec<Value> = serde_json::from_str(CASES).expect("JSON");
    let cases = cases.iter().filter(|case| case["kind"] == "power");
    let mut read = 0;
    for case in cases {
        read += 1;
        let id = case["id"].as_str().expect("an id");
        let found = power_of(&timed(&machines(case), &wires(case)), &[]);
        let circuits = found["circuits"].as_array().expect("circuits");
        let expected = case["expected"]["circuits"].as_object().expect("circuits");
        assert_eq!(circuits.len(), expected.len(), "{id}");
        for circuit in circuits {
            compare(
                id,
                circuit,
                &expected[circuit["name"].as_str().expect("a name")],
            );
        }
        if let Some(headroom) = case["expected"]["legs"].get("a") {
            let legs = &case["expected"]["legs"];
            close(id, "leg a", &found["panel"]["peak_a"]["a"], headroom, 1e-6);
            close(
                id,
                "leg b",
                &found["panel"]["peak_a"]["b"],
                &legs["b"],
                1e-6,
            );
        }
    }
    assert_eq!(read, 5);
}

fn compare(id: &str, found: &Value, expected: &Value) {
    let over = &found["over_rating"];
    let none = json!(0.0);
    let of_over = |key: &str| if over.is_null() { &none } else { &over[key] };
    for (what, found, allowed) in [
        ("peak_A", &found["peak_a"], 1e-9),
        ("headroom_A", &found["headroom_a"], 1e-9),
        ("over_s", of_over("time_s"), 1e-6),
        ("over_times", of_over("spells"), 1e-9),
        ("over_longest_s", of_over("longest_of_all_s"), 1e-6),
        ("continuous_check_A", &found["with_continuous_a"], 1e-9),
        ("planning_A", &found["planning_a"], 1e-9),
    ] {
        close(id, what, found, &expected[what], allowed);
    }
    // With the digits of the case.
    if let Some(volts) = expected.get("drop_run_V") {
        close(id, "drop", &found["drop"]["run_v"], volts, 5e-6);
        let percent = json!(
            found["drop"]["total_share"]
                .as_f64()
                .map(|share| 100.0 * share)
        );
        close(id, "drop in %", &percent, &expected["drop_worst_pct"], 5e-5);
    }
    let sorted = |names: &Value| {
        let mut names: Vec<String> = serde_json::from_value(names.clone()).expect("names");
        names.sort();
        names
    };
    assert_eq!(
        sorted(&found["peak_of"]),
        sorted(&expected["combination"]),
        "{id}"
    );
    assert_eq!(
        sorted(&found["continuous"]),
        sorted(&expected["continuous"]),
        "{id}"
    );
    let carries = found["with_continuous_a"]
        .as_f64()
        .zip(found["headroom_a"].as_f64());
    let carries =
        carries.map(|(amps, headroom)| amps <= found["peak_a"].as_f64().expect("A") + headroom);
    assert_eq!(carries, expected["continuous_check_ok"].as_bool(), "{id}");
    let sets = over["combinations"].as_array().cloned().unwrap_or_default();
    let expected = expected["over_combinations_s"].as_object().expect("sets");
    assert_eq!(sets.len(), expected.len(), "{id}");
    for set in sets {
        close(
            id,
            "a set",
            &set["time_s"],
            &expected[&sorted(&set["of"]).join("+")],
            1e-6,
        );
    }
}
