//! From the file to the shop: names become positions, overrides are settled, sizes become times.

mod bounds;
mod hours;
mod lifting;
mod sizes;

use serde_json::{Map, Value};

use super::distances;
use super::quantity::{area_rate, celsius, density, mass_kg, micros, seconds, speed, whole};
use super::shop::*;
use sizes::{Dimensions, Reached, bought, dimensions, passes, reached, weights};

/// What reading a route needs to know of the rest of the file.
struct Names<'a> {
    root: &'a Value,
    stations: Vec<String>,
    gear: Vec<String>,
    work_stands: &'a [(usize, String)],
}

impl Names<'_> {
    fn station(&self, name: &str) -> usize {
        position(&self.stations, name)
    }
}

fn position(names: &[String], name: &str) -> usize {
    names
        .iter()
        .position(|n| n == name)
        .unwrap_or_else(|| panic!("nothing is called {name}"))
}

fn mapping(value: Option<&Value>) -> Map<String, Value> {
    match value {
        None | Some(Value::Null) => Map::new(),
        Some(Value::Object(keys)) => keys.clone(),
        Some(other) => panic!("{other} is not a mapping"),
    }
}

fn text(value: &Value) -> &str {
    value
        .as_str()
        .unwrap_or_else(|| panic!("{value} is not a name"))
}

/// Reads a scenario.
///
/// # Panics
/// On everything that this reading does not know.
pub fn read(yaml: &str) -> Shop {
    let root = super::tree(yaml);
    assert!(
        root.get("candidates").is_none(),
        "candidates are not known here"
    );
    let station_keys = mapping(root.get("stations"));
    let gear_keys = mapping(root.get("gear"));
    let work_stands = distances::work_stands(&root, &station_keys);
    let names = Names {
        work_stands: &work_stands,
        root: &root,
        stations: station_keys.keys().cloned().collect(),
        gear: gear_keys.keys().cloned().collect(),
    };
    let stations = station_keys
        .iter()
        .map(|(name, keys)| Station {
            name: name.clone(),
            count: keys.get("count").map_or(1, |c| whole(c) as usize),
            loud: keys.get("loud").is_some_and(|l| l == true),
            blade: keys.get("blade").is_some_and(|b| b == true),
            set_down: keys.get("set down").map(|n| whole(n) as usize),
            rolling: (keys.get("roll out")).map(|out| (micros(out), micros(&keys["roll in"]))),
            upkeep: bounds::upkeep(&names, keys),
            setup_from: bounds::setup_from(keys),
        })
        .collect();
    let gear = gear_keys
        .values()
        .map(|keys| Gear {
            count: keys.get("count").map_or(1, whole),
            stored_at: keys.get("stored at").map(|s| names.station(text(s))),
        })
        .collect();
    let handling_keys = mapping(root.get("handling"));
    let project_keys = mapping(root.get("projects"));
    let project_names: Vec<String> = project_keys.keys().cloned().collect();
    let heavy = handling_keys.get("density").map_or(650.0, density);
    let run = mapping(root.get("run"));
    assert!(
        run.get("warm up").is_none_or(|w| seconds(w) == 0.0),
        "a warm-up is not known here"
    );
    let hours = hours::hours(root.get("sessions"), run.get("starts"));
    let starts = run.get("starts");
    let one_lifts = (root.get("check")).and_then(|check| check.get("one person lifts"));
    let one_lifts = one_lifts.map_or(23.0, mass_kg);
    let stood = distances::Stands {
        names: &names.stations,
        stations: &station_keys,
        usual: distances::usual_stands(&station_keys),
        work_stands: &work_stands,
    };
    let mut shop = Shop {
        stands: work_stands.clone(),
        stations,
        gear,
        crew: crew(&names, &handling_keys, starts),
        handling: handling(&names, &handling_keys),
        projects: project_keys
            .iter()
            .map(|(name, keys)| project(&names, name, keys, heavy))
            .collect(),
        orders: root["orders"]
            .as_array()
            .expect("orders are a list")
            .iter()
            .map(|o| order(&project_names, o, hours.first_opening()))
            .collect(),
        rules: rules(&mapping(root.get("rules"))),
        horizon: run
            .get("until")
            .filter(|u| u.as_str() != Some("done"))
            .map(micros),
        layouts: mapping(root.get("layouts"))
            .iter()
            .map(|(name, keys)| Layout {
                name: name.clone(),
                distances: stood
                    .in_table(distances::read(keys, &names.stations, &stood.usual), keys),
                parked: distances::parked(keys, &names.stations),
                shared_floor: distances::shared_floor(
                    keys,
                    &names.stations,
                    &distances::sizes(&station_keys),
                ),
                from_door: hours::door(&root).and_then(|door| stood.ways_from_door(keys, door)),
            })
            .collect(),
        hours,
        heat: root
            .get("heat")
            .map(|heat| (celsius(&heat["open"]), celsius(&heat["shut"]))),
        not_together: bounds::not_together(&names),
    };
    lifting::call_second(&mut shop, one_lifts);
    shop
}

