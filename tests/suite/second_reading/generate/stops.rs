//! Random small shops in which work stops for more than the night: what is to be taken off, what is dull or full, what has
//! no room, what does not go together, and what is taken behind a machine. Half of them keep hours as well.

use serde_json::{Value, json};

use super::super::play::Play;
use super::super::read;
use super::super::shop::Shop;
use super::rolling;
use super::{Dice, LAYOUT};

/// Kinds of stops; a seed takes one of them, or some of all.
const KINDS: u64 = 12;
const TAKE_OFF: u64 = 0;
const HEAT: u64 = 1;
const TACKY: u64 = 2;
const CURES_LAST: u64 = 3;
const UPKEEP: u64 = 4;
const SET_DOWN: u64 = 5;
const NOT_TOGETHER: u64 = 6;
const SETTINGS: u64 = 7;
const SPACING: u64 = 8;
const LIFT: u64 = 9;
const CATCHES: u64 = 10;
const ROLLING: u64 = 11;

/// A scenario with such stops, as JSON, which is YAML as well: most have one kind of them alone.
pub fn shop_with_stops(seed: u64) -> String {
    for throw in 0.. {
        let mut dice = Dice::new(seed * 1000 + throw + 900_000);
        let kinds: Vec<u64> = match seed % 14 {
            kind if kind < KINDS => vec![kind],
            _ => (0..KINDS).filter(|_| dice.chance(45)).collect(),
        };
        let base = seed * 1000 + throw + 500;
        let hours = seed.is_multiple_of(2) || kinds == [CURES_LAST];
        let yaml = match hours {
            true => super::shop_with_hours(base),
            false => super::shop(base),
        };
        let mut root = crate::second_reading::tree(&yaml);
        for &kind in &kinds {
            add(&mut dice, kind, &mut root);
        }
        let text = serde_json::to_string_pretty(&root).expect("it can be written");
        let mut shop = read::read(&text);
        if shop.gear.last().is_some_and(|gear| gear.count == BARS) {
            let most = most_bars(&shop);
            root["gear"]["bars"]["count"] = json!(most + dice.between(0, most as usize) as i64);
            let text = serde_json::to_string_pretty(&root).expect("it can be written");
            shop = read::read(&text);
        }
        let small = shop.crew.len() <= 3;
        if kinds == [LIFT] && !is_lifted(&shop) {
            continue;
        }
        if kinds == [ROLLING] && !shop.layouts[0].parked.contains(&true) {
            continue;
        }
        if small && Play::new(&shop, &shop.layouts[0]).refusal().is_none() {
            return serde_json::to_string_pretty(&root).expect("it can be written");
        }
    }
    unreachable!("throws do not end")
}

/// Whether a second person is called for some step.
fn is_lifted(shop: &Shop) -> bool {
    let steps = shop.projects.iter().flat_map(|of| &of.lines);
    let mut works = steps.flat_map(|line| &line.route).flat_map(|step| &step.at);
    works.any(|(_, work)| work.lifts_together && work.people == 2)
}

/// More than anything needs, until it is known how many that is.
const BARS: i64 = 1_000_000;

fn most_bars(shop: &Shop) -> i64 {
    let together = shop.orders.iter().map(|order| order.together).max();
    let mut most = 1;
    for line in shop.projects.iter().flat_map(|project| &project.lines) {
        let pieces = line.pieces * together.unwrap_or(1);
        for (_, work) in line.route.iter().flat_map(|step| &step.at) {
            let of_lot = work.gear_for(pieces);
            let bars = of_lot.iter().filter(|gear| gear.0 == shop.gear.len() - 1);
            most = most.max(bars.map(|gear| gear.1).max().unwrap_or(0));
        }
    }
    most
}

/// Keys of every operation, of the file, of each station that does it, and of each step that overrides some.
pub(super) fn each_work(root: &mut Value, edit: &mut dyn FnMut(&str, &mut Value)) {
    let mut operations = |all: Option<&mut Value>| {
        let all = all.and_then(Value::as_object_mut).into_iter().flatten();
        for (op, keys) in all.filter(|(_, keys)| keys.is_object()) {
            edit(op, keys);
        }
    };
    operations(root.get_mut("operations"));
    for station in root["stations"]
        .as_object_mut()
        .expect("stations")
        .values_mut()
    {
        operations(station.get_mut("does"));
    }
    each_route(root, &mut |step| {
        let op = step.get("op").and_then(Value::as_str).map(str::to_string);
        if let Some(op) = op {
            edit(&op, step);
        }
    });
}

