//! Charts, columns and the set-out sheet of what feeds a shop: against the figures of the JSON, and against lengths and
//! pieces counted by hand.

use std::fs;
use std::path::Path;

use serde_json::Value;
use shopstride::units::customary::{CFM, FEET_A_MINUTE};

use crate::support::command::{done, folder, names, text};

const GARAGE: &str = include_str!("../data/services/one_car_garage.yaml");
const EVENINGS: &str = "sessions: [{days: [mon, wed], open: \"19:00\", close: \"21:30\"}, {days: [sat], open: \"9:00\", close: \"16:00\"}]\n";

/// Runs a scenario; the data of its first candidate, and the scenes of its charts are in `charts`.
fn ran(scenario: &str, folder: &Path) -> Value {
    fs::write(folder.join("shop.yaml"), scenario).expect("writable");
    let output = done(
        &[
            "run",
            "shop.yaml",
            "--quiet",
            "--replications",
            "1",
            "--json",
            "-",
            "--charts",
            "charts",
            "--chart-format",
            "json",
        ],
        folder,
    );
    let data: Value = serde_json::from_str(&text(&output.stdout)).expect("JSON");
    data["candidates"][0].clone()
}

fn scene(folder: &Path, name: &str) -> Value {
    let there = fs::read(folder.join("charts").join(name)).expect("a chart");
    serde_json::from_slice(&there).expect("JSON")
}

/// The titles of all groups, at whatever depth.
fn titles(of: &Value, found: &mut Vec<String>) {
    match of {
        Value::Array(all) => all.iter().for_each(|one| titles(one, found)),
        Value::Object(all) => {
            if let Some(title) = all.get("title").and_then(Value::as_str) {
                found.push(title.to_owned());
            }
            all.values().for_each(|one| titles(one, found));
        }
        _ => {}
    }
}

/// Each section has the airflow and the velocity of the set of gates in which it is slowest.
#[test]
fn ducts_are_drawn_with_the_figures_of_the_runs() {
    let folder = folder();
    let found = ran(GARAGE, folder.path());
    let mut drawn = Vec::new();
    titles(
        &scene(folder.path(), "ducts-1-along-the-walls.json"),
        &mut drawn,
    );
    let sets = found["dust"][0]["together"].as_array().expect("sets");
    let mut seen = 0;
    for name in [
        "main up to planer",
        "branch to planer",
        "main up to table saw",
        "branch to table saw",
        "long hose at jointer",
    ] {
        let told = sets
            .iter()
            .filter(|set| set["share"].as_f64().expect("a share") >= 0.01);
        let sections = told.flat_map(|set| set["clean"]["sections"].as_array().expect("sections"));
        let own = sections.filter(|section| section["section"] == name);
        let figures = own.map(|section| {
            let figure = |key: &str| section[key].as_f64().expect("a figure");
            (
                figure("velocity_m_s") / FEET_A_MINUTE,
                figure("airflow_m3_s") / CFM,
                section["state"].as_str().expect("a state").to_owned(),
            )
        });
        let (velocity, airflow, state) = figures
            .min_by(|one, other| one.0.total_cmp(&other.0))
            .expect("it is open");
        let title = format!("{name}: {airflow:.0} cfm, {velocity:.0} ft/min, {state}");
        assert!(drawn.contains(&title), "{title}: {drawn:?}");
        seen += 1;
    }
    assert_eq!(seen, 5);
}

/// The picture says of each circuit what the account of the same run comes to.
#[test]
fn currents_are_drawn_up_to_the_peak_of_the_account() {
    let folder = folder();
    let found = ran(GARAGE, folder.path());
    let scene = scene(folder.path(), "currents.json");
    let said = scene["description"].as_str().expect("a description");
    let circuits = found["power"]["circuits"].as_array().expect("circuits");
    assert_eq!(circuits.len(), 3);
    for circuit in circuits {
        let peak = circuit["peak_a"]
            .as_f64()
            .unwrap_or_else(|| panic!("{circuit}"));
        let shown = format!("{peak:.1}").replace(".0", "");
        let name = circuit["name"].as_str().expect("a name");
        let sentence = format!("Circuit {name}: at most {shown} A");
        assert!(said.contains(&sentence), "{sentence}: {said}");
    }
}

/// Between the 45 °F to which it falls while it is shut and the 62 °F of the thermostat; without sessions there is no week
/// to be drawn.
#[test]
fn a_week_of_temperature_is_drawn_where_the_shop_keeps_hours() {
    let with_hours = folder();
    ran(&format!("{GARAGE}{EVENINGS}"), with_hours.path());
    let scene = scene(with_hours.path(), "temperature.json");
    let said = scene["description"].as_str().expect("a description");
    assert!(said.contains("Air between 45 °F and 62 °F"), "{said}");
    let always_open = folder();
    ran(GARAGE, always_open.path());
    let drawn = names(&always_open.path().join("charts"));
    assert!(!drawn.contains(&"temperature.json".to_owned()), "{drawn:?}");
}