fn crew(names: &Names, handling: &Map<String, Value>, starts: Option<&Value>) -> Vec<Person> {
    let usual = handling.get("walking speed").map_or(1.25, speed);
    let mut keys = mapping(names.root.get("crew"));
    if keys.is_empty() {
        keys.insert("maker".into(), Value::Null);
    }
    let mut crew = Vec::new();
    for (name, keys) in &keys {
        let keys = mapping(Some(keys));
        let count = keys.get("count").map(whole);
        for k in 1..=count.unwrap_or(1) {
            crew.push(Person {
                name: if count.is_some() {
                    format!("{name} {k}")
                } else {
                    name.clone()
                },
                can: keys.get("can").map(|c| {
                    c.as_array()
                        .expect("can is a list")
                        .iter()
                        .map(|op| text(op).to_string())
                        .collect()
                }),
                speed: keys.get("walking speed").map_or(usual, speed),
                starts_at: keys.get("starts at").map_or(0, |s| names.station(text(s))),
                hours: keys.get("hours").map(|h| hours::of_person(h, starts)),
            });
        }
    }
    crew
}

fn handling(names: &Names, keys: &Map<String, Value>) -> Handling {
    let carry = mapping(keys.get("carry"));
    Handling {
        loaded_speed: keys.get("loaded speed").map_or(1.0, speed),
        pick_up: keys.get("pick up").map_or(2_000_000, micros),
        put_down: keys.get("put down").map_or(2_000_000, micros),
        // Reading: a limit of pieces alone leaves the usual limit of mass in force.
        carry_kg: carry.get("mass").map_or(15.0, mass_kg),
        carry_pieces: carry.get("pieces").map(whole),
        carts: keys.get("carts").map(|c| Carts {
            count: c.get("count").map_or(1, |n| whole(n) as usize),
            stored_at: names.station(text(&c["stored at"])),
            pieces: whole(&c["pieces"]),
            speed: speed(&c["speed"]),
            at_least: whole(&c["at least"]),
            load: micros(&c["load"]),
            unload: micros(&c["unload"]),
        }),
    }
}

