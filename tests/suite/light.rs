//! Light from a scenario, through the command line.

use serde_json::{Value, json};

use crate::power::files::candidate_of;
use crate::support::command::{answer_of, refused_of};

const CASES: &str = include_str!("../data/services/cases.json");

fn case(id: &str) -> Value {
    let cases: Vec<Value> = serde_json::from_str(CASES).expect("JSON");
    let found = cases.into_iter().find(|case| case["id"] == id);
    found.expect("a case")
}

/// A bench in a room, at which one stands 2 ft to the south.
fn shop(room: &Value, bench: &Value, light: &str) -> String {
    format!(
        "title: light\nshow: imperial\nroom: {{size: [{} ft, {} ft], ceiling: 8 ft}}\n\
         stations:\n  bench: {{size: [2 ft, 2 ft], table: 3 ft, stand: [0, -2 ft], does: {{work: {{per lot: 1 min}}}}}}\n\
         projects: {{a: {{route: [work]}}}}\norders: [{{project: a}}]\n{light}\
         layouts: {{here: {{at: {{bench: [{} ft, {} ft]}}}}}}\n",
        room[0], room[1], bench[0], bench[1]
    )
}

fn lamps(told: &Value) -> String {
    let lamps = told.as_array().expect("a list").iter();
    let lamps: Vec<String> = lamps
        .map(|lamp| {
            let or = |key: &str, or: Value| lamp.get(key).cloned().unwrap_or(or);
            format!(
                "{{lumens: {} lm, at: [[{} ft, {} ft]], height: {} ft, length: {} ft}}",
                lamp["lumens"],
                lamp["at"][0],
                lamp["at"][1],
                lamp["height"],
                or("length", json!(0))
            )
        })
        .collect();
    format!("[{}]", lamps.join(", "))
}

fn near(what: &str, found: &Value, expected: &Value, share: f64) {
    let read = |value: &Value| value.as_f64().unwrap_or_else(|| panic!("{what}: {value}"));
    let (found, expected) = (read(found), read(expected));
    assert!(
        (found - expected).abs() <= share * expected.abs().max(1.0),
        "{what} is {found}, not {expected}"
    );
}

/// The mean of an independent solver over a plane 3 ft up, to its tolerance, from a file.
#[test]
fn a_worked_mean_comes_out_of_its_file() {
    let case = case("have_surfaces");
    let inputs = &case["inputs"];
    let lamp = &inputs["lamps"][0];
    let light = format!(
        "light: {{lamps: [{{lumens: {} lm, count: {}, height: {} ft}}], surfaces: {{ceiling: 80 %, walls: 50 %, floor: 20 %}}}}\n",
        lamp["lumens"], lamp["count"], inputs["lamp_height"]
    );
    let found = candidate_of(&shop(&inputs["room"], &json!([8, 10]), &light), &[]);
    near(
        "mean",
        &found["light"]["mean_lx"],
        &case["expected"]["mean_lx"],
        0.002,
    );
    near(
        "CU",
        &found["light"]["utilisation"],
        &case["expected"]["CU"],
        0.002,
    );
    // Nobody says where these lamps are.
    assert_eq!(found["light"]["stations"], json!([]));
}

/// Likewise the light at one place. In a black room nothing is sent back: all of it comes straight from lamps.
#[test]
fn worked_light_at_a_bench_comes_out_of_its_file() {
    for id in ["point_below", "point_tube", "point_lamp_in_front"] {
        let case = case(id);
        let inputs = &case["inputs"];
        let light = format!(
            "light: {{lamps: {}, surfaces: {{ceiling: 0 %, walls: 0 %, floor: 0 %}}}}\n",
            lamps(&inputs["lamps"])
        );
        let found = candidate_of(&shop(&json!([16, 20]), &inputs["P"], &light), &[]);
        let bench = &found["light"]["stations"][0];
        let expected = &case["expected"];
        let with = bench["illuminance_lx"].as_f64().expect("lx");
        let without = bench["without_body_lx"].as_f64().expect("lx");
        if inputs.get("body").is_some() {
            near(id, &json!(with), &expected["lx"], 1e-6);
            near(id, &json!(without - with), &expected["shadowed_lx"], 1e-6);
        } else {
            near(id, &json!(without), &expected["lx"], 1e-6);
        }
    }
}

