//! Random small shops that keep hours: a shop as all others, with hours that are as short as its work.
//!
//! Every run ends: there is so much work and no more, or a horizon of a few days. What a shop would be refused for is
//! thrown again.

use serde_json::{Map, Value, json};

use super::super::play::Play;
use super::super::read;
use super::Dice;

/// What a shop may have besides sessions.
#[derive(Clone, Copy, Debug, Default)]
struct Features {
    fitting: bool,
    after_hours: bool,
    own_hours: bool,
    quiet: bool,
}

/// A scenario with sessions, as JSON, which is YAML as well: one in eight has nothing but sessions, four in eight have one
/// thing more, and the others some of all.
pub fn shop_with_hours(seed: u64) -> String {
    let only = |feature: u64| seed % 8 == feature;
    for throw in 0.. {
        let mut dice = Dice::new(seed * 1000 + throw + 500);
        let mixed = seed % 8 > 4;
        let features = Features {
            fitting: only(1) || mixed && dice.chance(60),
            after_hours: only(2) || mixed && dice.chance(50),
            own_hours: only(3) || mixed && dice.chance(60),
            quiet: only(4) || mixed && dice.chance(60),
        };
        let yaml = super::shop(seed * 1000 + throw);
        let mut root = crate::second_reading::tree(&yaml);
        add(&mut dice, features, &mut root);
        let text = serde_json::to_string_pretty(&root).expect("it can be written");
        let shop = read::read(&text);
        let small = shop.crew.len() <= 3;
        if small && Play::new(&shop, &shop.layouts[0]).refusal().is_none() {
            return text;
        }
    }
    unreachable!("throws do not end")
}

const WEEK: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// Minutes after midnight as a clock shows them.
fn o_clock(minutes: usize) -> String {
    format!("{}:{:02}", minutes / 60, minutes % 60)
}

fn days(dice: &mut Dice) -> Vec<&'static str> {
    let percent = [30, 60, 100][dice.between(0, 2)];
    let mut days: Vec<&str> = WEEK.into_iter().filter(|_| dice.chance(percent)).collect();
    if days.is_empty() {
        days.push(WEEK[dice.between(0, 6)]);
    }
    days
}

/// Sessions that follow each other through the day, some of them touching.
fn sessions(dice: &mut Dice, begins: usize) -> Vec<Value> {
    let mut at = if dice.chance(20) { 0 } else { begins };
    let mut all = Vec::new();
    for _ in 0..dice.between(1, 4) {
        let long = dice.between(4, 40);
        let mut session = json!({
            "days": days(dice),
            "open": o_clock(at),
            "close": o_clock(at + long),
        });
        for key in ["set up", "tidy up"] {
            if dice.chance(20) {
                session[key] = json!(format!("{} s", 30 * dice.between(1, 3)));
            }
        }
        all.push(session);
        at += long
            + if dice.chance(25) {
                0
            } else {
                dice.between(1, 90)
            };
    }
    if dice.chance(15) {
        // Over midnight, so that a week may end in the middle of work.
        all.push(json!({"days": days(dice), "open": "23:50", "close": "24:00"}));
    }
    all
}

fn some_hours(dice: &mut Dice, begins: usize) -> Vec<Value> {
    let from = begins + dice.between(0, 30);
    let mut all = vec![json!({
        "days": days(dice),
        "open": o_clock(from),
        "close": o_clock(from + dice.between(5, 60)),
    })];
    if dice.chance(30) {
        all.push(json!({"days": ["sat", "sun"], "open": "5:00", "close": "23:55"}));
    }
    all.retain(|hours| dice.chance(90) || hours["open"] == "5:00");
    if all.is_empty() {
        all.push(json!({"days": WEEK, "open": "0:00", "close": "24:00"}));
    }
    all
}

fn add(dice: &mut Dice, features: Features, root: &mut Value) {
    let begins = 60 * dice.between(0, 2) + dice.between(0, 20);
    let list = sessions(dice, begins);
    let mut run = root["run"].as_object().cloned().unwrap_or_default();
    // The day of orders and horizons is longer than the minutes of a shop that is always open.
    let longer = dice.pick(&["1", "7", "60"]);
    if run.contains_key("until") {
        run["until"] = json!(format!("{} h", dice.between(20, 80)));
    }
    if dice.chance(30) {
        run.insert(
            "starts".into(),
            json!(format!("2026-12-{:02}", dice.between(1, 28))),
        );
    }
    root["run"] = Value::Object(run);
    for order in root["orders"].as_array_mut().expect("orders are a list") {
        for key in ["every", "first", "until"] {
            if let Some(time) = order.get(key) {
                let seconds = time.as_str().expect("a time").trim_end_matches(" s");
                let seconds: u64 = seconds.parse().unwrap_or(0);
                let times: u64 = longer.parse().expect("a number");
                order[key] = json!(format!("{} s", seconds * times));
            }
        }
    }
    let mut mapping = Map::new();
    if features.quiet {
        let quiet = begins + dice.between(3, 60);
        let to = quiet + dice.between(5, 120);
        let part = dice.between(0, 2);
        if part != 1 {
            mapping.insert(
                "quiet".into(),
                json!({"from": o_clock(quiet), "to": o_clock(to)}),
            );
        }
        if part != 0 {
            let after = o_clock(begins + dice.between(3, 90));
            mapping.insert("rested".into(), json!({"no blades after": after}));
        }
        for station in root["stations"]
            .as_object_mut()
            .expect("stations")
            .values_mut()
        {
            for key in ["loud", "blade"] {
                if dice.chance(35) {
                    station[key] = json!(true);
                }
            }
        }
    }
    root["sessions"] = if mapping.is_empty() && dice.chance(70) {
        json!(list)
    } else {
        mapping.insert("when".into(), json!(list));
        Value::Object(mapping)
    };
    if features.own_hours {
        for person in root["crew"].as_object_mut().expect("a crew").values_mut() {
            if dice.chance(60) {
                person["hours"] = json!(some_hours(dice, begins));
            }
        }
    }
    let places = ["operations", "stations"];
    for place in places {
        let Some(all) = root.get_mut(place).and_then(Value::as_object_mut) else {
            continue;
        };
        for (_, keys) in all.iter_mut() {
            if place == "operations" {
                work(dice, features, keys);
            } else if let Some(does) = keys.get_mut("does").and_then(Value::as_object_mut) {
                does.values_mut()
                    .for_each(|keys| work(dice, features, keys));
            }
        }
    }
}

/// Keys of one operation.
fn work(dice: &mut Dice, features: Features, keys: &mut Value) {
    let people = keys.get("people").and_then(Value::as_u64);
    if keys.is_null() {
        return;
    }
    if features.after_hours && people == Some(0) && dice.chance(70) {
        keys["after hours"] = json!(true);
    } else if features.fitting && dice.chance(50) {
        keys["pausable"] = json!(false);
    } else if dice.chance(5) {
        keys["pausable"] = json!(true);
    }
}