fn project(names: &Names, name: &str, keys: &Value, heavy: f64) -> Project {
    let material = mapping(keys.get("material"));
    let assemblies = mapping(keys.get("assemblies"));
    let mut parts = mapping(keys.get("parts"));
    if parts.is_empty() {
        // A project of one lot is a part of the same name.
        parts.insert(name.to_string(), keys.clone());
    }
    let names_of_lines = material.keys().chain(parts.keys()).chain(assemblies.keys());
    let line_names: Vec<String> = names_of_lines.cloned().collect();
    let of_material = material.values();
    let all: Vec<&Value> = (of_material.chain(parts.values()).chain(assemblies.values())).collect();
    let is_material = |line: usize| line < material.len();
    let made_of: Vec<Vec<usize>> = all
        .iter()
        .map(|k| match k.get("made of") {
            Some(list) => list
                .as_array()
                .expect("made of is a list")
                .iter()
                .map(|i| position(&line_names, text(i)))
                .collect(),
            None => Vec::new(),
        })
        .collect();
    let sizes: Vec<Dimensions> = (0..all.len())
        .map(|i| match is_material(i) {
            true => bought(all[i], heavy),
            false => dimensions(i, &all, &made_of, heavy),
        })
        .collect();
    let lines = (0..all.len())
        .map(|i| {
            let steps: Vec<&Value> = match all[i].get("route").and_then(Value::as_array) {
                Some(steps) => steps.iter().collect(),
                None => Vec::new(),
            };
            // Reading: material stays as heavy as it was until it is parts.
            let is_part = made_of[i].is_empty() && !is_material(i);
            let piece_kg = weights(names, &steps, &sizes[i], is_part, heavy);
            let reached = reached(names, &steps, &sizes[i]);
            let cut = reached.iter().map(|one| Some(one).filter(|_| is_part));
            let steps = steps.iter().zip(cut);
            let route: Vec<Step> = steps
                .map(|(s, cut)| step(names, s, (&sizes[i], cut)))
                .collect();
            let key = if is_material(i) { "at" } else { "material at" };
            let named = all[i].get(key).map(|s| names.station(text(s)));
            let cut_from = (all[i].get("cut from")).map(|m| position(&line_names, text(m)));
            // Reading: what lies where its route begins lies where one stands for that.
            let first = route.first().map(|s| &s.at[0]);
            let begins = first.map(|(station, work)| work.stands_at.unwrap_or(*station));
            Line {
                name: line_names[i].clone(),
                pieces: pieces(all[i]),
                is_material: is_material(i),
                batch: all[i].get("batch").map(whole),
                material_at: named.or(begins).filter(|_| cut_from.is_none()),
                made_of: made_of[i].clone(),
                cut_from,
                route,
                deliver_to: all[i].get("deliver to").map(|s| names.station(text(s))),
                piece_kg,
            }
        })
        .collect();
    Project {
        name: name.to_string(),
        lines,
    }
}

fn pieces(line: &Value) -> i64 {
    line.get("pieces").map_or(1, whole)
}

fn step(names: &Names, step: &Value, of: Of) -> Step {
    let own = if step.is_string() {
        Map::new()
    } else {
        mapping(Some(step))
    };
    let op = step
        .as_str()
        .unwrap_or_else(|| text(&own["op"]))
        .to_string();
    let on = own.get("on").map(|s| names.station(text(s)));
    let common = mapping(names.root.get("operations").and_then(|o| o.get(&op)));
    let mut at = Vec::new();
    for (station, name) in names.stations.iter().enumerate() {
        let does = names.root["stations"][name]
            .get("does")
            .and_then(|d| d.get(&op));
        if let Some(does) = does
            && on.is_none_or(|on| on == station)
        {
            // Each key on its own: the step wins over the station, the station over the default.
            // Reading: a number of passes and a depth per pass are two ways to say one thing, so that a
            // nearer one of either takes the place of a farther one of the other; so are a cure and drying.
            let mut keys = common.clone();
            for nearer in [mapping(Some(does)), own.clone()] {
                for two in [["passes", "depth per pass"], ["cure", "dry"]] {
                    if two.iter().any(|key| nearer.contains_key(*key)) {
                        for key in two {
                            keys.remove(key);
                        }
                    }
                }
                keys.extend(nearer);
            }
            let here = |stand: &(usize, String)| stand.0 == station && stand.1 == op;
            let stand = names.work_stands.iter().position(here);
            let stands_at = stand.map(|nth| 2 * names.stations.len() + nth);
            let work = work(names, &keys, of);
            at.push((station, Work { stands_at, ..work }));
        }
    }
    assert!(!at.is_empty(), "no station does {op}");
    Step {
        op,
        setting: own.get("setting").map(|s| text(s).to_string()),
        at,
    }
}

type Of<'a> = (&'a Dimensions, Option<&'a Reached>);