fn each_route(root: &mut Value, edit: &mut dyn FnMut(&mut Value)) {
    for project in root["projects"]
        .as_object_mut()
        .expect("projects")
        .values_mut()
    {
        let mut routes = vec![];
        if let Some(route) = project.get("route").cloned() {
            routes.push((vec![], route));
        }
        for lines in ["material", "parts", "assemblies"] {
            let all = project.get(lines).and_then(Value::as_object).cloned();
            for (name, keys) in all.unwrap_or_default() {
                if let Some(route) = keys.get("route") {
                    routes.push((vec![lines.to_string(), name], route.clone()));
                }
            }
        }
        for (path, mut route) in routes {
            route
                .as_array_mut()
                .expect("a route")
                .iter_mut()
                .for_each(&mut *edit);
            let line = path.iter().fold(&mut *project, |at, key| &mut at[key]);
            line["route"] = route;
        }
    }
}

pub(super) fn some_time(dice: &mut Dice, least: usize, most: usize) -> String {
    format!("{} s", 30 * dice.between(least, most))
}

pub(super) fn names(root: &Value, of: &str) -> Vec<String> {
    let all = root[of].as_object().expect("a mapping");
    all.keys().cloned().collect()
}

fn operations_of(root: &mut Value) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    each_work(root, &mut |op, _| all.push(op.to_string()));
    all.sort();
    all.dedup();
    all
}

fn is_sized(root: &Value) -> bool {
    root["handling"].get("density").is_some()
}

/// The cure of an operation, whatever it is called.
pub(super) fn cure(keys: &mut Value) -> Option<&mut Value> {
    let word = ["cure", "dry"]
        .into_iter()
        .find(|word| keys.get(word).is_some());
    word.map(|word| &mut keys[word])
}

fn add(dice: &mut Dice, kind: u64, root: &mut Value) {
    match kind {
        TAKE_OFF => each_work(root, &mut |_, keys| {
            if let Some(cure) = cure(keys).filter(|_| dice.chance(75)) {
                cure["take off"] = json!(some_time(dice, 1, 6));
            }
        }),
        HEAT => {
            let (open, shut) = (dice.between(15, 26), dice.between(3, 22));
            root["heat"] = json!({"open": format!("{open} C"), "shut": format!("{shut} C")});
            each_work(root, &mut |_, keys| {
                if let Some(cure) = cure(keys).filter(|_| dice.chance(50)) {
                    let least = dice.between(5, open);
                    cure["least"] = json!(format!("{least} C"));
                }
            });
        }
        TACKY => {
            // Half of the shops dry what they cured.
            if dice.chance(50) {
                each_work(root, &mut |_, keys| {
                    if let Some(cure) = keys.get("cure").cloned() {
                        keys["dry"] = cure;
                        keys.as_object_mut().expect("keys").remove("cure");
                    }
                });
            }
            for op in operations_of(root) {
                let (is_tacky, is_dusty) = (dice.chance(35), dice.chance(50));
                let time = some_time(dice, 0, 60);
                each_work(root, &mut |other, keys| {
                    if other != op || keys.get("op").is_some() {
                        return;
                    }
                    if is_tacky {
                        keys["tacky"] = json!(if time == "0 s" { "0" } else { &time });
                    } else if is_dusty {
                        keys["dusty"] = json!(true);
                    }
                });
            }
        }
        CURES_LAST => root["rules"]["cures"] = json!("last in a session"),
        UPKEEP => upkeep(dice, root),
        SET_DOWN => {
            for station in root["stations"]
                .as_object_mut()
                .expect("stations")
                .values_mut()
            {
                if dice.chance(60) {
                    station["set down"] = json!(dice.between(0, 2));
                }
            }
        }
        NOT_TOGETHER => {
            let mut things = names(root, "stations");
            for op in operations_of(root) {
                things.extend([op.clone(), format!("cure of {op}")]);
            }
            let groups: Vec<Value> = (0..dice.between(1, 2))
                .map(|_| {
                    let mut of: Vec<&String> = things.iter().filter(|_| dice.chance(30)).collect();
                    if of.is_empty() {
                        of.push(&things[0]);
                    }
                    json!({"of": of, "at most": dice.between(1, 2)})
                })
                .collect();
            root["not together"] = json!(groups);
        }
        SETTINGS => settings(dice, root),
        LIFT => lift(dice, root),
        CATCHES => catches(dice, root),
        ROLLING if root["layouts"][LAYOUT].get("at").is_some() => rolling::add(dice, root),
        SPACING if is_sized(root) => {
            let stored = dice.chance(40);
            let place = names(root, "stations")[0].clone();
            if root.get("gear").is_none() {
                root["gear"] = json!({});
            }
            root["gear"]["bars"] = json!({"count": BARS});
            if stored {
                root["gear"]["bars"]["stored at"] = json!(place);
            }
            // Only parts and material, which have sizes, go through the first operation.
            each_work(root, &mut |op, keys| {
                if op == "op0" && keys.get("op").is_none() {
                    let spacing = format!("{} cm", dice.between(10, 60));
                    let per = dice.pick(&["piece", "lot"]);
                    keys["gear"]["bars"] = json!({"spacing": spacing, "per": per});
                }
            });
        }
        _ => {}
    }
}