const PLAIN: &str = "title: plain\nroom: {size: [6 m, 4 m]}\nstations: {bench: {size: [2 m, 1 m], does: {plane: {}}}}\n\
                     crew: {maker: {}}\nprojects: {a: {route: [{op: plane, per lot: 5 min}]}}\norders: [{project: a}]\n\
                     layouts: {here: {at: {bench: [3 m, 2 m]}}}\n";

/// Nothing of it where nothing is fed: no chart, no columns, no list.
#[test]
fn shops_without_services_have_none_of_it() {
    let folder = folder();
    ran(PLAIN, folder.path());
    let drawn = names(&folder.path().join("charts"));
    let fed = ["ducts", "currents", "temperature"];
    let is_fed = |name: &&String| fed.iter().any(|stem| name.starts_with(stem));
    assert_eq!(drawn.iter().filter(is_fed).count(), 0, "{drawn:?}");
    done(
        &["run", "shop.yaml", "--quiet", "--csv", "tables"],
        folder.path(),
    );
    let header = fs::read_to_string(folder.path().join("tables/candidates.csv")).expect("a table");
    assert!(!header.contains("ducts_m"), "{header}");
    done(
        &["sheet", "shop.yaml", "--out", "sheet.html", "--quiet"],
        folder.path(),
    );
    let sheet = fs::read_to_string(folder.path().join("sheet.html")).expect("a sheet");
    assert!(!sheet.contains("Shopping list"), "{sheet}");
}

/// Of rigid pipe there are 12 ft of main and two branches: 6.5 ft away from it with a drop of 5 ft, and 8 ft with one of 5.
#[test]
fn tables_have_the_length_of_ducts() {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), GARAGE).expect("writable");
    done(
        &[
            "run",
            "shop.yaml",
            "--quiet",
            "--replications",
            "1",
            "--csv",
            "tables",
        ],
        folder.path(),
    );
    let table = fs::read_to_string(folder.path().join("tables/candidates.csv")).expect("a table");
    let mut lines = table
        .lines()
        .map(|line| line.split(',').collect::<Vec<_>>());
    let (header, row) = (
        lines.next().expect("a header"),
        lines.next().expect("a row"),
    );
    let at = header
        .iter()
        .position(|cell| *cell == "ducts_m")
        .expect("a column");
    let length: f64 = row[at].parse().expect("a length");
    assert!(
        (length - (12.0 + 11.5 + 13.0) * 0.3048).abs() < 1e-9,
        "{length}"
    );
    assert_eq!(header[at + 1], "slowest_air_m_s");
    let slowest: f64 = row[at + 1].parse().expect("a velocity");
    assert!(slowest > 0.0);
}

/// The same lengths, two drops with a bend, a wye and a gate each, hose of 5 ft at three ports and one of 10 ft that is
/// moved, 30 and 35 ft of cable, and what the file names one by one.
#[test]
fn the_sheet_lists_what_to_buy_and_sets_it_out() {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), GARAGE).expect("writable");
    done(
        &["sheet", "shop.yaml", "--out", "sheet.html", "--quiet"],
        folder.path(),
    );
    let sheet = fs::read_to_string(folder.path().join("sheet.html")).expect("a sheet");
    for (much, what) in [
        ("12 ft in 1 piece", "5-in rigid pipe"),
        ("24.5 ft in 2 pieces", "4-in rigid pipe"),
        ("2", "4-in elbow, radius 1.5 diameters"),
        ("2", "wye, 4-in branch from 5-in main"),
        ("2", "4-in blast gate"),
        ("20 ft in 3 pieces", "4-in hose"),
        ("1", "reducer, 4-in to 2.5-in"),
        ("5 ft in 1 piece", "2.5-in hose"),
        ("65 ft in 2 runs", "cable, 12 AWG copper"),
        ("2", "breaker, 20 A, 120 V"),
        ("1", "breaker, 240 V: which, an electrician says"),
        ("4", "outlet, 120 V"),
        ("1", "cord, 12 AWG copper, 10 ft long"),
        ("2", "lamp, 4500 lm, 4 ft long"),
    ] {
        let row = format!("<tr><td>{much}</td><td>{what}</td></tr>");
        assert!(sheet.contains(&row), "{row}: {sheet}");
    }
    // The saw's drop is at 7 ft 6 in, 9 ft 6 in of a room of 12 by 22 ft, and its branch leaves the main 1 ft from the wall.
    for row in [
        "<td>drop to table saw</td><td>9 ft 6 in from A</td><td>4 ft 6 in from B</td><td>24 in</td>",
        "<td>wye and 4-in gate of table saw, on main</td><td>9 ft 6 in from A</td><td>12 in from D</td><td>7 ft</td>",
        "<td>outlet of circuit C, 240 V</td><td>0 in from B</td><td>4 ft from C</td>",
        "<td>lamp, 4500 lm, its middle</td><td>6 ft from A</td><td>4 ft from D</td><td>7 ft 8 in</td>",
    ] {
        assert!(sheet.contains(row), "{row}: {sheet}");
    }
    assert!(sheet.contains("licensed electrician"), "{sheet}");
    assert!(sheet.contains("not clean air"), "{sheet}");
}
