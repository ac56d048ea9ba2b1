//! What lamps draw.

use super::files::{Machine, power_of, timed};
use crate::support::command::{folder, refused};

/// Two lamps of 40 W and one of 100 W: 180 W at 120 V are 1.5 A, all the time, beside a saw of 15 A for 2 min.
fn lit(circuit: &str, power: &str) -> String {
    let saw = Machine {
        name: "saw".to_owned(),
        says: "motor: {volts: 120 V, amps: 15 A}, circuit: A".to_owned(),
        on: vec![[60.0, 180.0]],
    };
    timed(
        &[saw],
        &format!(
            "room: {{size: [6 m, 4 m], ceiling: 2.5 m}}\npower: {{circuits: {{A: {{breaker: 20 A}}, B: {{breaker: 15 A}}}}}}\n\
             light: {{{circuit}lamps: [{{lumens: 4000 lm, count: 2{power}}}, {{lumens: 9000 lm, count: 1, power: 100 W}}]}}\n"
        ),
    )
}

fn peak(power: &serde_json::Value, circuit: usize) -> f64 {
    power["circuits"][circuit]["peak_a"].as_f64().expect("A")
}

#[test]
fn lamps_are_lit_throughout_on_their_circuit() {
    let power = power_of(&lit("circuit: A, ", ", power: 40 W"), &[]);
    assert!((peak(&power, 0) - 16.5).abs() < 1e-9, "{power}");
    assert_eq!(
        power["circuits"][0]["loads"],
        serde_json::json!(["saw", "lamps"])
    );
    assert_eq!(peak(&power, 1), 0.0);
    let power = power_of(&lit("circuit: B, ", ", power: 40 W"), &[]);
    assert!((peak(&power, 0) - 15.0).abs() < 1e-9, "{power}");
    assert!((peak(&power, 1) - 1.5).abs() < 1e-9, "{power}");
}

#[test]
fn lamps_of_which_nobody_says_enough_are_told_or_refused() {
    let power = power_of(&lit("", ", power: 40 W"), &[]);
    assert_eq!(power["without_circuit"], serde_json::json!(["lamps"]));
    let folder = folder();
    let path = folder.path().join("shop.yaml");
    let write = |scenario: &str| std::fs::write(&path, scenario).expect("writable");
    write(&lit("circuit: C, ", ", power: 40 W"));
    refused(&["run", "shop.yaml"], folder.path(), "C");
    write(&lit("circuit: A, ", "").replace(", power: 100 W", ""));
    refused(
        &["run", "shop.yaml"],
        folder.path(),
        "nothing says what the lamps draw",
    );
    let power = power_of(&lit("", "").replace(", power: 100 W", ""), &[]);
    assert_eq!(power["without_circuit"], serde_json::json!([]));
}