/// Two lift what one cannot: half of the pieces, or all of some.
fn lift(dice: &mut Dice, root: &mut Value) {
    let most = dice.pick(&["0.4 kg", "1.1 kg", "3.2 kg"]);
    root["check"] = json!({"one person lifts": most});
    each_work(root, &mut |_, keys| {
        if dice.chance(75) {
            let how = if dice.chance(85) { "together" } else { "alone" };
            keys["lift"] = json!(how);
        }
    });
}

fn upkeep(dice: &mut Dice, root: &mut Value) {
    let sized = is_sized(root);
    let places = names(root, "stations");
    let drum = some_time(dice, 5, 60);
    let litres = sized && dice.chance(50);
    for station in root["stations"]
        .as_object_mut()
        .expect("stations")
        .values_mut()
    {
        let mut all = json!({});
        for name in ["blade", "belt", "drum"] {
            if !dice.chance(35) {
                continue;
            }
            let mut keys = json!({"every": some_time(dice, 4, 40), "time": some_time(dice, 1, 6)});
            if sized && dice.chance(50) {
                keys["every"] = json!(format!("{} m", dice.between(2, 20)));
            }
            if sized && name == "belt" && dice.chance(50) {
                keys["every"] = json!(format!("{} l", dice.between(1, 20)));
            }
            if name == "drum" {
                keys["every"] = json!(if litres { "6 l" } else { &*drum });
                keys["shared"] = json!("drum");
            }
            if dice.chance(50) {
                keys["fetch from"] = json!(places[dice.between(0, places.len() - 1)]);
            }
            all[name] = keys;
        }
        if all.as_object().is_some_and(|all| !all.is_empty()) {
            station["upkeep"] = all;
        }
    }
}

/// What comes out is taken elsewhere: at a station that never does the operation. Of work that one person does now and
/// then two do.
fn catches(dice: &mut Dice, root: &mut Value) {
    let places = names(root, "stations");
    for op in operations_of(root) {
        let does = |place: &&String| root["stations"][place.as_str()]["does"].get(&op).is_some();
        let elsewhere: Vec<&String> = places.iter().filter(|place| !does(place)).collect();
        if elsewhere.is_empty() || dice.chance(25) {
            continue;
        }
        let place = elsewhere[dice.between(0, elsewhere.len() - 1)].clone();
        let mut attended = true;
        each_work(root, &mut |other, keys| {
            attended &= other != op || keys.get("people") != Some(&json!(0));
        });
        if attended {
            root["operations"][&op]["catches"] = json!(place);
        }
    }
}

fn settings(dice: &mut Dice, root: &mut Value) {
    let texts = ["thin", "thick", "wide open"];
    each_route(root, &mut |step| {
        if dice.chance(50) {
            if let Some(op) = step.as_str().map(str::to_string) {
                *step = json!({"op": op});
            }
            step["setting"] = json!(dice.pick(&texts));
        }
    });
    for station in root["stations"]
        .as_object_mut()
        .expect("stations")
        .values_mut()
    {
        let does = station.get("does").and_then(Value::as_object);
        let mut all: Vec<String> = does.into_iter().flat_map(|d| d.keys().cloned()).collect();
        all.extend(texts.map(str::to_string));
        let mut rows = json!({});
        for from in &all {
            let row: Vec<&String> = all.iter().filter(|_| dice.chance(30)).collect();
            for to in row {
                rows[from][to] = json!(some_time(dice, 1, 5));
            }
        }
        if dice.chance(70) && rows.as_object().is_some_and(|rows| !rows.is_empty()) {
            station["setup from"] = rows;
        }
    }
}
