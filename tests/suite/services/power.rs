//! Current against worked cases, and what holds whatever runs.

use std::collections::BTreeMap;

use proptest::prelude::*;
use serde_json::Value;
use shopstride::services::power::{
    CircuitAccount, CircuitLoad, Conductor, Continuity, ElectricLeg, Supplied, WireRun, accounts,
    conductor_ampacity, leg_currents, table_amps,
};
use shopstride::services::together::OnTime;
use shopstride::units::customary::{FOOT, HORSEPOWER};
use shopstride::units::{Moment, Span};

use super::case::{Case, number, numbers};
use crate::support::drawn;

pub fn table(case: &Case) {
    let found = table_amps(case.number("hp") * HORSEPOWER, case.number("volts"));
    case.near("A", found.expect("a row"));
}

pub fn drop_of_run(case: &Case) {
    let conductor = Conductor::gauge(case.number("awg") as u32).expect("a gauge");
    let drop = conductor.drop(case.number("I"), case.number("L") * FOOT);
    case.near("V", drop);
    case.near("pct", 100.0 * drop / case.number("volts"));
}

/// Here the wire is given by its circular mils.
pub fn drop_of_wire(case: &Case) {
    assert_eq!(case.number("K"), 12.9);
    let gauge = match case.number("CM") {
        10_380.0 => 10,
        4110.0 => 14,
        other => panic!("{other} circular mils"),
    };
    let conductor = Conductor::gauge(gauge).expect("a gauge");
    let drop = conductor.drop(case.number("I"), case.number("L_ft") * FOOT);
    case.near("VD", drop);
    case.near("percent", 100.0 * drop / case.number("V"));
}

pub fn conductor(case: &Case) {
    let (powers, volts) = (case.numbers("hp"), case.numbers("V"));
    let amps: Vec<f64> = (powers.iter().zip(volts))
        .map(|(power, volts)| table_amps(power * HORSEPOWER, volts).expect("a row"))
        .collect();
    let ampacities: Vec<f64> = amps.iter().copied().map(conductor_ampacity).collect();
    case.same("FLC", amps, numbers(case.expected("FLC")));
    case.same(
        "ampacity",
        ampacities,
        numbers(case.expected("ampacity_min")),
    );
}

fn seconds(seconds: f64) -> Moment {
    Moment::START + Span::from_seconds(seconds)
}

fn on_times(load: &Value) -> Vec<OnTime> {
    let runs_on = load.get("run on").map_or(0.0, number);
    let times = load["on"].as_array().expect("a list").iter().map(numbers);
    times
        .map(|time| OnTime {
            from: seconds(time[0]),
            until: seconds(time[1] + runs_on),
        })
        .collect()
}

struct Told<'a> {
    circuits: Vec<(&'a String, &'a Value)>,
    names: Vec<&'a str>,
    loads: Vec<CircuitLoad>,
}

impl<'a> Told<'a> {
    fn new(case: &'a Case) -> Told<'a> {
        let circuits: Vec<(&String, &Value)> = case
            .input("circuits")
            .as_object()
            .expect("an object")
            .iter()
            .collect();
        let (mut names, mut loads) = (Vec::new(), Vec::new());
        for (name, load) in case.input("loads").as_object().expect("an object") {
            let keys = ["amps", "circuit", "on", "motor", "run on", "table"];
            assert!(
                load.as_object()
                    .expect("an object")
                    .keys()
                    .all(|key| keys.contains(&key.as_str()))
            );
            let circuit = circuits
                .iter()
                .position(|(circuit, _)| load["circuit"] == **circuit);
            names.push(name.as_str());
            loads.push(CircuitLoad {
                circuit: circuit.expect("a circuit"),
                amps: number(&load["amps"]),
                table_amps: load.get("table").map(number),
                is_motor: load.get("motor") == Some(&Value::Bool(true)),
                continuity: Continuity::ByTimes,
                on: on_times(load),
            });
        }
        Told {
            circuits,
            names,
            loads,
        }
    }

    /// Of several loads, in the order of the alphabet.
    fn named(&self, loads: &[usize]) -> Vec<&'a str> {
        let mut names: Vec<&str> = loads.iter().map(|&load| self.names[load]).collect();
        names.sort_unstable();
        names
    }

