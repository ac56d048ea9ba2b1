//! Heat from a scenario, through the command line.

use serde_json::Value;
use shopstride::units::customary::{BTU_AN_HOUR, CFM, FAHRENHEIT, celsius};

use crate::power::files::candidate_of;
use crate::support::command::{answer_of, refused_of};

const CASES: &str = include_str!("../data/services/cases.json");

fn case(id: &str) -> Value {
    let cases: Vec<Value> = serde_json::from_str(CASES).expect("JSON");
    let found = cases.into_iter().find(|case| case["id"] == id);
    found.expect("a case")
}

/// Btu/(h °F) in W/K.
const UA: f64 = BTU_AN_HOUR / FAHRENHEIT;

/// The garage of the case: 12 by 22 ft, 8 ft high, with doors of 63 and 20 ft²; 40 °F warmer than outdoors.
fn garage(heater: &str, rest: &str) -> String {
    format!(
        "title: heat\nshow: imperial\n\
         room:\n  size: [12 ft, 22 ft]\n  ceiling: 8 ft\n  doors:\n\
         \x20   - {{name: overhead, between: [[1 ft 6 in, 0], [10 ft 6 in, 0]], height: 7 ft}}\n\
         \x20   - {{name: door, between: [[12 ft, 14 ft], [12 ft, 17 ft]], height: 80 in}}\n\
         stations:\n  bench: {{size: [4 ft, 2 ft], does: {{work: {{per lot: 10 min}}}}}}\n  heater: {{load: {{power: {heater}}}, automatic: true}}\n\
         projects: {{a: {{route: [work]}}}}\norders: [{{project: a}}]\n\
         heat:\n  open: 62 F\n  shut: 45 F\n  outside: {{jan: 22 F, mar: 40 F}}\n  walls: {{area: 461 ft2, r: 12}}\n  ceiling: {{area: 264 ft2, r: 20}}\n\
         \x20 doors: {{overhead: {{r: 5}}, door: {{r: 2.7}}}}\n  slab edge: 68 ft\n  air changes: 0.7 per h\n{rest}\
         layouts: {{here: {{at: {{bench: [6 ft, 12 ft], heater: [11 ft, 20 ft]}}}}}}\n"
    )
}

const EVENINGS: &str = "sessions: [{days: [tue, thu], open: \"19:00\", close: \"22:00\"}]\n";

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is no number"))
}

fn near(what: &str, found: f64, expected: f64, share: f64) {
    assert!(
        (found - expected).abs() <= share * expected.abs().max(1.0),
        "{what} is {found}, not {expected}"
    );
}

/// The loss of an independent solver, part by part, from a file.
#[test]
fn a_worked_loss_comes_out_of_its_file() {
    let case = case("heat_one_car_insulated");
    let expected = &case["expected"];
    let found = candidate_of(&garage("4 kW", ""), &[])["heat"].clone();
    near(
        "UA",
        number(&found["loss_w_k"]) / UA,
        number(&expected["UA"]),
        1e-6,
    );
    near(
        "loss",
        number(&found["months"][0]["loss_w"]) / BTU_AN_HOUR,
        number(&expected["Btu_h"]),
        1e-6,
    );
    for (ours, theirs) in [
        ("the walls", "walls"),
        ("the ceiling", "ceiling"),
        ("the overhead", "overhead"),
        ("the door", "door"),
        ("the edge of the slab", "slab edge"),
        ("air that leaks in", "air"),
    ] {
        let part = number(&found["loss_of_parts_w_k"][ours]) / UA;
        near(theirs, part, number(&expected["parts"][theirs]), 1e-6);
    }
    assert_eq!(found["heater_w"], 4000.0);
    // Of a shop that is always open there is no night.
    assert!(found["months"][0]["warm_up_s"].is_null() && found["longest_pause_s"].is_null());
}

