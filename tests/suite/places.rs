//! What is kept at hand, from a scenario, through the command line.

use std::fs;

use serde_json::Value;

use crate::support::command::{done, folder, refused, shopstride, text};

/// A hall of 60 by 20 ft with a door in the middle of its left wall, a bench at the far end, and a stove.
fn hall(places: &str) -> String {
    format!(
        "title: hall\nshow: imperial\n\
         room: {{size: [60 ft, 20 ft], ceiling: 8 ft, doors: [{{name: door, between: [[0, 8 ft], [0, 12 ft]]}}], blocked: [{{name: stove, at: [30 ft, 19 ft], size: [2 ft, 2 ft]}}]}}\n\
         stations:\n  bench: {{size: [4 ft, 2 ft], does: {{work: {{per lot: 1 min}}}}}}\n\
         projects: {{a: {{route: [work]}}}}\norders: [{{project: a}}]\nplaces: {{{places}}}\n\
         layouts: {{here: {{at: {{bench: [50 ft, 10 ft]}}}}}}\n"
    )
}

/// What `check --notes` says in the rule about places: its subject, what else it names, and its figures.
fn notes(places: &str) -> Vec<Value> {
    notes_of(&hall(places))
}

fn notes_of(shop: &str) -> Vec<Value> {
    let folder = folder();
    fs::write(folder.path().join("shop.yaml"), shop).expect("writable");
    let output = done(
        &["check", "shop.yaml", "--notes", "--json", "-"],
        folder.path(),
    );
    let data: Value = serde_json::from_str(&text(&output.stdout)).expect("JSON");
    let mut found = Vec::new();
    of_rule(&data, &mut found);
    found
}

fn of_rule(data: &Value, found: &mut Vec<Value>) {
    match data {
        Value::Object(fields) if fields.get("rule") == Some(&Value::from("places")) => {
            found.push(data.clone());
        }
        Value::Object(fields) => fields.values().for_each(|inner| of_rule(inner, found)),
        Value::Array(items) => items.iter().for_each(|inner| of_rule(inner, found)),
        _ => {}
    }
}

const FOOT: f64 = 0.3048;

fn near(note: &Value, figure: &str, feet: f64) {
    let found = note["figures"][figure].as_f64();
    let found = found.unwrap_or_else(|| panic!("no {figure} in {note}"));
    assert!(
        (found - feet * FOOT).abs() < 1e-9,
        "{figure} is {found}, not {feet} ft"
    );
}

/// One stands 1 ft before the bench, at [50, 8]: 50 ft and a little from the door, more than the 30 ft of NFPA 10.
#[test]
fn an_extinguisher_is_near_and_on_the_way_out() {
    let found = notes("extinguisher: [0, 13 ft]");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0]["level"], "note");
    near(&found[0], "away_m", (50.0_f64 * 50.0 + 5.0 * 5.0).sqrt());
    let found = notes("extinguisher: [30 ft, 0]");
    assert_eq!(found.len(), 1, "{found:?}");
    // From the end of the door at [0, 8].
    near(&found[0], "away_m", (30.0_f64 * 30.0 + 8.0 * 8.0).sqrt());
    assert!(notes("first aid: [20 ft, 0]").is_empty());
}

/// The stove takes [29, 31] by [18, 20] ft.
#[test]
fn vapour_is_kept_from_flames_and_nothing_is_behind_anything() {
    let found = notes("finish cabinet: [36 ft, 20 ft]");
    assert_eq!(found.len(), 1, "{found:?}");
    near(&found[0], "away_m", 5.0);
    assert!(notes("finish cabinet: [42 ft, 20 ft]").is_empty());
    let found = notes("first aid: [28.5 ft, 20 ft]");
    assert_eq!(found.len(), 1, "{found:?}");
    near(&found[0], "away_m", 0.5);
    let folder = folder();
    fs::write(
        folder.path().join("shop.yaml"),
        hall("rag can: [36 ft, 20 ft]"),
    )
    .expect("writable");
    let output = shopstride(&["check", "shop.yaml", "--notes"], folder.path());
    let said = text(&output.stdout);
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("no solvent finish in the air of a flame"),
        "{said}"
    );
}

#[test]
fn what_makes_no_sense_is_refused() {
    for (places, what) in [
        (
            "extinguisher: [70 ft, 0]",
            "the extinguisher is not in the room",
        ),
        ("extinguishr: [7 ft, 0]", "did you mean `extinguisher`?"),
        ("extinguisher: 7 ft", "a point [x, y]"),
    ] {
        let folder = folder();
        fs::write(folder.path().join("shop.yaml"), hall(places)).expect("writable");
        refused(&["check", "shop.yaml"], folder.path(), what);
    }
}

/// A finishing bench of 4 by 2 ft, whose end is 8 ft from the stove of 2 by 2 ft beside it; nothing burns in an electric
/// heater, nor is a workbench a place for finish.
#[test]
fn finish_is_put_on_away_from_flames() {
    let notes = |bench: &str, stove: &str| {
        let shop = hall("")
            .replace("places: {}\n", "")
            .replace("bench", bench)
            .replace("[50 ft, 10 ft]", "[41 ft, 19 ft]")
            .replace("name: stove", &format!("name: {stove}"));
        notes_of(&shop)
    };
    let found = notes("finishing bench", "stove");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(
        (&found[0]["subject"], &found[0]["other"]),
        (&Value::from("finishing bench"), &Value::from("stove"))
    );
    near(&found[0], "away_m", 8.0);
    near(&found[0], "least_m", 10.0);
    assert!(notes("workbench", "stove").is_empty());
    assert!(notes("finishing bench", "electric heater").is_empty());
}

/// The door takes [8, 12] ft of the left wall: at 10 ft nothing hangs, beside it something does.
#[test]
fn nothing_hangs_in_the_opening_of_a_door() {
    let in_door = |places: &str| {
        let found = notes(places);
        let says = |note: &&Value| {
            let says = note["says"].as_str().unwrap_or_default();
            says.contains("in the opening of door")
        };
        found.iter().filter(says).count()
    };
    assert_eq!(in_door("first aid: [0, 10 ft]"), 1);
    assert_eq!(in_door("rag can: [0, 8 ft 6 in]"), 1);
    assert_eq!(in_door("first aid: [0, 7 ft 8 in]"), 0);
    assert_eq!(in_door("first aid: [2 ft, 10 ft]"), 0);
}

/// A collector at [10, 10] ft, and the stove from 29 ft on, from 18 ft up: 19 and 8 ft away.
#[test]
fn a_collector_in_one_air_with_a_flame_is_told() {
    let shop = |name: &str| {
        hall("")
            .replace("places: {}\n", "")
            .replace(
                "stations:\n",
                &format!("stations:\n  {name}: {{size: [2 ft, 2 ft]}}\n"),
            )
            .replace(
                "bench: [50 ft",
                &format!("{name}: [10 ft, 10 ft], bench: [50 ft"),
            )
    };
    let found = notes_of(&shop("dust collector"));
    assert_eq!(found.len(), 1, "{found:?}");
    near(&found[0], "away_m", 19.0_f64.hypot(8.0));
    assert!(notes_of(&shop("rack")).is_empty());
    let electric = shop("dust collector").replace("name: stove", "name: electric stove");
    assert!(notes_of(&electric).is_empty());
}