    fn supplied(&self) -> Vec<Supplied> {
        let leg = |circuit: &Value| match (number(&circuit["volts"]), circuit["leg"].as_str()) {
            (240.0, None) => Supplied::Both,
            (120.0, Some("a")) => Supplied::One(ElectricLeg::A),
            (120.0, Some("b")) => Supplied::One(ElectricLeg::B),
            other => panic!("{other:?}"),
        };
        self.circuits
            .iter()
            .map(|(_, circuit)| leg(circuit))
            .collect()
    }
}

pub fn account(case: &Case) {
    let told = Told::new(case);
    let ratings: Vec<f64> = (told.circuits.iter())
        .map(|(_, circuit)| number(&circuit["breaker"]))
        .collect();
    let found = accounts(&ratings, &told.loads);
    let expected = case.expected("circuits").as_object().expect("an object");
    assert_eq!(expected.len(), found.len());
    for ((name, circuit), found) in told.circuits.iter().zip(&found) {
        compare(case, &told, circuit, found, &expected[*name]);
    }
    // Without a panel the case asks for no legs.
    let legs = case.expected("legs").as_object().expect("an object");
    if let Some(panel) = case.given("panel") {
        let found = leg_currents(&told.supplied(), &told.loads);
        case.close("leg a", found.a, number(&legs["a"]));
        case.close("leg b", found.b, number(&legs["b"]));
        case.near("panel_headroom_A", number(panel) - found.greater());
    } else {
        assert!(legs.is_empty());
    }
}

/// Drops are printed with four or five decimals, which is coarser than what is allowed for the rest.
fn printed(value: f64, digits: f64) -> f64 {
    (value * digits).round() / digits
}

fn compare(case: &Case, told: &Told, circuit: &Value, found: &CircuitAccount, expected: &Value) {
    let rating = number(&circuit["breaker"]);
    let all = expected.as_object().expect("an object");
    let mut left: Vec<&str> = all.keys().map(String::as_str).collect();
    let mut near = |key: &str, value: f64| {
        left.retain(|&name| name != key);
        case.close(key, value, number(&expected[key]));
    };
    near("peak_A", found.peak);
    near("headroom_A", rating - found.peak);
    near(
        "first_at_s",
        found.first_at.map_or(f64::NAN, Moment::seconds),
    );
    near("over_s", found.over.sum.seconds());
    near("over_times", found.over.count as f64);
    near("over_longest_s", found.over.longest.seconds());
    near("continuous_check_A", found.with_continuous);
    near("planning_A", found.planning);
    if let Some(gauge) = circuit.get("awg") {
        let run = WireRun {
            conductor: Conductor::gauge(number(gauge) as u32).expect("a gauge"),
            length: number(&circuit["length"]) * FOOT,
        };
        let drop = run.drop(found.peak);
        near("drop_run_V", printed(drop, 1e5));
        let share = 100.0 * drop / number(&circuit["volts"]);
        near("drop_worst_pct", printed(share, 1e4));
    }
    let ok = expected["continuous_check_ok"].as_bool();
    case.same("continuous", Some(found.carries_continuous(rating)), ok);
    case.same("over", found.is_over(rating), found.over.count > 0);
    let listed = |key: &str| -> Vec<&str> {
        let names = expected[key].as_array().expect("a list").iter();
        names.map(|name| name.as_str().expect("a name")).collect()
    };
    case.same(
        "combination",
        told.named(&found.combination),
        listed("combination"),
    );
    case.same(
        "continuous",
        told.named(&found.continuous),
        listed("continuous"),
    );
    let over: BTreeMap<String, Value> = (found.over_combinations.iter())
        .map(|(loads, spells)| {
            (
                told.named(loads).join("+"),
                Value::from(spells.sum.seconds() as i64),
            )
        })
        .collect();
    let sets = expected["over_combinations_s"]
        .as_object()
        .expect("an object");
    case.same("combinations", over, sets.clone().into_iter().collect());
    left.retain(|name| {
        ![
            "continuous_check_ok",
            "combination",
            "continuous",
            "over_combinations_s",
        ]
        .contains(name)
    });
    case.same("left", left, Vec::new());
}