/// A week second by second: from Thursday 22:00 to Tuesday 19:00 down to 45 °F, which a thermostat keeps, then as much heat
/// as there is, and 62 °F through the session. What stands in the garage is that of the notes on heat (K2), by its floor.
#[test]
fn a_week_is_what_small_steps_give() {
    let found = candidate_of(&garage("4 kW", EVENINGS), &[])["heat"].clone();
    let month = &found["months"][0];
    let share = 264.0 / 576.0;
    let (air, mass, between) = (433.0 * share, 2390.0 * share, 1400.0 * share);
    let (loss, outside) = (
        number(&case("heat_one_car_insulated")["expected"]["UA"]),
        22.0,
    );
    let pause = 117.0 * 3600.0;
    assert_eq!(number(&found["longest_pause_s"]), pause);
    let warm_up = number(&month["warm_up_s"]);
    let closing = number(&month["closing_mass_c"]) / FAHRENHEIT + 32.0;
    let mut now = [62.0, closing];
    let (mut coldest, mut opening, mut glue) = (now, now, None);
    let seconds = (pause + 3.0 * 3600.0) as u32;
    for second in 0..seconds {
        let at = f64::from(second);
        let step = 1.0 / 3600.0;
        if at <= pause - warm_up {
            coldest = now;
        }
        if at <= pause {
            opening = now;
        }
        if glue.is_none() && now[1] < 50.0 {
            glue = Some(at);
        }
        let wanted = if at >= pause { 62.0 } else { 45.0 };
        let to_mass = between * (now[0] - now[1]);
        let out = loss * (now[0] - outside);
        let heat = match at >= pause - warm_up && at < pause {
            true => 4000.0 / BTU_AN_HOUR,
            // A thermostat gives what keeps it from falling.
            false if now[0] <= wanted => out + to_mass,
            false => 0.0,
        };
        now[1] += step * to_mass / mass;
        now[0] += step * (heat - out - to_mass) / air;
    }
    let told = |key: &str| number(&month[key]) / FAHRENHEIT + 32.0;
    near("coldest air", told("coldest_air_c"), coldest[0], 0.002);
    near("coldest mass", told("coldest_mass_c"), coldest[1], 0.002);
    near("opening air", 62.0, opening[0], 0.002);
    near("opening mass", told("opening_mass_c"), opening[1], 0.002);
    near("closing mass", closing, now[1], 0.002);
    near(
        "glue",
        number(&month["mass_above_10_c_s"]),
        glue.expect("it gets cold"),
        0.01,
    );
}

/// Of the collector's air what leaks in anyway costs nothing more: 1.08 Btu/(h cfm °F), as in the case of 500 cfm.
#[test]
fn air_that_is_thrown_out_stands_in_place_of_the_leakage() {
    let collector = "  saw: {size: [2 ft, 2 ft], ports: [{size: 4 in, wants: 350 cfm, duct: main}], does: {saw: {per lot: 10 min}}}\n  collector: {size: [1 ft, 1 ft]}\nprojects: {b: {route: [saw]}, ";
    let dust = "dust:\n  collectors: {collector: {vents: outdoors, curve: [[0, 8 inH2O], [1200 cfm, 0]]}}\n  mains: {main: {from: collector, points: [[1 ft, 20 ft], [1 ft, 8 ft]], height: 7 ft, pipe: 5 in}}\n";
    let file = garage("4 kW", dust)
        .replace("projects: {", collector)
        .replace("orders: [", "orders: [{project: b}, ")
        .replace(
            "at: {bench",
            "at: {saw: [3 ft, 9 ft], collector: [1 ft, 21 ft], bench",
        );
    let found = candidate_of(&file, &[])["heat"].clone();
    let case = case("heat_collector_outdoors");
    let expected = &case["expected"];
    let kept = number(&expected["UA"]) - number(&expected["parts"]["air"]);
    let exhaust = &found["exhausts"][0];
    let airflow = number(&exhaust["airflow_m3_s"]) / CFM;
    assert!(airflow > 100.0, "{airflow}");
    near(
        "loss",
        number(&exhaust["loss_w"]) / BTU_AN_HOUR,
        40.0 * (kept + 1.08 * airflow),
        1e-6,
    );
    near("time", number(&exhaust["time_s"]), 600.0, 1e-9);
    let leaks = 0.7 * 12.0 * 22.0 * 8.0 / 60.0;
    let energy = 1.08 * (airflow - leaks) * 40.0 * BTU_AN_HOUR * 600.0;
    near("energy", number(&exhaust["energy_j"]), energy, 1e-6);
    let said = answer(&file);
    assert!(
        said.contains("The collector throws out up to") && said.contains("no flame"),
        "{said}"
    );
    let without = file.replace("curve: [[0, 8 inH2O], [1200 cfm, 0]]", "run on: 5 s");
    refused_of(
        &without,
        "nothing can be reckoned of the air that this throws out",
    );
}

fn answer(scenario: &str) -> String {
    answer_of(scenario, &["--details"])
}