const BEHIND: &str = "light: {lamps: [{lumens: 9000 lm, at: [[8 ft, 4 ft]], height: 7 ft 8 in, length: 4 ft}], wanted: {bench: 100 lx}}\n";

#[test]
fn too_little_light_is_told_and_what_helps() {
    let dark = shop(&json!([16, 20]), &json!([8, 10]), BEHIND);
    let said = answer_of(&dark, &["--details"]);
    assert!(
        said.contains("there is too little: the bench") && said.contains("of 100 lx"),
        "{said}"
    );
    assert!(
        said.contains("a turning blade seem to stand still"),
        "{said}"
    );
    assert!(said.contains("36 in up"), "{said}");
    let bright = dark
        .replace("9000 lm", "90000 lm")
        .replace("[[8 ft, 4 ft]]", "[[8 ft, 16 ft]]");
    let said = answer_of(&bright, &[]);
    assert!(!said.contains("Light"), "{said}");
}

/// Each layout may have lamps of its own; what it does not say is that of the file.
#[test]
fn a_layout_has_lamps_of_its_own() {
    let two = shop(&json!([16, 20]), &json!([8, 10]), BEHIND).replace(
        "layouts: {here: {",
        "layouts: {here: {light: {lamps: [{lumens: 9000 lm, at: [[8 ft, 16 ft]], height: 7 ft 8 in, length: 4 ft}]}, ",
    );
    let lit = |scenario: &str| {
        let found = candidate_of(scenario, &[]);
        let bench = &found["light"]["stations"][0];
        assert_eq!(bench["wanted_lx"], 100.0);
        bench["illuminance_lx"].as_f64().expect("lx")
    };
    let behind = lit(&shop(&json!([16, 20]), &json!([8, 10]), BEHIND));
    assert!(lit(&two) > 2.0 * behind);
}

#[test]
fn what_makes_no_sense_is_refused() {
    let scenario = shop(&json!([16, 20]), &json!([8, 10]), BEHIND);
    for (was, is, what) in [
        // The case point_lamp_below_work.
        (
            "height: 7 ft 8 in",
            "height: 2.5 ft",
            "hang no higher than the work",
        ),
        ("height: 7 ft 8 in", "height: 9 ft", "above the ceiling"),
        ("[[8 ft, 4 ft]]", "[[8 ft, 40 ft]]", "outside the room"),
        ("[[8 ft, 4 ft]]", "[]", "no place in this list"),
        (
            "lumens: 9000 lm, ",
            "lumens: 9000 lm, count: 2, ",
            "there are 2 lamps, but 1 places",
        ),
        ("lumens: 9000 lm, ", "", "a lamp needs `lumens`"),
        ("at: [[8 ft, 4 ft]], ", "", "how many lamps"),
        ("bench: 100 lx", "bnch: 100 lx", "did you mean `bench`?"),
        ("bench: 100 lx", "bench: 0", "nobody works without light"),
        (
            "light: {",
            "light: {circuit: A, ",
            "nothing says what the lamps draw",
        ),
        (
            "light: {",
            "light: {surfaces: {ceiling: 80 %, walls: 100 %, floor: 20 %}, ",
            "no surface sends all light back",
        ),
        (
            "room: {size: [16 ft, 20 ft], ceiling: 8 ft}\n",
            "",
            "how large the room is",
        ),
    ] {
        assert!(scenario.contains(was), "{was}");
        refused_of(&scenario.replace(was, is), what);
    }
}
