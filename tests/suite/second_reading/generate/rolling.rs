//! What is parked and rolled out, some of it to the same floor.

use serde_json::{Value, json};

use super::stops::{cure, each_work, names, some_time};
use super::{Dice, LAYOUT};

/// Parks half of the stations of a layout that places them, and takes away what cannot be rolled about.
pub(super) fn add(dice: &mut Dice, root: &mut Value) {
    each_work(root, &mut |_, keys| {
        if keys.get("people") == Some(&json!(0)) {
            keys["people"] = json!(1);
        }
        let keys_of = keys.as_object_mut().expect("keys");
        keys_of.remove("after hours");
        let gear = keys_of.get("gear").and_then(Value::as_object).cloned();
        if let Some(cure) = cure(keys) {
            let tied = match cure.get("ties up").and_then(Value::as_array) {
                Some(tied) => tied.clone(),
                None => gear
                    .into_iter()
                    .flatten()
                    .map(|(kind, _)| json!(kind))
                    .collect(),
            };
            let tied: Vec<Value> = tied
                .into_iter()
                .filter(|thing| thing != "station")
                .collect();
            cure["ties up"] = json!(tied);
        }
    });
    for name in names(root, "stations") {
        let station = root["stations"][&name].as_object_mut().expect("a station");
        station.remove("count");
        station.remove("set down");
        let (wide, deep) = (dice.between(1, 3), dice.between(1, 3));
        station.insert(
            "size".to_string(),
            json!([format!("{wide} m"), format!("{deep} m")]),
        );
        if !dice.chance(50) {
            continue;
        }
        station.insert("roll out".to_string(), json!(some_time(dice, 1, 4)));
        station.insert("roll in".to_string(), json!(some_time(dice, 1, 4)));
        let place = &mut root["layouts"][LAYOUT]["at"][&name];
        let parked = match place.is_object() {
            true => json!({"at": place["at"], "turn": place["turn"]}),
            false => json!({"at": place}),
        };
        // To one of few places, or to where something stands.
        let (x, y) = (dice.between(1, 4), dice.between(1, 2));
        let turn = 90 * dice.between(0, 3);
        *place =
            json!({"at": [format!("{x} m"), format!("{y} m")], "turn": turn, "parked": parked});
    }
}