fn work(names: &Names, keys: &Map<String, Value>, (sizes, reached): Of) -> Work {
    let time = |key: &str| keys.get(key).map_or(0, micros);
    assert!(
        !keys.contains_key("spoils"),
        "spoiled pieces are not known here"
    );
    let mut per_piece_s = keys.get("per piece").map_or(0.0, seconds);
    if let Some(feed) = keys.get("feed speed") {
        let rough = sizes.rough.expect("a feed speed needs rough sizes");
        let along = if keys.get("along").is_some_and(|a| text(a) == "width") {
            rough[1]
        } else {
            rough[0]
        };
        per_piece_s += along as f64 / 1e9 * passes(keys, sizes) as f64 / speed(feed);
    }
    if let Some(rate) = keys.get("area rate") {
        per_piece_s += sizes.surface.expect("an area rate needs finished sizes") / area_rate(rate);
    }
    let gear: Vec<(usize, Amount)> = mapping(keys.get("gear"))
        .iter()
        .map(|(name, n)| (position(&names.gear, name), bounds::amount(n, sizes)))
        .collect();
    let cure = mapping(keys.get("cure").or(keys.get("dry")));
    let (cure_ties_station, cure_ties_gear) = bounds::ties_up(names, &cure, &gear);
    Work {
        stands_at: None,
        setup: time("setup"),
        teardown: time("teardown"),
        per_piece_s,
        per_lot_s: keys.get("per lot").map_or(0.0, seconds),
        people: keys.get("people").map_or(1, |p| whole(p) as usize),
        lifts_together: keys.get("lift").is_some_and(|lift| lift == "together"),
        cure: cure.get("time").map_or(0, micros),
        cure_ties_station,
        cure_ties_gear,
        least: cure.get("least").map(celsius),
        take_off: cure.get("take off").map(micros),
        gear,
        fetch_from: keys.get("fetch from").map(|s| names.station(text(s))),
        catches: bounds::catches(names, keys, sizes),
        pausable: keys.get("pausable").is_none_or(|p| p == true),
        after_hours: keys.get("after hours").is_some_and(|a| a == true),
        tacky: keys.get("tacky").map(micros),
        dusty: keys.get("dusty").is_some_and(|d| d == true),
        length_cut: bounds::length_cut(keys, sizes),
        chips: reached.map_or(0, |before| bounds::chips(keys, before)),
    }
}

fn order(projects: &[String], keys: &Value, first_opening: i64) -> OrderLine {
    let time = |key: &str| keys.get(key).map(micros);
    OrderLine {
        project: position(projects, text(&keys["project"])),
        count: keys.get("count").map(whole),
        every: time("every"),
        first: time("first").unwrap_or(first_opening),
        until: time("until"),
        in_progress: keys.get("in progress").map(whole),
        due: time("due"),
        together: keys.get("together").map_or(1, whole),
    }
}

fn rules(keys: &Map<String, Value>) -> Rules {
    let queue = match keys.get("queue").map_or("fifo", text) {
        "fifo" => QueueRule::Fifo,
        "spt" => QueueRule::Spt,
        "lpt" => QueueRule::Lpt,
        "mwkr" => QueueRule::Mwkr,
        "edd" => QueueRule::Edd,
        other => panic!("no queue rule is called {other}"),
    };
    let stay_while_queue = match keys.get("switch station").map_or("after each lot", text) {
        "after each lot" => false,
        "when its queue is empty" => true,
        other => panic!("nobody switches station {other}"),
    };
    let choose = match keys.get("choose next").map_or("first come", text) {
        "first come" => ChooseRule::FirstCome,
        "nearest" => ChooseRule::Nearest,
        "longest queue" => ChooseRule::LongestQueue,
        "shortest work" => ChooseRule::ShortestWork,
        "most work left" => ChooseRule::MostWorkLeft,
        "due date" => ChooseRule::DueDate,
        other => panic!("nobody chooses {other}"),
    };
    let cures_last = match keys.get("cures").map(text) {
        None => false,
        Some("last in a session") => true,
        Some(other) => panic!("cures are not {other}"),
    };
    Rules {
        queue,
        stay_while_queue,
        choose,
        cures_last,
    }
}