/// Loads on one circuit, with times in whole minutes of an evening.
fn some_loads() -> impl Strategy<Value = Vec<CircuitLoad>> {
    let times = prop::collection::vec((0_i64..300, 0_i64..240), 0..5);
    let load = (1_u32..20, any::<bool>(), times).prop_map(|(amps, is_motor, times)| CircuitLoad {
        circuit: 0,
        amps: f64::from(amps),
        table_amps: None,
        is_motor,
        continuity: Continuity::ByTimes,
        on: (times.into_iter())
            .map(|(from, lasts)| OnTime {
                from: Moment::from_micros(from * 60_000_000),
                until: Moment::from_micros((from + lasts) * 60_000_000),
            })
            .collect(),
    });
    prop::collection::vec(load, 0..6)
}

/// The definition, minute by minute.
fn by_minutes(loads: &[CircuitLoad], rating: f64) -> (f64, i64, Vec<usize>) {
    let is_on = |load: &CircuitLoad, minute: i64| {
        let at = Moment::from_micros(minute * 60_000_000);
        load.on
            .iter()
            .any(|time| time.from <= at && at < time.until)
    };
    let (mut peak, mut over): (f64, i64) = (0.0, 0);
    for minute in 0..600 {
        let sum = loads
            .iter()
            .filter(|load| is_on(load, minute))
            .map(|load| load.amps)
            .sum();
        peak = peak.max(sum);
        over += i64::from(sum > rating);
    }
    let longest = |load: &CircuitLoad| {
        let (mut longest, mut now) = (0, 0);
        for minute in 0..600 {
            now = if is_on(load, minute) { now + 1 } else { 0 };
            longest = longest.max(now);
        }
        longest
    };
    let continuous = (0..loads.len())
        .filter(|&load| longest(&loads[load]) >= 180)
        .collect();
    (peak, over, continuous)
}

proptest! {
    #![proptest_config(drawn(256))]

    #[test]
    fn accounts_are_what_a_count_minute_by_minute_gives(loads in some_loads(), rating in 5_u32..40) {
        let rating = f64::from(rating);
        let found = &accounts(&[rating], &loads)[0];
        let (peak, over, continuous) = by_minutes(&loads, rating);
        prop_assert_eq!(found.peak, peak);
        prop_assert_eq!(found.over.sum.micros(), over * 60_000_000);
        prop_assert_eq!(&found.continuous, &continuous);
        let by_set: i64 = found.over_combinations.values().map(|spells| spells.sum.micros()).sum();
        prop_assert_eq!(by_set, over * 60_000_000);
        prop_assert!(found.with_continuous >= found.peak && found.planning >= found.with_continuous);
    }

    #[test]
    fn one_more_load_never_lightens_a_circuit(loads in some_loads(), rating in 5_u32..40) {
        prop_assume!(!loads.is_empty());
        let rating = f64::from(rating);
        let all = &accounts(&[rating], &loads)[0];
        let fewer = &accounts(&[rating], &loads[1..])[0];
        prop_assert!(fewer.peak <= all.peak && fewer.over.sum <= all.over.sum);
        prop_assert!(fewer.with_continuous <= all.with_continuous && fewer.planning <= all.planning);
    }
}