/// 1.5 kW hold 22 °F + 1500 W / UA: 56.6 °F, and never 62.
#[test]
fn the_coldest_month_is_told_and_what_never_gets_warm() {
    let said = answer(&garage("4 kW", EVENINGS));
    assert!(
        said.contains("With 22 °F outdoors (jan) it takes 1.7 kW to keep it at 62 °F, 34 % of it for the edge of the slab; its heaters give 4.0 kW."),
        "{said}"
    );
    assert!(said.contains("Warming up takes"), "{said}");
    assert!(
        said.contains("no solvent finish in the air of a flame"),
        "{said}"
    );
    let said = answer(&garage("1500 W", EVENINGS));
    assert!(
        said.contains("more than the 1.5 kW of its heaters"),
        "{said}"
    );
    assert!(
        said.contains("It never gets as warm as that: its heaters bring it to 57 °F in the end"),
        "{said}"
    );
    let plain = garage("4 kW", EVENINGS);
    let (before, rest) = plain.split_once("  outside:").expect("outside");
    let (_, after) = rest.split_once("0.7 per h\n").expect("air");
    let said = answer(&format!("{before}{after}"));
    assert!(!said.contains("Heat"), "{said}");
}

/// Outdoors it is warmer than it has to be inside: nothing is lost, and it is warm already.
#[test]
fn in_summer_nothing_has_to_be_heated() {
    let file = garage("4 kW", EVENINGS).replace("jan: 22 F, mar: 40 F", "jul: 80 F");
    let month = candidate_of(&file, &[])["heat"]["months"][0].clone();
    assert_eq!(month["loss_w"], 0.0);
    assert_eq!(month["warm_up_s"], 0.0);
    assert!(number(&month["coldest_mass_c"]) > celsius(62.0));
}

#[test]
fn what_makes_no_sense_is_refused() {
    let file = garage("4 kW", EVENINGS);
    for (was, is, what) in [
        (
            "  outside: {jan: 22 F, mar: 40 F}\n",
            "",
            "cannot be reckoned without `outside`",
        ),
        ("jan: 22 F, mar: 40 F", "", "of no month"),
        (
            "jan: 22 F",
            "january: 22 F",
            "`january` is not a key of the months",
        ),
        (
            "{area: 461 ft2, r: 12}",
            "{area: 461 ft2}",
            "how well it keeps heat in",
        ),
        (
            "{area: 461 ft2, r: 12}",
            "{area: 461 ft2, r: 12, u: 0.5}",
            "given twice",
        ),
        ("{area: 461 ft2, r: 12}", "{r: 12}", "needs `area`"),
        (
            "{area: 461 ft2, r: 12}",
            "{area: 461 ft2, r: 0}",
            "more than 0",
        ),
        (
            "overhead: {r: 5}",
            "overhed: {r: 5}",
            "did you mean `overhead`?",
        ),
        ("0.7 per h", "many", "no number of air changes"),
        ("shut: 45 F", "shut: 65 F", "kept warmer while it is shut"),
        (
            "  ceiling: 8 ft\n",
            "",
            "how large the room is that is heated",
        ),
    ] {
        assert!(file.contains(was), "{was}");
        refused_of(&file.replacen(was, is, 1), what);
    }
}

/// K7 of the notes on heat: outdoor air of 30 °F and 80 % has 21 % at 65 °F, where wood settles at 4.8 %; and its row of a
/// heated house, 70 °F and 35 %, has 6.9 %. A top of 20 in of flat-sawn red oak grows by 20 × 0.00369 a per cent.
#[test]
fn wood_is_drier_in_a_heated_shop_than_in_a_house() {
    let part = "projects: {a: {parts: {top: {finished: [4 ft, 20 in, 3/4 in], route: [work], material at: bench}}}}";
    let file = garage("4 kW", "")
        .replace("jan: 22 F, mar: 40 F", "jan: 30 F")
        .replace("open: 62 F", "open: 65 F")
        .replace("projects: {a: {route: [work]}}", part);
    let found = candidate_of(&file, &[])["heat"]["moisture"].clone();
    near("humidity", number(&found["shop_humidity"]), 0.21, 0.005);
    near("in the shop", number(&found["wood_in_shop"]), 0.048, 0.001);
    near(
        "in the house",
        number(&found["wood_in_house"]),
        0.069,
        0.001,
    );
    let widest = &found["widest"];
    assert_eq!(widest["name"], "top");
    let inches = number(&widest["grows_in_house_m"]) / 0.0254;
    let points = 100.0 * (number(&found["wood_in_house"]) - number(&found["wood_in_shop"]));
    near("movement", inches, 20.0 * 0.00369 * points, 1e-6);
    assert!(inches > 0.1, "{inches}");
    let said = answer(&file);
    assert!(
        said.contains("is at 21 % at 65 °F, where wood settles at 4.8 %"),
        "{said}"
    );
    assert!(
        said.contains("There the top, 20 in wide, grows by 0.1"),
        "{said}"
    );
}
